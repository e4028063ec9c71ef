import json
import pickle

import pytest

from hunting import token_of, wash_case, wash_pump
from rungbook import NO, Ladder, LadderError, coil
from rungbook.behaviour import Board
from rungbook.bench import FaultHunt
from rungbook.circuit import direct
from rungbook.grading import finds_fault, mark
from rungbook.kit import TRAINING_KIT


def hunt(device="F1", words="stays tripped", **more):
    return FaultHunt(wash_pump(), token_of(device, words), lab="lab07", **more)


class TestHands:
    def test_a_hunt_from_the_first_order_to_the_answer(self):
        found = hunt()
        assert str(found.see()) == "look: Q1 out, P1 dark"
        assert str(found.do("press S2")) == "press S2: Q1 out, P1 dark"
        assert str(found.volts("S2:14", "X2")) == "volts S2:14 – X2: 120.0 V"
        assert str(found.volts("wire 5 at F1", "X2")) == "volts F1:96 – X2: 0.0 V"
        assert found.do("let S2 go, switch the supply off").shown == "Q1 out, P1 dark"
        assert found.lock_out().shown == "Q1 out, P1 dark, supply locked out"
        assert [row.shown for row in found.prove_dead()] == ["120.0 V", "0.0 V", "120.0 V"]
        assert found.continuity("S2:14", "F1:95").shown == "0.0 ohm, beeps"
        assert str(found.ohms("F1:95", "F1:96")) == "ohms F1:95 – F1:96: OL"
        found.claim("F1", "contact 95-96 stays open")
        answer = found.answer()
        assert json.loads(json.dumps(answer)) == answer
        assert set(answer) == {"hunt", "token", "acts", "claim"}
        assert [act["n"] for act in answer["acts"]] == list(range(1, 13))
        assert answer["acts"][-1] == {"n": 12, "act": "ohms", "leads": ["F1:95", "F1:96"], "shown": "OL"}
        assert answer["claim"] == {"device": "F1", "fault": "contact 95-96 stays open"}
        assert repr(found) == (
            "Fault hunt on 'Wash pump': 12 acts, 4 readings used, named F1: contact 95-96 stays open"
        )

    def test_what_can_be_named_and_measured_is_listed(self):
        found = hunt()
        assert found.terminals()[:4] == ("X1", "X2", "S1:11", "S1:12")
        assert found.faults_of()[:3] == ("S1", "S2", "Q1")
        assert found.faults_of("P1") == ("lamp is burnt out", "wire at X2 is open", "wire at X1 is open")

    def test_orders_before_one_that_cannot_be_given_are_done(self):
        found = hunt()
        with pytest.raises(LadderError, match="cannot be given now"):
            found.do("press S2, press S2")
        assert [act["what"] for act in found.answer()["acts"]] == ["press S2"]

    @pytest.mark.parametrize("orders", ["", " , ", None, 5])
    def test_an_order_is_text(self, orders):
        with pytest.raises(LadderError, match="Order: is text"):
            hunt().do(orders)

    def test_after_the_claim_it_is_over(self):
        found = hunt()
        found.claim("Q1", "coil is open")
        for act in (found.see, found.lock_out, found.as_found, found.source, found.prove_dead):
            with pytest.raises(LadderError, match="is over, as Q1: coil is open was named"):
                act()
        with pytest.raises(LadderError, match="is over"):
            found.claim("F1", "stays tripped")
        with pytest.raises(LadderError, match="is over"):
            found.do("press S2")

    def test_a_claim_that_names_no_fault_leaves_it_open(self):
        found = hunt()
        with pytest.raises(LadderError, match="no such fault here"):
            found.claim("Q1", "is broken")
        assert found.answer()["claim"] is None
        found.see()

    def test_the_budget_is_kept(self):
        found = hunt(budget=1)
        found.volts("X1", "X2")
        with pytest.raises(LadderError, match="all 1 readings are used up"):
            found.volts("X1", "X2")

    @pytest.mark.parametrize("budget", [0, -1, 501, True, 2.5, "5"])
    def test_a_budget_is_a_number_of_readings(self, budget):
        with pytest.raises(LadderError, match="a budget is a whole number of readings from 1 to 500"):
            hunt(budget=budget)

    def test_a_token_of_another_circuit_or_lab_is_refused(self):
        fan = Ladder("Fan")
        fan.rung(NO("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="none of this lab"):
            FaultHunt(wash_pump(), token_of("F1", "stays tripped"), lab="lab08")
        with pytest.raises(LadderError, match="belongs to another circuit"):
            FaultHunt(fan, token_of("F1", "stays tripped"), lab="lab07")
        with pytest.raises(LadderError, match="Hunt: is made on a Ladder or a Board"):
            FaultHunt("pump", token_of("F1", "stays tripped"), lab="lab07")

    def test_a_board_a_kit_and_a_motor(self):
        board = Board.of(wash_pump())
        assert FaultHunt(board, token_of("F1", "stays tripped"), lab="lab07").see().shown == "Q1 out, P1 dark"
        moved = hunt("Q1", "contact 23-24 stays open", power=direct())
        assert moved.do("press S2").shown == "Q1 in, P1 dark, M1 runs forwards"
        with pytest.raises(LadderError, match="has no contact 23-24"):
            hunt(kit=TRAINING_KIT)


FAULT_WORDS = ("tripped", "does not close", "contact 95", "stays", "F1 ", "StuckDevice", "HeldContact", "kind=")


class TestHidden:
    """The fault is in no text, no attribute, and nothing that can be stored."""

    @pytest.fixture
    def found(self):
        found = hunt()
        found.do("press S2")
        found.volts("F1:96", "X2")
        return found

    def test_token_repr_and_names_say_nothing(self, found):
        told = [token_of("F1", "stays tripped"), repr(found), str(found), *dir(found)]
        for text in told:
            assert not any(word.casefold() in text.casefold() for word in FAULT_WORDS), text

    def test_it_has_no_dictionary(self, found):
        with pytest.raises(TypeError, match="__dict__"):
            vars(found)
        assert [name for name in dir(found) if not name.startswith("_")] == sorted(
            [
                "acts",
                "answer",
                "as_found",
                "claim",
                "continuity",
                "do",
                "faults_of",
                "from_acts",
                "lock_out",
                "ohms",
                "page",
                "prove_dead",
                "see",
                "source",
                "take_lock_off",
                "terminals",
                "volts",
            ]
        )

    def test_no_attribute_shows_it(self, found):
        for name in dir(found):
            if name not in ("__class__", "__init_subclass__", "__subclasshook__", "__doc__", "__module__"):
                shown = repr(getattr(found, name))
                assert not any(word in shown for word in ("tripped", "does not close", "Stuck")), name

    def test_the_answer_holds_acts_and_token_only(self, found):
        text = json.dumps(found.answer())
        assert not any(word in text for word in ("tripped", "stays", "does not close"))

    def test_it_is_not_pickled(self, found):
        for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
            with pytest.raises(LadderError, match=r"keep hunt.answer\(\)"):
                pickle.dumps(found, protocol)

    def test_an_error_does_not_tell_it(self, found):
        for wrong in (lambda: found.do("reset F1"), lambda: found.volts("F1:99", "X2"), lambda: found.claim("F1", "")):
            with pytest.raises(LadderError) as problem:
                wrong()
            text = str(problem.value).replace("stays tripped", "")  # every fault of F1 is a choice, as it always is
            assert "tripped" not in text.replace("trip F1", "")

    def test_two_hunts_do_not_disturb_each_other(self):
        one, other = hunt(), hunt("supply", "fuse is blown")
        one.do("press S2")
        assert one.volts("X1", "X2").shown == "120.0 V"
        assert other.volts("X1", "X2").shown == "0.0 V"
        assert len(other.answer()["acts"]) == 1


class TestReproducible:
    def test_the_marker_sees_what_the_student_saw(self, capsys):
        found = hunt()
        found.do("press S2")
        found.volts("S2:14", "X2")
        found.volts("F1:95", "X2")
        found.volts("F1:96", "X2")
        found.claim("F1", "stays tripped")
        ask = finds_fault(wash_pump(), token_of("F1", "stays tripped"), 20, lab="lab07")
        assert mark("found", {"found": found.answer()}, ask) == 20
        assert "found: 20 of 20 points" in capsys.readouterr().out


class TestActsAsText:
    TEXT = """
        press S2: Q1 out, P1 dark
        volts S2:14 – X2: 120.0 V
        volts F1:95 – X2: 120.0 V
        volts F1:96 – X2: 0.0 V
        let S2 go: Q1 out, P1 dark
        switch the supply off: Q1 out, P1 dark
        lock out: Q1 out, P1 dark, supply locked out
        volts at the live source: 120.0 V
        volts X1 – X2: 0.0 V
        volts at the live source: 120.0 V
        continuity F1:95 – F1:96: OL
        take the lock off: Q1 out, P1 dark
        as found: Q1 out, P1 dark
        look: Q1 out, P1 dark
        claim F1: stays tripped
    """

    def test_it_does_the_acts_again_and_gives_the_answer(self, capsys):
        ask = finds_fault(wash_pump(), token_of("F1", "stays tripped"), 20, lab="lab07")
        assert mark("found", {"found": hunt().from_acts(self.TEXT)}, ask) == 20
        assert "found: 20 of 20 points" in capsys.readouterr().out

    def test_what_was_done_by_hand_is_written_and_read_back(self):
        found = hunt()
        found.do("press S2, let S2 go, switch the supply off")
        found.lock_out()
        found.prove_dead()
        found.ohms("Q1:A1", "Q1:A2")
        found.continuity("S1:11", "S1:12")
        found.take_lock_off()
        found.as_found()
        found.see()
        found.claim("F1", "contact 95-96 stays open")
        assert hunt().from_acts(found.acts()) == found.answer()
        assert found.acts().splitlines()[-1] == "claim F1: contact 95-96 stays open"

    def test_it_is_independent_of_what_hands_have_done_and_leaves_it_alone(self):
        found = hunt()
        found.do("press S2")
        before = found.answer()
        assert found.from_acts(self.TEXT) == hunt().from_acts(self.TEXT)
        assert found.answer() == before

    def test_without_a_claim_nothing_is_named(self):
        assert hunt().from_acts("press S2: Q1 out, P1 dark")["claim"] is None
        assert hunt().from_acts("") == hunt().answer()

    def test_every_fault_can_be_written_as_a_claim(self):
        case = wash_case()
        for device, words in case.claims.named:
            answer = hunt().from_acts(f"claim {device}: {words}")
            assert answer["claim"] == {"device": device, "fault": words}

    def test_the_text_of_another_hunt_is_refused(self):
        with pytest.raises(LadderError, match=r"those of another hunt.*Act 2, volts X1 – X2.*this board shows '0.0 V'"):
            hunt("supply", "fuse is blown").from_acts("look: Q1 out, P1 dark\nvolts X1 – X2: 120.0 V")

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            (None, "Acts: are text"),
            ("press S2", "Acts, line 1: is what was done"),
            ("press S9: Q1 in", "Acts, line 1: Order: no such order here"),
            ("look: Q1 out, P1 dark\nvolts S9:1 – X2: 0.0 V", "Acts, line 2: Lead: no such terminal here"),
            ("claim F1: stays tripped\nlook: Q1 out", "Acts, line 2: nothing follows the claim"),
            ("claim F1: is tired", "Claim on F1: no such fault here"),
        ],
    )
    def test_a_line_that_cannot_be_read_is_named(self, text, told):
        with pytest.raises(LadderError, match=told):
            hunt().from_acts(text)

    def test_the_budget_holds_for_it_too(self):
        text = "volts X1 – X2: 120.0 V\n" * 2
        with pytest.raises(LadderError, match="line 2: Hunt: all 1 readings are used up"):
            hunt(budget=1).from_acts(text)


class TestPage:
    def test_it_comes_after_the_claim(self):
        with pytest.raises(LadderError, match="name the fault first"):
            hunt().page()
        with pytest.raises(LadderError, match="name the fault first"):
            hunt().page(hunt().answer())

    def test_of_an_answer_is_that_of_its_acts(self):
        found = hunt()
        found.do("press S2")
        found.volts("F1:96", "X2")
        found.claim("F1", "stays tripped")
        fresh = hunt()
        assert fresh.page(fresh.from_acts(found.acts())).rows() == found.page().rows()
        assert fresh.answer()["acts"] == []

    def test_it_says_what_each_act_excluded_and_what_would_have_been_better(self):
        found = hunt()
        found.do("press S2")
        found.volts("X1", "X2")
        found.volts("S2:14", "X2")
        found.volts("F1:95", "X2")
        found.volts("F1:96", "X2")
        found.volts("F1:96", "X1")
        found.claim("F1", "stays tripped")
        page = found.page()
        assert page.rows() == [
            ("1", "press S2", "Q1 out, P1 dark", "13", "19", ""),
            (
                "2",
                "volts X1 – X2",
                "120.0 V",
                "6",
                "13",
                "ohms S2:13 – X2 (switch the supply off, press S2): at most 8 left",
            ),
            ("3", "volts S2:14 – X2", "120.0 V", "6", "7", "as good as any"),
            ("4", "volts F1:95 – X2", "120.0 V", "2", "5", "volts F1:96 – X1 (at rest): at most 4 left"),
            ("5", "volts F1:96 – X2", "0.0 V", "4", "1: F1: contact 95-96 stays open", "as good as any"),
            ("6", "volts F1:96 – X1", "120.0 V", "", "", "none: nothing was left to divide"),
        ]
        assert page.summary() == (
            "You named F1: stays tripped.",
            "Your readings leave nothing else.",
            "Left at the end: F1: contact 95-96 stays open, or F1: stays tripped.",
            "Readings used: 5. The best strategy, once everything has been operated and looked at, needs 4 at worst.",
        )

    def test_a_claim_that_the_readings_exclude_and_one_that_they_leave_open(self):
        found = hunt()
        found.do("press S2")
        found.claim("P1", "lamp is burnt out")
        assert found.page().summary()[1] == "Your readings exclude that."
        found = hunt()
        found.do("press S2")
        found.claim("F1", "wire at 95 is open")
        assert found.page().summary()[1] == "Your readings do not exclude it, nor 18 other faults."

    def test_unsafe_readings_are_named(self):
        found = hunt()
        found.ohms("S1:11", "S1:12")
        found.do("switch the supply off")
        found.ohms("S1:11", "S1:12")
        found.claim("F1", "stays tripped")
        assert found.page().summary()[-2:] == (
            "Resistance on a live circuit: act 1.",
            "Resistance before the circuit was proved dead: act 3.",
        )

    def test_it_shows_itself_as_text_and_as_html(self):
        found = hunt()
        found.do("press S2")
        found.claim("F1", "stays tripped")
        page = found.page()
        assert str(page).startswith(
            "32 faults to tell apart at the start.\n   done      shown            excluded  left"
        )
        html = page._repr_html_()
        assert '<th scope="col"' in html
        assert "Wash pump: 32 faults to tell apart at the start</caption>" in html
        assert "<p>You named F1: stays tripped.</p>" in html

    def test_no_act_at_all_gives_a_page(self):
        found = hunt()
        found.claim("F1", "stays tripped")
        assert found.page().rows() == []
        assert "nor 31 other faults" in str(found.page())


def test_every_fault_that_a_token_can_hide_is_the_one_it_opens_to():
    case = wash_case()
    for group in case.evidence.classes:
        for fault in group:
            assert case.hidden(case.token(fault)) is fault
