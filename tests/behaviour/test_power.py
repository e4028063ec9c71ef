from collections import Counter
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour.power import STATES, PowerFaults, energise, three_phase_load
from rungbook.circuit.power import (
    LINES,
    POLES,
    Pole,
    PowerCircuit,
    PowerDevice,
    PowerMotor,
    direct,
    reversing,
    star_delta,
)

THIRD, ROOT = 0.333333333333, 0.577350269190


def refused(make, *args, **kwargs):
    with pytest.raises(LadderError) as found:
        make(*args, **kwargs)
    return found.value


def short_words(reading):
    return [(*short.phases, " ".join(map(str, short.path))) for short in reading.shorts]


def seen(reading, motor="M1"):
    """State, direction, phases, whether a short: what a table below holds."""
    feed = reading[motor]
    return feed.state, feed.direction, " ".join(phase or "-" for phase in feed.phases), len(reading.shorts)


REVERSING = {
    "": ("off", 0, "- - -", 0),
    "Q1": ("off", 0, "- - -", 0),
    "Q2": ("off", 0, "- - -", 0),
    "Q1 Q2": ("off", 0, "- - -", 0),
    "Q9": ("off", 0, "- - -", 0),
    "Q9 Q1": ("direct", 1, "L1 L2 L3", 0),
    "Q9 Q2": ("direct", -1, "L3 L2 L1", 0),
    "Q9 Q1 Q2": ("short", 0, "L1+L3 L2 L1+L3", 1),
}


class TestReversing:
    """Every subset of what opens and closes: Q9 disconnect, Q1 forward, Q2 reverse."""

    @pytest.mark.parametrize("closed", REVERSING)
    def test_every_subset(self, closed):
        assert seen(energise(reversing("Apple elevator"), closed.split())) == REVERSING[closed]

    def test_both_contactors_short_the_outer_phases_and_the_path_is_told(self):
        reading = energise(reversing(disconnect="", fuses=""), {"Q1", "Q2"})
        assert short_words(reading) == [("L1", "L3", "Q1 1-2 Q2 5-6")]
        assert str(reading.shorts[0]) == "L1 and L3 are shorted: Q1 1-2, Q2 5-6."

    def test_the_path_leads_through_fuses_and_disconnect(self):
        reading = energise(reversing(), {"Q9", "Q1", "Q2"})
        assert short_words(reading) == [("L1", "L3", "Q9 1-2 F9 1-2 Q1 1-2 Q2 5-6 F9 5-6 Q9 5-6")]


STAR_DELTA = {
    "": ("off", 0, "- - - - - -", 0),
    "Q1": ("live, no current", 0, "L1 L2 L3 - - -", 0),
    "Q2": ("off", 0, "- - - - - -", 0),
    "Q3": ("live, no current", 0, "- - - L2 L3 L1", 0),
    "Q1 Q2": ("star", 1, "L1 L2 L3 - - -", 0),
    "Q1 Q3": ("delta", 1, "L1 L2 L3 L2 L3 L1", 0),
    "Q2 Q3": ("short", 0, "- - - " + " ".join(["L1+L2+L3"] * 3), 3),
    "Q1 Q2 Q3": ("short", 0, " ".join(["L1+L2+L3"] * 6), 3),
}


class TestStarDelta:
    """Every subset of the three contactors, Q1 main, Q2 star, Q3 delta, with the disconnect closed."""

    @pytest.mark.parametrize("closed", STAR_DELTA)
    def test_every_subset(self, closed):
        assert seen(energise(star_delta("Mill"), ["Q9", *closed.split()])) == STAR_DELTA[closed]

    def test_star_and_delta_together_short_all_three_pairs(self):
        reading = energise(star_delta(disconnect="", fuses=""), {"Q2", "Q3"})
        assert short_words(reading) == [
            ("L1", "L2", "Q3 5-6 Q2 5-6 Q2 1-2 Q3 1-2"),
            ("L1", "L3", "Q3 5-6 Q2 5-6 Q2 3-4 Q3 3-4"),
            ("L2", "L3", "Q3 1-2 Q2 1-2 Q2 3-4 Q3 3-4"),
        ]

    def test_shares_in_star(self):
        feed = energise(star_delta(), {"Q9", "Q1", "Q2"})["M1"]
        assert feed.line_shares == pytest.approx((THIRD,) * 3)
        assert feed.terminal_shares == pytest.approx((THIRD,) * 6)
        assert feed.torque == pytest.approx(THIRD)

    def test_shares_in_delta(self):
        feed = energise(star_delta(), {"Q9", "Q1", "Q3"})["M1"]
        assert (feed.line_shares, feed.torque) == ((1.0, 1.0, 1.0), 1.0)
        assert feed.terminal_shares == pytest.approx((ROOT,) * 6)

    def far_ends(self, *lines):
        circuit = PowerCircuit("Mill")
        circuit.motor("M1", (*LINES, *lines))
        return energise(circuit, ())["M1"]

    @pytest.mark.parametrize(
        ("lines", "state", "torque"),
        [
            ("L2 L3 L1", "delta", 1),
            ("L3 L1 L2", "delta", 1),
            ("L1 L2 L3", "delta, wrong phase pairs", 0),
            ("L1 L3 L2", "delta, wrong phase pairs", 0),
            ("L2 L1 L3", "delta, wrong phase pairs", 0),
            ("L3 L2 L1", "delta, wrong phase pairs", 0),
        ],
    )
    def test_the_six_orders_of_the_far_ends(self, lines, state, torque):
        feed = self.far_ends(*lines.split())
        assert (feed.state, feed.torque, feed.direction) == (state, torque, torque)

    def test_a_winding_the_wrong_way_round_in_star_is_unbalanced(self):
        circuit = PowerCircuit("Mill")
        circuit.motor("M1", ("s", "L2", "L3", "L1", "s", "s"))
        assert energise(circuit, ())["M1"].state == "unbalanced"


class TestPhaseOrder:
    @pytest.mark.parametrize(
        ("supply", "direction"),
        [
            ("L1 L2 L3", 1),
            ("L2 L3 L1", 1),
            ("L3 L1 L2", 1),
            ("L2 L1 L3", -1),
            ("L1 L3 L2", -1),
            ("L3 L2 L1", -1),
        ],
    )
    def test_rotations_keep_the_direction_and_swaps_turn_it(self, supply, direction):
        faults = PowerFaults(supply=supply.split())
        for circuit, closed in ((direct(), "Q1"), (star_delta(), "Q1 Q2"), (star_delta(), "Q1 Q3")):
            feed = energise(circuit, ["Q9", *closed.split()], faults)["M1"]
            assert feed.direction == direction
            assert " ".join(feed.phases[:3]) == supply
        assert energise(reversing(), {"Q9", "Q2"}, faults)["M1"].direction == -direction


class TestFaults:
    def test_a_blown_fuse_leaves_two_phases_and_no_torque(self):
        feed = energise(direct(), {"Q9", "Q1"}, PowerFaults(open={("F9", "5-6")}))["M1"]
        assert (feed.state, feed.direction, feed.phases) == ("single-phasing", 0, ("L1", "L2", ""))
        assert feed.line_shares == pytest.approx((0.866025403784, 0.866025403784, 0))
        assert feed.torque == 0

    def test_a_lost_phase_reads_the_same(self):
        lost = energise(direct(), {"Q9", "Q1"}, PowerFaults(lost={"L3"}))["M1"]
        assert lost == energise(direct(), {"Q9", "Q1"}, PowerFaults(open={("Q1", "5-6")}))["M1"]

    def test_a_single_phase_makes_no_current(self):
        feed = energise(direct(), {"Q9", "Q1"}, PowerFaults(lost={"L1", "L3"}))["M1"]
        assert (feed.state, feed.phases) == ("live, no current", ("", "L2", ""))

    def test_a_lost_phase_in_delta_makes_no_torque(self):
        feed = energise(star_delta(), {"Q9", "Q1", "Q3"}, PowerFaults(lost={"L2"}))["M1"]
        assert (feed.state, feed.direction, feed.torque) == ("single-phasing", 0, 0)
        assert feed.phases == ("L1", "", "L3", "", "L3", "L1")
        # one winding across the full voltage, two in series beside it: 1 + 1/2 of the winding's sqrt(3), over 3
        assert feed.line_shares == pytest.approx((0.866025403784, 0, 0.866025403784))

    def test_an_open_pole_of_the_star_contactor_leaves_a_winding_without_current(self):
        feed = energise(star_delta(), {"Q9", "Q1", "Q2"}, PowerFaults(open={("Q2", "3-4")}))["M1"]
        assert feed.state == "single-phasing"
        assert feed.line_shares == pytest.approx((0.288675134595, 0, 0.288675134595))

    def test_an_open_pole_of_the_delta_contactor_leaves_two_windings_and_a_third_of_the_torque(self):
        feed = energise(star_delta(), {"Q9", "Q1", "Q3"}, PowerFaults(open={("Q3", "3-4")}))["M1"]
        assert (feed.state, feed.direction) == ("unbalanced", 1)
        # positive sequence 2/3, negative sequence 1/3 of the full voltage: 4/9 - 1/9
        assert feed.torque == pytest.approx(THIRD)

    def test_a_welded_pole_of_the_idle_contactor_shorts_when_the_other_closes(self):
        welded = PowerFaults(welded={("Q1", "1-2")})
        assert energise(reversing(), {"Q9"}, welded)["M1"].state == "live, no current"
        reading = energise(reversing(), {"Q9", "Q2"}, welded)
        assert short_words(reading) == [("L1", "L3", "Q9 1-2 F9 1-2 Q1 1-2 Q2 5-6 F9 5-6 Q9 5-6")]

    def test_a_welded_middle_pole_shorts_nothing(self):
        reading = energise(reversing(), {"Q9", "Q2"}, PowerFaults(welded={("Q1", "3-4")}))
        assert seen(reading) == ("direct", -1, "L3 L2 L1", 0)

    def test_a_welded_star_contactor_shorts_when_delta_closes(self):
        welded = PowerFaults(welded={("Q2", "1-2"), ("Q2", "3-4")})
        assert [short.phases for short in energise(star_delta(), {"Q9", "Q1", "Q3"}, welded).shorts] == [("L2", "L3")]

    def test_a_short_of_a_phase_that_does_not_arrive_is_none(self):
        assert energise(reversing(), {"Q9", "Q1", "Q2"}, PowerFaults(lost={"L3"})).shorts == ()

    @pytest.mark.parametrize(
        ("faults", "rule"),
        [
            ({"welded": {("Q7", "1-2")}}, "no such pole here"),
            ({"open": {("Q1", "7-8")}}, "no such pole here"),
            ({"open": {"Q1"}}, "no such pole here"),
            ({"welded": {("F9", "1-2")}}, "only poles that switch can weld"),
            ({"welded": {("Q1", "1-2")}, "open": {("Q1", "1-2")}}, "a pole is either welded or open"),
            ({"lost": {"L4"}}, "no such phase"),
            ({"supply": ("L1", "L2", "L2")}, "needs each of the three phases once"),
            ({"supply": ("L1", "L2")}, "needs each of the three phases once"),
        ],
    )
    def test_a_fault_of_what_is_not_there_is_refused(self, faults, rule):
        assert refused(energise, direct(), {"Q9"}, PowerFaults(**faults)).rule == rule


class TestSeveralMotors:
    def test_motors_side_by_side_draw_what_each_draws_alone(self):
        circuit = direct("Filling line")
        circuit.motor("M2", ("1T1", "1T2", "1T3"))
        for faults in (PowerFaults(), PowerFaults(lost={"L2"})):
            alone = energise(direct("Filling line"), {"Q9", "Q1"}, faults)["M1"]
            both = energise(circuit, {"Q9", "Q1"}, faults)
            for motor in both.motors:
                assert (motor.state, motor.line_shares) == (alone.state, alone.line_shares)

    def test_a_motor_feeds_the_open_terminal_of_another(self):
        circuit = PowerCircuit("Filling line")
        circuit.motor("M1", ("L1", "L2", "x"))
        circuit.motor("M2", ("x", "L2", "L3"))
        reading = energise(circuit, ())
        # by hand: node x is at a quarter of L2, the star point of M1 at (L1 + 1.25 L2)/3
        assert reading["M1"].terminal_shares == pytest.approx((0.946485, 0.803637, 0.288675), abs=1e-6)
        assert reading["M1"].line_shares == pytest.approx((0.946485, 0.803637, 0), abs=1e-6)
        assert (reading["M1"].state, reading["M1"].phases) == ("unbalanced", ("L1", "L2", ""))
        # squares of the positive and negative sequence by hand: 32.0625/81 - 11.8125/81
        assert (reading["M1"].direction, reading["M1"].torque) == (1, pytest.approx(0.25))


class TestInput:
    @pytest.mark.parametrize("closed", [None, 5])
    def test_closed_devices_come_as_a_set(self, closed):
        assert refused(energise, direct(), closed).rule == "takes the devices that are closed as a set"

    @pytest.mark.parametrize("field", ["welded", "open", "lost"])
    @pytest.mark.parametrize("value", [None, "L3", 5])
    def test_a_field_of_faults_is_a_set(self, field, value):
        error = refused(PowerFaults, **{field: value})
        assert (error.thing, error.rule, error.value) == (f"PowerFaults, {field}", "is a set", value)

    def test_a_supply_is_a_list_and_faults_are_a_record(self):
        assert refused(PowerFaults, supply="L1 L2 L3").choices == ("L1", "L2", "L3")
        assert refused(energise, direct(), (), {"lost": "L3"}).rule == "faults are a PowerFaults record"

    @pytest.mark.parametrize("closed", [{"F1"}, {"M1"}, {"Q7"}, "Q1 Q9", {""}])
    def test_only_devices_that_open_and_close_are_closed(self, closed):
        error = refused(energise, direct(), closed)
        assert "here that opens and closes" in error.rule
        assert error.choices == ("Q9", "Q1")

    def test_a_circuit_that_is_not_valid_is_refused(self):
        assert "has no devices yet" in refused(energise, PowerCircuit(), ()).rule
        assert refused(energise, "Q1", ()).rule == "works on a PowerCircuit"

    def test_an_unknown_motor_is_refused_with_those_there_are(self):
        assert refused(energise(direct(), ()).__getitem__, "M2").choices == ("M1",)


class TestSentences:
    @pytest.mark.parametrize(
        ("circuit", "closed", "sentence"),
        [
            (direct(), "Q9 Q1", "M1: L1 L2 L3 on U1 V1 W1: runs forwards."),
            (reversing(), "Q9 Q2", "M1: L3 L2 L1 on U1 V1 W1: runs backwards."),
            (direct(), "", "M1: no phase on U1 V1 W1: stands still."),
            (star_delta(), "Q9 Q1 Q2", "M1: L1 L2 L3 on U1 V1 W1, no phase on U2 V2 W2: runs forwards in star."),
            (star_delta(), "Q9 Q1 Q3", "M1: L1 L2 L3 on U1 V1 W1, L2 L3 L1 on U2 V2 W2: runs forwards in delta."),
            (
                star_delta(),
                "Q9 Q1",
                "M1: L1 L2 L3 on U1 V1 W1, no phase on U2 V2 W2: no voltage across a winding, so it stands still, "
                "but its terminals are live.",
            ),
            (
                reversing(),
                "Q9 Q1 Q2",
                "M1: L1+L3 L2 L1+L3 on U1 V1 W1: a short between phases, so nothing is told until protection has "
                "cleared it.",
            ),
        ],
    )
    def test_one_plain_sentence(self, circuit, closed, sentence):
        assert str(energise(circuit, closed.split())["M1"]) == sentence

    def test_a_missing_phase_is_a_dash(self):
        reading = energise(direct(), {"Q9", "Q1"}, PowerFaults(open={("F9", "3-4")}))
        assert str(reading) == "M1: L1 – L3 on U1 V1 W1: single-phasing, so it hums and does not start."

    def test_shorts_come_before_motors(self):
        lines = str(energise(reversing(), {"Q9", "Q1", "Q2"})).splitlines()
        assert [line[:9] for line in lines] == ["L1 and L3", "M1: L1+L3"]


NODES = (*LINES, "a", "b", "c", "d", "e", "f")


@st.composite
def tangles(draw):
    """Up to 8 devices whose poles join 9 nodes any way round; the six leads of a motor keep every node in use."""
    circuit = PowerCircuit("Tangle")
    for n in range(1, draw(st.integers(1, 8)) + 1):
        tag = f"{draw(st.sampled_from('QQQF'))}{n}"
        ends = st.lists(st.sampled_from(NODES), min_size=2, max_size=2, unique=True)
        poles = tuple(Pole(tag, pole, *draw(ends)) for pole in POLES[: draw(st.integers(1, 3))])
        circuit.add(PowerDevice(tag, "contactor" if tag[0] == "Q" else "fuse", poles))
    circuit.add(PowerMotor("M1", NODES[3:]))
    return circuit


@st.composite
def cases(draw):
    """A tangle or a usual starter with a second motor M2 anywhere in it; closed devices, welded and open poles."""
    make = draw(st.sampled_from((None, direct, reversing, star_delta)))
    circuit = draw(tangles()) if make is None else make("Mill")
    junctions = list(dict.fromkeys(end for pole in circuit.poles for end in (pole.a, pole.b)))
    circuit.motor("M2", [draw(st.sampled_from(junctions)) for _ in range(3)])
    closed = {device.tag for device in circuit.devices if device.tag[0] == "Q" and draw(st.booleans())}
    closed |= {"Q9"} & {device.tag for device in circuit.devices}
    pairs = [(pole.device, pole.pole) for pole in circuit.poles]
    faults = st.just([]) | st.lists(st.sampled_from(pairs), max_size=2)
    broken = set(draw(faults))
    welded = {pair for pair in draw(faults) if pair[0][0] == "Q"} - broken
    return circuit, closed, welded, broken


def closed_ends(case):
    """Ends of the poles that are closed, told apart from the module under test."""
    circuit, closed, welded, broken = case
    return {
        (pole.device, pole.pole): {pole.a, pole.b}
        for pole in circuit.poles
        if (pole.device, pole.pole) not in broken
        and (pole.device in closed or pole.device[0] == "F" or (pole.device, pole.pole) in welded)
    }


def distances(ends, start):
    """Number of poles from `start` to every node that they reach, breadth first."""
    far, edge, count = {start: 0}, {start}, 0
    while edge:
        count += 1
        edge = {node for pair in ends for node in pair if pair & edge} - set(far)
        far |= dict.fromkeys(edge, count)
    return far


def reading_of(case, supply=LINES):
    circuit, closed, welded, broken = case
    return energise(circuit, closed, PowerFaults(welded, broken, supply=supply))


class TestRandomCircuits:
    @settings(max_examples=200)
    @given(cases())
    def test_a_short_is_found_exactly_when_poles_join_two_phases_and_its_path_is_a_shortest(self, case):
        ends = closed_ends(case)
        joined = {
            (a, b): distances(ends.values(), a)[b]
            for a, b in combinations(LINES, 2)
            if b in distances(ends.values(), a)
        }
        shorts = reading_of(case).shorts
        assert {short.phases: len(short.path) for short in shorts} == joined

    @settings(max_examples=200)
    @given(cases())
    def test_every_path_leads_from_phase_to_phase_through_closed_poles_only(self, case):
        ends = closed_ends(case)
        for short in reading_of(case).shorts:
            at = short.phases[0]
            for pole in short.path:
                (at,) = ends[pole.device, pole.pole] - {at}
            assert at == short.phases[1]

    @settings(max_examples=200)
    @given(cases())
    def test_the_phases_at_a_terminal_are_those_that_poles_lead_to_it(self, case):
        ends = closed_ends(case)
        reading = reading_of(case)
        for motor in case[0].motors:
            wanted = tuple(
                "+".join(line for line in LINES if line in distances(ends.values(), node)) for node in motor.nodes
            )
            assert reading[motor.tag].phases == wanted

    @settings(max_examples=200)
    @given(cases(), st.permutations(LINES))
    def test_changing_the_phases_of_the_source_changes_their_names_in_the_result_and_no_more(self, case, order):
        name = dict(zip(LINES, order, strict=True))
        sign = 1 if "".join(order) in "L1L2L3L1L2" else -1
        plain, changed = reading_of(case), reading_of(case, tuple(order))
        assert {frozenset(s.phases) for s in changed.shorts} == {
            frozenset(map(name.get, s.phases)) for s in plain.shorts
        }
        for was, now in zip(plain.motors, changed.motors, strict=True):
            assert now.state == was.state
            assert now.direction == was.direction * sign
            assert now.torque == pytest.approx(was.torque)
            for before, after in zip(was.phases, now.phases, strict=True):
                assert sorted(after.split("+")) == sorted(name.get(phase, "") for phase in before.split("+"))
            assert now.terminal_shares == pytest.approx(was.terminal_shares)
            drawn = dict(zip(LINES, now.line_shares, strict=True))
            assert [drawn[name[line]] for line in LINES] == pytest.approx(was.line_shares)

    @settings(max_examples=200)
    @given(cases(), st.sampled_from([(0, 1, 2), (1, 0, 2), (0, 2, 1), (2, 1, 0)]))
    def test_swapping_two_leads_of_a_three_lead_motor_turns_it(self, case, order):
        circuit, *rest = case
        swapped = PowerCircuit("Any")
        for element in circuit.elements[:-1]:
            swapped.add(element)
        nodes = circuit.motors[1].nodes
        swapped.motor("M2", [nodes[k] for k in order])
        was, now = reading_of(case)["M2"], reading_of((swapped, *rest))["M2"]
        assert (now.state, now.direction) == (was.state, was.direction * (1 if order == (0, 1, 2) else -1))

    def test_the_random_circuits_show_every_state(self):
        found = Counter()

        @given(cases())
        @settings(max_examples=300)
        def look(case):
            found.update(feed.state for feed in reading_of(case).motors)

        look()
        assert set(found) >= set(STATES) - {"delta, wrong phase pairs"}, found


class TestThreePhaseLoad:
    def test_unequal_star_currents_add_up_to_nothing_and_the_power_is_that_of_the_lines(self):
        load = three_phase_load(208, (10, 20 + 5j, 8 - 3j), "star")
        assert abs(sum(load.line)) < 1e-9
        volts = [208 / 3**0.5 * complex(re, im) for re, im in ((1, 0), (-0.5, -(0.75**0.5)), (-0.5, 0.75**0.5))]
        assert sum((v * i.conjugate()).real for v, i in zip(volts, load.line, strict=True)) == pytest.approx(load.watts)

    def test_star_equals_its_delta(self):
        z = (10, 20 + 5j, 8 - 3j)
        total = z[0] * z[1] + z[1] * z[2] + z[2] * z[0]
        star, delta = (
            three_phase_load(208, z, "star"),
            three_phase_load(208, [total / z[2], total / z[0], total / z[1]], "delta"),
        )
        assert star.line == pytest.approx(delta.line)

    def test_a_single_impedance_between_two_lines(self):
        load = three_phase_load(208, (20.8, 1e12, 1e12), "delta")
        assert [abs(i) for i in load.line] == pytest.approx([10, 10, 0], abs=1e-6)

    @pytest.mark.parametrize(
        ("volts", "ohms", "connection", "value"),
        [
            (208, (10, 10, 10), "wye", "wye"),
            (0, (10, 10, 10), "star", 0),
            (float("nan"), (10, 10, 10), "star", None),
            ("208", (10, 10, 10), "star", "208"),
            (208, (10, 10), "star", (10, 10)),
            (208, 10, "star", 10),
            (208, (10, 10, 0), "delta", (10, 10, 0)),
            (208, (10, 10, -1), "delta", (10, 10, -1)),
            (208, (10, 10, "10"), "delta", (10, 10, "10")),
            (208, (10j, 10j, -5j), "star", (10j, 10j, -5j)),
        ],
    )
    def test_what_is_no_load_is_refused(self, volts, ohms, connection, value):
        error = refused(three_phase_load, volts, ohms, connection)
        assert error.thing == "three_phase_load"
        assert value is None or error.value == value
