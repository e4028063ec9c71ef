"""What power circuits do, against textbooks and a circuit simulator. The source stands beside each check.

[L2-10] and [L2-13] are *Lessons in Electric Circuits*, T. Kuphaldt, vol. II, chapters 10 and 13; [L4-5] and [L4-6]
vol. IV, chapters 5 and 6. Numbers such as 5.19 are those of the project's list of check values.
"""

import math
import re
import shutil
import subprocess

import pytest

from rungbook.behaviour.power import PowerFaults, energise, three_phase_load
from rungbook.circuit.power import LINES, PowerCircuit, direct, reversing, star_delta


def sizes(phasors):
    return [abs(phasor) for phasor in phasors]


class TestDirection:
    """5.15, [L2-10]: any two lines changed reverse the motor; all three moved on by one do not."""

    @pytest.mark.parametrize(
        ("lines", "direction"),
        [("123", 1), ("231", 1), ("312", 1), ("213", -1), ("132", -1), ("321", -1)],
    )
    def test_swaps_reverse_and_rotations_do_not(self, lines, direction):
        circuit = PowerCircuit("Agitator")
        circuit.motor("M1", [f"L{n}" for n in lines])
        assert energise(circuit, ())["M1"].direction == direction


class TestReversing:
    """6.11, [L4-6]: forward and reverse contactors in together short two phases of the supply."""

    def test_both_contactors_short_two_phases(self):
        reading = energise(reversing("Apple elevator"), {"Q9", "Q1", "Q2"})
        assert [short.phases for short in reading.shorts] == [("L1", "L3")]

    def test_one_contactor_shorts_nothing_and_the_two_turn_opposite_ways(self):
        ways = [energise(reversing("Apple elevator"), {"Q9", tag}) for tag in ("Q1", "Q2")]
        assert [(reading.shorts, reading["M1"].direction) for reading in ways] == [((), 1), ((), -1)]


class TestOverload:
    """7.8, [L4-5]: an overload relay opens a contact in the coil circuit; its heaters open no power line."""

    def test_the_overload_relay_is_no_device_that_opens_the_power_circuit(self):
        assert energise(direct("Wash pump"), {"Q9", "Q1"})["M1"].phases == LINES


class TestStarDelta:
    def test_star_start_is_a_third_of_the_line_current_and_torque_and_one_by_root_three_of_the_winding_current(self):
        """5.19, exact. Not 57.7 % of the line current, as some pages say."""
        star = energise(star_delta("Mill"), {"Q9", "Q1", "Q2"})["M1"]
        delta = energise(star_delta("Mill"), {"Q9", "Q1", "Q3"})["M1"]
        for was, now in zip(delta.line_shares, star.line_shares, strict=True):
            assert now / was == pytest.approx(1 / 3, abs=1e-9)
        for was, now in zip(delta.terminal_shares, star.terminal_shares, strict=True):
            assert now / was == pytest.approx(1 / math.sqrt(3), abs=1e-9)
        assert star.torque / delta.torque == pytest.approx(1 / 3, abs=1e-9)

    def test_an_overload_relay_inside_the_delta_carries_0577_of_the_line_current(self):
        """5.25, computed: FLC divided by the root of 3, to 0.001."""
        feed = energise(star_delta("Mill"), {"Q9", "Q1", "Q3"})["M1"]
        assert [feed.terminal_shares[n] / feed.line_shares[n] for n in range(3)] == pytest.approx([0.577] * 3, abs=1e-3)

    @pytest.mark.parametrize(("connection", "amps"), [("delta", 69.28), ("star", 23.09)])
    def test_400_volts_and_10_ohms_a_phase(self, connection, amps):
        """5.20, computed, to 0.01 A."""
        assert sizes(three_phase_load(400, (10, 10, 10), connection).line) == pytest.approx([amps] * 3, abs=0.01)


class TestBalancedStar:
    """5.9, [L2-10], to 0.1 %: 120 V and 1.44 ohms a phase; 83.33 A, 30 kW, 207.8 V between lines."""

    def test_line_current_and_power(self):
        load = three_phase_load(207.846, (1.44, 1.44, 1.44), "star")
        assert sizes(load.line) == pytest.approx([83.33] * 3, rel=1e-3)
        assert load.watts == pytest.approx(30_000, rel=1e-3)
        assert [current * 1.44 for current in sizes(load.winding)] == pytest.approx([120] * 3, rel=1e-3)


class TestSinglePhasing:
    """Computed from Ohm's law: of three equal windings in star two in series lie across two lines, V/(2Z)."""

    def test_a_motor_at_standstill_draws_0866_of_its_starting_current_in_two_lines(self):
        feed = energise(direct("Press pump"), {"Q9", "Q1"}, PowerFaults(open={("F9", "1-2")}))["M1"]
        assert feed.line_shares == pytest.approx((0, math.sqrt(3) / 2, math.sqrt(3) / 2))


SPICE = shutil.which("ngspice")


def spice_currents(tmp_path, volts, ohms, connection):
    """Magnitudes of the line currents by ngspice, each impedance a resistor in series with an inductor at 60 Hz."""
    deck = ["three-phase load"]
    for n, angle in enumerate((0, -120, 120)):
        deck += [f"V{n} s{n} 0 AC {volts / math.sqrt(3):.12g} {angle}", f"VM{n} s{n} l{n} 0"]
        far = "star" if connection == "star" else f"l{(n + 1) % 3}"
        henries = ohms[n].imag / (2 * math.pi * 60)
        deck += [f"R{n} l{n} m{n} {ohms[n].real:.12g}", f"L{n} m{n} {far} {henries:.12g}"]
    prints = [f"print mag(i(vm{n}))" for n in range(3)]
    deck += ["Rleak star 0 1e12", ".control", "set numdgt=12", "ac lin 1 60 60", *prints, "quit", ".endc", ".end", ""]
    path = tmp_path / "load.cir"
    path.write_text("\n".join(deck), encoding="utf-8")
    done = subprocess.run([SPICE, "-b", path], capture_output=True, text=True, timeout=30, check=False)
    return [float(value) for value in re.findall(r"mag\(i\(vm\d\)\) = (\S+)", done.stdout)]


@pytest.mark.skipif(SPICE is None, reason="ngspice is not installed")
class TestAgainstSpice:
    @pytest.mark.parametrize("connection", ["star", "delta"])
    @pytest.mark.parametrize(
        "ohms",
        [
            (10 + 1j, 10 + 1j, 10 + 1j),
            (10 + 2j, 20 + 5j, 8 + 30j),
            (1 + 0.1j, 100 + 50j, 5 + 1j),
            (3 + 4j, 4 + 3j, 1000 + 1j),
        ],
    )
    def test_line_currents_agree_within_a_thousandth(self, tmp_path, ohms, connection):
        wanted = spice_currents(tmp_path, 208, ohms, connection)
        assert len(wanted) == 3
        assert sizes(three_phase_load(208, ohms, connection).line) == pytest.approx(wanted, rel=1e-3)
