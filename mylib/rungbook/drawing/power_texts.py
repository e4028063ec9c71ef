"""What is written on the sheet of a power circuit, and where: designations, plates, terminals, nodes, the title."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rungbook.circuit.power import PowerCircuit, PowerDevice, PowerMotor, Source
from rungbook.drawing.metrics import ASCENT, LINE, text_width, wrap
from rungbook.drawing.power_shapes import PowerShape
from rungbook.drawing.power_sheet import SUPPLY, PlacedDevice
from rungbook.drawing.sheet import STYLES, Text

POLE_MIDDLE = 36.0  # height of the middle of a pole that has no moving part [px]
_PLATE = (124.0, 3)  # width [px] and number of lines of a plate at most
_TITLE_LINES = 6


@dataclass(frozen=True)
class Label:
    """The text left of a symbol: `over` its middle line, `under` it, and what is written there if need be (`spare`).

    Each is a row of (role, words), read downwards.
    """

    over: tuple[tuple[str, str], ...]
    under: tuple[tuple[str, str], ...] = ()
    spare: tuple[tuple[str, str], ...] = ()

    @property
    def width(self) -> float:
        """Of the widest line [px]."""
        lines = (*self.over, *self.under, *self.spare)
        return max((_width(role, words) for role, words in lines), default=0.0)

    @property
    def below(self) -> float:
        """How far it reaches below the middle line [px]."""
        return 6 + sum(LINE * STYLES[role].size for role, _ in (*self.under, *self.spare))

    def texts(self, x: float, middle: float, device: str, needed: Collection[str]) -> list[Text]:
        """The lines, ending at `x`. needed: which of the spare ones are written."""
        found = []
        y = middle - 7
        for role, words in reversed(self.over):
            found.append(Text(role, x, y, ((words, False),), "end", device=device))
            y -= LINE * STYLES[role].size
        y = middle + 4
        for role, words in (*self.under, *((role, words) for role, words in self.spare if words in needed)):
            found.append(Text(role, x, y + ASCENT * STYLES[role].size, ((words, False),), "end", device=device))
            y += LINE * STYLES[role].size
        return found


def _width(role: str, words: str) -> float:
    return text_width(words, STYLES[role].size, STYLES[role].bold)


def middle_of(shape: PowerShape) -> float:
    """Height of the line about which a label is written: the link, the middle of a pole or of a motor's circle."""
    if shape.link is not None:
        return shape.link[0][1]
    if shape.common.rings:
        return shape.common.rings[0].centre[1]
    return POLE_MIDDLE


def element_label(element: PowerDevice | PowerMotor, mark: str, partners: Sequence[str]) -> Label:
    """The label of a device or motor. mark: of its symbol. partners: devices it is mechanically interlocked with."""
    plate = wrap(element.label, STYLES["plate"].size, *_PLATE)
    under = [("reference", mark)] if mark else []
    under += [("plate", words) for words in plate]
    spare = tuple(("reference", interlock_words(tag)) for tag in partners)
    return Label((("designation", element.tag),), tuple(under), spare)


def interlock_words(partner: str) -> str:
    """What stands at a contactor whose mechanical interlock with `partner` is not drawn."""
    return f"interlock {partner}"


def supply_label(source: Source) -> Label:
    """The label of the supply: voltage between two lines, phases, frequency."""
    return Label((("plate", f"{source.volts:g} V"), ("plate", f"3 ~ {source.hertz:g} Hz")))


def title_texts(circuit: PowerCircuit, width: float, left: float, top: float) -> list[Text]:
    """The title in as many lines as it needs at `width`."""
    style = STYLES["title"]
    lines = wrap(circuit.title, style.size, width, _TITLE_LINES, style.bold)
    y = top + ASCENT * style.size
    return [Text("title", left, y + n * LINE * style.size, ((words, False),), "start") for n, words in enumerate(lines)]


def terminal_texts(placed: PlacedDevice) -> list[Text]:
    """The marks of its terminals, right of the wire that ends there; for the supply, the names of the lines above."""
    found = []
    for pin in placed.shape.pins:
        x, y = placed.place(pin)
        if placed.device == SUPPLY:
            found.append(Text("rail", x, placed.y - 5, ((pin.label, False),), "middle", device=SUPPLY))
            continue
        found.append(
            Text("terminal", x + 4, y + 11 if pin.up else y - 4, ((pin.label, False),), "start", device=placed.device)
        )
    return found


def symbol_texts(placed: PlacedDevice) -> list[Text]:
    """The letters that belong to its symbol."""
    letters = [letter for ink in (*placed.shape.poles, placed.shape.common) for letter in ink.letters]
    return [
        Text(t.role, placed.x + t.x, placed.y + t.y, ((t.words, False),), "middle", device=placed.device)
        for t in letters
    ]


def node_text(node: str, x: float, y: float) -> Text:
    """The name of a node, right of an upright wire at `x`, its baseline at `y`."""
    return Text("wire", x + 4, y, ((node, False),), "start")


def names_width(circuit: PowerCircuit) -> float:
    """Width of the widest name of a node that is written on the sheet [px]."""
    nodes = {pole_end for pole in circuit.poles for pole_end in (pole.a, pole.b)}
    nodes |= {node for motor in circuit.motors for node in motor.nodes}
    return max((_width("wire", node) for node in nodes), default=0.0)
