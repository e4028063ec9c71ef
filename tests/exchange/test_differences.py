"""Where relays and scan differ: literal reports of circuits of the trade, and the claim "same" tried at random."""

import random

import pytest
from hypothesis import given, settings

from contract.circuits import CIRCUITS, build
from exchange.mill import wash_pump
from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Panel, tell
from rungbook.exchange import Scan, scan_differences
from rungbook.exchange.judge import LASTING, TRANSIENT
from strategies import ladders


def told(ladder: Ladder) -> dict[str, str]:
    return {one.kind: str(one).partition(": ")[2] for one in scan_differences(ladder).differences}


class TestReports:
    def test_the_wash_pump_does_the_same(self) -> None:
        report = scan_differences(wash_pump())
        assert (report.outcome, bool(report), report.first) == ("same", True, None)
        assert str(report) == "Relays and program do the same."

    def test_a_coil_written_in_rung_2_and_read_in_rung_1_is_seen_one_scan_later(self) -> None:  # 9.24, from memory
        ladder = Ladder()
        ladder.rung(NO("Q2"), coil("Q1"))
        ladder.rung(NO("S1"), coil("Q2"))
        report = scan_differences(ladder)
        assert [str(one) for one in report.differences] == [
            "late: Press S1. Program: Q1 pulls in one scan later, in scan 2. "
            "Relays: Q1 pulls in as soon as what stands before it has moved. "
            "Rung 1 reads Q2, and rung 2 writes it: rung 1 sees the change one scan later."
        ]
        assert (report.first.lasting, report.first.scans, report.lasting()) == (False, 2, ())

    def test_the_same_rungs_the_other_way_round_do_the_same(self) -> None:
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q2"))
        ladder.rung(NO("Q2"), coil("Q1"))
        assert scan_differences(ladder).outcome == "same"

    def test_a_chain_written_upside_down_takes_a_scan_for_each_rung(self) -> None:
        ladder = Ladder()
        for n in range(1, 5):
            ladder.rung(NO(f"K{n + 1}"), coil(f"K{n}"))
        ladder.rung(NO("S1"), coil("K5"))
        (late,) = scan_differences(ladder).differences
        assert (late.output, late.scans, late.scan) == ("K1", 5, "K1 pulls in 4 scans later, in scan 5")

    def test_a_jog_button_holds_in_the_program(self) -> None:
        """The textbook jog circuit rests on the button's NC contact closing too late to hold (common practice)."""
        assert told(build("jog without holding")) == {
            "race": "Press S3. Let S3 go. Program: Q1 holds in. Relays: Q1 drops out, or Q1 holds in. "
            "S3 opens one contact before it closes another, and between the two a way may be open long enough; "
            "in the program both change in the same scan."
        }

    def test_reversing_through_the_buttons_leaves_no_pause(self) -> None:
        found = told(build("reversing, buttons"))
        assert found["no pause"] == (
            "Press S2. Let S2 go. Press S3. Program: Q1 goes off and Q2 on with scan 1. "
            "Relays: Q2 gets voltage only when Q1 has dropped out and its NC contact has closed. "
            "The program leaves no pause: wire NC contacts of the contactors before each other's coils too."
        )

    def test_of_two_relays_that_race_the_program_takes_the_upper_one(self) -> None:
        found = told(build("reversing, electrical interlock"))
        assert found == {
            "race": "Press S1. Press S2. Press S3. Let S1 go. Program: Q1 pulls in. Relays: Q1 pulls in, or Q1 stays "
            "out. The relays move one after the other, whichever is quicker; the program asks its rungs from top to "
            "bottom, the same way each time."
        }

    def test_a_pulse_of_one_scan(self) -> None:
        found = told(build("lamp test"))
        assert found["pulse"] == (
            "Press S1. Press S2. Let S1 go. Program: P1 is off for one scan, and then as before. Relays: P1 stays lit, "
            "but perhaps for an instant that hangs on which relay is quicker. "
            "Rung 1 reads Q1, and rung 3 writes it: rung 1 sees the change one scan later."
        )

    def test_a_coil_that_opens_its_own_way_turns_round_with_every_scan(self) -> None:
        ladder = Ladder()
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        (endless,) = scan_differences(ladder).differences
        assert str(endless) == (
            "endless: Press S1. Program: K1 changes again and again, scan by scan. "
            "Relays: the coils may chatter without end. Rung 1 reads K1, which it writes itself: it sees the change "
            "one scan later. So each scan turns round what the one before has made."
        )
        assert endless.lasting

    def test_shows_itself_as_a_table(self) -> None:
        report = scan_differences(build("reversing with limits"))
        assert [line.split("  ")[0] for line in str(report).splitlines()[2:]] == ["no pause", "late", "race"]
        assert "<caption" in report._repr_html_()

    @pytest.mark.parametrize("name", CIRCUITS)
    def test_lasting_differences_are_told_apart_from_those_of_some_scans(self, name: str) -> None:
        if name.startswith("twelve"):
            return  # half a minute, and nothing held
        for one in scan_differences(build(name)).differences:
            assert one.kind in (LASTING if one.lasting else TRANSIENT)
            scan = Scan(build(name))
            scan.scan(50)
            for step in one.steps[:-1]:
                scan.move(step)
                scan.scan(50)
            scan.move(one.steps[-1])
            values = []
            for _ in range(50):
                scan.scan()
                values.append(scan.is_on(one.output))
            panel = Panel(build(name))
            ends = set()
            states = set(panel.rest(panel.start).states)
            for step in one.steps:
                states = {end for state in states for end in panel.after(step, state).states}
            ends = {panel.is_on(one.output, state) for state in states}
            if one.kind == "late":
                assert values[-1] in ends
                assert values[one.scans - 2] != values[one.scans - 1] == values[-1]
            if one.kind == "race":
                assert len(ends) == 2


class TestAtRandom:
    @settings(max_examples=150)
    @given(ladders(plain=True))
    def test_what_is_called_the_same_does_the_same_after_one_scan(self, ladder: Ladder) -> None:
        report = scan_differences(ladder)
        assert "other end" not in {one.kind for one in report.differences}
        if report.outcome != "same":
            return
        chance = random.Random(1)
        scan, panel = Scan(ladder), Panel(ladder)
        (state,) = panel.rest(panel.start).states
        scan.scan()
        for _ in range(30):
            step = chance.choice([step for step in panel.steps if panel.can(step, state)])
            (state,) = panel.after(step, state).states
            scan.move(step)
            scan.scan()
            shown = {tag: panel.is_on(tag, state) for tag in scan.outputs}
            assert {tag: scan.is_on(tag) for tag in scan.outputs} == shown

    @settings(max_examples=60)
    @given(ladders(plain=True))
    def test_the_sequence_of_a_late_output_is_the_shortest(self, ladder: Ladder) -> None:
        found = {one.kind: one for one in scan_differences(ladder).differences}
        late = found.get("late")
        if late is None or len(late.steps) < 2 or len(found) > 1:
            return
        panel = Panel(ladder)
        for step in panel.steps:
            if panel.can(step, panel.start):
                scan = Scan(ladder)
                scan.scan(10)
                scan.move(step)
                scan.scan()
                first = {tag: scan.is_on(tag) for tag in scan.outputs}
                scan.scan(10)
                assert {tag: scan.is_on(tag) for tag in scan.outputs} == first


class TestLimits:
    def test_more_states_than_the_limit_is_not_decided(self) -> None:
        report = scan_differences(build("master relay"), limit=5)
        assert (report.outcome, report.why) == ("not decided", "more than 5 states can be reached")
        assert str(report) == "Not decided: more than 5 states can be reached"

    def test_what_is_no_ladder(self) -> None:
        with pytest.raises(LadderError, match="exchange: writes a Ladder"):
            scan_differences("Q1")


def test_a_lamp_alone_is_an_output_too() -> None:
    ladder = Ladder()
    ladder.rung(NO("K1"), lamp("P1"))
    ladder.rung(NO("S1"), coil("K1"))
    (late,) = scan_differences(ladder).differences
    assert (late.output, tell(late.steps), late.scan) == ("P1", "Press S1.", "P1 lights one scan later, in scan 2")
