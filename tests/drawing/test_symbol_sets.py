"""What holds of every symbol of both sets, whatever the standard."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace

import pytest

from rungbook import LadderError
from rungbook.drawing.metrics import text_width
from rungbook.drawing.shapes import Arc, Point, Ring, Shape, Stroke
from rungbook.drawing.sheet import STYLES
from rungbook.drawing.symbol_sets import symbol_set
from rungbook.kit import ALL_KINDS, KINDS, LAMP_MEANINGS

from .shapes_of import SETTINGS, WITH_CONTACTS, contact_of, load_of

SETS = ("nema", "iec")
#: contacts whose symbol hangs on their terminals.
PAIRS = {
    "three-position selector": {"NO": ("", "13-14", "23-24"), "NC": ("", "31-32", "41-42")},
    "manual motor starter": {"NO": ("13-14", "97-98"), "NC": ("21-22", "95-96")},
}
LOADS = [
    *(("timer relay", "coil", setting) for setting in SETTINGS["timer relay"]),
    ("contactor", "coil", ""),
    ("counter", "coil", "up-down 3"),
    ("counter", "reset", "up-down 3"),
    ("counter", "down", "up-down 3"),
    ("soft starter", "coil", ""),
    ("programmable relay", "coil", ""),
]


def contacts(name: str) -> dict[str, Shape]:
    """Every symbol of a contact in set `name`, by a sentence."""
    found = {}
    for kind in WITH_CONTACTS:
        for setting in SETTINGS.get(kind, ("",)):
            for contact in ("NO", "NC"):
                for terminals in PAIRS.get(kind, {}).get(contact, ("",)):
                    words = " ".join(filter(None, (kind, setting, contact, terminals)))
                    found[words] = contact_of(name, kind, contact, terminals, setting)
    return found


def shapes(name: str) -> dict[str, Shape]:
    """Every symbol of set `name`, by a sentence."""
    found = contacts(name)
    found |= {" ".join(filter(None, load)): load_of(name, *load) for load in LOADS}
    found |= {f"lamp {c}": load_of(name, "pilot lamp", "lamp", colour=c) for c in ("", *LAMP_MEANINGS)}
    return found | {"control transformer": symbol_set(name).device("control transformer")}


ALL = [pytest.param(shape, id=f"{name}: {words}") for name in SETS for words, shape in shapes(name).items()]


def geometry(shape: Shape) -> object:
    return (shape.strokes, shape.rings, shape.arcs)


def ink(shape: Shape) -> list[Point]:
    """Points along every line of `shape`, close together; angles as [Arc] says."""
    found = []
    for stroke in shape.strokes:
        for (x, y), (end, low) in zip(stroke.points, stroke.points[1:], strict=False):
            found += [(x + (end - x) * n / 60, y + (low - y) * n / 60) for n in range(61)]
    for arc in (*shape.arcs, *(Arc(ring.centre, ring.radius, 0, 360) for ring in shape.rings)):
        found += [arc.at(arc.start + (arc.end - arc.start) * n / 60) for n in range(61)]
    return found


def test_the_kinds_with_contacts_are_all_asked_for() -> None:
    assert set(ALL_KINDS) - set(WITH_CONTACTS) == {"pilot lamp", "motor", "control transformer"}
    assert len(KINDS) < len(ALL_KINDS)


@pytest.mark.parametrize("shape", ALL)
def test_every_terminal_is_an_end_of_the_symbols_own_lines(shape: Shape) -> None:
    if not shape.points:
        assert shape.terminals == ((-shape.reach, 0.0), (shape.reach, 0.0))
    for x, y in shape.terminals:
        near = min(abs(x - px) + abs(y - py) for px, py in ink(shape))
        assert near < 0.01, (x, y)


@pytest.mark.parametrize("shape", ALL)
def test_every_line_stays_within_the_box_and_reaches_its_sides(shape: Shape) -> None:
    left, top, right, bottom = shape.box
    xs, ys = zip(*ink(shape), strict=True)
    assert (min(xs), min(ys), max(xs), max(ys)) == pytest.approx((left, top, right, bottom), abs=0.05)
    assert min(xs) > left - 0.002
    assert max(xs) < right + 0.002
    assert min(ys) > top - 0.002
    assert max(ys) < bottom + 0.002


@pytest.mark.parametrize("shape", ALL)
def test_the_texts_in_the_middle_are_clear_of_every_line(shape: Shape) -> None:
    if not (shape.letter or shape.inside):
        return
    size = STYLES["inside"].size
    words = shape.letter if not shape.inside else "Q10"
    half, tall = text_width(words, size if not shape.inside else STYLES["inside small"].size, True) / 2, 0.37 * size
    assert not [(x, y) for x, y in ink(shape) if abs(x) < half and abs(y) < tall]


@pytest.mark.parametrize("name", SETS)
def test_open_and_closed_differ_by_more_than_letters(name: str) -> None:
    found = contacts(name)
    opened = {geometry(shape) for words, shape in found.items() if " NO" in words}
    closed = {geometry(shape) for words, shape in found.items() if " NC" in words}
    assert not opened & closed


@pytest.mark.parametrize("name", SETS)
def test_no_two_things_have_the_same_symbol(name: str) -> None:
    same = defaultdict(list)
    for words, shape in shapes(name).items():
        same[replace(shape, name="")].append(words)
    # both standards draw the contacts of contactors and control relays alike
    alike = [words for words in same.values() if len(words) > 1]
    assert alike == [["contactor NO", "control relay NO"], ["contactor NC", "control relay NC"]]


#: symbols with the same lines, told apart by letters: NEMA ICS 19 draws every contact of a relay as bars.
LETTERED = {
    "nema": {"timer relay", "counter", "overload relay", "contactor", "manual motor starter"}
    | {"control relay", "soft starter", "drive", "programmable relay", "fuse", "three-position selector"},
    "iec": {"timer relay", "contactor", "control relay"},
}


@pytest.mark.parametrize("name", SETS)
def test_letters_alone_tell_apart_only_what_the_standard_draws_alike(name: str) -> None:
    same = defaultdict(set)
    for kind in WITH_CONTACTS:
        for words, shape in contacts(name).items():
            if words.startswith(kind):
                same[geometry(shape)].add((kind, words))
    found = {kind for members in same.values() if len(members) > 1 for kind, _ in members}
    assert found == LETTERED[name]


def test_the_two_sets_draw_nothing_alike() -> None:
    nema, iec = shapes("nema"), shapes("iec")
    assert list(nema) == list(iec)
    assert [words for words in nema if geometry(nema[words]) == geometry(iec[words])] == []


@pytest.mark.parametrize("name", SETS)
def test_every_letter_that_needs_telling_is_in_the_legend(name: str) -> None:
    known = {*symbol_set(name).meanings, *symbol_set(name).colours.values(), "OL", "O"}
    used = {word for shape in shapes(name).values() for word in (*shape.mark.split(), *shape.letter.split())}
    assert used - known == set()


def test_an_unknown_set_is_named_with_those_there_are() -> None:
    with pytest.raises(LadderError, match=r"no such set of symbols\. Given: 'din'\. Choices: nema, iec\."):
        symbol_set("din")
    with pytest.raises(LadderError, match="Choices: nema, iec"):
        symbol_set(["nema"])  # type: ignore[arg-type]


def test_the_box_of_an_arc_takes_in_what_lies_beyond_its_ends() -> None:
    assert Shape("cup", 1, arcs=(Arc((0.0, 0.0), 10.0, 0, 180),)).box == (-10.0, 0.0, 10.0, 10.0)
    assert Shape("dome", 1, arcs=(Arc((0.0, 0.0), 10.0, 180, 360),)).box == (-10.0, -10.0, 10.0, 0.0)
    assert Shape("part", 1, arcs=(Arc((0.0, 0.0), 10.0, 30, 150),)).box == (-8.66, 5.0, 8.66, 10.0)


def test_the_box_takes_in_strokes_and_rings() -> None:
    shape = Shape("both", 1, (Stroke(((-3.0, 0.0), (2.0, 9.0))),), (Ring((4.0, 1.0), 2.0),))
    assert shape.box == (-3.0, -1.0, 6.0, 9.0)
