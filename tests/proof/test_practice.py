"""Each check of a review fires on a minimal bad circuit, and a sound circuit has no findings."""

import pytest
from hypothesis import given, settings

from oracle import Bench, walk
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Board
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact, Load, Wired, wire_numbers
from rungbook.proof.practice import review
from rungbook.proof.practice.needless import changed
from strategies import ladders

STOP, START = Device("S1", colour="red", label="stop"), Device("S2", colour="green", label="start")
REST = (Device("F1"), Device("Q1"))


def ladder(*rungs, devices=None):
    made = Ladder("Wash pump", devices)
    for parts in rungs:
        made.rung(*parts)
    return made


def holding(devices=None, *more):
    return ladder((NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")), *more, devices=devices)


def found(circuit, **options):
    return [(one.severity, one.check) for one in review(circuit, **options).findings]


def the(check, circuit, **options):
    ones = [one for one in review(circuit, **options).findings if one.check == check]
    assert len(ones) == 1, f"expected one {check!r}, found {found(circuit, **options)}"
    return ones[0]


def reversing(interlock=True):
    locks = (NC("Q2"), NC("Q1")) if interlock else (NC("F1"), NC("F1"))
    return ladder(
        (NC("S1") & (NO("S2") | NO("Q1")) & locks[0] & NC("F1"), coil("Q1")),
        (NC("S1") & (NO("S3") | NO("Q2")) & locks[1] & NC("F1"), coil("Q2")),
    )


class TestASoundCircuit:
    def test_a_holding_circuit_with_a_running_lamp_has_no_finding(self):
        panel = (STOP, START, Device("S9", "emergency stop", "red"), *REST, Device("P1"), Device("M1"))
        way = NC("S9") & NC("S1") & (NO("S2") | NO("Q1")) & NC("F1")
        seen = review(ladder((way, coil("Q1")), (NO("Q1"), lamp("P1", "green")), devices=panel))
        assert (str(seen), bool(seen)) == ("Nothing found.", True)

    def test_a_reversing_circuit_with_interlock_is_sound_and_told_of_its_race(self):
        seen = review(reversing(), never_together=[("Q1", "Q2")])
        assert [(one.severity, one.check) for one in seen.findings] == [("advice", "race")]
        assert seen

    def test_two_wire_control_of_a_fan_is_sound_and_told_where_it_is_wanted(self):
        fan = ladder((NO("S1") & NC("F1"), coil("Q1")), devices=(Device("S1", "two-position selector"), *REST))
        assert found(fan) == [("advice", "automatic restart"), ("advice", "automatic restart")]
        assert review(fan)
        assert "two-wire control. It is wanted where a fan" in review(fan).findings[0].sentence


class TestColoursFollowWhatAButtonDoes:
    def test_a_red_start_button_is_a_fault_whatever_its_plate_says(self):
        one = the("button colour", holding((STOP, Device("S2", colour="red", label="stop"), *REST)))
        assert str(one) == (
            "fault: S2 (stop) works as a start button and is red; a start button must never be red. "
            "Press S2. Q1 pulls in. Where: NO S2 (rung 1, wires 3–4). Do: Make S2 white, grey, black or green. "
            "Rule: IEC 60204-1, 10.2.1; NFPA 79, 10.2 (from memory)."
        )

    def test_a_green_stop_button_is_a_fault(self):
        one = the("button colour", holding((Device("S1", colour="green"), START, *REST)))
        assert (one.severity, one.shown_by) == ("fault", "Press S2. Press S1. Q1 drops out.")

    def test_a_yellow_start_button_is_advice(self):
        assert the("button colour", holding((STOP, Device("S2", colour="yellow"), *REST))).severity == "advice"

    def test_a_green_button_under_which_it_runs_only_while_held_is_a_fault(self):
        jog = ladder((NO("S2") & NC("F1"), coil("Q1")), devices=(START, *REST))
        assert the("button colour", jog).sentence.startswith("S2 (start) works as a hold-to-run button and is green")

    def test_a_green_reset_button_is_a_fault_and_a_blue_one_is_none(self):
        def alarm(colour):
            return ladder(
                (NC("S3") & (NO("F1") | NO("K1")), coil("K1")),
                (NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")),
                devices=(STOP, START, Device("S3", colour=colour), *REST, Device("K1")),
            )

        assert the("button colour", alarm("green")).sentence.startswith("S3 works as a reset button and is green")
        assert found(alarm("blue")) == []

    def test_an_emergency_stop_that_is_not_red_is_a_fault(self):
        way = NC("S9") & NC("S1") & (NO("S2") | NO("Q1")) & NC("F1")
        circuit = ladder((way, coil("Q1")), devices=(STOP, START, Device("S9", "emergency stop", "yellow"), *REST))
        assert the("button colour", circuit).sentence == (
            "S9 is an emergency stop and is yellow; an emergency stop is red."
        )


class TestColoursFollowWhatALampTells:
    @pytest.mark.parametrize(
        ("contact", "colour", "told"),
        [
            (NO("Q1"), "red", "fault: running (lit while Q1 is in) and is red; red means danger or fault."),
            (NC("Q1"), "red", "fault: stopped (lit while Q1 is out) and is red; red means danger or fault."),
            (NO("Q1"), "yellow", "advice: running (lit while Q1 is in) and is yellow; yellow means abnormal."),
            (
                NO("F1"),
                "green",
                "fault: a fault (lit only while something is tripped or latched) and is green; green means normal.",
            ),
        ],
    )
    def test_a_lamp_of_the_wrong_colour_is_named_with_its_meaning(self, contact, colour, told):
        one = the("lamp colour", holding(None, (contact, lamp("P1", colour))))
        severity, rest = told.split(": ", 1)
        assert (one.severity, one.sentence) == (severity, f"P1 tells of {rest}")

    @pytest.mark.parametrize(("contact", "colour"), [(NO("Q1"), "green"), (NC("Q1"), "white"), (NO("F1"), "red")])
    def test_a_lamp_of_the_right_colour_is_not_told_of(self, contact, colour):
        assert found(holding(None, (contact, lamp("P1", colour)))) == []


class TestStops:
    def test_a_stop_through_a_relay_that_must_close_is_a_fault(self):
        circuit = ladder((NO("S1"), coil("K1")), ((NO("S2") | NO("Q1")) & NC("K1") & NC("F1"), coil("Q1")))
        one = the("stop by opening", circuit)
        assert (one.severity, one.place) == ("fault", "NO S1 (rung 1, wires 1–3)")
        assert one.shown_by == "Press S1. Press S2. With a wire of S1 broken, Q1 pulls in."

    def test_a_stop_through_a_relay_that_drops_out_is_none(self):
        circuit = ladder((NC("S1"), coil("K1")), ((NO("S2") | NO("Q1")) & NO("K1") & NC("F1"), coil("Q1")))
        assert "stop by opening" not in [check for _, check in found(circuit)]

    def test_an_emergency_stop_that_leaves_a_contactor_in_is_a_danger(self):
        panel = (STOP, START, Device("S9", "emergency stop", "red"), *REST)
        one = the("emergency stop", holding(panel))
        assert (one.severity, one.sentence) == (
            "danger",
            "Q1 is in while S9 is latched; an emergency stop drops out everything.",
        )
        assert one.shown_by == "Press S2. Strike S9. Q1 holds in."

    def test_unlatching_that_starts_is_a_danger(self):
        panel = (Device("S1", "two-position selector"), Device("S9", "emergency stop", "red"), *REST)
        one = the("emergency stop restart", ladder((NC("S9") & NO("S1") & NC("F1"), coil("Q1")), devices=panel))
        assert (one.severity, one.shown_by) == ("danger", "Strike S9. Turn S1 on. Unlatch S9. Q1 pulls in.")

    def test_a_coil_that_comes_in_with_the_supply_is_a_danger(self):
        one = review(ladder((NC("S1") & NC("F1"), coil("Q1")))).findings[0]
        assert (one.severity, one.check, one.shown_by) == (
            "danger",
            "automatic restart",
            "Nothing is touched. Q1 is in.",
        )

    def test_a_coil_that_comes_in_after_a_reset_is_a_danger(self):
        circuit = ladder((NC("S1") & (NO("S2") | NO("K1")), coil("K1")), (NO("K1") & NC("F1"), coil("Q1")))
        one = the("automatic restart", circuit)
        assert (one.severity, one.shown_by) == ("danger", "Press S2. Let S2 go. Trip F1. Reset F1. Q1 pulls in.")

    def test_the_contactor_without_an_overload_contact_is_named(self):
        circuit = holding(None, (NC("S1") & (NO("S3") | NO("Q2")), coil("Q2")))
        one = the("overload contact", circuit)
        assert (one.severity, one.sentence) == (
            "fault",
            "Q2 has no overload contact in its circuit: it stays in while F1 is tripped.",
        )
        assert one.place == "Q2 (rung 2, wires 7–2)"


class TestInterlocks:
    def test_two_contactors_in_together_are_a_danger_when_the_exercise_says_so(self):
        one = the("interlock", reversing(interlock=False), never_together=[("Q1", "Q2")])
        assert (one.severity, one.shown_by) == ("danger", "Press S2. Press S3. Q1 and Q2 are both in.")
        assert "interlock" not in [check for _, check in found(reversing(interlock=False))]

    def test_an_interlock_by_buttons_alone_fails_for_a_moment(self):
        circuit = ladder(
            (NC("S1") & NC("S3") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1")),
            (NC("S1") & NC("S2") & (NO("S3") | NO("Q2")) & NC("F1"), coil("Q2")),
        )
        one = the("interlock", circuit, never_together=[("Q1", "Q2")])
        assert one.seen == "For a moment, while the relays change over, Q1 and Q2 are both in."

    def test_a_pair_that_is_not_there_is_refused(self):
        with pytest.raises(LadderError, match="takes pairs of coils of this circuit"):
            review(holding(), never_together=[("Q1", "Q7")])


class TestWhatTheCircuitCouldDoWithout:
    def test_a_needless_contact_is_advice_and_named_with_its_wires(self):
        circuit = ladder((NC("S1") & (NO("S2") | (NO("Q1") & NC("S1"))) & NC("F1"), coil("Q1")))
        one = the("needless contact", circuit)
        assert (one.severity, one.place) == ("advice", "NC S1 (rung 1, wires 5–4)")

    def test_a_needless_contact_that_rungs_share_is_told_once(self):
        head = lambda: NC("S1", "21-22") & NO("K1")  # noqa: E731
        circuit = ladder((NC("S1") & NO("S2"), coil("K1")), (head(), lamp("P1")), (head() & NO("S3"), lamp("P2")))
        assert the("needless contact", circuit).place == "NC S1 (rung 2, wires 1–5)"

    def test_a_guard_is_no_needless_contact(self):
        circuit = ladder((NC("S1") & (NO("S2") | NO("K1")) & NC("F1"), coil("K1")), (NO("K1") & NC("F1"), coil("Q1")))
        assert found(circuit) == []

    def test_a_contact_that_stands_twice_is_told_once(self):
        circuit = ladder((NC("S1") & (NO("S2") | NO("Q1") | NO("S2")) & NC("F1"), coil("Q1")))
        assert the("doubled contact", circuit).sentence == "NO S2 stands twice, in parallel with itself."
        assert found(circuit) == [("advice", "doubled contact")]

    def test_an_unused_device_is_advice_and_a_motor_is_none(self):
        one = the("unused device", holding((STOP, START, *REST, Device("S5", label="spare"), Device("M1"))))
        assert (one.severity, one.sentence) == ("advice", "S5 (spare) is on the panel and on no rung.")

    def test_lamps_that_say_the_same_are_advice(self):
        circuit = holding(None, (NO("Q1"), lamp("P1", "green")), (NO("Q1"), lamp("P2", "white")))
        assert the("twin lamps", circuit).sentence == "P2 says the same as P1 in every case."

    def test_a_lamp_that_is_never_lit_is_a_fault(self):
        one = the("never on", holding(None, (NO("Q1") & NC("Q1"), lamp("P1"))))
        assert (one.severity, one.sentence) == ("fault", "P1 is never lit, whatever is done.")


class TestWired:
    def test_a_contact_between_a_coil_and_the_grounded_conductor_is_a_fault(self):
        def board(swapped):
            overload, start, load = Contact("F1", "NC"), Contact("S2", "NO"), Load("Q1", "coil")
            after = (overload, load) if swapped is False else (load, overload)
            items = (Wired(start, LEFT_RAIL, 3), Wired(after[0], 3, 4), Wired(after[1], 4, RIGHT_RAIL))
            return Board("Wash pump", items, {tag: Device(tag) for tag in ("S2", "F1", "Q1")})

        one = the("grounded conductor", board(swapped=True))
        assert (one.severity, one.place) == ("fault", "Q1 (wires 3–4)")
        assert found(board(swapped=False)) == []


class TestLimits:
    def test_too_many_states_end_in_not_decided_and_never_in_true(self):
        seen = review(holding(), limit=3)
        assert not seen
        assert str(seen).endswith(
            "not decided: everything about behaviour: more than 3 states can be reached; an instructor will look."
        )

    def test_chatter_is_told_and_does_not_hang(self):
        assert ("fault", "chatter") in found(ladder((NC("K1") & NO("S1"), coil("K1"))))

    def test_what_is_no_circuit_is_refused(self):
        with pytest.raises(LadderError, match="works on a Ladder or a Board"):
            review("Q1")

    def test_the_page_shows_a_table_with_escaped_text(self):
        page = review(holding((STOP, START, *REST, Device("S5", label="<b>"))))._repr_html_()
        assert "Wash pump: review of good practice" in page
        assert "S5 (&lt;b&gt;) is on the panel" in page


@given(ladders())
def test_no_valid_ladder_makes_a_review_raise_and_worst_comes_first(circuit):
    order = [("danger", "fault", "advice").index(one.severity) for one in review(circuit, limit=2000).findings]
    assert order == sorted(order)
    assert str(review(circuit, limit=2000)) == str(review(circuit, limit=2000))


@settings(max_examples=150)
@given(ladders(plain=True))
def test_without_a_needless_contact_the_oracle_walks_the_same_states(circuit):
    places = [one.place for one in review(circuit).findings if one.check == "needless contact"]
    if not places:
        return
    operated = circuit.inputs()
    for rung_no, rung in enumerate(wire_numbers(circuit), 1):
        for wired in rung.contacts:
            spot = f"{wired.item.kind} {wired.item.device} (rung {rung_no}, wires {wired.left}–{wired.right})"
            if spot not in places:
                continue
            twins = [c for c in rung.contacts if (c.left, c.right, c.item) == (wired.left, wired.right, wired.item)]
            if len(twins) > 1:
                continue
            same = [
                sees(circuit, operated) == sees(changed(circuit, {id(wired.item): v}), operated) for v in (True, False)
            ]
            assert any(same), f"{spot} is not needless"


def sees(circuit, operated):
    """Every step of the oracle's walk, and which loads are on after it."""
    bench = Bench(circuit, operated)
    loads = (*circuit.coils(), *circuit.lamps())
    return {(b, d, a, a and tuple(bench.on(tag, a) for tag in loads)) for _, b, d, a in walk(bench)}
