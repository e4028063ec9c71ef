import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.behaviour import Branch, Network, Source
from rungbook.kit.ratings import CONTACTOR_COIL, RELAY_COIL, SupplyRating
from rungbook.motors import awg_area, control_drop, longest_line


@pytest.mark.parametrize(("size", "mm2"), [(14, 2.08), (12, 3.31), (10, 5.26), (18, 0.823), (0, 53.5)])
def test_areas_of_awg_sizes(size, mm2):  # common tables of AWG sizes, from memory
    assert awg_area(size) == pytest.approx(mm2, rel=0.005)


def test_resistance_of_a_copper_line():  # IEC 60028: 1 km of 1 mm² at 20 °C is 17.24 Ω
    assert control_drop(500, 1, celsius=20).line == pytest.approx(17.24, abs=0.01)
    assert control_drop(500, 1, celsius=70).line == pytest.approx(17.24 * 1.1965, abs=0.01)


def test_a_long_line_keeps_a_coil_from_pulling_in_though_it_would_hold():
    found = control_drop(1000, 0.5)
    assert not found
    assert found.share < 0.85
    assert found.held / 120 > 0.9
    assert "is NOT sure to pull in" in str(found)
    assert control_drop(100, 1.5)


@given(st.floats(0.2, 4), st.sampled_from([CONTACTOR_COIL, RELAY_COIL]), st.integers(0, 4))
def test_at_the_longest_line_the_coil_gets_85_per_cent(mm2, coil, beside):
    metres = longest_line(mm2, coil, held_beside=beside)
    if metres < 10_000:
        assert control_drop(metres, mm2, coil, held_beside=beside).share == pytest.approx(0.85, abs=1e-6)


@given(st.floats(0, 3000), st.floats(0.2, 4), st.integers(0, 5))
def test_a_longer_or_thinner_line_and_more_coils_beside_leave_less(metres, mm2, beside):
    volts = control_drop(metres, mm2, held_beside=beside).pull_in
    assert control_drop(metres + 10, mm2, held_beside=beside).pull_in < volts
    assert control_drop(metres + 10, mm2 * 0.9, held_beside=beside).pull_in < volts
    assert control_drop(metres, mm2, held_beside=beside + 1).pull_in < volts


def test_bad_input():
    with pytest.raises(LadderError, match="Length of the line: a number from 0 to 10000 m"):
        control_drop(-1, 1)
    with pytest.raises(LadderError, match="Area of the wire: a number above 0"):
        control_drop(100, 0)
    with pytest.raises(LadderError, match="even without a line"):
        longest_line(1, supply=SupplyRating(volts=100))
    with pytest.raises(LadderError, match="AWG size: a whole number from 0 to 36"):
        awg_area(40)


@given(st.floats(1, 3000), st.floats(0.2, 4), st.integers(0, 3))
def test_the_network_solver_finds_the_same_voltage(metres, mm2, beside):
    found = control_drop(metres, mm2, held_beside=beside)
    supply = SupplyRating()
    closed = [Branch(f"Q{n}", 1, 0, CONTACTOR_COIL.ohms(True)) for n in range(2, 2 + beside)]
    branches = (Branch("line", 1, 2, found.line), Branch("Q1", 2, 0, CONTACTOR_COIL.ohms(False)), *closed)
    network = Network(branches, (Source("G", 1, 0, supply.volts, supply.ohms),), ())
    assert found.pull_in == pytest.approx(abs(network.solve(frozenset()).across(2, 0)), rel=1e-9)
