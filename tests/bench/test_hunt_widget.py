"""The hunt in a notebook, kernel side: wishes in, state out; nothing of the fault goes to the browser."""

import ast
import json
import sys

import nbformat
import pytest
from nbclient import NotebookClient

from hunting import token_of, wash_case, wash_pump
from rungbook.bench import FaultHunt
from rungbook.bench.hunt_widget import HuntBench
from rungbook.circuit import direct


def hunt(device="F1", words="stays tripped", **more):
    return FaultHunt(wash_pump(), token_of(device, words), lab="lab07", **more)


def wish(widget, do, **about):
    """Send a wish as the front end does, and return the state."""
    widget._received(None, {"do": do, "view": "v", "number": 1, **about}, [])
    return widget.state


def shown(widget):
    """All that the browser gets, without what differs from widget to widget."""
    state = {key: value for key, value in widget.get_state().items() if key not in ("_esm", "_css", "layout")}
    return json.dumps(state).replace(widget.name, "NAME")


class TestWishes:
    def test_a_hunt_from_the_first_order_to_the_page(self):
        found = hunt(budget=5)
        widget = HuntBench(found)
        state = wish(widget, "order", device="S2", to="pressed")
        assert (state["positions"]["S2"], state["positions"]["Q1"], state["left"]) == ("pressed", "out", 5)
        state = wish(widget, "measure", function="volts", a="S2:14", b="X2")
        assert (state["meter"], state["left"]) == ("120.0 V", 4)
        state = wish(widget, "measure", function="ohms", a="S2:14", b="X2")
        assert state["meter"] == "--- live"
        assert state["remark"].startswith("The circuit is live: switch the supply off")
        assert wish(widget, "order", device="S2", to="released")["rows"] == [
            [1, "press S2", "Q1 out, P1 dark", ""],
            [2, "volts S2:14 – X2", "120.0 V", ""],
            [3, "ohms S2:14 – X2", "--- live", state["remark"]],
            [4, "let S2 go", "Q1 out, P1 dark", ""],
        ]
        assert (state["claim"], state["cell"], widget.page) == ("", "", "")
        state = wish(widget, "claim", device="F1", fault="stays tripped")
        assert state["claim"] == "F1: stays tripped"
        assert "You named F1: stays tripped." in widget.page
        assert found.answer()["claim"] == {"device": "F1", "fault": "stays tripped"}

    def test_a_nudge_asks_for_nothing(self):
        widget = HuntBench(hunt())
        before = widget.state
        widget._received(None, {"do": "nudge"}, [])
        assert widget.state is before

    def test_the_cell_that_is_copied_gives_the_answer(self):
        found = hunt()
        widget = HuntBench(found)
        wish(widget, "order", device="S2", to="pressed")
        wish(widget, "measure", function="continuity", a="F1:95", b="F1:96")
        cell = wish(widget, "claim", device="F1", fault="stays tripped")["cell"]
        (line,) = ast.parse(cell).body
        assert line.targets[0].id == "found"
        names = {"hunt": hunt()}
        exec(cell, names)
        assert names["found"] == found.answer()

    def test_the_answer_is_named_after_the_hunt(self, monkeypatch):
        found = hunt()
        shell = type("Shell", (), {"user_ns": {"hunt3": found}})()
        monkeypatch.setattr(sys.modules[HuntBench.__module__], "get_ipython", lambda: shell)
        cell = wish(HuntBench(found), "claim", device="F1", fault="stays tripped")["cell"]
        assert cell.startswith('found3 = hunt3.from_acts("""')

    def test_what_methods_in_cells_do_is_shown_too_and_on_every_display(self):
        found = hunt()
        one, other = HuntBench(found), HuntBench(found)
        found.do("press S2")
        wish(one, "source")
        assert [row[1] for row in one.state["rows"]] == ["press S2", "volts at the live source"]
        assert other.state["rows"] == one.state["rows"]
        assert one.name != other.name

    def test_locked_out_and_proved_dead_point_by_point(self):
        widget = HuntBench(hunt())
        assert "switch the supply off first" in wish(widget, "lock")["refused"]
        wish(widget, "order", device="supply", to="off")
        assert wish(widget, "lock")["words_of"]["supply"] == "off, locked out"
        assert "locked out; take the lock off first" in wish(widget, "order", device="supply", to="on")["refused"]
        assert wish(widget, "source")["points"] == 1
        assert wish(widget, "measure", function="volts", a="X1", b="X2")["points"] == 2
        state = wish(widget, "source")
        assert (state["points"], state["proved"], state["refused"]) == (3, True, "")
        assert wish(widget, "unlock")["proved"] is False

    @pytest.mark.parametrize(
        ("do", "about", "told"),
        [
            ("dance", {}, "no such wish of a front end"),
            ("order", {"device": "S9", "to": "pressed"}, "no such device to operate"),
            ("order", {"device": "S2", "to": "bent"}, "no such position that a hand can reach"),
            ("measure", {"function": "amps", "a": "X1", "b": "X2"}, "Meter: no such function"),
            ("measure", {"function": "volts", "a": "X1", "b": ""}, "put both on a terminal"),
            ("claim", {"device": "Q1", "fault": ""}, "no such fault here"),
        ],
    )
    def test_what_cannot_be_done_is_said(self, do, about, told):
        widget = HuntBench(hunt())
        state = wish(widget, do, **about)
        assert told in state["refused"]
        assert state["rows"] == []

    def test_the_fuse_of_the_supply_is_not_in_reach(self):
        (supply,) = [part for part in HuntBench(hunt()).parts if part["tag"] == "supply"]
        assert [control["text"] for control in supply["controls"]] == ["Supply"]

    def test_a_motor_is_seen(self):
        widget = HuntBench(hunt("Q1", "contact 23-24 stays open", power=direct()))
        wish(widget, "order", device="S2", to="pressed")
        assert widget.state["motors"] == {"M1": {"word": "runs forwards", "speed": 1, "seen": True}}


class TestHidden:
    def test_faults_that_show_the_same_send_the_same_to_the_browser(self):
        """All that look alike after "press S2": what the browser has must not differ by a letter."""
        case, sent = wash_case(), {}
        for group in case.evidence.classes:
            found = FaultHunt(wash_pump(), case.token(group[0]), lab="lab07")
            widget = HuntBench(found)
            wish(widget, "look")
            wish(widget, "order", device="S2", to="pressed")
            seen = tuple(row[2] for row in widget.state["rows"])
            sent.setdefault(seen, set()).add(shown(widget))
        assert len(sent) > 3
        assert {seen: len(different) for seen, different in sent.items()} == dict.fromkeys(sent, 1)

    def test_the_token_is_not_sent(self):
        widget = HuntBench(hunt())
        wish(widget, "claim", device="Q1", fault="coil is open")
        assert token_of("F1", "stays tripped") not in shown(widget)

    def test_the_names_of_the_widget_lead_to_no_fault(self):
        widget = HuntBench(hunt())
        for name, value in vars(widget).items():
            assert not any(word in repr(value) for word in ("StuckDevice", "HeldContact", "hunt.search", "hunt.rig")), (
                name
            )


BEGIN = """
from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.bench import FaultHunt
from rungbook.grading import finds_fault, mark
pump = Ladder("Wash pump")
pump.rung(NC("S1") & (NO("S2") | NO("Q1", "13-14")) & NC("F1", "95-96"), coil("Q1"))
pump.rung(NO("Q1", "23-24"), lamp("P1", "green"))
pump_hunt = FaultHunt(pump, "{token}", lab="lab07")
pump_hunt
"""
HANDS = """
import gc
from rungbook.bench.hunt_widget import HuntBench
(widget,) = [one for one in gc.get_objects() if isinstance(one, HuntBench)]
def wish(**content): widget._received(None, content, [])
wish(do="order", device="S2", to="pressed")
for lead in ("S2:14", "F1:95", "F1:96", "X1"):
    wish(do="measure", function="volts", a=lead, b="X2")
wish(do="claim", device="F1", fault="stays tripped")
print(widget.state["cell"])
"""
MARKS = 'mark("found", globals(), finds_fault(pump, "{token}", 20, lab="lab07"))'


def test_a_notebook_that_is_run_again_without_hands_earns_the_same():
    """As a marker does it: a fresh kernel, the cells in their order, nobody at the bench."""
    token = token_of("F1", "stays tripped")
    begin, marks = BEGIN.format(token=token), MARKS.format(token=token)

    def run(*cells):
        notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in cells])
        NotebookClient(notebook, timeout=120, kernel_name="python3").execute()
        return notebook

    by_hand = run(begin, HANDS, "found = pump_hunt.answer()", marks)
    assert by_hand.cells[3].outputs[-1].data["text/plain"] == "20"
    line = "".join(out.text for out in by_hand.cells[1].outputs if out.output_type == "stream")
    assert line.startswith('found = pump_hunt.from_acts("""\npress S2: Q1 out, P1 dark\n')
    handed_in = run(begin, line, marks)
    assert handed_in.cells[2].outputs[-1].data["text/plain"] == by_hand.cells[3].outputs[-1].data["text/plain"]
    assert not any(out.get("name") == "stderr" for cell in handed_in.cells for out in cell.outputs)
    kept = "".join(out.get("data", {}).get("text/html", "") for out in by_hand.cells[0].outputs)
    assert "volts F1:96 – X2" in kept
    assert "You named F1: stays tripped." in kept
    before = json.dumps([handed_in.cells[0].outputs, handed_in.metadata])
    assert '"positions"' in before  # the state of the widget is in the metadata
    assert token not in before
    assert not any(word in before for word in ("has tripped", "StuckDevice", "You named"))
    nothing = run(begin, "found = pump_hunt.answer()", marks)
    assert nothing.cells[2].outputs[-1].data["text/plain"] in ("0", "0.0")
