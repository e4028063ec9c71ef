"""What makes each symbol of NEMA ICS 19 / IEEE 315 the one a technician knows."""

from __future__ import annotations

import pytest

from rungbook import LadderError
from rungbook.drawing.nema import NEMA
from rungbook.drawing.shapes import Shape, Stroke
from rungbook.kit import KINDS

from .shapes_of import contact_of, load_of


def contact_shape(kind: str, contact: str, terminals: str = "", setting: str = "") -> Shape:
    return contact_of("nema", kind, contact, terminals, setting)


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


@pytest.mark.parametrize(("kind", "load"), [("contactor", "coil"), ("pilot lamp", "lamp"), ("counter", "reset")])
def test_every_load_has_a_symbol_with_a_circle(kind: str, load: str) -> None:
    assert len(load_of("nema", kind, load).rings) == 1


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
    assert {contact_shape("overload relay", contact).mark for contact in ("NO", "NC")} == {"OL"}


def test_a_lamp_has_four_rays_round_the_letter_of_its_colour_and_a_coil_none() -> None:
    lamp = load_of("nema", "pilot lamp", "lamp", colour="yellow")
    assert (len(lamp.strokes), lamp.letter) == (4, "Y")
    assert load_of("nema", "contactor", "coil").strokes == ()


def test_what_has_no_contacts_is_named_with_what_has_some() -> None:
    with pytest.raises(LadderError, match="no symbol for an NO contact of a control transformer") as caught:
        contact_shape("control transformer", "NO")
    assert "push button" in caught.value.choices
    assert "Given" not in str(caught.value)


def test_a_kind_without_a_symbol_of_the_whole_is_named() -> None:
    with pytest.raises(LadderError, match=r"Given: 'flow switch'\. Choices: control transformer"):
        NEMA.device("flow switch")


#: IEEE 315 and NEMA ICS 19, from memory: stem with an arrowhead, up for late on energisation, down for late on
#: de-energisation. Blade (NO, NC) as that of a limit switch.
ARROWS = [("on-delay 5 s", ["up"]), ("off-delay 5 s", ["down"]), ("on-and-off delay 5 s", ["down", "up"])]


@pytest.mark.parametrize(("setting", "ways"), ARROWS)
@pytest.mark.parametrize("contact", ["NO", "NC"])
def test_the_arrow_of_a_delayed_contact_points_the_way_it_is_late(setting: str, ways: list[str], contact: str) -> None:
    shape = contact_shape("timer relay", contact, setting=setting)
    blade, stem, *heads = shape.strokes
    assert blade == contact_shape("limit switch", contact).strokes[0]
    found = []
    for head in heads:
        (_, arm), (x, tip), (_, other) = head.points
        assert (x, arm) == (0.0, other)
        found.append("up" if tip < arm else "down")
    assert found == ways
    assert stem.points[0][1] < stem.points[1][1], "the stem hangs from the blade"
    assert stem.points[1] in [head.points[1] for head in heads], "the stem ends at a tip"


@pytest.mark.parametrize(("kind", "setting"), [("timer relay", "on-delay 5 s"), ("counter", "up 3")])
@pytest.mark.parametrize(("contact", "terminals"), [("NO", "21-24"), ("NC", "21-22")])
def test_a_contact_that_moves_with_the_coil_is_that_of_a_relay(
    kind: str, setting: str, contact: str, terminals: str
) -> None:
    assert contact_shape(kind, contact, terminals, setting) == contact_shape("control relay", contact)


#: functions that no standard has a sign for: letters of our own.
LETTERS = [
    ("timer relay", "", "TD"),
    ("timer relay", "flash 1 s", "FLASH"),
    ("timer relay", "one-shot on rising edge 1 s", "1S-ON"),
    ("timer relay", "one-shot on falling edge 1 s", "1S-OFF"),
    ("counter", "up 3", "CTR"),
]


@pytest.mark.parametrize(("kind", "setting", "letters"), LETTERS)
def test_what_has_no_sign_is_told_in_letters_that_the_legend_explains(kind: str, setting: str, letters: str) -> None:
    for contact in ("NO", "NC"):
        relay, shape = contact_shape("control relay", contact), contact_shape(kind, contact, setting=setting)
        assert (shape.strokes, shape.mark, relay.mark) == (relay.strokes, letters, "")
    assert load_of("nema", kind, "coil", setting).mark == letters
    assert letters in NEMA.meanings


def test_a_timer_says_at_its_coil_when_it_is_late() -> None:
    marks = [load_of("nema", "timer relay", "coil", f"{f} 5 s").mark for f in ("on-delay", "off-delay")]
    assert marks == ["TDE", "TDD"]
    assert load_of("nema", "timer relay", "coil", "on-and-off delay 5 s").mark == "TDE TDD"
    assert load_of("nema", "timer relay", "coil", "cumulative on-delay 5 s").mark == "TDE CUM"


#: left, off, right; chart of the kit's three-position selector (`rungbook.kit.kinds`).
CHART = [
    ("NO", "13-14", "X O O"),
    ("NO", "23-24", "O O X"),
    ("NC", "31-32", "O X X"),
    ("NC", "41-42", "X X O"),
    ("NO", "", "X O X"),
    ("NC", "", "O X O"),
]


@pytest.mark.parametrize(("contact", "terminals", "mark"), CHART)
def test_a_three_position_selector_says_where_its_contact_is_closed(contact: str, terminals: str, mark: str) -> None:
    shape = contact_shape("three-position selector", contact, terminals)
    assert shape.mark == mark
    assert len([stroke for stroke in shape.strokes if stroke.dashed]) == 2


def test_a_starter_tells_its_trip_contact_from_one_that_its_handle_moves() -> None:
    marks = [
        contact_shape("manual motor starter", *pair).mark
        for pair in (("NO", "13-14"), ("NC", "21-22"), ("NO", "97-98"), ("NC", "95-96"))
    ]
    assert marks == ["MMS", "MMS", "TRIP", "TRIP"]


def test_further_inputs_are_coil_circles_with_a_letter() -> None:
    coil = load_of("nema", "contactor", "coil")
    for load, letter in (("reset", "R"), ("down", "D")):
        shape = load_of("nema", "counter", load)
        assert (shape.rings, shape.strokes, shape.letter, shape.inside) == (coil.rings, (), letter, True)
