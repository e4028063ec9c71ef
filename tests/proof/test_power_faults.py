"""Single faults of the reversing starter of the apple elevator: what an electrical interlock is worth, what mirror
contacts add, why a mechanical one is there, and what no stop button can do. A direct starter for the stops.

Sources: two phases joined by both contactors, and the NC contact of each before the other's coil, *Lessons in Electric
Circuits*, vol. IV ch. 6. Mirror contacts: IEC 60947-4-1 annex F, from memory. The rest follows from the circuit.
"""

from dataclasses import replace

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.behaviour import Board
from rungbook.behaviour.faults import (
    blown_phase_fuse,
    broken_interlock,
    lost_phase,
    open_pole,
    open_wire,
    swapped_leads,
    swapped_phases,
    welded_contact,
    welded_contactor,
    welded_pole,
    welded_poles,
)
from rungbook.circuit.power import direct, reversing
from rungbook.proof import (
    motor_never_turns,
    motor_stands_while,
    motor_turns,
    no_short_between_phases,
    off_while,
    pulls_in,
    try_faults,
)

NO_SHORT = "No two phases are ever joined."
STOPS = "M1 stands still whenever S1 is pressed."
FORWARDS, BACKWARDS = "M1 runs forwards whenever Q1 is in.", "M1 runs backwards whenever Q2 is in."
NEVER = "M1 never runs backwards while Q1 is in."
RULES = (
    no_short_between_phases(),
    motor_stands_while("M1", "S1", "pressed"),
    motor_turns("M1", "forwards", "Q1", "in"),
    motor_turns("M1", "backwards", "Q2", "in"),
    motor_never_turns("M1", "backwards", "Q1", "in"),
)


def elevator(lock=True):
    """S1 stop, S2 up, S3 down; with NC contacts of each contactor before the other's coil, or without."""
    ladder = Ladder("Apple elevator")
    up = NC("S1") & (NO("S2") | NO("Q1"))
    down = NC("S1") & (NO("S3") | NO("Q2"))
    ladder.rung(up & NC("Q2") if lock else up, coil("Q1"))
    ladder.rung(down & NC("Q1") if lock else down, coil("Q2"))
    return ladder


BOARD = Board.of(elevator())
INTERLOCK = next(n for n, c in enumerate(BOARD.contacts) if (c.device, c.kind) == ("Q1", "NC"))


def row(fault, **how):
    """(rules that are broken, how it shows itself, severity) of one fault on the elevator."""
    (effect,) = try_faults(elevator(), *RULES, faults=[fault], power=reversing(), **how).effects
    broken = [verdict.sentence for verdict in effect.broken if verdict.outcome == "broken"]
    return broken, effect.shows, effect.told[2]


def is_broken(sentence, effect):
    return any((verdict.sentence, verdict.outcome) == (sentence, "broken") for verdict in effect.broken)


def remark(fault, **how):
    return try_faults(elevator(), *RULES, faults=[fault], power=reversing(), **how).effects[0].remark


class TestNoInterlock:
    def test_two_starts_short_two_phases_without_any_fault(self):
        with pytest.raises(
            LadderError, match=r"does not hold even without a fault: broken: No two phases are ever"
        ) as e:
            try_faults(elevator(lock=False), *RULES, power=reversing())
        assert "Press S2. Press S3. Seen: L1 and L3 are shorted" in str(e.value)


class TestElectricalInterlockAlone:
    """The circuit is sound. A weld that its auxiliary contacts do not show makes it a danger."""

    @pytest.mark.parametrize(
        ("fault", "wanted"),
        [
            (
                welded_poles("Q1"),
                ([NO_SHORT, STOPS, BACKWARDS], "At once, untouched: M1 runs forwards.", "danger"),
            ),
            (
                welded_pole("Q1", "1-2"),
                ([NO_SHORT, BACKWARDS], "Press S3. L1 and L3 are shorted: the main fuses blow.", "HIDDEN DANGER"),
            ),
            (welded_pole("Q1", "3-4"), ([], "not at all", "no effect")),  # L2 is on the same terminal either way
            (
                welded_contact(BOARD, INTERLOCK),
                ([NO_SHORT], "Press S2. Press S3. L1 and L3 are shorted: the main fuses blow.", "HIDDEN DANGER"),
            ),
        ],
        ids=lambda value: getattr(value, "sentence", ""),
    )
    def test_what_a_weld_does(self, fault, wanted):
        broken, shows, severity = row(fault)
        assert (broken, shows or "not at all", severity) == wanted

    def test_the_shortest_way_to_the_short_is_the_other_start(self):
        (effect,) = try_faults(elevator(), *RULES, faults=[welded_poles("Q1")], power=reversing()).effects
        verdict = effect.broken[0]
        assert (verdict.sentence, [step.order for step in verdict.steps]) == (NO_SHORT, ["press S3"])
        assert verdict.why == "Q1 is out, but its poles 1-2, 3-4, 5-6 are welded. Q2 is in."

    def test_one_pole_that_is_welded_leaves_the_standing_motor_live(self):
        assert remark(welded_pole("Q1", "3-4")) == (
            "M1 stays live while it stands: lock out and verify before touching it."
        )


class TestMirrorContacts:
    def test_the_other_contactor_stays_out_and_the_motor_that_runs_on_shows_it(self):
        fault = welded_contactor(BOARD, "Q1")
        assert row(fault) == ([STOPS], "At once, untouched: M1 runs forwards.", "danger")
        assert NO_SHORT not in row(fault)[0]

    def test_with_them_no_weld_shorts_phases(self):
        def welds_that_short(**how):
            effects = try_faults(elevator(), *RULES, power=reversing(), **how).effects
            welds = [one for one in effects if one.fault.kind in ("welded pole", "welded poles", "welded contactor")]
            assert len(welds) > 4
            return [weld.fault.describe() for weld in welds if is_broken(NO_SHORT, weld)]

        assert welds_that_short(mirror_contacts=("Q1", "Q2")) == []
        assert welds_that_short(mirror_contacts=("Q1",)) == [
            "The pole 1-2 of Q2 is welded.",
            "The pole 5-6 of Q2 is welded.",
            "The main poles of Q2 are welded, but its auxiliary contacts drop out.",
        ]


LOCK = {"mechanical_interlock": [("Q1", "Q2")]}


class TestMechanicalInterlock:
    @pytest.mark.parametrize("fault", [welded_poles("Q1"), welded_pole("Q1", "1-2"), welded_contact(BOARD, INTERLOCK)])
    def test_the_faults_that_shorted_phases_do_so_no_longer(self, fault):
        assert NO_SHORT in row(fault)[0]
        assert NO_SHORT not in row(fault, **LOCK)[0]

    def test_the_coil_that_is_held_out_hums(self):
        assert row(welded_pole("Q1", "1-2"), **LOCK)[1] == "Press S3. M1 does not start."
        assert "The coil of Q2 hums and gets hot." in remark(welded_poles("Q1"), **LOCK)
        assert "hums" not in remark(welded_poles("Q1"))

    def test_it_is_the_second_of_two_so_that_its_own_loss_alone_is_no_danger_but_is_never_seen(self):
        locked = try_faults(elevator(), *RULES, power=reversing(), **LOCK)
        (lost,) = [effect for effect in locked.effects if effect.fault.kind == "broken interlock"]
        assert lost.fault.describe() == "The mechanical interlock between Q1 and Q2 does not act."
        assert (lost.severity, lost.shows) == ("no effect", "")

    def test_alone_it_is_a_danger_to_lose(self):
        board = Board.of(elevator(lock=False))
        fault = broken_interlock(replace(board, mechanical_interlock=(("Q1", "Q2"),)), ("Q1", "Q2"))
        (effect,) = try_faults(elevator(lock=False), RULES[0], faults=[fault], power=reversing(), **LOCK).effects
        assert effect.told[2] == "HIDDEN DANGER"


class TestStops:
    """Common practice: a stop opens, so that a broken wire stops the machine."""

    RULES = (pulls_in("Q1", when="press S2"), motor_stands_while("M1", "S1", "pressed"))

    def wire_breaks(self, ladder):
        board = Board.of(ladder)
        places = [place for place, wired in enumerate(board.items) if wired.item.device == "S1"]
        faults = [open_wire(board, place, end) for place in places for end in ("left", "right")]
        found = try_faults(ladder, *self.RULES, faults=faults, power=direct()).effects
        return {(effect.shows, effect.told[2]) for effect in found}

    def test_a_stop_that_opens_stops_the_pump_when_its_wire_breaks(self):
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        assert self.wire_breaks(ladder) == {("Press S2. M1 does not start.", "stops the work")}

    def test_a_stop_that_closes_is_lost_and_nobody_sees_it_until_it_is_needed(self):
        ladder = Ladder("Wash pump")
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NC("K1") & (NO("S2") | NO("Q1")), coil("Q1"))
        assert {severity for _, severity in self.wire_breaks(ladder)} == {"HIDDEN DANGER"}


class TestEmergencyStop:
    def ladder(self):
        ladder = Ladder("Mill", devices=[Device("S6", "emergency stop"), *map(Device, ("S1", "S2", "Q1"))])
        ladder.rung(NC("S6") & NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
        return ladder

    def test_it_does_not_open_a_welded_contactor(self):
        rules = (motor_stands_while("M1", "S6", "latched"), off_while("Q1", "S6", "latched"))
        (effect,) = try_faults(self.ladder(), *rules, faults=[welded_poles("Q1")], power=direct()).effects
        (verdict,) = effect.broken  # the coil drops out as it should
        assert str(verdict) == (
            "broken: M1 stands still whenever S6 is latched. Strike S6. Seen: M1 runs forwards. "
            "Expected: M1 stands still. Q1 is out, but its poles 1-2, 3-4, 5-6 are welded."
        )
        assert effect.remark == (
            "No stop button and no emergency stop opens a weld: a second contactor in series, or supervision of the "
            "mirror contact of Q1, is there for that."
        )


class TestPhases:
    def test_a_lost_phase_wherever_it_is_lost_is_one_row_and_hurts_the_motor(self):
        faults = [lost_phase("L1"), blown_phase_fuse("F9", "3-4"), open_pole("Q9", "5-6"), open_pole("F1", "1-2")]
        table = try_faults(elevator(), *RULES, faults=faults, power=reversing())
        ((causes, told),) = table.rows()
        assert causes == (
            "Phase L1 does not arrive.",
            "The fuse 3-4 of F9 is blown.",
            "The pole 5-6 of Q9 is open.",
            "The pole 1-2 of F1 is open.",
        )
        assert told == (
            "No longer: M1 runs forwards whenever Q1 is in; M1 runs backwards whenever Q2 is in. M1 gets hot until its "
            "overload relay trips; the time is not in this table.",
            "Press S2. M1 hums on two phases and does not start.",
            "stops the work",
        )

    @pytest.mark.parametrize("fault", [swapped_phases("L1", "L3"), swapped_leads("M1", "U1", "V1")])
    def test_swapped_phases_send_the_elevator_the_wrong_way(self, fault):
        assert row(fault) == ([FORWARDS, BACKWARDS, NEVER], "Press S2. M1 runs backwards.", "danger")

    def test_a_welded_disconnect_breaks_no_rule_and_still_kills(self):
        (effect,) = try_faults(elevator(), *RULES, faults=[welded_pole("Q9", "1-2")], power=reversing()).effects
        assert (effect.severity, effect.shows) == ("no effect", "")
        assert effect.remark == "Q9 no longer isolates this line: verify absence of voltage."


class TestWholeTable:
    def test_the_faults_of_the_power_side_join_those_of_the_control_side(self):
        table = try_faults(elevator(), *RULES, power=reversing())
        kinds = {effect.fault.kind for effect in table.effects}
        assert kinds >= {"open wire", "welded contact", "lost phase", "swapped leads", "welded pole", "welded poles"}
        assert [e.rank for e in table.effects] == sorted(e.rank for e in table.effects)
        assert str(table) == str(try_faults(elevator(), *RULES, power=reversing()))


class TestErrors:
    @pytest.mark.parametrize(
        ("how", "match"),
        [
            ({"faults": [lost_phase("L1")]}, "needs one: give it, with power="),
            ({"power": reversing(), "mirror_contacts": ["Q7"]}, "no contactor Q7 in the power circuit.*Q1, Q2"),
            ({"mechanical_interlock": [("Q1", "Q7")]}, "sits on two different coils of the board"),
        ],
    )
    def test_bad_input_is_named(self, how, match):
        with pytest.raises(LadderError, match=match):
            try_faults(elevator(), **how)
