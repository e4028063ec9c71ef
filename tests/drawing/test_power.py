"""The picture of a power circuit: what its SVG holds, and that it is the same for everybody."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from itertools import combinations, pairwise
from xml.etree import ElementTree as ET

import pytest
from playwright.sync_api import Browser

from rungbook import LadderError, draw
from rungbook.circuit.power import PowerCircuit, direct, reversing, star_delta
from rungbook.circuit.power_store import power_to_json
from rungbook.drawing import draw_power
from rungbook.drawing.power_layout import layout
from rungbook.drawing.power_symbols import power_symbols

from .geometry import overlap
from .power_geometry import NAMED, Line, joined_ends, wanted_ends

SVG = "{http://www.w3.org/2000/svg}"
each = pytest.mark.parametrize("name", NAMED)


def _tree(name: str, symbols: str) -> ET.Element:
    circuit, pairs = NAMED[name]
    return ET.fromstring(draw_power(circuit, symbols, pairs).svg)


def _groups(tree: ET.Element, kind: str) -> list[ET.Element]:
    return [group for group in tree.iter(f"{SVG}g") if group.get("class") == kind]


def _lines(tree: ET.Element) -> list[Line]:
    """The straight pieces of all wires, from their path data."""
    found: list[Line] = []
    for group in _groups(tree, "wire"):
        for path in group.iter(f"{SVG}path"):
            for piece in str(path.get("d")).split("M")[1:]:
                numbers = [float(number) for number in re.findall(r"-?[\d.]+", piece)]
                points = list(zip(numbers[::2], numbers[1::2], strict=True))
                found += [(min(p, q), max(p, q)) for p, q in pairwise(points)]
    return found


@each
@pytest.mark.parametrize("symbols", ["nema", "iec"])
def test_the_network_read_back_from_the_svg_is_the_circuit(name: str, symbols: str) -> None:
    circuit, pairs = NAMED[name]
    tree = _tree(name, symbols)
    dots = [
        (float(str(circle.get("cx"))), float(str(circle.get("cy"))))
        for group in _groups(tree, "junction")
        for circle in group.iter(f"{SVG}circle")
    ]
    plan = layout(circuit, power_symbols(symbols), pairs)
    places = {(end.device, end.terminal): end.at for end in plan.terminals}
    assert joined_ends(_lines(tree), dots, places) == wanted_ends(circuit)


@each
def test_every_pole_and_terminal_is_a_group_that_names_device_and_wire(name: str) -> None:
    circuit, _ = NAMED[name]
    tree = _tree(name, "iec")
    names = ("data-device", "data-pole", "data-from", "data-to")
    found = [tuple(group.get(key) for key in names) for group in _groups(tree, "pole")]
    assert sorted(found) == sorted((pole.device, pole.pole, pole.a, pole.b) for pole in circuit.poles)
    for group in _groups(tree, "pole"):
        assert len(group) > 0, "a pole without strokes"
    ends = [
        (group.get("data-device"), group.get("data-terminal"), group.get("data-wire"))
        for group in _groups(tree, "terminal")
    ]
    for motor in circuit.motors:
        assert {(motor.tag, terminal, node) for terminal, node in motor.terminals.items()} <= set(ends)
    assert len(ends) == 3 + 2 * len(circuit.poles) + sum(len(motor.nodes) for motor in circuit.motors)


def test_wires_and_links_name_what_they_join() -> None:
    tree = ET.fromstring(draw_power(reversing("Apple elevator"), "iec", [("Q1", "Q2")]).svg)
    assert {group.get("data-wire") for group in _groups(tree, "wire")} == {
        *("L1", "L2", "L3", "1L1", "1L2", "1L3", "2L1", "2L2", "2L3", "1T1", "1T2", "1T3", "U1", "V1", "W1")
    }
    assert [group.get("data-devices") for group in _groups(tree, "link")] == ["Q1 Q2"]
    symbols = {(group.get("data-device"), group.get("data-kind")) for group in _groups(tree, "symbol")}
    assert symbols >= {("M1", "motor"), ("Q9", "disconnect"), ("supply", "supply")}


def test_a_screen_reader_finds_title_and_description() -> None:
    picture = draw_power(star_delta("Mill"))
    tree = ET.fromstring(picture.svg)
    title, desc = tree.find(f"{SVG}title"), tree.find(f"{SVG}desc")
    assert title is not None
    assert desc is not None
    assert tree.get("role") == "img"
    assert tree.get("aria-labelledby") == f"{title.get('id')} {desc.get('id')}"
    assert (title.text, desc.text) == ("Mill", picture.description)
    assert "Wire U2 joins" in picture.description


def test_the_two_sets_differ_in_marks_and_ids() -> None:
    nema, iec = (draw_power(direct("Wash pump"), symbols).svg for symbols in ("nema", "iec"))
    words = [{text.text for text in ET.fromstring(svg).iter(f"{SVG}text")} for svg in (nema, iec)]
    assert {"1/L1", "6/T3", "V1/T2", "OL", "MOT", "GND"} <= words[0]
    assert {"1", "6", "V1", "M", "3~", "PE"} <= words[1]
    ids = [{element.get("id") for element in ET.fromstring(svg).iter() if element.get("id")} for svg in (nema, iec)]
    assert ids[0].isdisjoint(ids[1])


def test_draw_takes_a_power_circuit_too() -> None:
    assert draw(direct("Wash pump")) == draw_power(direct("Wash pump"), "nema")
    assert draw(direct("Wash pump"), "iec") == draw_power(direct("Wash pump"), "iec")
    with pytest.raises(LadderError, match="paths is for ladders; the lines of a power circuit run down"):
        draw(direct("Wash pump"), paths="down")
    with pytest.raises(LadderError, match="width is for ladders"):
        draw(direct("Wash pump"), width=900)


def test_ink_on_paper_only() -> None:
    for name in NAMED:
        svg = ET.tostring(_tree(name, "nema"), encoding="unicode").lower()
        assert "#b85c00" not in svg
        assert set(re.findall(r"#[0-9a-f]{6}", svg)) <= {"#1a1a1a", "#505050", "#ffffff"}


def test_two_processes_with_other_hash_seeds_give_equal_bytes() -> None:
    code = (
        "import sys; from rungbook.drawing import draw_power\n"
        "from rungbook.circuit.power_store import power_from_json\n"
        "picture = draw_power(power_from_json(sys.stdin.buffer.read().decode()), 'iec')\n"
        "sys.stdout.buffer.write((picture.svg + picture.description).encode())"
    )
    circuit = NAMED["three motors"][0]
    done = [
        subprocess.run(
            [sys.executable, "-c", code],
            input=power_to_json(circuit).encode(), capture_output=True, check=True,
            env=os.environ | {"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]  # fmt: skip
    here = draw_power(circuit, "iec")
    assert done[0] == done[1] == (here.svg + here.description).encode()


def test_what_cannot_be_drawn_is_named() -> None:
    with pytest.raises(LadderError, match="draws a PowerCircuit"):
        draw_power("Q1")  # type: ignore[arg-type]
    with pytest.raises(LadderError, match=r"no such set of symbols\. Given: 'din'\. Choices: nema, iec"):
        draw_power(direct(), "din")
    with pytest.raises(LadderError, match=r"no such contactor in this circuit\. Given: 'F1'\. Choices: Q1, Q2"):
        draw_power(reversing(), mechanical_interlock=[("Q1", "F1")])
    for pairs in ([("Q1", "Q1")], ["Q1"], [("Q1", "Q2", "Q3")]):
        with pytest.raises(LadderError, match="joins two different contactors"):
            draw_power(reversing(), mechanical_interlock=pairs)  # type: ignore[arg-type]
    with pytest.raises(LadderError, match="takes pairs of contactors"):
        draw_power(reversing(), mechanical_interlock="Q1")


def test_two_hundred_devices_are_drawn() -> None:
    circuit = PowerCircuit("As many as there may be")
    for n in range(1, 101):
        circuit.device(f"Q{n}", "contactor", ("L1", "L2", "L3"), (f"{n}U", f"{n}V", f"{n}W"))
        circuit.motor(f"M{n}", (f"{n}U", f"{n}V", f"{n}W"))
    assert len(_groups(ET.fromstring(draw_power(circuit).svg), "pole")) == 300


@each
def test_in_a_browser_no_two_texts_overlap_and_all_are_on_the_sheet(browser: Browser, name: str) -> None:
    circuit, pairs = NAMED[name]
    page = browser.new_page(viewport={"width": 4000, "height": 1000})
    page.set_content(f"<body style='margin:0'>{draw_power(circuit, 'nema', pairs).svg}</body>")
    texts = page.evaluate(
        "() => [...document.querySelectorAll('svg text')].map(text => { const box = text.getBBox();"
        " return [text.textContent, box.x, box.y, box.x + box.width, box.y + box.height] })"
    )
    width, height = page.evaluate(
        "() => { const box = document.querySelector('svg').viewBox.baseVal; return [box.width, box.height] }"
    )
    page.close()
    assert texts
    for words, left, top, right, bottom in texts:
        assert left >= 0, words
        assert top >= 0, words
        assert right <= width, words
        assert bottom <= height, words
    for one, other in combinations(texts, 2):
        assert not overlap(tuple(one[1:]), tuple(other[1:])), (one, other)
