"""Numbers from the nameplate against published values; each with its source and how it was confirmed.

Read: read in a stored copy or quotation of the source. Secondary: read in a secondary page only. From memory: of the
source named. Computed: from the formula named. [L2-10], [L2-13]: *Lessons in Electric Circuits*, T. Kuphaldt, vol. II
chapters 10 and 13. NEC: NFPA 70, tables of 2008/2011. Values are set down, never computed by the code under test.
"""

import math

import pytest

from rungbook import LadderError
from rungbook.motors import (
    Nameplate,
    at_rest,
    balanced_load,
    code_letter,
    conductor_ampacity,
    curve_of,
    direct,
    drive_voltage,
    electric_power,
    feeder_ampacity,
    full_load_current,
    full_load_table,
    locked_rotor_current,
    locked_rotor_kva,
    locked_rotor_table_current,
    next_standard_rating,
    overload_setting,
    rotor_frequency,
    shaft_power,
    short_circuit_device,
    slip,
    slip_of_rotor_frequency,
    soft_starter,
    speed_at,
    standard_ratings,
    star_delta,
    synchronous_full_load_current,
    synchronous_speed,
    torque,
    volts_per_hertz,
)

# NEC Table 430.250, hp -> [A] at 115, 200, 208, 230, 460, 575 V. Read, two copies agree
THREE_PHASE = {
    0.5: (4.4, 2.5, 2.4, 2.2, 1.1, 0.9),
    1: (8.4, 4.8, 4.6, 4.2, 2.1, 1.7),
    1.5: (12.0, 6.9, 6.6, 6.0, 3.0, 2.4),
    3: (None, 11.0, 10.6, 9.6, 4.8, 3.9),
    5: (None, 17.5, 16.7, 15.2, 7.6, 6.1),
    10: (None, 32.2, 30.8, 28, 14, 11),
    15: (None, 48.3, 46.2, 42, 21, 17),
    25: (None, 78.2, 74.8, 68, 34, 27),
    30: (None, 92, 88, 80, 40, 32),
    50: (None, 150, 143, 130, 65, 52),
    60: (None, 177, 169, 154, 77, 62),
    100: (None, 285, 273, 248, 124, 99),
    125: (None, 359, 343, 312, 156, 125),
    200: (None, 552, 528, 480, 240, 192),
    250: (None, None, None, None, 302, 242),
    300: (None, None, None, None, 361, 289),
    350: (None, None, None, None, 414, 336),
}
# NEC Table 430.248, hp -> [A] at 115, 200, 208, 230 V. Read
SINGLE_PHASE = {
    1 / 6: (4.4, 2.5, 2.4, 2.2),
    1 / 3: (7.2, 4.1, 4.0, 3.6),
    0.5: (9.8, 5.6, 5.4, 4.9),
    1: (16, 9.2, 8.8, 8.0),
    1.5: (20, 11.5, 11.0, 10),
    2: (24, 13.8, 13.2, 12),
    5: (56, 32.2, 30.8, 28),
    7.5: (80, 46, 44, 40),
}
VOLTS = (115, 200, 208, 230, 460, 575)


class TestFullLoadTables:
    @pytest.mark.parametrize(("hp", "amps"), THREE_PHASE.items())
    def test_three_phase(self, hp, amps):  # NEC Table 430.250, read
        for volts, value in zip(VOLTS, amps, strict=True):
            if value is None:
                with pytest.raises(LadderError, match=r"Table 430\.250: has no value for"):
                    full_load_current(hp, volts)
            else:
                assert float(full_load_current(hp, volts)) == value

    @pytest.mark.parametrize(("hp", "amps"), SINGLE_PHASE.items())
    def test_single_phase(self, hp, amps):  # NEC Table 430.248, read
        assert tuple(float(full_load_current(hp, volts, 1)) for volts in VOLTS[:4]) == amps

    def test_no_115_v_above_2_hp_and_no_200_to_230_v_above_200_hp(self):  # NEC Table 430.250, read
        for row in full_load_table().rows:
            assert (row.values[0] is not None) == (row.key <= 2)
            assert [value is not None for value in row.values[1:4]] == [row.key <= 200] * 3

    def test_2300_v_begins_at_60_hp_with_16_a(self):  # NEC Table 430.250, read
        assert float(full_load_current(60, 2300)) == 16
        with pytest.raises(LadderError, match="no value for 50 hp at 2300 V"):
            full_load_current(50, 2300)

    def test_known_bad_copies_are_not_copied(self):
        assert float(full_load_current(1.5, 575)) == 2.4  # some copies: 2.1
        assert float(full_load_current(0.5, 230)) == 2.2  # some copies: 2.1

    def test_synchronous_motors_at_other_power_factors(self):  # note to NEC Table 430.250: read; the 61 A from memory
        assert float(synchronous_full_load_current(60, 460)) == 61
        assert float(synchronous_full_load_current(60, 460, 0.9)) == pytest.approx(61 * 1.1)
        assert float(synchronous_full_load_current(60, 460, 0.8)) == pytest.approx(61 * 1.25)

    def test_each_row_of_the_data_says_where_it_is_known_from(self):
        for phases, read in ((3, THREE_PHASE), (1, SINGLE_PHASE)):
            for row in full_load_table(phases).rows:
                assert row.origin.startswith("read") == (row.key in read), row
                assert row.origin.startswith("read") or row.origin == "from memory"


class TestOverload:
    @pytest.mark.parametrize(
        ("factor", "rise", "percent"),
        [
            (1.15, None, 125),  # NEC 430.32(A)(1), read
            (1.0, 40, 125),  # either is enough, read
            (1.0, None, 115),  # read
            (1.15, 50, 125),  # boundaries computed from the rule
            (1.14, 40, 125),
            (1.14, 41, 115),
            (1.25, 60, 125),
        ],
    )
    def test_share_of_the_nameplate_current(self, factor, rise, percent):
        assert float(overload_setting(100, factor, rise)) == pytest.approx(percent)

    @pytest.mark.parametrize(("factor", "rise", "percent"), [(1.15, None, 140), (1.0, 40, 140), (1.0, None, 130)])
    def test_raised_limits(self, factor, rise, percent):  # NEC 430.32(C), from memory
        assert float(overload_setting(100, factor, rise, raised=True)) == pytest.approx(percent)

    @pytest.mark.parametrize(
        ("plate", "factor", "rise", "amps"),
        [(9.8, 1.15, None, 12.25), (6.2, 1.0, 55, 7.13), (16, 1.0, None, 18.4), (1.24, 1.15, None, 1.55)],
    )  # NEC 430.32(A)(1), read; computed from the rule for the plates of lab 03
    def test_the_plates_of_lab_03(self, plate, factor, rise, amps):
        assert float(overload_setting(plate, factor, rise)) == pytest.approx(amps)

    def test_the_conductor_of_lab_03(self):  # NEC Table 430.250 and 430.22, read
        assert float(full_load_current(3, 208)) == 10.6
        assert float(conductor_ampacity(full_load_current(3, 208))) == pytest.approx(13.25)

    def test_inside_the_delta_the_relay_carries_0_577_of_the_line(self):  # computed, 1/√3
        line, winding = overload_setting(10, 1.15), overload_setting(10, 1.15, place="winding")
        assert float(winding) / float(line) == pytest.approx(0.577, abs=0.001)

    def test_the_overload_goes_by_the_nameplate_the_conductor_by_the_table(self):  # NEC 430.6(A), read
        table = full_load_current(10, 208)
        assert float(conductor_ampacity(table)) == pytest.approx(38.5)
        with pytest.raises(LadderError, match=r"nameplate's current, not from the table's \(NEC 430.6\(A\)"):
            overload_setting(table, 1.15)


class TestShortCircuitDevice:
    DEVICES = ("non-time-delay fuse", "time-delay fuse", "instantaneous-trip breaker", "inverse-time breaker")

    @pytest.mark.parametrize(
        ("motor", "percent"),
        [
            ("squirrel cage", (300, 175, 800, 250)),  # NEC Table 430.52, read
            ("wound rotor", (150, 150, 800, 150)),  # read
            ("design B energy-efficient", (300, 175, 1100, 250)),  # from memory
            ("single-phase", (300, 175, 800, 250)),  # from memory; breaker: read in a worked case
            ("direct current", (150, 150, 250, 150)),  # from memory
        ],
    )
    def test_percentages(self, motor, percent):
        for device, share in zip(self.DEVICES, percent, strict=True):
            assert f"{share} % × 40 A" in str(short_circuit_device(40, device, motor))

    def test_up_to_the_next_standard_rating(self):  # NEC 430.52(C)(1) Ex. 1, read
        assert float(short_circuit_device(30.8, "inverse-time breaker")) == 80  # 77 A
        assert float(short_circuit_device(30.8, "time-delay fuse")) == 60  # 53.9 A

    @pytest.mark.parametrize(
        ("device", "amps", "rating"),
        [
            ("time-delay fuse", 40, 90),  # 225 %: seen in a worked case; the others from memory
            ("non-time-delay fuse", 40, 150),  # 400 % = 160
            ("inverse-time breaker", 40, 150),  # 400 % = 160
            ("inverse-time breaker", 100, 400),  # still 400 %
            ("inverse-time breaker", 124, 350),  # 300 % = 372
            ("non-time-delay fuse", 150, 600),  # 400 % = 600
        ],
    )
    def test_ceilings_are_rounded_down(self, device, amps, rating):  # NEC 430.52(C)(1) Ex. 2
        assert float(short_circuit_device(amps, device, raised=True)) == rating

    def test_ceilings_of_the_instantaneous_trip(self):  # NEC 430.52(C)(3) Ex. 1, from memory
        device = "instantaneous-trip breaker"
        assert float(short_circuit_device(10, device, raised=True)) == pytest.approx(130)
        assert float(short_circuit_device(10, device, "design B energy-efficient", raised=True)) == pytest.approx(170)

    def test_standard_ratings(self):  # NEC 240.6(A), read; 2000 to 5000 A from memory
        first = (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300, 350)
        then = (400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000)
        assert standard_ratings(fuse=False) == first + then
        assert set(standard_ratings(fuse=True)) - set(standard_ratings(fuse=False)) == {1, 3, 6, 10, 601}

    def test_worked_case_1_hp_115_v_single_phase(self):  # read: 16 A, conductor 20 A or more, breaker 40 A
        amps = full_load_current(1, 115, 1)
        assert float(amps) == 16
        assert float(conductor_ampacity(amps)) == 20
        assert float(short_circuit_device(amps, "inverse-time breaker", "single-phase")) == 40


class TestConductors:
    def test_125_per_cent(self):  # NEC 430.22, read
        assert float(conductor_ampacity(16)) == 20

    def test_feeder_of_three_motors(self):  # NEC 430.24, computed: 1.25 × 11 + 3 + 3
        motors = [full_load_current(hp, 460) for hp in (1.5, 7.5, 1.5)]
        assert [float(amps) for amps in motors] == [3, 11, 3]
        assert float(feeder_ampacity(*motors)) == pytest.approx(19.75, abs=0.01)


# NEC Table 430.7(B), read: letter, first and last value of its band [kVA/hp]
# fmt: off
BANDS = [
    ("A", 0, 3.14), ("B", 3.15, 3.54), ("C", 3.55, 3.99), ("D", 4.0, 4.49), ("E", 4.5, 4.99), ("F", 5.0, 5.59),
    ("G", 5.6, 6.29), ("H", 6.3, 7.09), ("J", 7.1, 7.99), ("K", 8.0, 8.99), ("L", 9.0, 9.99), ("M", 10.0, 11.19),
    ("N", 11.2, 12.49), ("P", 12.5, 13.99), ("R", 14.0, 15.99), ("S", 16.0, 17.99), ("T", 18.0, 19.99),
    ("U", 20.0, 22.39), ("V", 22.4, 50),
]
# fmt: on


class TestLockedRotor:
    @pytest.mark.parametrize(("letter", "low", "high"), BANDS)
    def test_code_letters(self, letter, low, high):
        assert code_letter(low) == letter
        assert code_letter(high) == letter
        assert code_letter(high + 0.0099) == letter  # half open: what lies between two bands belongs below
        if letter != "V":
            assert float(locked_rotor_kva(1, letter)) == high

    @pytest.mark.parametrize("letter", ["I", "O", "Q"])
    def test_letters_that_are_none(self, letter):
        with pytest.raises(LadderError, match="no such choice"):
            locked_rotor_kva(1, letter)

    def test_20_hp_code_g(self):  # 125.8 kVA: secondary; currents computed
        assert float(locked_rotor_kva(20, "G")) == pytest.approx(125.8, abs=0.05)
        assert float(locked_rotor_current(20, 460, "G")) == pytest.approx(157.9, abs=0.2)
        assert float(locked_rotor_current(20, 480, "G")) == pytest.approx(151.3, abs=0.2)

    def test_polyphase_table(self):  # NEC Table 430.251(B), 10 hp: read
        assert [float(locked_rotor_table_current(10, volts)) for volts in (460, 230, 208)] == [81, 162, 179]

    def test_single_phase_table(self):  # NEC Table 430.251(A): read
        assert [float(locked_rotor_table_current(1, volts, 1)) for volts in (115, 230)] == [96, 48]
        assert float(locked_rotor_table_current(5, 230, 1)) == 168

    def test_it_is_six_times_the_full_load_current_at_115_and_230_v(self):  # read, of the rows named above
        for hp, volts in ((1, 115), (1, 230), (5, 230)):
            six = 6 * float(full_load_current(hp, volts, 1))
            assert float(locked_rotor_table_current(hp, volts, 1)) == pytest.approx(six)


class TestSpeed:
    @pytest.mark.parametrize(
        ("hertz", "poles", "rpm"),
        [(50, 4, 1500), (60, 2, 3600), (60, 4, 1800), (60, 6, 1200), (60, 8, 900)],
    )
    def test_synchronous_speed(self, hertz, poles, rpm):  # [L2-13] read for 50 Hz 4 p and 60 Hz 2 p; the rest computed
        assert float(synchronous_speed(hertz, poles)) == rpm

    def test_rotor_frequency(self):  # [L2-13], read
        assert float(rotor_frequency("5 %", 50)) == pytest.approx(2.5)

    def test_slip_and_rotor_frequency_of_1750_rpm(self):  # from memory
        found = slip(synchronous_speed(60, 4), 1750)
        assert float(found) == pytest.approx(2.78, abs=0.01)
        assert float(rotor_frequency(found, 60)) == pytest.approx(1.67, abs=0.01)

    def test_speed_from_the_rotor_frequency(self):  # worked example of a textbook, read
        found = slip_of_rotor_frequency(2, 50)
        assert float(found) == pytest.approx(4)
        assert float(speed_at(found, synchronous_speed(50, 6))) == pytest.approx(960)


class TestPower:
    def test_balanced_star(self):  # [L2-10], read: 120 V a phase, 1.44 Ω
        load = balanced_load(120 * math.sqrt(3), 1.44, "star")
        assert load.line_volts == pytest.approx(207.8, rel=0.001)
        assert load.line_amps == pytest.approx(83.33, rel=0.001)
        assert load.watts == pytest.approx(30_000, rel=0.001)

    def test_star_and_delta_on_400_v_10_ohms(self):  # computed
        assert balanced_load(400, 10, "delta").line_amps == pytest.approx(69.28, abs=0.01)
        assert balanced_load(400, 10, "star").line_amps == pytest.approx(23.09, abs=0.01)

    def test_three_phase_power(self):  # read
        assert float(electric_power(400, 20)) == pytest.approx(13_856, abs=1)

    def test_horsepower_at_the_shaft(self):  # from memory
        assert float(shaft_power(460, 30, 0.85, 0.92, unit="hp")) == pytest.approx(25.06, abs=0.05)

    def test_torque_of_10_hp_at_1750_rpm(self):  # computed
        assert float(torque("10 hp", 1750, "lb·ft")) == pytest.approx(30.0, abs=0.1)
        assert float(torque("10 hp", 1750)) == pytest.approx(40.7, abs=0.1)


MILL = Nameplate("10 hp", 460, 13.2, 1740)  # its multiples are those of [L2-13]


class TestTypicalCageCurve:  # [L2-13], read; within 15 %
    def test_locked_rotor_torque_is_about_175_per_cent(self):
        assert curve_of(MILL).torque(1.0) == pytest.approx(1.75, rel=0.15)

    def test_locked_rotor_current_is_about_500_per_cent(self):
        assert curve_of(MILL).current(1.0) == pytest.approx(5.0, rel=0.15)

    def test_breakdown_is_about_300_per_cent_near_20_per_cent_slip(self):
        curve = curve_of(MILL)
        at = max(range(1, 1001), key=lambda share: curve.torque(share / 1000)) / 1000
        assert curve.torque(at) == pytest.approx(3.0, rel=0.15)
        assert at == pytest.approx(0.20, rel=0.15)

    def test_design_b_and_d_can_be_drawn(self):  # [L2-13], read: B locked rotor 150 to 170 %, D slip 5 to 13 %
        for locked in (1.5, 1.7):
            plate = Nameplate("10 hp", 460, 13.2, 1750, locked_torque=locked, breakdown_torque=2.5)
            assert curve_of(plate).torque(1.0) == pytest.approx(locked)
        for percent in (5, 13):
            rpm = 1800 * (1 - percent / 100)
            plate = Nameplate("10 hp", 460, 13.2, rpm, locked_torque=2.75, breakdown_torque=2.75)
            curve = curve_of(plate)
            assert max(curve.torque(k / 500) for k in range(501)) == pytest.approx(2.75, rel=0.005)
            assert curve.torque(1.0) == pytest.approx(2.75)


class TestStarting:
    def test_star_takes_a_third_of_the_line_current_and_gives_a_third_of_the_torque(self):  # read
        full, star = at_rest(MILL, direct()), at_rest(MILL, star_delta())
        assert star.line / full.line == pytest.approx(1 / 3)  # 57.7 %, as some pages say, is wrong
        assert star.torque / full.torque == pytest.approx(1 / 3)
        assert star.voltage == pytest.approx(1 / math.sqrt(3))

    def test_star_takes_1_over_the_root_of_3_of_the_phase_current(self):  # read
        star, delta = balanced_load(400, 10, "star"), balanced_load(400, 10, "delta")
        assert star.phase_amps / delta.phase_amps == pytest.approx(1 / math.sqrt(3))

    def test_soft_starter_at_half_voltage(self):  # computed, T ∝ V²
        full, half = at_rest(MILL, direct()), at_rest(MILL, soft_starter(0.5))
        assert half.motor / full.motor == half.line / full.line == pytest.approx(0.5)
        assert half.torque / full.torque == pytest.approx(0.25)

    def test_volts_per_hertz(self):  # computed
        assert float(volts_per_hertz(460, 60)) == pytest.approx(7.667, abs=0.001)
        assert float(drive_voltage(460, 60, 30)) == pytest.approx(230, abs=0.1)


def test_next_standard_rating_of_a_calculated_value():  # NEC 430.52(C)(1) Ex. 1 with 240.6(A), read
    assert [next_standard_rating(amps, fuse=False) for amps in (36.4, 40, 40.1)] == [40, 40, 45]
