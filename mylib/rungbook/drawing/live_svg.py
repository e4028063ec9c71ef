"""The SVG of a drawing made ready for live states: wires in pieces, marks hidden, a key on all that can change."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from copy import deepcopy
from xml.etree import ElementTree as ET

from rungbook.drawing.adapter import number
from rungbook.drawing.figure import height_of, stacked
from rungbook.drawing.layout import MARGIN
from rungbook.drawing.live_marks import marks, style
from rungbook.drawing.live_wires import Piece, Wiring
from rungbook.drawing.metrics import wrap
from rungbook.drawing.sheet import STYLES, Plan, Text
from rungbook.drawing.symbols import lettering_style

SVG = "{http://www.w3.org/2000/svg}"
SIGNS = (
    "Thick: carries current. Wire number bold and underlined: at voltage. "
    "Designation in a frame: contact not as drawn. Tinted: coil in, lamp lit."
)
SAID = 2  # lines kept for what was done and what runs

ET.register_namespace("", SVG[1:-1])


def numbers(plan: Plan) -> tuple[tuple[str, int, int], ...]:
    """Key, node, and place in the plan of every text that names a wire."""
    found = [place for place, text in enumerate(plan.texts) if text.role in ("wire", "rail")]
    return tuple((f"n{k}", int(plan.texts[place].words.split()[0]), place) for k, place in enumerate(found, 1))


def prepared(document: str, plan: Plan, wires: Wiring, name: str) -> ET.Element:
    """Return the root of `document`, the SVG of `plan`, with keys, pieces, marks and room for lines of text below.

    name: id of the root, which its style sheet names.
    """
    root = ET.fromstring(document)
    root.set("id", name)
    sheet = ET.Element(f"{SVG}style")
    sheet.text = style(name)
    root.insert(2, sheet)
    _cut(root, plan, wires)
    for kind, keys in (("junction", _by_rung_and_node(plan)), ("continuation", _arrows(plan))):
        marked = [mark for group in _groups(root, kind) for mark in group]
        for mark, key in zip(marked, keys, strict=True):
            mark.set("data-live", key)
            mark.set("class", "arrow" if kind == "continuation" else "dot")
    for k, (group, symbol) in enumerate(zip(_groups(root, "symbol"), plan.symbols, strict=True), 1):
        group.set("data-live", f"s{k}")
        under, over = marks(symbol, plan.texts)
        for mark in (*under, *over):
            mark.tag = SVG + mark.tag
        at = 1 if len(group) and group[0].tag == f"{SVG}title" else 0
        group[at:at] = under
        group.extend(over)
    keys_of = {place: key for key, _, place in numbers(plan)}
    order = sorted(range(len(plan.texts)), key=lambda place: plan.texts[place].rung)
    letters = [text for group in _groups(root, "lettering") for text in group]
    for text, place in zip(letters, order, strict=True):
        if place in keys_of:
            text.set("data-live", keys_of[place])
    foot(root, plan.width, plan.height, SIGNS, [f"t{n}" for n in range(1, SAID + 1)])
    return root


def renamed(root: ET.Element, new: str, styled: Callable[[str], str] = style) -> None:
    """Give `root` the id `new`, in its style sheet and in the ids of its title and description too.

    styled: makes the style sheet for an id.
    """
    root.set("id", new)
    sheet = root.find(f"{SVG}style")
    assert sheet is not None
    sheet.text = styled(new)
    for kind in ("title", "desc"):
        part = root.find(f"{SVG}{kind}")
        assert part is not None
        part.set("id", f"{new}-{kind}")
    root.set("aria-labelledby", f"{new}-title {new}-desc")


def _groups(root: ET.Element, kind: str) -> Iterator[ET.Element]:
    return (group for group in root.findall(f"{SVG}g") if group.get("class") == kind)


def _cut(root: ET.Element, plan: Plan, wires: Wiring) -> None:
    """Put the pieces of its wires in place of the one path of each node on each rung."""
    own: dict[tuple[str, str], list[Piece]] = {}
    for piece in wires.pieces:
        wire = plan.wires[piece.wire]
        own.setdefault((str(wire.rung), str(wire.node)), []).append(piece)
    for group in (*_groups(root, "rail"), *_groups(root, "wire")):
        (whole,) = group
        group.remove(whole)
        for piece in own[group.get("data-rung", ""), group.get("data-wire", "")]:
            path = deepcopy(whole)
            (x, y), (end, low) = piece.start, piece.end
            path.set("d", f"M{number(x)},{number(y)}L{number(end)},{number(low)}")
            path.set("data-live", piece.key)
            group.append(path)


def _by_rung_and_node(plan: Plan) -> list[str]:
    """Keys of the dots in the order in which they are drawn."""
    order = sorted(range(len(plan.dots)), key=lambda place: (plan.dots[place].rung, plan.dots[place].node))
    return [f"j{place + 1}" for place in order]


def _arrows(plan: Plan) -> list[str]:
    """Keys of the continuations in the order in which they are drawn."""
    arrows = [line for line in plan.lines if line.role == "continuation"]
    return [f"a{place + 1}" for place in sorted(range(len(arrows)), key=lambda place: arrows[place].rung)]


def foot(root: ET.Element, width: float, height: float, signs: str, keys: Sequence[str]) -> None:
    """Add the meaning of the classes, and an empty line for each of `keys`, below the figure, which grows by that."""
    told = wrap(signs, STYLES["legend"].size, width - 2 * MARGIN, 9)
    top = height
    group = ET.SubElement(root, f"{SVG}g", {"class": "live"})
    for text in stacked("note", MARGIN, top, [""] * len(keys)):
        _write(group, text)
    for key, line in zip(keys, group, strict=True):
        line.set("data-live", key)
    top += height_of("note", len(keys)) + 4
    for text in stacked("legend", MARGIN, top, told):
        _write(group, text)
    high = number(top + height_of("legend", len(told)) + MARGIN)
    wide = number(width)
    scale = float(root.get("width", "0")) / width
    root.set("height", number(float(high) * scale))
    root.set("viewBox", f"0 0 {wide} {high}")
    ground = root.find(f"{SVG}rect")
    assert ground is not None
    ground.set("height", high)


def _write(group: ET.Element, text: Text) -> None:
    about = {"x": number(text.x), "y": number(text.y), **lettering_style(text)}
    ET.SubElement(group, f"{SVG}text", about).text = text.words
