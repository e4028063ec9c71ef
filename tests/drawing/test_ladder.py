"""The SVG: complete, the same every time, readable by a machine and by a screen reader."""

from __future__ import annotations

import os
import subprocess
import sys
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given, settings

from rungbook import NO, Ladder, LadderError, coil, draw, to_json

from .strategies import NAMED, holding, ladders

SVG = "{http://www.w3.org/2000/svg}"


def _tree(ladder: Ladder) -> ET.Element:
    return ET.fromstring(draw(ladder).svg)


def _groups(tree: ET.Element, kind: str) -> list[ET.Element]:
    return [group for group in tree.iter(f"{SVG}g") if group.get("class") == kind]


@given(ladders())
@settings(deadline=None, max_examples=40)
def test_any_ladder_gives_well_formed_svg_with_all_its_symbols_in_order(ladder: Ladder) -> None:
    found = [(int(g.get("data-rung", 0)), g.get("data-device")) for g in _groups(_tree(ladder), "symbol")]
    asked = [(n, item.device) for n, rung in enumerate(ladder.rungs, 1) for item in (*rung.all_contacts(), *rung.loads)]
    assert found == asked


def test_a_symbol_says_what_it_is_and_between_which_wires() -> None:
    first, *_, last = _groups(_tree(holding()), "symbol")
    assert (first.get("data-contact"), first.get("data-left"), first.get("data-right")) == ("NC", "1", "3")
    assert (last.get("data-load"), last.get("data-left"), last.get("data-right")) == ("lamp", "6", "2")
    assert first.findtext(f"{SVG}title") == (
        "Normally closed contact of push button S1 (stop, red), terminals 11-12, wires 1 and 3"
    )


def test_wires_are_grouped_by_rung_and_number() -> None:
    found = {(g.get("data-rung"), g.get("data-wire")) for g in _groups(_tree(holding()), "wire")}
    assert found == {("1", "1"), ("1", "2"), ("1", "3"), ("1", "4"), ("1", "5"), ("2", "1"), ("2", "2"), ("2", "6")}


def test_a_screen_reader_finds_title_and_description() -> None:
    picture = draw(holding())
    tree = ET.fromstring(picture.svg)
    title, desc = tree.find(f"{SVG}title"), tree.find(f"{SVG}desc")
    assert title is not None
    assert desc is not None
    assert tree.get("role") == "img"
    assert tree.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert (title.text, desc.text) == ("Wash pump", picture.description)


def test_ids_differ_from_picture_to_picture() -> None:
    ids = [element.get("id") for make in NAMED.values() for element in _tree(make()).iter() if element.get("id")]
    assert len(ids) == len(set(ids)) == 2 * len(NAMED)


def test_the_paper_is_white_and_the_picture_scales_down() -> None:
    tree = _tree(holding())
    rect = tree.find(f"{SVG}rect")
    assert rect is not None
    assert (rect.get("fill"), rect.get("width")) == ("#ffffff", tree.get("width"))
    assert tree.get("viewBox") == f"0 0 {tree.get('width')} {tree.get('height')}"
    assert "max-width:100%" in str(tree.get("style"))


def test_closed_contacts_are_underlined_in_the_cross_references() -> None:
    tree = _tree(NAMED["every_kind"]())
    spans = [span for text in tree.iter(f"{SVG}text") if text.get("class") == "reference" for span in text]
    assert [(span.text, span.get("text-decoration")) for span in spans if span.get("text-decoration")] == [
        ("2", "underline"),
        ("2", "underline"),
    ]


def test_ink_on_paper_only() -> None:
    """The accent colour is kept for paths that carry current; text has a contrast of at least 4.5:1."""
    for make in NAMED.values():
        svg = draw(make()).svg.lower()
        assert "#b85c00" not in svg
        assert {text.get("fill") for text in ET.fromstring(svg).iter(f"{SVG}text")} <= {"#1a1a1a", "#505050"}


@pytest.mark.parametrize("name", NAMED)
def test_equal_ladders_give_equal_bytes(name: str) -> None:
    assert draw(NAMED[name]()) == draw(NAMED[name]())


def test_two_processes_with_other_hash_seeds_give_equal_bytes() -> None:
    code = (
        "import sys; from rungbook import draw, from_json\n"
        "picture = draw(from_json(sys.stdin.buffer.read().decode()))\n"
        "sys.stdout.buffer.write((picture.svg + picture.description).encode())"
    )
    given = to_json(NAMED["six_by_five"]()).encode()
    done = [
        subprocess.run(
            [sys.executable, "-c", code],
            input=given, capture_output=True, check=True, env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    here = draw(NAMED["six_by_five"]())
    assert done[0] == done[1] == (here.svg + here.description).encode()


def test_a_ladder_that_is_not_finished_is_drawn() -> None:
    ladder = Ladder()
    ladder.rung(NO("K1"), coil("Q1"))
    with pytest.raises(LadderError):
        ladder.validate()
    assert len(_groups(_tree(ladder), "symbol")) == 2
    assert "no rungs yet" in draw(Ladder()).svg


def test_only_a_ladder_is_drawn() -> None:
    with pytest.raises(LadderError, match="draws a Ladder"):
        draw(NO("S1"))  # type: ignore[arg-type]
