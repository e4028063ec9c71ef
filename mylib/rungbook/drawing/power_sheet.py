"""What stands where on the sheet of a power circuit: symbols, wires, dots, links, texts. Plain frozen data.

Lengths [px], x to the right, y downwards, origin at the upper left corner.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.drawing.power_shapes import Ink, Pin, PowerShape
from rungbook.drawing.shapes import Box, Point
from rungbook.drawing.sheet import Text

SUPPLY = "supply"  # stands for a designation where the supply's terminals are meant


@dataclass(frozen=True)
class Terminal:
    """A terminal of `device` on the sheet: where its wire ends, and the node it is on."""

    device: str
    terminal: str
    node: str
    at: Point


@dataclass(frozen=True)
class PlacedDevice:
    """A device, a motor or the supply, with the upper end of its first pole at (x, y). nodes: terminal -> node."""

    device: str
    kind: str
    label: str
    shape: PowerShape
    x: float
    y: float
    nodes: tuple[tuple[str, str], ...]

    @property
    def box(self) -> Box:
        """What the symbol's strokes cover."""
        left, top, right, bottom = self.shape.box
        return (self.x + left, self.y + top, self.x + right, self.y + bottom)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """Its terminals in the order of the shape's pins."""
        nodes = dict(self.nodes)
        return tuple(
            Terminal(self.device, pin.terminal, nodes[pin.terminal], self.place(pin)) for pin in self.shape.pins
        )

    def place(self, pin: Pin) -> Point:
        """Where `pin` stands on the sheet."""
        return (self.x + pin.at[0], self.y + pin.at[1])


@dataclass(frozen=True)
class PowerWire:
    """A straight piece of wire of `node`, left to right or downwards."""

    node: str
    start: Point
    end: Point


@dataclass(frozen=True)
class PowerDot:
    """A junction: three or more wires of `node` meet here."""

    node: str
    at: Point


@dataclass(frozen=True)
class Link:
    """A mechanical interlock between two contactors: `ink` on the sheet, dashed, with its sign."""

    devices: tuple[str, str]
    ink: Ink


@dataclass(frozen=True)
class PowerPlan:
    """A whole sheet of `width` by `height`. Links lie below everything else."""

    width: float
    height: float
    devices: tuple[PlacedDevice, ...]
    wires: tuple[PowerWire, ...]
    dots: tuple[PowerDot, ...]
    links: tuple[Link, ...]
    texts: tuple[Text, ...]

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """All terminals, device by device."""
        return tuple(terminal for device in self.devices for terminal in device.terminals)
