"""The checks of a review on circuits with timers and counters; what they find is done again on the timeline."""

import pytest

from proof.timed.circuits import star_delta, timer
from rungbook import NC, NO, Device, Ladder, coil, lamp, reset, run
from rungbook.behaviour import tell
from rungbook.grading.review import good_practice
from rungbook.proof.practice import PracticeFinding, review

STOP, START = Device("S1", colour="red", label="stop"), Device("S2", colour="green", label="start")
EMERGENCY = Device("S9", "emergency stop", "red")
MOTOR = (Device("F1"), Device("Q1"))
TWO_MOTORS = (*MOTOR, Device("F2"), Device("Q2"))
NOT_LOOKED_FOR = "not looked for: needless contacts: the circuit has a timer or a counter."


def ladder(devices, *rungs):
    made = Ladder("Cider mill", devices)
    for parts in rungs:
        made.rung(*parts)
    return made


def staggered(start="green", lens="green"):
    """The mill Q1, the press pump Q2 five seconds later; either overload relay stops both."""
    panel = (EMERGENCY, STOP, Device("S2", colour=start), *TWO_MOTORS, timer("K1", "on-delay 5 s"), Device("P1"))
    guard = NC("S9") & NC("F1") & NC("F2")
    return ladder(
        panel,
        (guard & NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"), coil("K1")),
        (NO("K1") & NO("Q1"), coil("Q2")),
        (NO("Q2"), lamp("P1", lens)),
    )


def run_on(*, emergency=True, holding=True):
    """The cellar fan Q2 runs on ten seconds after the mill Q1. holding: it does not come in again after a dip."""
    panel = (EMERGENCY, STOP, START, *TWO_MOTORS, timer("K1", "off-delay 10 s"))
    way = NC("F1") & NC("F2") & NO("K1")
    way = NC("S9") & way if emergency else way
    return ladder(
        panel,
        (NC("S9") & NC("F1") & NC("F2") & NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"), coil("K1")),
        (way & (NO("Q1") | NO("Q2")) if holding else way, coil("Q2")),
    )


def found(circuit, **options):
    return [(one.severity, one.check) for one in review(circuit, **options).findings]


def only(check, circuit, **options) -> PracticeFinding:
    ones = [one for one in review(circuit, **options).findings if one.check == check]
    assert len(ones) == 1, f"expected one {check!r}, found {found(circuit, **options)}"
    return ones[0]


def ends_with(circuit, finding, tag):
    """Position of `tag` when the sequence of `finding` is done on the timeline."""
    return run(circuit, tell(finding.steps))[-1].positions[tag]


class TestASoundCircuit:
    def test_a_staggered_start_has_no_finding_and_says_what_was_not_looked_for(self):
        seen = review(staggered())
        assert (str(seen), bool(seen)) == (f"Nothing found.\n{NOT_LOOKED_FOR}", True)
        assert "not looked for" in seen._repr_html_()

    def test_a_fan_that_runs_on_and_holds_itself_has_no_finding(self):
        assert str(review(run_on())) == f"Nothing found.\n{NOT_LOOKED_FOR}"

    def test_a_star_delta_starter_with_interlocks_keeps_its_contactors_apart(self):
        assert ("danger", "interlock") not in found(star_delta(), never_together=[("Q2", "Q3")])

    def test_a_timer_that_ran_before_the_reset_is_no_restart(self):
        times = timer("K1", "on-delay 5 s"), timer("K3", "on-delay 8 s")
        panel = (STOP, START, *TWO_MOTORS, Device("K2", "control relay"), *times, Device("P1"))
        once = ladder(  # Q2 starts when the time of K1 runs out, which a reset of F1 does not begin
            panel,
            (NC("S1") & NC("F2") & (NO("S2") | NO("K2")), coil("K2"), coil("K1")),
            (NO("K2") & NC("S1") & NC("F1") & NC("F2") & (NO("S2") | NO("Q1")), coil("Q1")),
            (NO("K1") & NC("F2"), coil("Q2")),
            (NC("F1"), coil("K3")),  # which the reset does begin
            (NO("K3"), lamp("P1")),
        )
        assert ("danger", "automatic restart") not in found(once)


class TestRestartByATimer:
    def test_a_motor_that_a_selector_and_a_timer_bring_in_after_the_supply_returns_is_told_of(self):
        panel = (Device("S1", "two-position selector"), *MOTOR, timer("K1", "on-delay 5 s"))
        circuit = ladder(panel, (NO("S1"), coil("K1")), (NO("K1") & NC("F1"), coil("Q1")))
        one, other = review(circuit).findings
        assert one.sentence.startswith("Q1 comes in by itself some time after the supply comes on, because a selector")
        assert one.shown_by == "Turn S1 on. Switch the supply off. Switch the supply on. Wait 6 s. Q1 pulls in."
        assert ends_with(circuit, one, "Q1") == "in"
        assert (one.severity, other.severity) == ("advice", "advice")
        assert other.shown_by == "Turn S1 on. Wait 6 s. Trip F1. Reset F1. Q1 pulls in."

    def test_a_motor_that_a_timer_alone_brings_in_is_a_danger(self):
        panel = (Device("S1", colour="red"), *MOTOR, timer("K1", "on-delay 5 s"))
        circuit = ladder(panel, (NC("S1") & NC("F1"), coil("K1")), (NO("K1") & NC("F1"), coil("Q1")))
        one, other = (one for one in review(circuit).findings if one.check == "automatic restart")
        assert (one.severity, one.shown_by) == ("danger", "Wait 6 s. Q1 pulls in.")
        assert "some time after the supply comes on, with nothing held or turned on" in one.sentence
        assert other.shown_by == "Trip F1. Reset F1. Wait 6 s. Q1 pulls in."
        assert ends_with(circuit, other, "Q1") == "in"

    def test_two_times_one_after_the_other_are_followed(self):
        panel = (Device("S1"), *MOTOR, timer("K1", "on-delay 5 s"), timer("K2", "on-delay 3 s"))
        circuit = ladder(panel, (NC("S1"), coil("K1")), (NO("K1"), coil("K2")), (NO("K2") & NC("F1"), coil("Q1")))
        one = next(one for one in review(circuit).findings if one.check == "automatic restart")
        assert one.shown_by == "Wait 9 s. Q1 pulls in."
        assert ends_with(circuit, one, "Q1") == "in"

    def test_unlatching_the_emergency_stop_that_starts_a_timer_is_a_danger(self):
        panel = (EMERGENCY, *MOTOR, timer("K1", "on-delay 5 s"))
        circuit = ladder(panel, (NC("S9"), coil("K1")), (NC("S9") & NO("K1") & NC("F1"), coil("Q1")))
        one = only("emergency stop restart", circuit)
        assert one.sentence.startswith("Q1 comes in by itself some time after S9 is unlatched")
        assert one.shown_by == "Strike S9. Unlatch S9. Wait 6 s. Q1 pulls in."
        assert ends_with(circuit, one, "Q1") == "in"

    def test_a_fan_that_comes_in_again_in_its_run_on_is_advice(self):
        ones = [one for one in review(run_on(holding=False)).findings if "supply" in one.sentence]
        assert [one.severity for one in ones] == ["advice"]
        assert "because K1 has not run out: run-on" in ones[0].sentence
        assert ones[0].shown_by == "Press S2. Let S2 go. Switch the supply off. Switch the supply on. Q2 pulls in."


class TestWhatMustStop:
    def test_an_emergency_stop_that_leaves_the_fan_running_on_is_a_danger(self):
        circuit = run_on(emergency=False)
        one = only("emergency stop", circuit)
        assert (one.severity, one.shown_by) == ("danger", "Press S2. Strike S9. Q2 holds in.")
        assert one.sentence == "Q2 is in while S9 is latched; an emergency stop drops out everything."
        assert ends_with(circuit, one, "Q2") == "in"

    def test_star_and_delta_without_interlock_meet_when_the_time_runs_out(self):
        one = only("interlock", star_delta(interlock=False), never_together=[("Q2", "Q3")])
        assert one.shown_by == (
            "Press S2. Wait 5 s. For a moment, while the relays change over, Q2 and Q3 are both in."
        )

    def test_the_motor_that_no_overload_contact_stops_is_named_with_its_wait(self):
        one = next(one for one in review(star_delta()).findings if one.place.startswith("Q3"))
        assert (one.check, one.shown_by) == ("overload contact", "Press S2. Wait 5 s. Q3 pulls in.")

    def test_a_stop_that_closes_is_a_fault_with_a_timer_too(self):
        panel = (STOP, START, *MOTOR, Device("K2", "control relay"), timer("K1", "on-delay 5 s"), Device("P1"))
        circuit = ladder(
            panel,
            (NO("S1"), coil("K2")),
            (NC("K2") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"), coil("K1")),
            (NO("K1"), lamp("P1", "green")),
        )
        one = only("stop by opening", circuit)
        assert (one.severity, one.sentence) == (
            "fault",
            "S1 (stop) stops Q1 by closing a contact; with a broken wire it stops nothing.",
        )


class TestColours:
    def test_a_red_start_button_and_a_red_running_lamp_are_faults(self):
        seen = review(staggered(start="red", lens="red"))
        assert [(one.check, one.shown_by) for one in seen.findings] == [
            ("button colour", "Press S2. Q1 pulls in."),
            ("lamp colour", "Press S2. Wait 6 s. P1 lights."),
        ]


class TestWhatIsLeft:
    def test_a_contact_of_the_coil_beside_one_of_the_time_is_not_doubled(self):
        panel = (Device("S1"), timer("K1", "off-delay 5 s"), Device("P1"))
        quick, slow = NO("K1", "13-14"), NO("K1", "17-18")
        circuit = ladder(panel, (NO("S1"), coil("K1")), (quick & slow, lamp("P1")))
        assert "doubled contact" not in [check for _, check in found(circuit)]

    def test_too_many_states_end_in_not_decided(self):
        seen = review(staggered(), limit=3)
        assert not seen
        assert str(seen) == (
            "Nothing found.\n"
            "not decided: everything about behaviour: more than 3 states can be reached; an instructor will look."
        )

    def test_a_counter_is_walked_through_all_its_values(self):
        panel = (STOP, START, *MOTOR, Device("B1"), Device("S3"), Device("K5", "counter", setting="up 3"), Device("P1"))
        circuit = ladder(
            panel,
            (NO("B1"), coil("K5")),
            (NO("S3"), reset("K5")),
            (NC("K5") & NC("S1") & NC("F1") & (NO("S2") | NO("Q1")), coil("Q1")),
            (NO("K5"), lamp("P1")),
        )
        assert [one for one in found(circuit) if one[0] != "advice"] == []


@pytest.mark.parametrize(
    ("circuit", "earned", "because"),
    [
        (staggered(), 1, ""),
        (run_on(), 1, ""),
        (run_on(emergency=False), 0, "Q2 is in while S9 is latched"),
        (staggered(start="red"), 0, "S2 works as a start button and is red"),
    ],
)
def test_good_practice_marks_a_ladder_with_a_timer(circuit, earned, because):
    judged = good_practice(10).judge(circuit, ())
    assert (judged.earned, judged.undecided) == (earned, False)
    assert judged.because.startswith(because)


def test_good_practice_that_counts_advice_leaves_needless_contacts_to_a_person():
    assert good_practice(10, up_to="advice").judge(staggered(), ()).undecided
    assert good_practice(10, up_to="advice", leave_out=["needless contact"]).judge(staggered(), ()).met
