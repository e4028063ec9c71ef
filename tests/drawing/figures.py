"""What is asked of every figure that is no circuit, and how its lines are read back from the SVG."""

from __future__ import annotations

import re
from itertools import combinations
from xml.etree import ElementTree as ET

from rungbook.drawing.figure import Figure

from .geometry import overlap

SVG = "{http://www.w3.org/2000/svg}"
_POINT = re.compile(r"(-?[\d.]+),(-?[\d.]+)")

Path = list[tuple[float, float]]


def check_figure(figure: Figure) -> None:
    """No text lies on another, on a line of its own kind of group, or beside the sheet."""
    for one, other in combinations(figure.texts, 2):
        assert not overlap(one.box, other.box), (one.words, other.words)
    for group in figure.groups:
        boxes = [text.box for text in group.texts] + [trail.box for trail in group.trails]
        for left, top, right, bottom in boxes:
            assert left >= 0, group
            assert top >= 0, group
            assert right <= figure.width, group
            assert bottom <= figure.height, group


def groups(svg: str, kind: str) -> list[ET.Element]:
    """The groups of class `kind` of an SVG document."""
    return [group for group in ET.fromstring(svg).iter(f"{SVG}g") if group.get("class") == kind]


def paths(group: ET.Element, width: str = "", stroke: str = "") -> list[Path]:
    """The lines of a group, as points; those of one width or colour only if told."""
    return [
        [(float(x), float(y)) for x, y in _POINT.findall(path.get("d", ""))]
        for path in group.iter(f"{SVG}path")
        if path.get("stroke-width", "").startswith(width) and path.get("stroke", "").startswith(stroke)
    ]


def words(group: ET.Element) -> list[str]:
    """The texts of a group."""
    return [text.text or "" for text in group.iter(f"{SVG}text")]
