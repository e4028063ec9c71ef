"""Timer relays on the timeline: traces as literal (milliseconds, device, state) of the lamp on the timed contact."""

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, reset, run
from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.behaviour.timeline import Timeline


def played(setting, script, contact="17-18"):
    """Changes of P1, a lamp on a contact of timer relay K1 whose coil S1 switches."""
    panel = [Device("S1"), Device("K1", "timer relay", setting=setting), Device("P1")]
    ladder = Ladder("Cellar fan", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1", contact), lamp("P1"))
    return [(round(time * 1000, 3), word) for time, tag, word in run(ladder, script).changes if tag == "P1"]


PRESSED_5_S = "at 1 s press S1, at 6 s let S1 go, wait 5 s"


class TestFunctions:
    @pytest.mark.parametrize(
        ("setting", "changes"),
        [
            ("on-delay 2 s", [(3004, "lit"), (6000, "dark")]),
            ("off-delay 2 s", [(1004, "lit"), (8000, "dark")]),
            ("on-and-off delay 2 s", [(3004, "lit"), (8000, "dark")]),
            ("one-shot on rising edge 2 s", [(1004, "lit"), (3004, "dark")]),
            ("one-shot on falling edge 2 s", [(6000, "lit"), (8000, "dark")]),
            ("flash 2 s", [(1004, "lit"), (3004, "dark"), (5004, "lit"), (6000, "dark")]),
            ("cumulative on-delay 2 s", [(3004, "lit")]),
        ],
    )
    def test_move_the_timed_contact_at_exact_times(self, setting, changes):
        # the button's NO contact closes 4 ms after it is pressed and opens at once
        assert played(setting, PRESSED_5_S) == changes

    def test_an_input_that_falls_too_early_starts_the_on_delay_anew(self):
        assert played("on-delay 2 s", "at 1 s press S1, at 2.9 s let S1 go, at 3 s press S1, wait 3 s") == [
            (5004, "lit")
        ]

    def test_instantaneous_contacts_change_over_with_the_coil(self):
        assert played("on-delay 2 s", PRESSED_5_S, "23-24") == [(1018, "lit"), (6005, "dark")]


class TestContacts:
    @pytest.mark.parametrize(
        ("contact", "timed"),
        [
            (NO("K1"), True),
            (NC("K1"), True),
            (NO("K1", "17-18"), True),
            (NO("K1", "15-18"), True),
            (NC("K1", "15-16"), True),
            (NO("K1", "23-24"), False),
            (NC("K1", "21-22"), False),
        ],
    )
    def test_are_timed_by_their_function_digits(self, contact, timed):
        assert is_timed_contact(contact) is timed


class TestPlant:
    def test_staggered_start_of_two_motors(self):
        panel = [
            Device("S1"),
            Device("S2"),
            Device("Q1"),
            Device("Q2"),
            Device("K1", "timer relay", setting="on-delay 3 s"),
        ]
        ladder = Ladder("Press and agitator", panel)
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q2"))
        trace = run(ladder, "press S2, let S2 go, wait 10 s, press S1")
        changes = [(round(time * 1000, 3), tag, word) for time, tag, word in trace.changes if tag in ("Q1", "Q2", "K1")]
        assert changes == [
            (1020, "Q1", "in"),
            (4004, "K1", "in"),
            (4020.2, "Q2", "in"),  # the third coil of the ladder: 0.2 ms slower than the first
            (12000, "K1", "out"),
            (12006, "Q1", "out"),
            (12006.2, "Q2", "out"),
        ]

    def test_eight_hours_of_flashing_do_not_drift(self):
        panel = [Device("S1"), Device("K1", "timer relay", setting="flash 500 ms"), Device("P1")]
        ladder = Ladder("Filling line", panel)
        ladder.rung(NC("S1"), coil("K1"))
        ladder.rung(NO("K1"), lamp("P1"))
        changes = [change for change in run(ladder, "wait 8 h").changes if change[1] == "P1"]
        assert len(changes) == 2 * 8 * 3600 + 1
        assert changes[-1] == (28800.0, "P1", "lit")


class TestErrors:
    def test_a_timer_without_a_time_is_refused_with_the_functions(self):
        ladder = Ladder("Cellar fan", [Device("S1"), Device("K1", "timer relay")])
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError) as found:
            run(ladder, "press S1")
        assert str(found.value).startswith("Device K1: a timer relay needs its function and time")
        assert "on-delay" in found.value.choices

    def test_what_is_not_known_in_time_yet_is_refused(self):
        ladder = Ladder("Filling line", [Device("S1"), Device("Q1", "soft starter")])
        ladder.rung(NO("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="a soft starter is not known in time yet"):
            run(ladder, "press S1")


class TestReset:
    """A cumulative timer of 2 s: S1 is its coil, S2 its reset; P1 stands on its timed contact."""

    def changes(self, script):
        panel = [
            Device("S1"),
            Device("S2"),
            Device("K1", "timer relay", setting="cumulative on-delay 2 s"),
            Device("P1"),
        ]
        ladder = Ladder("Cellar fan", panel)
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("S2"), reset("K1"))
        ladder.rung(NO("K1"), lamp("P1"))
        return [(round(time * 1000, 3), word) for time, tag, word in run(ladder, script).changes if tag == "P1"]

    def test_the_time_adds_up_over_pauses_until_it_is_reset(self):
        gather = "at 1 s press S1, at 2.5 s let S1 go, at 4 s press S1, at 6 s let S1 go"
        assert self.changes(f"{gather}, wait 1 s") == [(4508, "lit")]  # each press closes 4 ms late
        assert self.changes(f"{gather}, at 7 s press S2, wait 1 s") == [(4508, "lit"), (7004, "dark")]

    def test_a_reset_between_two_presses_takes_away_the_time_gathered(self):
        script = "at 1 s press S1, at 2.5 s let S1 go, press S2, let S2 go, at 5 s press S1, wait 3 s"
        assert self.changes(script) == [(7004, "lit")]

    def test_while_the_reset_has_voltage_no_time_passes_and_then_it_starts_anew(self):
        assert self.changes("at 1 s press S1, at 2 s press S2, at 5 s let S2 go, wait 3 s") == [(7000, "lit")]

    def test_is_no_input_of_another_timer(self):
        ladder = Ladder("Cellar fan")
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("S2"), reset("K1"))
        Timeline(ladder, [Device("K1", "timer relay", setting="cumulative on-delay 2 s")])
        for kind, setting in (("timer relay", "on-delay 2 s"), ("control relay", "")):
            with pytest.raises(LadderError, match="a reset input is that of a counter, or a timer relay set to"):
                Timeline(ladder, [Device("K1", kind, setting=setting)])
