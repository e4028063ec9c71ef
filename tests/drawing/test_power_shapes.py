"""What makes each power symbol of either set the one a technician knows."""

from __future__ import annotations

import pytest

from rungbook import LadderError
from rungbook.circuit.power import POLES, POWER_KINDS, TERMINALS
from rungbook.drawing.power_shapes import Ink, PowerSymbols, box_shape, device_shape, motor_shape
from rungbook.drawing.power_symbols import power_symbols
from rungbook.drawing.shapes import Point

IEC, NEMA = power_symbols("iec"), power_symbols("nema")
both = pytest.mark.parametrize("symbols", [IEC, NEMA], ids=["iec", "nema"])


def _ends(ink: Ink) -> set[Point]:
    return {end for stroke in ink.strokes for end in (stroke.points[0], stroke.points[-1])}


@both
def test_every_kind_that_a_power_circuit_holds_has_a_symbol_of_its_own(symbols: PowerSymbols) -> None:
    assert set(symbols.poles) == set(POWER_KINDS)
    assert len({(made.ink.strokes, made.ink.rings) for made in symbols.poles.values()}) == len(POWER_KINDS)


@both
@pytest.mark.parametrize("kind", POWER_KINDS)
def test_the_leads_of_each_pole_end_where_its_wires_end(symbols: PowerSymbols, kind: str) -> None:
    shape = device_shape(symbols, kind, POLES, 40.0)
    assert [pin.terminal for pin in shape.pins] == ["1", "2", "3", "4", "5", "6"]
    for n, ink in enumerate(shape.poles):
        upper, lower = shape.pins[2 * n : 2 * n + 2]
        assert {upper.at, lower.at} <= _ends(ink)
        assert (upper.at, lower.at) == ((40.0 * n, 0.0), (40.0 * n, shape.height))


@both
@pytest.mark.parametrize("kind", POWER_KINDS)
def test_what_opens_and_closes_has_a_dashed_link_through_its_poles(symbols: PowerSymbols, kind: str) -> None:
    shape = device_shape(symbols, kind, POLES, 40.0)
    dashed = [stroke for stroke in shape.common.strokes if stroke.dashed]
    assert bool(dashed) == (shape.link is not None) == (POWER_KINDS[kind] == "Q")
    if dashed:
        assert max(x for s in dashed for x, _ in s.points) - min(x for s in dashed for x, _ in s.points) >= 80


def test_a_contactor_alone_has_no_handle() -> None:
    for symbols in (IEC, NEMA):
        by_hand = ("disconnect", "circuit breaker", "manual motor starter")
        left = {kind: device_shape(symbols, kind, POLES, 40.0).box[0] for kind in POWER_KINDS}
        assert {kind for kind, edge in left.items() if edge <= -20} == set(by_hand)


def test_a_contactor_is_two_bars_or_an_open_blade_with_a_half_circle() -> None:
    bars = [s for s in NEMA.poles["contactor"].ink.strokes if s.points[0][1] == s.points[-1][1]]
    assert len(bars) == 2
    lead, blade, half = IEC.poles["contactor"].ink.strokes
    tip = blade.points[0]
    assert tip[0] < -8, "the blade stands clear of the upper contact"
    assert lead.points[-1][1] - 2 < tip[1] < lead.points[-1][1] + 2
    assert half.points[0][0] == half.points[-1][0] == 0
    assert half.points[-1][1] - half.points[0][1] == pytest.approx(-8)
    assert min(x for x, _ in half.points) == -4
    assert blade.points[-1] == (0, 72.0)


def test_a_breaker_has_a_cross_and_a_switch_disconnector_a_bar_and_a_small_circle() -> None:
    _, _, *cross = IEC.poles["circuit breaker"].ink.strokes
    assert [stroke.points for stroke in cross] == [((-4, 22.0), (4, 30.0)), ((-4, 30.0), (4, 22.0))]
    switch = IEC.poles["disconnect"].ink
    assert any(points == ((-6, 19), (6, 19)) for points in (stroke.points for stroke in switch.strokes))
    assert [ring.radius for ring in switch.rings] == [3.5]


@both
def test_a_motor_starter_has_a_thermal_and_a_magnetic_release_below_its_contact(symbols: PowerSymbols) -> None:
    starter, breaker = symbols.poles["manual motor starter"], symbols.poles["circuit breaker"]
    assert starter.height > breaker.height
    if symbols is IEC:
        assert [letter.words for letter in starter.ink.letters] == ["I>"]


def test_an_overload_relay_is_one_box_about_all_poles_or_marked_ol() -> None:
    (box,) = device_shape(IEC, "overload relay", POLES, 40.0).common.strokes
    assert (min(x for x, _ in box.points), max(x for x, _ in box.points)) == (-12, 92)
    assert device_shape(NEMA, "overload relay", POLES, 40.0).mark == "OL"


def test_terminals_are_marked_as_the_set_does() -> None:
    """IEC 60947-4-1 marks main terminals 1/L1 to 6/T3; that a fuse has none of the letters is common practice."""
    assert [pin.label for pin in device_shape(NEMA, "contactor", POLES, 40).pins] == [
        *("1/L1", "2/T1", "3/L2", "4/T2", "5/L3", "6/T3")
    ]
    assert [pin.label for pin in device_shape(IEC, "contactor", POLES, 40).pins] == ["1", "2", "3", "4", "5", "6"]
    assert [pin.label for pin in device_shape(NEMA, "fuse", ["1-2"], 40).pins] == ["1", "2"]


@both
def test_a_pole_that_is_left_out_leaves_its_place_empty(symbols: PowerSymbols) -> None:
    shape = device_shape(symbols, "contactor", ("5-6", "1-2"), 40.0)
    assert [(pin.terminal, pin.at[0]) for pin in shape.pins] == [("1", 0), ("2", 0), ("5", 80), ("6", 80)]


@both
@pytest.mark.parametrize("pitch", [40.0, 44.0, 170.0])
@pytest.mark.parametrize("ends", [TERMINALS[:3], TERMINALS, ("U1", "U2")], ids=len)
def test_every_lead_of_a_motor_ends_on_its_circle(symbols: PowerSymbols, ends: tuple[str, ...], pitch: float) -> None:
    shape = motor_shape(symbols, ends, pitch)
    assert [pin.terminal for pin in shape.pins] == list(ends)
    (x, y), radius = shape.common.rings[0].centre, shape.common.rings[0].radius
    for pin in shape.pins:
        (lead,) = [stroke for stroke in shape.common.strokes if stroke.points[0] == pin.at]
        a, b = lead.points[-1]
        assert ((a - x) ** 2 + (b - y) ** 2) ** 0.5 == pytest.approx(radius)
        assert pin.up == (pin.at[1] < y)
    words = [letter.words for letter in shape.common.letters]
    assert words[:2] == list(symbols.motor if len(ends) > 2 else symbols.one_phase_motor)
    assert words[2] == symbols.earth


@both
@pytest.mark.parametrize("kind", ["soft starter", "drive"])
def test_a_box_has_three_lines_in_above_and_three_out_below(symbols: PowerSymbols, kind: str) -> None:
    shape = box_shape(symbols, kind, 40.0)
    assert [pin.up for pin in shape.pins] == [True, False] * 3
    for n, ink in enumerate(shape.poles):
        assert {shape.pins[2 * n].at, shape.pins[2 * n + 1].at} <= _ends(ink)


def test_a_mechanical_interlock_is_a_triangle_or_a_cross_in_the_link() -> None:
    (triangle,) = IEC.interlock((10.0, 20.0)).strokes
    assert triangle.points[0] == triangle.points[-1]
    assert len(set(triangle.points)) == 3
    assert len(NEMA.interlock((10.0, 20.0)).strokes) == 2


@pytest.mark.parametrize("name", ["din", "", None, ["iec"]])
def test_another_set_is_refused(name: object) -> None:
    with pytest.raises(LadderError, match="no such set of symbols") as caught:
        power_symbols(name)
    assert caught.value.choices == ("nema", "iec")
