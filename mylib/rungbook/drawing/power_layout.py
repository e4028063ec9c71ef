"""From a power circuit to a `PowerPlan`: grid, tracks, wires, junctions, links, texts. No canvas is made here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from rungbook.circuit.power import LINES, PowerCircuit, PowerDevice
from rungbook.drawing.metrics import LINE
from rungbook.drawing.power_links import ASIDE, Pairs, draw_links, partners
from rungbook.drawing.power_routes import TRACK, Net, joints, tracks
from rungbook.drawing.power_rows import Grid, Item, arrange, make_item, row_numbers, terminal_nodes
from rungbook.drawing.power_shapes import (
    LEAST_PITCH,
    PowerShape,
    PowerSymbols,
    device_shape,
    motor_shape,
    supply_shape,
)
from rungbook.drawing.power_sheet import SUPPLY, PlacedDevice, PowerDot, PowerPlan, PowerWire
from rungbook.drawing.power_texts import (
    Label,
    element_label,
    interlock_words,
    middle_of,
    names_width,
    node_text,
    supply_label,
    symbol_texts,
    terminal_texts,
    title_texts,
)
from rungbook.drawing.sheet import STYLES, Text

MARGIN = 16.0
_NAMES = 17.0  # height of the strip of a channel in which names of nodes stand [px]
_BARE = 8.0  # height of such a strip without names [px]
_LEAST_WIDTH = 320.0  # for the title [px]


@dataclass(frozen=True)
class _Part:
    """What is known of an element before it has a place."""

    tag: str
    kind: str
    label: str
    shape: PowerShape
    text: Label
    nodes: dict[str, str]
    row: int

    @property
    def height(self) -> float:
        """From its upper pins to the lower end of symbol and label [px]."""
        return float(max(self.shape.height, ceil(middle_of(self.shape) + self.text.below)))

    @property
    def edge(self) -> float:
        """Where its label ends, from its first pole [px]."""
        return min(self.shape.box[0], -ASIDE if self.text.spare else 0.0) - 9


def layout(circuit: PowerCircuit, symbols: PowerSymbols, pairs: Pairs = ()) -> PowerPlan:
    """Return the sheet of `circuit`. pairs: contactors with a mechanical interlock. Equal input gives equal sheets."""
    parts = {part.tag: part for part in _parts(circuit, symbols, pairs)}
    grid = _grid(parts.values(), names_width(circuit), bool(pairs))
    width = max(_LEAST_WIDTH, ceil(max(item.x + item.right for row in grid.rows for item in row))) + 2 * MARGIN
    title = title_texts(circuit, width - 2 * MARGIN, MARGIN, MARGIN)
    y = MARGIN + 26 + ceil(len(title) * LINE * STYLES["title"].size)
    placed: list[list[PlacedDevice]] = []
    wires: list[PowerWire] = []
    dots: list[PowerDot] = []
    names: list[Text] = []
    for r, row in enumerate(grid.rows):
        here = [(item, parts[item.device]) for item in row if item.shape is not None]
        placed.append([_placed(part, item.x + MARGIN, y) for item, part in here])
        bottom = y + max((part.height for _, part in here), default=0.0)
        wires += [
            PowerWire(item.lowers[0][1], (item.x + MARGIN, y), (item.x + MARGIN, bottom))
            for item in row
            if item.shape is None
        ]
        channel = _Channel(grid, r, bottom)
        lower_ends = {
            item.x + x: y + (item.shape.height if item.shape is not None else bottom - y)
            for item in row
            for x, _ in item.lowers
        }
        wires += channel.wires(lower_ends)
        dots += channel.dots()
        names += channel.names()
        y = channel.bottom
    devices = tuple(device for row in placed for device in row)
    links = draw_links(placed, pairs, symbols)
    written = {pair for link in links for pair in (link.devices, link.devices[::-1])}
    texts = [*title, *names]
    for device in devices:
        part = parts[device.device]
        others = [other for other in partners(part.tag, pairs) if (part.tag, other) not in written]
        needed = [interlock_words(other) for other in others]
        texts += part.text.texts(device.x + part.edge, device.y + middle_of(device.shape), part.tag, needed)
        texts += [*terminal_texts(device), *symbol_texts(device)]
    return PowerPlan(width, y + MARGIN, devices, _merged(wires), tuple(dots), links, tuple(texts))


def _parts(circuit: PowerCircuit, symbols: PowerSymbols, pairs: Pairs) -> list[_Part]:
    """The supply and all elements, with their symbols and texts."""
    rows = row_numbers(circuit)
    marks = 5 * 0.65 * STYLES["terminal"].size if symbols.phase_marks else 0.0
    pitch = max(LEAST_PITCH, round(max(names_width(circuit), marks) + 10))
    supply = {name: name for name in LINES}
    found = [_Part(SUPPLY, SUPPLY, "", supply_shape(LINES, pitch), supply_label(circuit.source), supply, 0)]
    for element in circuit.elements:
        tag = element.tag
        if isinstance(element, PowerDevice):
            shape = device_shape(symbols, element.kind, [pole.pole for pole in element.poles], pitch)
            kind = element.kind
        else:
            shape, kind = motor_shape(symbols, tuple(element.terminals), pitch), "motor"
        text = element_label(element, shape.mark, partners(tag, pairs))
        found.append(_Part(tag, kind, element.label, shape, text, terminal_nodes(element), rows[tag]))
    return found


def _grid(parts: Iterable[_Part], names: float, linked: bool) -> Grid:
    items = []
    for part in parts:
        last = max(pin.at[0] for pin in part.shape.pins)
        right = max(part.shape.box[2] + 6, last + names + 10, last + 38 if linked else 0.0)
        left = ceil(part.text.width - part.edge + 4)
        items.append(make_item(part.tag, part.shape, part.nodes, part.row, left, right))
    return arrange(items)


def _placed(part: _Part, x: float, y: float) -> PlacedDevice:
    return PlacedDevice(part.tag, part.kind, part.label, part.shape, x, y, tuple(part.nodes.items()))


class _Channel:
    """The strip below row `r`, from `top` down: a strip of names, tracks, a strip of names."""

    def __init__(self, grid: Grid, r: int, top: float) -> None:
        above, below = grid.channel(r)
        self._nets, count = tracks(above, below)
        self._top = top
        self._over = self._named([item for item in grid.rows[r] if r], upper=False, known=set())
        known = {node for node, _ in self._over} | (set(LINES) if r == 0 else set())
        self._under = self._named(grid.rows[r + 1] if r + 1 < len(grid.rows) else [], upper=True, known=known)
        wired = any(len(net.above) + len(net.below) > 1 for net in self._nets)
        over = _NAMES if self._over else _BARE if wired else 0.0
        under = _NAMES if self._under else _BARE if wired else 0.0
        self._first = top + over + TRACK / 2
        self.bottom = top + over + count * TRACK + under

    @staticmethod
    def _named(items: Sequence[Item], upper: bool, known: set[str]) -> list[tuple[str, float]]:
        """The first pin of each node on these elements that is not named in this channel yet."""
        found: dict[str, float] = {}
        for item in items:
            if item.shape is not None:
                for x, node in item.uppers if upper else item.lowers:
                    if node not in known:
                        found.setdefault(node, item.x + x)
        return list(found.items())

    def names(self) -> list[Text]:
        """The names of its nodes."""
        over = [node_text(node, x + MARGIN, self._top + 13) for node, x in self._over]
        return over + [node_text(node, x + MARGIN, self.bottom - 4) for node, x in self._under]

    def wires(self, lower_ends: dict[float, float]) -> list[PowerWire]:
        """Its wires. lower_ends: x of a pin above -> the height at which its wire begins."""
        found = []
        for net in self._nets:
            level = self._level(net)
            if net.turns:
                left, right = net.span
                found.append(PowerWire(net.node, (left + MARGIN, level), (right + MARGIN, level)))
            for x in net.above:
                if net.turns or net.below:
                    found.append(PowerWire(net.node, (x + MARGIN, lower_ends[x]), (x + MARGIN, level)))
            for x in net.below:
                if net.turns or net.above:
                    found.append(PowerWire(net.node, (x + MARGIN, level), (x + MARGIN, self.bottom)))
        return found

    def dots(self) -> list[PowerDot]:
        """Its junctions."""
        return [
            PowerDot(net.node, (x + MARGIN, self._level(net))) for net in self._nets if net.turns for x in joints(net)
        ]

    def _level(self, net: Net) -> float:
        return self._first + TRACK * net.track if net.turns else self.bottom


def _merged(wires: Sequence[PowerWire]) -> tuple[PowerWire, ...]:
    """The wires with upright pieces of a node in line made one, and without those of no length."""
    level = [wire for wire in wires if wire.start[1] == wire.end[1] and wire.start[0] != wire.end[0]]
    upright: dict[tuple[str, float], list[tuple[float, float]]] = {}
    for wire in wires:
        (x, top), (end, bottom) = wire.start, wire.end
        if x == end and top != bottom:
            upright.setdefault((wire.node, x), []).append((top, bottom))
    found = []
    for (node, x), pieces in upright.items():
        runs: list[tuple[float, float]] = []
        for top, bottom in sorted(pieces):
            if runs and abs(runs[-1][1] - top) < 1e-6:
                runs[-1] = (runs[-1][0], bottom)
            else:
                runs.append((top, bottom))
        found += [PowerWire(node, (x, top), (x, bottom)) for top, bottom in runs]
    return (*level, *found)
