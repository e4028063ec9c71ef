"""Random ladders for property tests, and the named ones that every drawing test looks at."""

from __future__ import annotations

from dataclasses import replace
from itertools import count

from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, coil, count_down, lamp, reset
from rungbook.circuit import Contact, Parallel, Part, Series
from rungbook.kit import COLOURS, KINDS
from rungbook.kit.limits import MAX_TEXT

TAGS = ("S1", "S2", "S3", "S104", "B1", "B27", "F1", "Q1", "Q2", "K1", "K999")
COILS = ("Q1", "Q2", "K1", "K999")
LAMPS = ("P1", "P2", "P300")
_PAIRS = {"NO": "{}3-{}4", "NC": "{}1-{}2"}

words = st.text(
    st.one_of(st.characters(min_codepoint=32, max_codepoint=0x17F), st.sampled_from("&<>$\"'Ω→漢W mill pump")).filter(
        str.isprintable
    ),
    max_size=MAX_TEXT,
)


def furnish(part: Part, places: dict[str, count[int]]) -> Part:
    """`part` with terminals on its contacts as long as a device has free ones."""
    if isinstance(part, Contact):
        place = next(places.setdefault(part.device, count(1)))
        return replace(part, terminals=_PAIRS[part.kind].format(place, place)) if place < 10 else part
    assert isinstance(part, Series | Parallel)
    return type(part)(tuple(furnish(inner, places) for inner in part.parts))


contacts = st.builds(lambda make, tag: make(tag), st.sampled_from([NO, NC]), st.sampled_from(TAGS))
parts = st.recursive(
    contacts, lambda inner: st.builds(lambda a, b, s: a & b if s else a | b, inner, inner, st.booleans()), max_leaves=10
)


@st.composite
def devices(draw: st.DrawFn) -> list[Device]:
    found = []
    for tag in (*TAGS, *LAMPS):
        kinds = [name for name, kind in KINDS.items() if kind.letter == tag[0]]
        colour = draw(st.sampled_from(["", *COLOURS]))
        found.append(Device(tag, draw(st.sampled_from(kinds)), colour, draw(st.one_of(st.just(""), words))))
    return found


@st.composite
def ladders(draw: st.DrawFn) -> Ladder:
    """Ladders of up to 4 rungs, with and without declared devices, plates, colours, terminals and notes."""
    ladder = Ladder(draw(words), draw(st.one_of(st.none(), devices())))
    loads = draw(st.permutations([coil(tag) for tag in COILS] + [lamp(tag) for tag in LAMPS]))
    places: dict[str, count[int]] = {}
    terminals = draw(st.booleans())
    for _ in range(draw(st.integers(0, 4))):
        size = draw(st.integers(1, 3))
        own, loads = loads[:size], loads[size:]
        if not own:
            break
        part = draw(st.one_of(st.none(), parts))
        if part is not None and terminals:
            part = furnish(part, places)
        if terminals:
            own = [replace(load, terminals="A1-A2" if load.kind == "coil" else "X1-X2") for load in own]
        ladder.rung(*([] if part is None else [part]), *own, note=draw(st.one_of(st.just(""), words)))
    return ladder


def holding() -> Ladder:
    """The holding circuit of the wash pump, with plates, colours and terminals."""
    panel = [
        Device("S1", colour="red", label="stop"),
        Device("S2", colour="green", label="start"),
        Device("F1", label="wash pump overload"),
        Device("Q1", label="wash pump"),
        Device("P1", colour="green", label="running"),
    ]
    ladder = Ladder("Wash pump", panel)
    path = NC("S1", "11-12") & (NO("S2", "13-14") | NO("Q1", "13-14")) & NC("F1", "95-96")
    ladder.rung(path, coil("Q1", "A1-A2"), note="Starts and holds the wash pump.")
    ladder.rung(NO("Q1", "23-24"), lamp("P1", "green", "X1-X2"))
    return ladder


def every_kind() -> Ladder:
    """A normally open and a normally closed contact of every kind of device, a coil and both states of a lamp."""
    panel = [
        Device("S1", colour="black", label="jog"),
        Device("S2", "two-position selector", label="hand"),
        Device("S3", "emergency stop", "red", "emergency stop"),
        *(Device(tag) for tag in ("B1", "F1", "Q1", "K1", "P2")),
        Device("P1", colour="red", label="overload"),
    ]
    ladder = Ladder("Every kind of device", panel)
    tags = ("S1", "S2", "S3", "B1", "F1", "Q1", "K1")
    opening = NO(tags[0])
    closing = NC(tags[0])
    for tag in tags[1:]:
        opening, closing = opening & NO(tag), closing & NC(tag)
    ladder.rung(opening, coil("Q1"))
    ladder.rung(closing, coil("K1"), lamp("P1", "red"), lamp("P2"))
    return ladder


def six_by_five() -> Ladder:
    """Six rungs of five contacts with two levels of branches, everything numbered, long plates and notes."""
    long = "press pump of the second line, left of the vat with the agitator & the filling line"
    tags = [f"{letter}{10 * n + k}" for n in range(1, 7) for letter, k in (("S", 1), ("S", 2), ("B", 1), ("K", 1))]
    coils = [f"Q{n}" for n in range(101, 107)]
    panel = [Device(tag, colour="green" if tag[0] == "S" else "", label=long) for tag in (*tags, *coils)]
    ladder = Ladder("Apple elevator, mill, press pump, vat agitator, filling line and cellar fan of the mill", panel)
    for n, end in enumerate(coils, 1):
        ladder.rung(
            NC(f"S{n}1", "11-12")
            & (NO(f"S{n}2", "13-14") | NO(end, "13-14") & (NO(f"B{n}1", "23-24") | NC(f"K{n}1", "21-22"))),
            coil(end, "A1-A2"),
            note="The machine before it in the line must run first, and the overload relay must be set. " * 2,
        )
    return ladder


def nested() -> Ladder:
    """Branches within branches, neighbouring groups, several loads on a rung, a rung without contacts."""
    ladder = Ladder("Nested branches")
    inner = NO("S1") | (NO("S2") | NO("S3") & NC("K2")) & NO("K1") | NC("B1")
    ladder.rung(inner & (NO("S4") | NO("K1", "23-24")) & NC("F1"), coil("Q1"), coil("K1"), lamp("P1", "green"))
    ladder.rung(lamp("P2", "white"))
    ladder.rung(NC("Q1") & NC("Q9"), coil("K2"))
    for n in range(20):
        ladder.rung(NO("K1") & NC("K1"), coil(f"K{n + 100}"))
    return ladder


def odd_letters() -> Ladder:
    """Plates in scripts whose letters are wide, in letters that mean something to XML, and as wide as can be."""
    plates = (
        "приводной насос щётки",
        "洗浄ポンプ 起動 停止",
        "<b>&amp;</b> $x^2$",
        "WWWWWWWWWWWWWWWWWWWWWW",
        "🍎🍏 ← élévateur",
    )
    tags = ("S1", "S2", "S3", "S4", "S5")
    panel = [Device(tag, colour="black", label=plate) for tag, plate in zip(tags, plates, strict=True)]
    ladder = Ladder(
        "洗浄 & щётка <W> WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", [*panel, Device("Q1", label="ЩЩЩЩ ЖЖЖЖ")]
    )
    ladder.rung(NO("S1") & NO("S2", "13-14") & (NC("S3") | NO("S4")) & NC("S5"), coil("Q1"), note="щётка & 起動 " * 12)
    return ladder


def counting() -> Ladder:
    """Timer relays and counters: timed and plain contacts, reset and count-down inputs, short and long designations."""
    panel = [
        *(Device(tag) for tag in ("S1", "B1", "Q1", "P1")),
        Device("S2", colour="black", label="new batch"),
        Device("K4", "timer relay", label="time of the filling head", setting="cumulative on-delay 2 s"),
        Device("K5", "counter", label="bottles in this batch of the filling line", setting="up-down 3"),
        Device("K999", "counter", setting="up-down 12"),
    ]
    ladder = Ladder("Filling line", panel)
    ladder.rung(NO("S1") & NC("K5", "15-16") & NC("K4", "21-22"), coil("Q1"), note="A batch of three bottles.")
    ladder.rung(NO("B1"), coil("K5", "A1-A2"), coil("K4"), coil("K999"))
    ladder.rung(NC("B1"), count_down("K5", "D1-D2"), count_down("K999"))
    ladder.rung(NO("S2") | NO("K4") & NO("K999"), reset("K5", "R1-R2"), reset("K4"), reset("K999"))
    ladder.rung(NC("K4"), lamp("P1"))
    return ladder


def parting() -> Ladder:
    """Rungs that share their first contacts and part behind them, at three places."""
    ladder = Ladder("Apple elevator")
    stop = lambda: NC("S1", "11-12") & NC("F1", "95-96")  # noqa: E731
    ladder.rung(stop() & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1"))
    ladder.rung(stop() & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2"))
    ladder.rung(NC("S1", "11-12"), lamp("P1", "white"), note="Stop is not pressed.")
    return ladder


def empty() -> Ladder:
    return Ladder("Cellar fan")


NAMED = {
    make.__name__: make for make in (holding, every_kind, six_by_five, nested, counting, odd_letters, parting, empty)
}
