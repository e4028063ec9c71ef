"""The sheets of every lab: each wire listed makes the circuit, and nothing is cut off on paper."""

import re
from decimal import Decimal
from pathlib import Path

import pypdfium2
import pytest

from power_circuits import pump_and_mill
from rungbook import NC, NO, Device, Ladder, coil
from rungbook.circuit import read_wires, reversing, star_delta, wire
from rungbook.circuit.power_wires import wire_power
from rungbook.classroom.kit_plan import LabPlan, costs, plan, what_carries
from rungbook.classroom.kit_sheets import lab_sheets, test_sheets
from rungbook.classroom.lab_circuits import lab_circuits, on_panel
from rungbook.classroom.labs import find_lab, find_labs
from rungbook.cli import main
from rungbook.drawing import files
from rungbook.drawing.forms import CAUTIONS, save_forms
from rungbook.drawing.wiring_sheet import wiring_sheet
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT
from rungbook.proof import compare
from rungbook.proof.wiring_check import dead_tests, main_tests
from side_by_side import board_of, states_that_agree

test_sheets.__test__ = False  # a name of the trade, no test

ROOT = Path(__file__).parents[2]
LABS = [lab.short for lab in find_labs(ROOT)]
SOLVED = {lab.short: lab_circuits(lab) for lab in find_labs(ROOT)}
PLACED = {
    f"{lab} {name}": on_panel(name, ladder) for lab, (ladders, _) in SOLVED.items() for name, ladder in ladders.items()
}
WIRED = {name: one.wiring for name, one in PLACED.items() if one.wiring is not None}
POWERS = {f"{lab} {name}": power for lab, (_, powers) in SOLVED.items() for name, power in powers.items()}
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


def two_motors():
    """Pump and mill: a ladder and its power circuit, two motors behind one disconnect."""
    ladder = Ladder("Pump and mill")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1") & (NO("S3") | NO("Q2")) & NC("F2"), coil("Q2"))
    return on_panel("two", ladder).wiring, pump_and_mill()


def elevator():
    """A reversing starter and its power circuit."""
    ladder = Ladder("Elevator", [*map(Device, ("S2", "S3", "Q1", "Q2")), Device("S6", "emergency stop")])
    for start, mine, other in (("S2", "Q1", "Q2"), ("S3", "Q2", "Q1")):
        ladder.rung(NC("S6") & (NO(start) | NO(mine)) & NC(other), coil(mine))
    return wire(ladder, TRAINING_KIT), reversing("Elevator")


class TestWires:
    def test_every_circuit_of_every_lab_can_be_wired(self):
        assert {name: one.problem for name, one in PLACED.items() if one.problem} == {}
        assert {name.split()[0] for name in WIRED} == set(LABS) - {"lab10"}  # nothing is built there

    def test_circuits_that_need_more_than_the_kit_has_are_known(self):
        """Another overload relay, timer, auxiliary block: the kit has one, one and two. A contact beside others."""
        block, overload = "auxiliary block 2 NO + 2 NC", "overload relay"
        assert {name: [model for _, model in one.extra] for name, one in PLACED.items() if one.extra} == {
            "lab03 starter": ["starter trip contact 1 NO"],
            "lab05 mended": [overload],
            "lab05 sequence": [overload, overload],
            "lab05 stopping": [overload],
            "lab07 airing": [overload],
            "lab08 dose": ["button block 1 NC + 1 NO"],
            "lab09 hand": [block],
            "lab09 auto": [block],
            "lab09 pause": [block, "multifunction timer"],
            "lab09 mended": [block],
            "lab09 twospeed": [overload],
            "lab12 line": [overload],
        }

    @pytest.mark.parametrize("name", WIRED)
    def test_listed_join_what_the_diagram_joins(self, name):
        """Contact by contact and node by node, the same terminals meet."""
        wiring = WIRED[name]
        assert joints(read_wires(wiring.wires, wiring.kit)) == joints(wiring.items)

    @pytest.mark.parametrize("name", [name for name, wiring in WIRED.items() if not timed(wiring.ladder)])
    def test_listed_do_what_the_diagram_does(self, name):
        """Ladder as given and board as wired through every order in every state: coils and lamps agree."""
        assert states_that_agree(PLACED[name].ladder, board_of(WIRED[name])) > 2

    @pytest.mark.parametrize("name", [name for name, wiring in WIRED.items() if timed(wiring.ladder) and wiring.notes])
    def test_sharing_changes_nothing_in_time_either(self, name):
        found = compare(PLACED[name].ladder, WIRED[name].ladder)
        assert found, found


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

    @pytest.mark.parametrize(
        ("lab", "paper"),
        [
            pytest.param(lab, paper, marks=[pytest.mark.long] if paper == "Letter" and lab not in ("", "lab09") else [])
            for lab in ("", *dict.fromkeys(name.split()[0] for name in WIRED))
            for paper in ("A4", "Letter")
        ],
    )
    def test_all_sheets_of_a_lab_keep_clear_of_the_edges_and_lose_nothing(self, lab, paper, tmp_path):
        """Without a lab: circuits that no lab has, and the test sheet."""
        sheets = [(wiring, POWERS.get(name)) for name, wiring in WIRED.items() if name.split()[0] == lab]
        sheets = sheets or [two_motors(), elevator()]
        forms = [wiring_sheet(wiring, {"Group": "A"}, power=power) for wiring, power in sheets]
        if not lab:
            forms += test_sheets({"K01": (TRAINING_KIT, "A")})
        document = pypdfium2.PdfDocument(save_forms(forms, tmp_path / "all.pdf", paper))
        sizes = {tuple(round(side / 72 * 25.4) for side in page.get_size()) for page in document}
        assert sizes == {(210, 297) if paper == "A4" else (216, 279)}
        text = clear_of_the_edges(document)
        words = "".join(text.split())
        for wiring, power in sheets:
            for one in wiring.wires:
                assert f"{one.start}{one.end}{one.number}" in words
            for test in dead_tests(wiring).tests:
                assert f"{test.a}–{test.b}" in words
            if power is not None:
                main = wire_power(power, wiring.kit)
                for one in main.wires:
                    assert f"{one.start}{one.end}{one.node}" in words
                for test in main_tests(main).tests:
                    assert f"{test.a}–{test.b}" in words
        powered = sum(power is not None for _, power in sheets)
        assert words.count("Sign-offbeforeenergisingthepowerside") == powered
        assert words.count("Sign-offbeforeenergisingthecontrolcircuitalone") == powered
        assert words.count("Powersideisolated:Q9offandlockedout,nomotorconnected") == powered
        for caution in CAUTIONS:
            assert words.count("".join(caution.split())) >= 2 * len(sheets) + powered

    def test_no_sign_off_and_no_row_is_cut_in_two(self, tmp_path):
        """A sign-off stands on one page with its heading; a test stands on one page with the line for its reading."""
        sheets = (two_motors(), elevator())
        forms = [wiring_sheet(wiring, power=power) for wiring, power in sheets]
        measured = r"[A-Z]\w*(?::[\w/]+)? – [A-Z]\w*(?::[\w/]+)?"
        for paper in ("A4", "Letter"):
            document = pypdfium2.PdfDocument(save_forms(forms, tmp_path / f"{paper}.pdf", paper))
            texts = [page.get_textpage().get_text_range() for page in document]
            pages = ["".join(text.split()) for text in texts]
            for title, last in (
                ("Sign-offbeforeenergisingthepowerside", "Coverson,shaftsfreeandguarded,toolsaway"),
                ("Sign-offbeforeenergisingthecontrolcircuitalone", "Powersideisolated"),
            ):
                assert [title in page for page in pages] == [last in page for page in pages]
            lines = [len(re.findall(r"\.{20}", text)) for text in texts]
            assert sum(lines) == sum(len(main_tests(wire_power(power)).tests) for _, power in sheets)
            for text, count in zip(texts, lines, strict=True):
                assert not count or len(re.findall(measured, text)) == count

    def test_without_the_power_side_if_so_asked(self, tmp_path, capsys):
        ledger = ["kit", "--ledger", str(tmp_path / "none.db")]
        for more, sides in (([], 1), (["--control-only"], 0)):
            out = tmp_path / f"{sides}.html"
            assert main([*ledger, "sheets", "lab03", "--circuit", "built", "-o", str(out), *more]) == 0
            html = out.read_text(encoding="utf-8")
            assert html.count("7 · Power side: diagram and wires") == sides
            assert html.count("Sign-off before energising the power side") == sides
        assert capsys.readouterr().out.count("1 wiring sheets") == 2

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


class TestPowerSide:
    def test_of_a_circuit_is_the_one_whose_contactors_and_relays_it_has(self):
        assert sorted(name for name in POWERS if name.startswith("lab03")) == ["lab03 built", "lab03 mended"]
        assert POWERS["lab06 interlock"].title == "Apple elevator"
        assert POWERS["lab09 hand"].title == "Large mill"
        assert "lab09 twospeed" not in POWERS  # no Q3, so not the star-delta starter of its lab

    def test_takes_its_parts_too(self):
        wiring, power = two_motors()
        html = wiring_sheet(wiring, power=power).body
        rows = re.findall(r"<tr>(<td.*?)</tr>", html[html.index("1 · Parts") : html.index("2 · The diagram")])
        shown = [re.findall(r"<td[^>]*>([^<]*)</td>", row)[:4] for row in rows]
        assert ["Q9", "manual motor starter (is the disconnect)", "–", "nothing"] in shown
        assert ["M1", "200 W training motor", "–", "nothing"] in shown
        assert ["M2", "200 W training motor", "–", "not in the box: to be added"] in shown
        assert [row[0] for row in shown].count("F1") == 1

    def test_tells_why_there_is_an_interlock_and_takes_a_mechanical_one(self):
        html = wiring_sheet(*elevator()[:1], power=elevator()[1]).body
        assert "Q1 and Q2 both in join L1 and L3 (Q9 1-2, F9 1-2, Q1 1-2, Q2 5-6, F9 5-6, Q9 5-6)." in html
        assert "<td>Q1 + Q2</td><td>mechanical interlock</td>" in html
        assert "between the two; reversing links, if fitted, are wires 10 to 15" in html

    def test_has_reversing_links_taken_off_where_they_would_short_a_star(self):
        html = wiring_sheet(WIRED["lab09 hand"], power=POWERS["lab09 hand"]).body
        assert "between the two; reversing links off" in html

    def test_tells_which_way_each_contactor_turns_the_motor(self):
        html = wiring_sheet(*elevator()[:1], power=elevator()[1]).body
        assert "<td>press S2</td><td>Q1 in. M1: L1 L2 L3 on U1 V1 W1: runs forwards.</td>" in html
        assert "<td>press S3</td><td>Q2 in. M1: L3 L2 L1 on U1 V1 W1: runs backwards.</td>" in html
        assert "208 V, all three alike" in html

    def test_of_contactors_that_the_control_circuit_has_not_is_refused(self):
        wiring, _ = two_motors()
        with pytest.raises(LadderError, match="the contactor Q3 of the power circuit has no coil"):
            wiring_sheet(wiring, power=star_delta())


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
        assert rows["jog"] == "yes"

    def test_tells_what_the_power_side_needs(self):
        told = {row[1]: row[3] for row in what_carries(plan([find_lab(ROOT, "lab09")])).rows}
        assert told["hand"].endswith("no motor with 6 leads for M1: free terminals in its place")
        wiring, power = two_motors()
        two = LabPlan("lab", (on_panel("two", wiring.ladder, power=power),))
        (row,) = what_carries([two]).rows
        assert row[3] == "with more: overload relay for F2, 200 W training motor for M2"
        assert two.models["200 W training motor"] == 2
        assert two.models["manual motor starter"] == 1

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
