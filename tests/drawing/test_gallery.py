"""The page of symbols: complete, self-contained, drawn from the shapes."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest

import rungbook.drawing
from rungbook.drawing.gallery_page import SECTIONS, Entry, Specimen, gallery, specimen_svg
from rungbook.drawing.metrics import FONTS
from rungbook.drawing.shapes import Arc, Shape

from .geometry import overlap
from .shapes_of import SETTINGS, WITH_CONTACTS, contact_of, load_of

ENTRIES = [entry for make in SECTIONS for section in make() for entry in section.entries]


def geometries(entries: list[Entry], which: str) -> set[object]:
    found = [specimen.shape for entry in entries for specimen in getattr(entry, which)]
    return {(shape.strokes, shape.rings, shape.arcs, shape.mark) for shape in found}


@pytest.mark.parametrize("name", ["nema", "iec"])
def test_every_kind_of_contact_and_load_is_on_the_page(name: str) -> None:
    shown = geometries(ENTRIES, name)
    for kind in WITH_CONTACTS:
        for setting in SETTINGS.get(kind, ("",)):
            for contact in ("NO", "NC"):
                if (kind, contact) == ("programmable relay", "NC"):
                    continue  # its outputs are open at rest
                for terminals in {"three-position selector": ("13-14", "31-32")}.get(kind, ("",)):
                    if contact == ("NO" if terminals == "31-32" else "NC" if terminals == "13-14" else ""):
                        continue
                    shape = contact_of(name, kind, contact, terminals, setting)
                    assert (shape.strokes, shape.rings, shape.arcs, shape.mark) in shown, (kind, contact, setting)
    for kind, load in (("contactor", "coil"), ("counter", "reset"), ("counter", "down"), ("soft starter", "coil")):
        shape = load_of(name, kind, load)
        assert (shape.strokes, shape.rings, shape.arcs, shape.mark) in shown


def test_a_line_has_as_many_symbols_in_one_set_as_in_the_other_and_says_when_to_use_them() -> None:
    for entry in ENTRIES:
        assert len(entry.nema) == len(entry.iec) > 0
        assert entry.use.endswith(".")
        assert entry.nema_clause
        assert entry.iec_clause
    assert len({entry.name for entry in ENTRIES}) == len(ENTRIES)


def test_the_texts_of_a_symbol_stand_apart_from_one_another_and_beside_its_lines() -> None:
    for entry in ENTRIES:
        for specimen in (*entry.nema, *entry.iec):
            for place, text in enumerate(specimen.texts):
                assert text.role.startswith("inside") or not overlap(text.box, specimen.shape.box), (entry.name, text)
                assert not any(overlap(text.box, other.box) for other in specimen.texts[place + 1 :]), (
                    entry.name,
                    text,
                )


def test_the_wires_of_the_symbols_beside_one_another_stand_level() -> None:
    page = rungbook.drawing.gallery()
    for cell in re.findall(r'<td class="symbol"><div>(.*?)</div>', page, re.DOTALL):
        assert len(set(re.findall(r'<svg [^>]*?height="([^"]+)"', cell))) == 1
        wires = re.findall(r'<g class="wire">.*? d="M [0-9.]+,?\s*([0-9.]+)', cell, re.DOTALL)
        assert wires
        assert len(set(wires)) == 1, wires


def test_the_page_needs_no_other_file_and_can_be_asked_for_twice() -> None:
    page = rungbook.drawing.gallery()
    assert rungbook.drawing.gallery() == page
    assert not re.search(r"https?:(?!//www\.w3\.org)|<script|<link|src=|@import|url\(", page)
    assert page.count("<h2>") == len([section for make in SECTIONS for section in make()])
    svgs = re.findall(r"<svg.*?</svg>", page, re.DOTALL)
    assert len(svgs) == sum(len(entry.nema) + len(entry.iec) for entry in ENTRIES)
    for svg in svgs:
        tree = ET.fromstring(svg)
        assert tree[0].tag == "title"
        assert tree[0].text
        assert len(tree) >= 3, "wires and a symbol"
    assert gallery() == page


def test_an_arc_is_drawn_clockwise_from_its_start_to_its_end() -> None:
    """SVG 1.1, 8.3.8: sweep flag 1 is the direction of positive angles, clockwise as seen; the one before it: large."""
    for arc, large in ((Arc((50.0, 20.0), 10.0, 30, 150), "0"), (Arc((50.0, 20.0), 10.0, 180, 450), "1")):
        shape = Shape("arc", 50.0, arcs=(arc,), points=((-1.0, 0.0), (100.0, 0.0)))
        svg = specimen_svg(Specimen(shape))
        (path,) = [d for d in re.findall(r' d="([^"]*)"', svg) if " a " in d]
        x, y, _, rx, ry, turn, flag, sweep, dx, dy = path.split()[1:]
        assert (float(rx), float(ry), float(turn), flag, sweep) == (10, 10, 0, large, "1")
        left, top = -1.0 - 24.0 - 6.0, min(0.0, shape.box[1]) - 6.0  # a wire of 24 px, an edge of 6 px
        (x0, y0), (x1, y1) = arc.at(arc.start), arc.at(arc.end)
        assert (float(x), float(y)) == pytest.approx((x0 - left, y0 - top), abs=0.02)
        assert (float(dx), float(dy)) == pytest.approx((x1 - x0, y1 - y0), abs=0.03)
    assert FONTS in svg
