"""What makes each symbol of IEC 60617 the one a technician knows. All from memory of the standard.

A rung runs from left to right, so the standard's symbols are turned a quarter to the left (IEC 61082-1, from memory):
what was left of the current path is below it, and an operated contact moves upwards.
"""

from __future__ import annotations

import pytest

from rungbook import LadderError
from rungbook.drawing.iec import IEC
from rungbook.drawing.iec_shapes import REACH
from rungbook.drawing.shapes import Arc, Point, Shape, Stroke
from rungbook.kit import LAMP_MEANINGS

from .shapes_of import WITH_CONTACTS, contact_of, load_of


def contact(kind: str, which: str, terminals: str = "", setting: str = "") -> Shape:
    return contact_of("iec", kind, which, terminals, setting)


def lines(shape: Shape) -> tuple[Stroke, Stroke, tuple[Stroke, ...]]:
    """The fixed contact with its wire, the blade with its wire, and what moves it."""
    fixed, blade, *others = shape.strokes
    return fixed, blade, tuple(others)


def end_of_link(shape: Shape) -> Point:
    (link,) = [stroke for stroke in shape.strokes if stroke.dashed]
    return link.points[1]


MOVED = [kind for kind in WITH_CONTACTS if kind != "fuse"]


@pytest.mark.parametrize("kind", MOVED)
def test_a_make_contact_is_a_blade_hinged_at_the_right_that_hangs_open_below_the_wire(kind: str) -> None:
    fixed, blade, _ = lines(contact(kind, "NO"))
    assert fixed.points == ((-REACH, 0.0), (-11.0, 0.0))
    assert blade.points[:2] == ((REACH, 0.0), (11.0, 0.0))
    x, y = blade.points[2]
    assert x == -11.0
    assert y == pytest.approx(12.7, abs=0.01)  # 30 degrees


@pytest.mark.parametrize("kind", MOVED)
def test_a_break_contact_is_a_blade_above_the_wire_that_touches_an_angled_stub(kind: str) -> None:
    fixed, blade, _ = lines(contact(kind, "NC"))
    foot, stub = fixed.points[1:]
    assert foot == (-11.0, 0.0)
    assert stub[0] == foot[0]
    assert stub[1] < -12
    (x, y), (end, top) = blade.points[1:]
    share = (stub[0] - x) / (end - x)
    assert 0.8 < share < 1, "the blade goes on past the stub"
    assert y + share * (top - y) == pytest.approx(stub[1], abs=0.01), "the blade meets the end of the stub"


@pytest.mark.parametrize("kind", [kind for kind in MOVED if kind not in ("contactor", "control relay", "limit switch")])
@pytest.mark.parametrize("which", ["NO", "NC"])
def test_what_moves_a_contact_stands_below_on_a_dashed_link_from_the_middle_of_the_blade(kind: str, which: str) -> None:
    shape = contact(kind, which)
    (link,) = [stroke for stroke in shape.strokes if stroke.dashed]
    (x, y), (_, low) = link.points
    assert x == 0.0
    assert abs(y) == pytest.approx(6.35, abs=0.01)
    assert low >= 20
    assert shape.below


def test_a_coil_moves_its_contact_without_a_sign() -> None:
    for kind in ("contactor", "control relay"):
        for which in ("NO", "NC"):
            assert len(contact(kind, which).strokes) == 2


def test_a_push_button_has_both_arms_towards_the_contact_and_no_detent() -> None:
    for which in ("NO", "NC"):
        shape = contact("push button", which)
        _, _, (_, bar) = lines(shape)
        (left, up), (_, low), (_, _), (right, other) = bar.points
        assert (left, right) == (-8.0, 8.0)
        assert up == other < low == end_of_link(shape)[1]


@pytest.mark.parametrize("kind", ["two-position selector", "three-position selector"])
def test_a_selector_has_arms_to_opposite_sides_and_a_detent(kind: str) -> None:
    shape = contact(kind, "NO")
    _, _, (_, bar, notch, *_) = lines(shape)
    (_, one), (_, level), _, (_, other) = bar.points
    assert other < level < one
    _, (x, y), _ = notch.points
    assert x == 0.0, "the point of the detent is on the link"
    assert y < level


#: left, off, right; chart of the kit's three-position selector (`rungbook.kit.kinds`).
CHART = [("NO", "13-14", [-10]), ("NO", "23-24", [10]), ("NC", "31-32", [0, 10]), ("NC", "41-42", [-10, 0])]


@pytest.mark.parametrize(("which", "terminals", "dots"), CHART)
def test_a_three_position_selector_has_a_dot_where_its_contact_is_closed(
    which: str, terminals: str, dots: list[float]
) -> None:
    shape = contact("three-position selector", which, terminals)
    assert [ring.centre[0] for ring in shape.rings] == dots
    assert {ring.fill for ring in shape.rings} == {"ink"}
    level = shape.rings[0].centre[1]
    upright = [s.points[0][0] for s in shape.strokes if s.points[0][0] == s.points[-1][0] and s.points[-1][1] > level]
    assert upright == [-10.0, 0.0, 10.0]


def test_an_emergency_stop_has_a_mushroom_a_detent_and_opens_positively() -> None:
    """Positive opening: an arrow in a circle, IEC 60947-5-1, Annex K, from memory."""
    for which, circles in (("NO", 0), ("NC", 1)):
        shape = contact("emergency stop", which)
        assert [(arc.start, arc.end) for arc in shape.arcs] == [(0, 180)], "the head bulges away from the contact"
        assert shape.arcs[0].centre == end_of_link(shape)
        assert len(shape.rings) == circles
    (ring,) = contact("emergency stop", "NC").rings
    *_, arrow, head = contact("emergency stop", "NC").strokes
    assert ring.fill == "none"
    assert arrow.points[1] == head.points[1] == (ring.centre[0] + ring.radius, ring.centre[1]), "it points right"


def test_a_position_switch_has_a_triangle_below_its_blade() -> None:
    for which in ("NO", "NC"):
        _, blade, (triangle,) = lines(contact("limit switch", which))
        (x, y), (end, low) = blade.points[1:]
        start, tip, back = triangle.points
        for px, py in (start, back):
            assert y + (low - y) * (px - x) / (end - x) == pytest.approx(py, abs=0.01), "its side is on the blade"
        assert tip[1] > (start[1] + back[1]) / 2


def test_an_overload_contact_is_moved_by_a_thermal_actuator() -> None:
    for which in ("NO", "NC"):
        shape = contact("overload relay", which)
        _, _, (_, hump) = lines(shape)
        top = end_of_link(shape)[1]
        assert [y for _, y in hump.points] == [top + 6, top + 6, top, top, top + 6, top + 6]


def test_a_trip_contact_of_a_starter_has_no_handle() -> None:
    assert len(contact("manual motor starter", "NO", "97-98").arcs) == 1
    assert contact("manual motor starter", "NO", "13-14").arcs == ()


def holds_back(arc: Arc) -> str:
    """The way in which a delay arc holds a movement back: from the arc towards its centre."""
    lowest = arc.at((arc.start + arc.end) / 2)[1]
    return "up" if arc.centre[1] < lowest else "down"


#: IEC 60617-7, section 5: the arc opens towards the direction of the delayed travel. Operated, a blade moves up.
ARCS = [
    ("on-delay 5 s", ["up"]),
    ("cumulative on-delay 5 s", ["up"]),
    ("off-delay 5 s", ["down"]),
    ("on-and-off delay 5 s", ["up", "down"]),
]


@pytest.mark.parametrize(("setting", "ways"), ARCS)
@pytest.mark.parametrize("which", ["NO", "NC"])
def test_the_arc_of_a_delayed_contact_is_open_to_the_side_to_which_it_moves_late(
    setting: str, ways: list[str], which: str
) -> None:
    shape = contact("timer relay", which, "", setting)
    assert [holds_back(arc) for arc in shape.arcs] == ways
    _, blade, rails = lines(shape)
    (x, y), (end, low) = blade.points[1:]
    assert [rail.points[0][0] for rail in rails] == [-2.0, 2.0], "a double link"
    for rail in rails:
        (px, py), (_, foot) = rail.points
        assert y + (low - y) * (px - x) / (end - x) == pytest.approx(py, abs=0.01)
        assert foot == (shape.arcs[-1].at(90) if ways[-1] == "up" else shape.arcs[-1].at(270))[1]
    if len(ways) == 2:
        assert shape.arcs[0].at(90)[1] < shape.arcs[1].at(270)[1], "back to back"


@pytest.mark.parametrize(("which", "terminals"), [("NO", "21-24"), ("NC", "21-22")])
def test_an_instantaneous_contact_of_a_timer_is_that_of_a_relay(which: str, terminals: str) -> None:
    assert contact("timer relay", which, terminals, "on-delay 5 s") == contact("control relay", which)


def test_a_coil_is_a_rectangle_entered_at_the_middle_of_its_long_sides() -> None:
    shape = load_of("iec", "contactor", "coil")
    assert (shape.box, shape.reach) == ((-8.0, -15.0, 8.0, 15.0), 8.0)
    assert (len(shape.strokes), shape.rings, shape.inside) == (1, (), False)


def test_a_slow_coil_has_a_crossed_or_a_filled_band_at_its_end() -> None:
    """IEC 60617-7, section 15: slow-operating crossed, slow-releasing filled."""
    found = {}
    for function in ("on-delay", "off-delay", "on-and-off delay"):
        shape = load_of("iec", "timer relay", "coil", f"{function} 5 s")
        crossed = any((8.0, 23.0) in s.points and (-8.0, 15.0) in s.points and not s.filled for s in shape.strokes)
        found[function] = (crossed, [s.points[0][1] for s in shape.strokes if s.filled], shape.mark)
    assert found == {
        "on-delay": (True, [], ""),
        "off-delay": (False, [15.0], ""),
        "on-and-off delay": (True, [23.0], ""),
    }


def test_a_lamp_is_a_crossed_circle_with_the_code_of_its_colour_below() -> None:
    """Codes of colours: IEC 60757, from memory."""
    marks = {}
    for colour in LAMP_MEANINGS:
        shape = load_of("iec", "pilot lamp", "lamp", colour=colour)
        assert (len(shape.strokes), shape.rings[0].fill, shape.letter) == (2, "none", "")
        for stroke in shape.strokes:
            for x, y in stroke.points:
                assert x**2 + y**2 == pytest.approx(shape.reach**2, abs=0.05)
        marks[colour] = shape.mark
    assert marks == {"red": "RD", "yellow": "YE", "green": "GN", "blue": "BU", "white": "WH"}


def test_a_fuse_is_a_rectangle_with_the_conductor_through_it() -> None:
    shape = contact("fuse", "NC")
    assert shape.strokes[1].points == ((-REACH, 0.0), (REACH, 0.0))
    assert shape.box == (-REACH, -5.0, REACH, 5.0)


def test_what_has_no_contacts_is_named_with_what_has_some() -> None:
    with pytest.raises(LadderError, match="no symbol for an NC contact of a control transformer") as caught:
        contact("control transformer", "NC")
    assert "manual motor starter" in caught.value.choices
    with pytest.raises(LadderError, match=r"Given: 'motor'\. Choices: control transformer"):
        IEC.device("motor")
