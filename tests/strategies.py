"""Random circuits for hypothesis: contacts, trees of contacts, whole ladders."""

from __future__ import annotations

from hypothesis import strategies as st

from rungbook.circuit import NC, NO, Contact, Ladder, Part, coil, lamp
from rungbook.kit import Device

NO_PAIRS = ("13-14", "23-24", "43-44", "67-68", "97-98", "11-14", "15-18")
NC_PAIRS = ("21-22", "31-32", "55-56", "95-96", "11-12")
LENSES = ("", "red", "yellow", "green", "blue", "white")
S_KINDS = ("push button", "two-position selector", "emergency stop")


def contacts(tags: tuple[str, ...]) -> st.SearchStrategy[Contact]:
    return st.builds(lambda make, tag: make(tag), st.sampled_from((NO, NC)), st.sampled_from(tags))


def join(sign: str, parts: list[Part]) -> Part:
    whole = parts[0]
    for part in parts[1:]:
        whole = whole & part if sign == "&" else whole | part
    return whole


def trees(tags: tuple[str, ...], most: int = 8) -> st.SearchStrategy[Part]:
    """A contact, or series and parallel groups of up to `most` contacts."""
    return st.recursive(
        contacts(tags),
        lambda inner: st.builds(join, st.sampled_from("&|"), st.lists(inner, min_size=2, max_size=3)),
        max_leaves=most,
    )


def no_two_alike(part: Part, used: set[tuple[str, str]], draw: st.DrawFn) -> Part:
    """The same tree; some contacts get terminals, no pair of a device twice."""
    if isinstance(part, Contact):
        pair = draw(st.sampled_from(("", "", *(NO_PAIRS if part.kind == "NO" else NC_PAIRS))))
        if (part.device, pair) in used or not pair:
            return part
        used.add((part.device, pair))
        return Contact(part.device, part.kind, pair)
    sign = "&" if type(part).__name__ == "Series" else "|"
    return join(sign, [no_two_alike(inner, used, draw) for inner in part.parts])


texts = st.text(st.characters(codec="utf-8").filter(str.isprintable), max_size=30)


@st.composite
def ladders(draw: st.DrawFn, plain: bool = False, most: int = 6) -> Ladder:
    """A valid ladder. plain: coils and a lamp over S1, S2, F1; else also terminals, notes, colours, plates."""
    tags = ("S1", "S2", "F1") if plain else ("S1", "S2", "S3", "B1", "F1")
    coils = draw(st.sampled_from((("Q1",), ("Q1", "K1"), ("K1", "Q1"))))
    lamps = draw(st.sampled_from(((), ("P1",)))) if plain else draw(st.sampled_from(((), ("P1",), ("P1", "P2"))))
    declared = None
    if not plain and draw(st.booleans()):
        colours = st.sampled_from(("", "red", "green", "black", "grey"))
        kinds = {tag: draw(st.sampled_from(S_KINDS)) if tag[0] == "S" else "" for tag in tags}
        declared = [Device(tag, kinds[tag], draw(colours), draw(texts)) for tag in tags]
        declared += [Device(tag) for tag in (*coils, *lamps)]
    ladder = Ladder("" if plain else draw(texts), declared)
    used: set[tuple[str, str]] = set()
    loads = [coil(tag) if plain else coil(tag, draw(st.sampled_from(("", "A1-A2")))) for tag in coils]
    loads += [lamp(tag, "" if plain else draw(st.sampled_from(LENSES))) for tag in lamps]
    while loads:
        ends = [loads.pop(0)]
        if not plain and loads and draw(st.booleans()):
            ends.append(loads.pop(0))
        way: list[Part] = []
        if plain or draw(st.integers(0, 9)):
            tree = draw(trees((*tags, *coils), most))
            way = [tree if plain else no_two_alike(tree, used, draw)]
        ladder.rung(*way, *ends, note="" if plain else draw(texts))
    return ladder
