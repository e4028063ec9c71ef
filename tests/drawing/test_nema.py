"""What makes each symbol of NEMA ICS 19 / IEEE 315 the one a technician knows."""

from __future__ import annotations

import pytest

from rungbook import LadderError
from rungbook.drawing.nema import CONTACTS, LOADS, contact_shape, load_shape
from rungbook.drawing.shapes import Shape, Stroke
from rungbook.kit import KINDS


def _level(shape: Shape) -> list[Stroke]:
    """The level strokes that reach across both terminals: the bar of a button."""
    return [
        stroke
        for stroke in shape.strokes
        if len({y for _, y in stroke.points}) == 1 and min(x for x, _ in stroke.points) <= -16
    ]


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.closed])
def test_every_kind_with_contacts_has_an_open_and_a_closed_symbol(kind: str) -> None:
    assert contact_shape(kind, "NO") != contact_shape(kind, "NC")


@pytest.mark.parametrize("load", ["coil", "lamp", "reset", "down"])
def test_every_load_has_a_symbol_with_a_circle(load: str) -> None:
    assert len(load_shape(load).rings) == 1


def test_kinds_of_operator_differ_in_their_symbols() -> None:
    operators = ("push button", "emergency stop", "two-position selector", "limit switch", "contactor")
    for contact in ("NO", "NC"):
        assert len({contact_shape(kind, contact).strokes for kind in operators}) == len(operators)


@pytest.mark.parametrize("kind", ["contactor", "control relay", "overload relay"])
def test_a_relay_contact_is_two_bars_and_a_slash_if_closed(kind: str) -> None:
    upright = [s for s in contact_shape(kind, "NO").strokes if s.points[0][0] == s.points[1][0]]
    assert len(upright) == len(contact_shape(kind, "NO").strokes) == 2
    (slash,) = set(contact_shape(kind, "NC").strokes) - set(upright)
    (x, y), (end, low) = slash.points
    assert x < -5 < 5 < end
    assert y > 0 > low, "the slash rises to the right"


@pytest.mark.parametrize("kind", ["push button", "emergency stop", "two-position selector"])
def test_the_bar_of_a_button_stands_clear_above_if_open_and_touches_from_below_if_closed(kind: str) -> None:
    (opened,) = _level(contact_shape(kind, "NO"))
    (closed,) = _level(contact_shape(kind, "NC"))
    ring = contact_shape(kind, "NO").rings[0]
    assert opened.points[0][1] < -ring.radius - 2
    assert 0 <= closed.points[0][1] - ring.radius <= 1.5


def test_the_blade_of_a_limit_switch_hangs_below_if_open_and_rests_on_top_if_closed() -> None:
    for contact, sign in (("NO", 1), ("NC", -1)):
        shape = contact_shape("limit switch", contact)
        blade = shape.strokes[0]
        assert sign * blade.points[1][1] > shape.rings[1].radius
        wedge = shape.strokes[1].points
        assert max(y for _, y in wedge) > max(y for _, y in wedge[::2]), "the wedge is below the blade"
    gap = contact_shape("limit switch", "NO").strokes[0].points[1][1] - 4
    assert gap > 3


def test_an_overload_contact_is_marked() -> None:
    assert {shape.mark for (kind, _), shape in CONTACTS.items() if kind == "overload relay"} == {"OL"}


def test_a_lamp_has_four_rays_and_a_coil_none() -> None:
    assert len(LOADS["lamp"].strokes) == 4
    assert LOADS["coil"].strokes == ()


def test_wires_end_at_the_edge_of_every_symbol() -> None:
    for shape in (*CONTACTS.values(), *LOADS.values()):
        edges = [x for s in shape.strokes if min(y for _, y in s.points) <= 0 for x, _ in s.points]
        edges += [r.centre[0] + r.radius for r in shape.rings]
        assert any(abs(x - shape.reach) < 1e-6 for x in edges), shape.name


def test_what_has_no_symbol_is_named_with_what_has_one() -> None:
    with pytest.raises(LadderError, match="no symbol for an NO contact of a flow switch") as caught:
        contact_shape("flow switch", "NO")
    assert "push button" in caught.value.choices
    assert "Given" not in str(caught.value)
    with pytest.raises(LadderError, match="no symbol for a heater"):
        load_shape("heater")


@pytest.mark.parametrize(("kind", "mark"), [("timer relay", "TD"), ("counter", "CTR")])
def test_a_timed_contact_is_that_of_a_relay_with_a_mark_that_shows_no_direction(kind: str, mark: str) -> None:
    for contact in ("NO", "NC"):
        relay, timed = contact_shape("control relay", contact), contact_shape(kind, contact)
        assert (timed.strokes, timed.rings) == (relay.strokes, relay.rings)
        assert (timed.mark, relay.mark) == (mark, "")
        assert contact_shape(kind, contact, timed=False) == relay


def test_further_inputs_are_coil_circles_with_a_letter() -> None:
    for load, letter in (("coil", ""), ("reset", "R"), ("down", "D")):
        shape = load_shape(load)
        assert (shape.rings, shape.strokes, shape.letter) == (LOADS["coil"].rings, (), letter)
