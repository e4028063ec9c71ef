"""The sheets of every lab: each wire listed makes the circuit, and nothing is cut off on paper."""

import re
from collections import deque
from decimal import Decimal
from pathlib import Path

import pypdfium2
import pytest

from rungbook.behaviour import Board, Panel
from rungbook.behaviour.actions import possible_steps
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.circuit import read_wires
from rungbook.classroom.kit_plan import costs, plan, what_carries
from rungbook.classroom.kit_sheets import lab_sheets, test_sheets
from rungbook.classroom.lab_circuits import lab_circuits, on_panel
from rungbook.classroom.labs import find_lab, find_labs
from rungbook.cli import main
from rungbook.drawing import files
from rungbook.drawing.forms import CAUTIONS, save_forms
from rungbook.drawing.wiring_sheet import wiring_sheet
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT
from rungbook.proof.wiring_check import dead_tests

test_sheets.__test__ = False  # a name of the trade, no test

ROOT = Path(__file__).parents[2]
LABS = [lab.short for lab in find_labs(ROOT)]
PLACED = {
    f"{lab.short} {name}": on_panel(name, ladder)
    for lab in find_labs(ROOT)
    for name, ladder in lab_circuits(lab).items()
}
WIRED = {name: one.wiring for name, one in PLACED.items() if one.wiring is not None}
EDGE_MM = 6.4  # office printers leave so much white


def joints(items):
    """The circuit as a set of nodes, each the set of terminals that meet there."""
    nodes = {}
    for wired in items:
        first, _, second = wired.item.terminals.partition("-")
        left, right = (second, first) if wired.turned else (first, second)
        for node, end in ((wired.left, left), (wired.right, right)):
            nodes.setdefault(node, set()).add(f"{wired.item.device}:{end}")
    return {frozenset(ends) for ends in nodes.values()}


def timed(ladder):
    return any(device.spec.timed for device in ladder.devices.values())


class TestWires:
    def test_there_are_circuits_of_most_labs(self):
        assert len({name.split()[0] for name in WIRED}) >= len(LABS) - 3

    @pytest.mark.parametrize("name", WIRED)
    def test_listed_join_what_the_diagram_joins(self, name):
        """Contact by contact and node by node, the same terminals meet."""
        wiring = WIRED[name]
        assert joints(read_wires(wiring.wires, wiring.kit)) == joints(wiring.items)

    @pytest.mark.parametrize("name", [name for name, wiring in WIRED.items() if not timed(wiring.ladder)])
    def test_listed_do_what_the_diagram_does(self, name):
        """Both panels side by side through every order in every state: coils and lamps agree."""
        wiring = WIRED[name]
        drawn = Panel(wiring.ladder)
        wired = BoardPanel(Board.from_wires("wired", wiring.wires, wiring.kit, wiring.ladder.declared or ()))
        tags = [*drawn.coils, *drawn.lamps]
        waiting = deque([(drawn.start, wired.start)])
        seen = set(waiting)
        while waiting and len(seen) < 3000:
            one, other = waiting.popleft()
            assert [drawn.is_on(tag, one) for tag in tags] == [wired.is_on(tag, other) for tag in tags]
            for step in possible_steps(drawn.inputs):
                if not drawn.can(step, one):
                    continue
                after, too = drawn.after(step, one), wired.after(step, other)
                if len(after.states) != 1 or after.chatter:
                    continue
                assert len(too.states) == 1, step
                pair = (after.states[0], too.states[0])
                if pair not in seen:
                    seen.add(pair)
                    waiting.append(pair)
        assert len(seen) > 2


def clear_of_the_edges(document):
    """Assert that nothing is printed where printers cannot print; return the text of all pages."""
    text = ""
    for page in document:
        image = page.render(scale=1).to_pil().convert("L")  # 72 dots an inch
        edge = round(EDGE_MM / 25.4 * 72)
        wide, high = image.size
        inked = image.point(lambda value: 255 * (value < 250)).getbbox()
        assert inked is not None
        assert edge <= inked[0]
        assert edge <= inked[1]
        assert inked[2] <= wide - edge
        assert inked[3] <= high - edge
        text += page.get_textpage().get_text_range()
    return text


@pytest.mark.usefixtures("chromium")
class TestPaper:
    @pytest.mark.parametrize("lab", find_labs(ROOT), ids=lambda lab: lab.short)
    def test_the_bench_sheet_of_each_lab_too(self, lab):
        text = clear_of_the_edges(pypdfium2.PdfDocument(files.pdf(lab.bench_sheet.read_text(encoding="utf-8"))))
        words = "".join(text.split())
        assert "Sign-offbeforeenergising" in words
        for cell in re.findall(r"<t[dh]>([A-Za-z0-9 :–-]+)</t[dh]>", lab.bench_sheet.read_text(encoding="utf-8")):
            assert "".join(cell.split()) in words, cell

    @pytest.mark.parametrize("paper", ["A4", "Letter"])
    def test_all_sheets_of_all_labs_keep_clear_of_the_edges_and_lose_nothing(self, paper, tmp_path):
        forms = [wiring_sheet(wiring, {"Group": "A"}) for wiring in WIRED.values()]
        forms += test_sheets({"K01": (TRAINING_KIT, "A")})
        document = pypdfium2.PdfDocument(save_forms(forms, tmp_path / "all.pdf", paper))
        sizes = {tuple(round(side / 72 * 25.4) for side in page.get_size()) for page in document}
        assert sizes == {(210, 297) if paper == "A4" else (216, 279)}
        text = clear_of_the_edges(document)
        words = "".join(text.split())
        for wiring in WIRED.values():
            for wire in wiring.wires:
                assert f"{wire.start}{wire.end}{wire.number}" in words
            for test in dead_tests(wiring).tests:
                assert f"{test.a}–{test.b}" in words
        for caution in CAUTIONS:
            assert words.count("".join(caution.split())) >= 2 * len(WIRED)

    def test_a_lab_for_all_groups_is_one_file(self, tmp_path, capsys):
        out = tmp_path / "sheets.pdf"
        ledger = ["kit", "--ledger", str(tmp_path / "kits.db"), "--by", "Ines"]
        assert main([*ledger, "add", "K07"]) == 0
        assert main([*ledger, "issue", "K07", "--group", "Blue", "--members", "Ada"]) == 0
        assert main([*ledger, "sheets", "lab04", "--groups", "Blue, Red", "--circuit", "stations", "-o", str(out)]) == 0
        assert capsys.readouterr().out.endswith("2 wiring sheets\n")
        text = "".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(out))
        words = " ".join(text.split())
        assert "Group Blue Kit K07" in words
        assert "Group Red Kit Date" in words

    def test_the_test_sheet_of_a_kit(self, tmp_path, capsys):
        out = tmp_path / "test.html"
        assert main(["kit", "--ledger", str(tmp_path / "none.db"), "test-sheet", "K01", "K02", "-o", str(out)]) == 0
        html = out.read_text(encoding="utf-8")
        assert html.count("<h1>Inspection and function test: training kit</h1>") == 2
        assert "Q1 · contactor, auxiliary block 2 NO + 2 NC" in html


class TestRefused:
    def test_a_circuit_that_the_lab_has_not(self):
        with pytest.raises(LadderError, match=r"no such circuit in the lab. Given: 'pump'. Choices: stations"):
            lab_sheets(find_lab(ROOT, "lab04"), circuits=["pump"])

    def test_a_paper_or_file_that_is_none(self, tmp_path):
        forms = test_sheets({"": (TRAINING_KIT, "")})
        with pytest.raises(LadderError, match=r"no such paper. Given: 'A3'. Choices: A4, Letter"):
            save_forms(forms, tmp_path / "x.html", "A3")
        with pytest.raises(LadderError, match="writes PDF or HTML"):
            save_forms(forms, tmp_path / "x.docx")
        with pytest.raises(LadderError, match="at least one"):
            save_forms([], tmp_path / "x.html")
        assert list(tmp_path.iterdir()) == []


class TestPlan:
    PLANS = plan([find_lab(ROOT, "lab04"), find_lab(ROOT, "lab07")])

    def test_tells_what_the_kit_carries_and_what_must_be_added(self):
        rows = {row[1]: row[3] for row in what_carries(self.PLANS).rows if row[0] == "lab04"}
        assert rows["stations"] == "yes"
        assert rows["jog"].startswith("no: wire F1: needs two NC contacts")

    def test_tells_the_cost_of_a_class_and_what_can_be_shared(self):
        listing = costs(self.PLANS, 3, {"push button": Decimal("12.50")}, "EUR")
        rows = {row[0]: row for row in listing.rows}
        assert rows["push button"][1:4] == ("4", "", "150.00 EUR")
        assert rows["three-position selector"][4] == "lab04; can be shared in turns"
        assert rows["sum"][3] == "150.00 EUR"
        assert rows["drive"][3] == "no price"

    @pytest.mark.parametrize("groups", [0, 2.5, True, 1000])
    def test_refuses_a_class_that_is_none(self, groups):
        with pytest.raises(LadderError, match="a class has 1 to 200 groups"):
            costs(self.PLANS, groups, {})

    def test_from_the_command_line(self, tmp_path, capsys):
        prices = tmp_path / "prices.csv"
        prices.write_text("model,cost\ncontactor,30\n")
        ledger = ["kit", "--ledger", str(tmp_path / "none.db")]
        assert main([*ledger, "plan", "lab04", "--groups", "2", "--prices", str(prices), "--currency", "EUR"]) == 0
        told = capsys.readouterr().out
        assert "lab04  stations" in told
        assert "180.00 EUR" in told
