import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.motors import balanced_load, efficiency, electric_power, motor_current, shaft_power, torque

factor = st.floats(0.3, 1)


class TestMetricRoute:
    def test_current_of_7_5_kw_at_400_v(self):
        found = motor_current(7.5, 400, 0.82, 0.88)  # computed: 7500 / (√3 · 400 · 0.82 · 0.88)
        assert float(found) == pytest.approx(15.0, abs=0.01)
        assert found.steps == ("I = 7500 W ÷ (√3 × 400 V × 0.82 × 0.88) = 15 A",)

    @given(st.floats(0.1, 500), st.floats(100, 700), factor, factor, st.sampled_from([1, 3]))
    def test_the_current_gives_the_power_again(self, kilowatts, volts, cosine, eta, phases):
        current = motor_current(kilowatts, volts, cosine, eta, phases)
        assert float(shaft_power(volts, current, cosine, eta, phases)) == pytest.approx(kilowatts)
        drawn = float(electric_power(volts, current, cosine, phases)) / 1000
        assert float(efficiency(kilowatts, drawn * 1.0000001)) == pytest.approx(100 * eta, rel=1e-5)


@given(st.floats(10, 1000), st.floats(1, 1000))
def test_star_is_exactly_a_third_of_delta(volts, ohms):
    star, delta = balanced_load(volts, ohms, "star"), balanced_load(volts, ohms, "delta")
    assert star.line_amps * 3 == pytest.approx(delta.line_amps, rel=1e-12)
    assert star.watts * 3 == pytest.approx(delta.watts, rel=1e-12)
    assert star.phase_amps * math.sqrt(3) == pytest.approx(delta.phase_amps, rel=1e-12)


def test_a_balanced_load_tells_line_and_phase():
    assert str(balanced_load(400, 10, "delta")) == (
        "delta: 400 V between lines, 400 V a phase; 69.28 A in a line, 40 A in a phase; 48000 W"
    )


@given(st.floats(0.01, 1000), st.floats(10, 4000))
def test_torque_in_both_units(kilowatts, rpm):
    assert float(torque(kilowatts, rpm, "lb·ft")) * 1.355818 == pytest.approx(float(torque(kilowatts, rpm)), rel=1e-6)
    assert float(torque(kilowatts, rpm, "lb·ft")) == pytest.approx(5252.1 * kilowatts / 0.7457 / rpm, rel=1e-4)


@pytest.mark.parametrize(
    "call",
    [
        lambda: motor_current(-1, 400, 0.8, 0.9),
        lambda: motor_current(0, 400, 0.8, 0.9),
        lambda: motor_current(1, 400, 1.2, 0.9),
        lambda: motor_current(1, 400, 0.8, 0),
        lambda: motor_current(1, 0, 0.8, 0.9),
        lambda: motor_current(1, 400, 0.8, 0.9, 2),
        lambda: electric_power(400, -1),
        lambda: torque(1, 0),
        lambda: torque(1, 1750, "kg"),
        lambda: efficiency(8, 7.5),
        lambda: balanced_load(400, 0, "star"),
        lambda: balanced_load(400, 10, "zigzag"),
    ],
)
def test_bad_input(call):
    with pytest.raises(LadderError):
        call()
