"""Tables, settings, conductors, devices: boundaries, invariants, bad input. Published values: tests/references."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import (
    DEVICES,
    Nameplate,
    code_letter,
    code_letter_of,
    conductor_ampacity,
    conductor_size,
    feeder_ampacity,
    full_load_current,
    full_load_table,
    locked_rotor_current,
    locked_rotor_kva,
    locked_rotor_table_current,
    next_standard_rating,
    overload_setting,
    rating_within,
    short_circuit_device,
    standard_ratings,
    synchronous_full_load_current,
)
from rungbook.motors.data.t310_16 import COPPER_75
from rungbook.motors.data.t430_7b import TABLE_430_7B
from rungbook.motors.data.t430_52 import TABLE_430_52
from rungbook.motors.data.t430_250 import TABLE_430_250, TABLE_430_250_SYNCHRONOUS
from rungbook.motors.data.t430_251 import TABLE_430_251_A, TABLE_430_251_B

amps = st.floats(0.1, 1900)
TABLES = (TABLE_430_250, full_load_table(1), TABLE_430_251_A, TABLE_430_251_B)
LETTERS = tuple(letter for letter in TABLE_430_7B if letter != "V")


class TestFullLoad:
    @pytest.mark.parametrize(
        ("volts", "column"), [(110, 115), (120, 115), (240, 230), (440, 460), (480, 460), (600, 575)]
    )
    def test_system_voltages_count_for_the_column_of_the_table(self, volts, column):
        assert float(full_load_current(1, volts)) == float(full_load_current(1, column))

    @pytest.mark.parametrize("volts", [109, 121, 199, 210, 219, 241, 400, 439, 481, 601, 2299])
    def test_other_voltages_are_refused_with_the_columns(self, volts):
        with pytest.raises(LadderError, match="has no column for") as found:
            full_load_current(1, volts)
        assert found.value.choices[:2] == ("115 V (110–120)", "200 V")

    def test_nothing_is_read_between_two_rows(self):
        with pytest.raises(LadderError, match=r"Table 430\.250: has no row for 12 hp") as found:
            full_load_current(12, 460)
        assert found.value.choices[:5] == ("1/2", "3/4", "1", "1 1/2", "2")

    def test_a_third_may_be_written_0_33(self):
        assert float(full_load_current(0.33, 115, 1)) == float(full_load_current("0,33 hp", 115, 1)) == 7.2

    @pytest.mark.parametrize(("hp", "phases"), [(-1, 3), (0, 3), (1, 2), (1, True), (1, None)])
    def test_bad_input(self, hp, phases):
        with pytest.raises(LadderError):
            full_load_current(hp, 460, phases)

    def test_a_synchronous_motor_at_a_power_factor_that_the_note_does_not_have(self):
        with pytest.raises(LadderError, match=r"has\. Given: 0\.85\. Choices: 1\.0, 0\.9, 0\.8"):
            synchronous_full_load_current(60, 460, 0.85)

    def test_the_table_shows_every_row_with_its_origin(self):
        page = full_load_table()._repr_html_()
        assert page.count("<tr>") == len(TABLE_430_250.rows) + 1
        assert "from memory" in page
        assert "licensed person" in page

    @pytest.mark.parametrize("table", [*TABLES, TABLE_430_250_SYNCHRONOUS])
    def test_a_table_rises_with_power_and_falls_with_voltage(self, table):
        """A slip of the pen in a row from memory would break this."""
        for column in range(len(table.columns)):
            values = [row.values[column] for row in table.rows if row.values[column] is not None]
            assert values == sorted(set(values)), table.columns[column]
        for row in table.rows:
            known = [value for value in row.values if value is not None]
            assert known == sorted(set(known), reverse=True), row

    @pytest.mark.parametrize("table", TABLES)
    def test_the_columns_of_a_row_are_the_same_power(self, table):
        """Voltage times current is nearly one value along a row: 200 V has 1.15 times the current of 230 V."""
        names = [column.name for column in table.columns]
        base = names.index(230)
        for row in table.rows:
            for name, value in zip(names, row.values, strict=True):
                if value is None or row.values[base] is None or name == 2300:
                    continue
                near = 0.08 if row.values[base] < 4 else 0.04
                assert value * name == pytest.approx(row.values[base] * 230, rel=near), (row, name)

    @pytest.mark.parametrize(
        ("table", "factors"),
        [
            (TABLE_430_250, {115: 2, 200: 1.15, 208: 1.1, 460: 0.5}),
            (full_load_table(1), {115: 2, 200: 1.15, 208: 1.1}),
            (TABLE_430_251_A, {115: 2, 208: 230 / 208}),
            (TABLE_430_251_B, {115: 2, 200: 1.15, 208: 230 / 208, 460: 0.5, 575: 0.4}),
        ],
    )
    def test_columns_are_the_230_v_column_times_a_factor_and_rounded(self, table, factors):
        """What the tables were once reckoned by; a digit in the wrong place in a row from memory would break it."""
        names = [column.name for column in table.columns]
        for row in table.rows:
            base = row.values[names.index(230)]
            for name, factor in factors.items():
                value = row.values[names.index(name)]
                if value is not None and base is not None:
                    half = 0.051 if value < 10 or value != round(value) else 0.51
                    assert value == pytest.approx(factor * base, abs=half), (row, name)


class TestOverloadSetting:
    def test_the_steps(self):
        assert overload_setting(13.2, 1.15).steps == (
            "service factor 1.15: 1.15 or more",
            "1.25 × 13.2 A = 16.5 A (NEC 430.32(A)(1))",
        )
        assert overload_setting("13,2 A", 1.0, 80).steps[0] == (
            "service factor 1, below 1.15; temperature rise 80 °C, above 40 °C"
        )

    @given(amps, st.floats(1, 2), st.none() | st.floats(1, 200))
    def test_the_raised_limit_is_higher_and_the_winding_carries_less(self, current, factor, rise):
        plain = float(overload_setting(current, factor, rise))
        assert current * 1.1499 < plain < float(overload_setting(current, factor, rise, raised=True)) < current * 1.4001
        assert float(overload_setting(current, factor, rise, place="winding")) == pytest.approx(plain / 3**0.5)

    @pytest.mark.parametrize(("current", "factor", "rise"), [(0, 1, None), (-4, 1, None), (4, 0.9, None), (4, 1, -40)])
    def test_bad_input(self, current, factor, rise):
        with pytest.raises(LadderError):
            overload_setting(current, factor, rise)

    def test_another_place_is_refused(self):
        with pytest.raises(LadderError, match="Choices: line, winding"):
            overload_setting(4, place="neutral")


class TestStandardRatings:
    @given(amps, st.booleans())
    def test_the_next_one_is_never_below_and_the_one_before_is(self, current, fuse):
        ratings = standard_ratings(fuse=fuse)
        found = next_standard_rating(current, fuse=fuse)
        assert found >= current - 1e-6
        smaller = [rating for rating in ratings if rating < found]
        assert not smaller or smaller[-1] < current

    @given(amps, st.booleans())
    def test_the_one_within_is_never_above(self, current, fuse):
        found = rating_within(current, fuse=fuse)
        assert found is None or found <= current + 1e-6
        assert found is None or next_standard_rating(current, fuse=fuse) in (found, *standard_ratings(fuse=fuse))
        assert (found is None) == (current < standard_ratings(fuse=fuse)[0])

    def test_rounding_of_the_computer_does_not_push_a_rating_up(self):
        assert next_standard_rating(2.5 * 16, fuse=False) == 40
        assert next_standard_rating(1.75 * 40, fuse=True) == 70

    @pytest.mark.parametrize("current", [0, -1, 6001])
    def test_outside_the_list(self, current):
        with pytest.raises(LadderError, match="a number above 0 to 6000 A"):
            next_standard_rating(current, fuse=True)


class TestShortCircuitDevice:
    @given(amps, st.sampled_from(DEVICES), st.sampled_from(tuple(TABLE_430_52)))
    def test_the_ceiling_is_never_below_the_plain_rating_and_both_carry_the_motor(self, current, device, motor):
        plain = float(short_circuit_device(current, device, motor))
        raised = float(short_circuit_device(current, device, motor, raised=True))
        assert current < plain <= raised

    def test_the_steps(self):
        assert short_circuit_device(30.8, "time-delay fuse").steps == (
            "175 % × 30.8 A = 53.9 A (NEC Table 430.52, squirrel cage, time-delay fuse)",
            "next standard rating up: 60 A (NEC 430.52(C)(1) Ex. 1, 240.6(A))",
        )

    def test_a_ceiling_with_no_rating_below_it_leaves_the_plain_one(self):
        found = short_circuit_device(2, "inverse-time breaker", raised=True)  # 400 % = 8 A, the smallest is 15 A
        assert float(found) == 15
        assert found.steps[-1] == "no standard rating between it and 15 A: that stays"

    def test_above_600_a_a_fuse_has_300_per_cent(self):
        assert float(short_circuit_device(200, "non-time-delay fuse", raised=True)) == 600  # 400 % = 800, 300 % = 600
        assert float(short_circuit_device(280, "non-time-delay fuse", raised=True)) == 1000  # plain: 840, up to 1000

    @pytest.mark.parametrize(("device", "motor"), [("fuse", "squirrel cage"), ("time-delay fuse", "stepper")])
    def test_unknown_choices_are_listed(self, device, motor):
        with pytest.raises(LadderError, match="Choices: "):
            short_circuit_device(10, device, motor)


class TestConductors:
    @given(st.floats(0.1, 430))
    def test_the_size_carries_what_is_asked_and_the_next_thinner_does_not(self, current):
        found = conductor_size(conductor_ampacity(current))
        assert float(found) == COPPER_75[found.size] >= 1.25 * current
        sizes = list(COPPER_75)
        thinner = sizes[: sizes.index(found.size)][-1:]
        assert all(COPPER_75[other] < 1.25 * current for other in thinner)

    def test_the_size_stands_in_the_answer(self):
        found = conductor_size(conductor_ampacity(full_load_current(10, 208)))
        assert (found.size, float(found)) == ("8 AWG", 50)
        assert str(found).splitlines()[0] == "Conductor 8 AWG, ampacity: 50 A"

    def test_they_go_by_the_table_not_by_the_nameplate(self):
        plate = Nameplate("10 hp", 460, 13.2, 1740)
        for call in (conductor_ampacity, feeder_ampacity, short_circuit_device):
            with pytest.raises(LadderError, match=r"the table's current, not the nameplate's \(NEC 430\.6\(A\)\(1\)\)"):
                call(plate.current)
        assert float(overload_setting(plate.current, 1.15)) == pytest.approx(16.5)

    def test_ampacities_rise(self):
        assert list(COPPER_75.values()) == sorted(set(COPPER_75.values()))

    @given(st.lists(amps, min_size=1, max_size=6))
    def test_the_order_of_the_motors_does_not_matter_and_one_motor_is_its_own_feeder(self, motors):
        assert float(feeder_ampacity(*motors)) == pytest.approx(float(feeder_ampacity(*reversed(motors))))
        assert float(feeder_ampacity(motors[0])) == pytest.approx(float(conductor_ampacity(motors[0])))
        assert float(feeder_ampacity(*motors)) == pytest.approx(sum(motors) + 0.25 * max(motors))

    def test_other_loads(self):
        found = feeder_ampacity(11, 3, other=10, continuous=8)
        assert float(found) == pytest.approx(1.25 * 11 + 3 + 10 + 1.25 * 8)
        assert found.steps[-1].startswith("1.25 × 11 + 3 + 10 + 1.25 × 8 = 36.75 A (NEC 430.24")

    def test_bad_input(self):
        with pytest.raises(LadderError, match="at least one motor"):
            feeder_ampacity()
        with pytest.raises(LadderError, match="above 0 to 545 A"):
            conductor_size(600)
        with pytest.raises(LadderError, match="Full-load current: a number above 0"):
            conductor_ampacity(-16)


class TestLockedRotor:
    def test_v_has_no_upper_end(self):
        with pytest.raises(LadderError, match="without an upper end"):
            locked_rotor_current(10, 460, "V")

    @given(st.floats(0, 100))
    def test_every_kva_has_a_letter_and_letters_rise(self, kva):
        letters = list(TABLE_430_7B)
        assert letters.index(code_letter(kva)) <= letters.index(code_letter(min(kva + 1, 100)))
        assert TABLE_430_7B[code_letter(kva)][0] <= kva

    @given(st.floats(0.5, 200), st.floats(110, 600), st.sampled_from(LETTERS))
    def test_a_current_by_letter_has_that_letter(self, hp, volts, letter):
        current = float(locked_rotor_current(hp, volts, letter)) * 0.9999
        assert code_letter_of(current, volts, hp) == letter
        assert float(locked_rotor_kva(hp, letter)) == pytest.approx(TABLE_430_7B[letter][1] * hp)

    @pytest.mark.parametrize("design", ["A", "E", "", None])
    def test_other_designs_are_refused(self, design):
        with pytest.raises(LadderError, match="Choices: B, C, D"):
            locked_rotor_table_current(10, 460, 3, design)

    def test_bad_input(self):
        with pytest.raises(LadderError, match="from 0 to 100 kVA/hp"):
            code_letter(-1)
        with pytest.raises(LadderError, match="one or three"):
            code_letter_of(10, 460, 1, 2)
