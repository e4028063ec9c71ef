"""The live state on a drawing: the path that carries current thicker and in the accent colour, and the same in words.

The figure is that of `draw`; nothing moves. Every piece of wire, symbol, dot, arrow and wire number has a key (its
attribute data-live), and a state is told as a class for each key, so that a widget in a browser only changes classes.
Lines of text below the figure say what the classes mean, and what was done.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass
from hashlib import sha256
from xml.etree import ElementTree as ET

from rungbook.behaviour import Board, Flow, Flowing, Moment, Timeline, moment_of
from rungbook.behaviour.flow import LEAST_AMPS
from rungbook.circuit import Contact, Ladder, wire_numbers
from rungbook.drawing.board_layout import board_layout
from rungbook.drawing.describe import describe
from rungbook.drawing.describe_board import describe_board
from rungbook.drawing.layout import MARGIN, layout
from rungbook.drawing.live_marks import is_closed_as_drawn, style
from rungbook.drawing.live_svg import SAID, SVG, numbers, prepared, renamed
from rungbook.drawing.live_wires import Draw, item_of, wiring
from rungbook.drawing.live_words import said, told
from rungbook.drawing.metrics import wrap
from rungbook.drawing.picture import Picture
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import STYLES, Symbol
from rungbook.drawing.svg import svg
from rungbook.errors import LadderError

RAIL = 14.0  # from the end of a rail to its point for a lead [px]
BESIDE = 9.0  # from the end of a symbol to the point for a lead [px]; a gap of 10 px has one at each side


@dataclass(frozen=True)
class Look:
    """A state on a drawing. classes: key -> its classes, "" for none. texts: key -> line of text. words: all of it.

    Classes: "carries" current, contact "closed", contact "away" from how it is drawn, coil or lamp "on", wire "alive".
    """

    classes: Mapping[str, str]
    texts: Mapping[str, str]
    words: str


def painted(drawing: ET.Element, name: str, words: str, look: Look, styled: Callable[[str], str] = style) -> Picture:
    """Return a copy of `drawing`, whose id is `name`, with `look` on it, described by `words` and those of `look`."""
    root = deepcopy(drawing)
    renamed(root, f"{name}-{sha256(look.words.encode()).hexdigest()[:8]}", styled)
    for element in root.iter():
        key = element.get("data-live", "")
        if found := look.classes.get(key):
            element.set("class", f"{element.get('class', '')} {found}".strip())
        elif key in look.texts:
            element.text = look.texts[key]
    desc = root.find(f"{SVG}desc")
    assert desc is not None
    desc.text = f"{words}\n{look.words}"
    return Picture(ET.tostring(root, encoding="unicode") + "\n", desc.text)


class LiveFigure:
    """A ladder or a board, drawn once, that can show any of its states. name: id of its SVG; words: of the circuit.

    Raises LadderError as `draw`, and as `Ladder.validate`: only a finished ladder has states.
    """

    def __init__(
        self, circuit: object, symbols: str = "nema", paths: str = "across", width: float | None = None
    ) -> None:
        self._on_rung: dict[int, tuple[int, ...]] = {}  # rung -> place of each of its items among those of the board
        if isinstance(circuit, Ladder):
            self.board = Board.of(circuit)
            self._plan, usual = layout(circuit, symbols, paths, width), "Ladder diagram"
            self.words = describe(circuit, paths)
            self._on_rung = {n: rung.places for n, rung in enumerate(wire_numbers(circuit), 1)}
        elif isinstance(circuit, Board):
            if width is not None:
                raise LadderError("draw", "a board is drawn in one piece, not folded to a width", width, ("None",))
            self.board = circuit
            self._plan, usual = board_layout(circuit, symbols, paths), "Circuit diagram"
            self.words = describe_board(circuit, paths)
        else:
            choices = ("Ladder('title')", "Board.from_wires(…)")
            raise LadderError("draw", "a live state is that of a Ladder, or a Board of wired items", circuit, choices)
        self._word = "path" if paths == "down" else "rung"
        self._wiring = wiring(self._plan, self.board.items, self._on_rung)
        self._flow = Flow(self.board)
        title = circuit.title.strip() or usual
        self.name = "rungbook-live-" + sha256(f"{title}{self.words}{symbols}{width}".encode()).hexdigest()[:12]
        self._root = prepared(svg(self._plan, title, self.words), self._plan, self._wiring, self.name)
        self._numbers = [(key, node) for key, node, _ in numbers(self._plan)]
        self._places: dict[int, list[int]] = {}
        for symbol in self._plan.symbols:
            self._places.setdefault(symbol.rung, []).append(item_of(symbol, self._on_rung))

    @property
    def items(self) -> tuple[int, ...]:
        """Place among the board's items of what symbol s1, s2, … shows."""
        return tuple(item_of(symbol, self._on_rung) for symbol in self._plan.symbols)

    @property
    def ends(self) -> dict[tuple[int, str], Point]:
        """Where a lead can be put: (place of an item, "left" or "right") -> a point on the wire, beside the symbol."""
        found: dict[tuple[int, str], Point] = {}
        for symbol, place in zip(self._plan.symbols, self.items, strict=True):
            turned = symbol.wired.left != self.board.items[place].left
            (x, y), (end, low) = symbol.terminals
            long = math.hypot(end - x, low - y)
            by = ((end - x) / long * BESIDE, (low - y) / long * BESIDE)
            points = ((x - by[0], y - by[1]), (end + by[0], low + by[1]))
            found.setdefault((place, "left"), points[turned])
            found.setdefault((place, "right"), points[not turned])
        return found

    @property
    def rails(self) -> dict[int, Point]:
        """Node of each rail -> a point for a lead on it, beside its name."""
        found: dict[int, Point] = {}
        for wire in self._plan.wires:
            if wire.rung == 0 and wire.node not in found:
                (x, y), (end, low) = wire.start, wire.end
                share = min(RAIL / (math.hypot(end - x, low - y) or RAIL), 1.0)
                found[wire.node] = (x + (end - x) * share, y + (low - y) * share)
        return found

    @property
    def svg(self) -> str:
        """The drawing with nothing on."""
        return ET.tostring(self._root, encoding="unicode") + "\n"

    def look(self, state: Moment | Timeline) -> Look:
        """Return `state` on this drawing: what a widget has to change.

        Raises LadderError if it is neither a moment of a run nor a timeline, or one of another circuit.
        """
        moment = self._checked(state)
        on = frozenset(tag for tag, word in moment.positions.items() if word in ("in", "lit"))
        flowing = self._flow.at(moment.closed, on, float(moment.supply))
        places = (place for place, wired in enumerate(self.board.items) if isinstance(wired.item, Contact))
        closed = dict(zip(places, moment.closed, strict=True))
        classes = self._wires(flowing)
        for k, symbol in enumerate(self._plan.symbols, 1):
            classes[f"s{k}"] = " ".join(self._about(symbol, flowing, closed, on))
        lines = wrap(said(moment), STYLES["note"].size, self._plan.width - 2 * MARGIN, SAID)
        texts = {f"t{n}": line for n, line in enumerate((*lines, *[""] * (SAID - len(lines))), 1)}
        return Look(classes, texts, told(self.board, self._places, self._word, moment, flowing, closed))

    def picture(self, state: Moment | Timeline) -> Picture:
        """Return the drawing with `state` on it. Raises LadderError as `look`."""
        return painted(self._root, self.name, self.words, self.look(state))

    def _wires(self, flowing: Flowing) -> dict[str, str]:
        """The classes of pieces, dots, arrows and wire numbers."""
        amps = flowing.amps

        def carried(draws: Sequence[Draw]) -> str:
            return "carries" if abs(sum(sign * amps[item] for item, sign in draws)) > LEAST_AMPS else ""

        classes = {piece.key: carried(piece.draws) for piece in self._wiring.pieces}
        classes |= {
            key: "carries" if any(classes[piece] for piece in meeting) else ""
            for key, meeting in self._wiring.dots.items()
        }
        classes |= {key: carried(draws) for key, draws in self._wiring.arrows.items()}
        return classes | {key: "alive" if flowing.alive(node) else "" for key, node in self._numbers}

    def _about(self, symbol: Symbol, flowing: Flowing, closed: Mapping[int, bool], on: frozenset[str]) -> list[str]:
        place = item_of(symbol, self._on_rung)
        found = ["carries"] if flowing.carries(place) else []
        if place in closed:
            found += ["closed"] if closed[place] else []
            found += ["away"] if closed[place] != is_closed_as_drawn(symbol) else []
        elif symbol.wired.item.kind in ("coil", "lamp") and symbol.device.tag in on:
            found.append("on")
        return found

    def _checked(self, state: Moment | Timeline) -> Moment:
        moment = moment_of(state) if isinstance(state, Timeline) else state
        if not isinstance(moment, Moment):
            rule = "a live state is a moment of a run, or a timeline"
            raise LadderError("draw", rule, state, ("run(ladder, 'press S2')[1]", "panel_moment(panel, state)"))
        count = len(self.board.contacts)
        if len(moment.closed) != count:
            rule = f"this circuit has {count} contacts; the live state is of another one"
            raise LadderError("draw", rule, f"{len(moment.closed)} contacts")
        for load in self.board.loads:
            if load.device not in moment.positions:
                rule = "the live state is of another circuit: it does not say where this device is"
                raise LadderError("draw", rule, load.device, tuple(moment.positions))
        return moment


def live_classes(figure: LiveFigure, state: Moment | Timeline) -> Mapping[str, str]:
    """Return the class of every key of `figure` in `state`. Raises LadderError as `LiveFigure.look`."""
    return figure.look(state).classes
