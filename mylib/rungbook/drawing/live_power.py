"""The live state of a power circuit: which poles are closed, which wires are at voltage, which way each motor turns.

The figure is that of `draw_power`; nothing moves. As on a ladder (`live`) every piece that can change has a key, and a
state is told as a class for each key. A wire is at voltage if a phase reaches it through closed poles and windings, so
one that is fed back through a motor counts as well; what current flows is told by the sentence on each motor.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import lru_cache
from hashlib import sha256
from xml.etree import ElementTree as ET

from rungbook.behaviour import Moment, PowerFaults, Timeline, energise
from rungbook.behaviour.power import closed_poles
from rungbook.circuit.power import LINES, Pole, PowerCircuit, PowerMotor
from rungbook.drawing.adapter import number
from rungbook.drawing.figure import ACCENT
from rungbook.drawing.layout import MARGIN
from rungbook.drawing.live import Look, painted
from rungbook.drawing.live_svg import SVG, foot, renamed
from rungbook.drawing.metrics import wrap
from rungbook.drawing.picture import Picture
from rungbook.drawing.power import draw_power
from rungbook.drawing.power_layout import layout
from rungbook.drawing.power_shapes import MOTOR_RADIUS, arc
from rungbook.drawing.power_sheet import PlacedDevice
from rungbook.drawing.power_symbols import power_symbols
from rungbook.drawing.shapes import Point
from rungbook.drawing.sheet import STYLES
from rungbook.drawing.symbols import INK, SYMBOL
from rungbook.errors import LadderError
from rungbook.tables import listed

_SIGNS = "Thick: at voltage. Line through a pole: closed. Arrow in a motor: forwards clockwise, backwards against it."
_CLOSED = ("in", "on")  # positions of a device whose main poles are closed
_TURN = MOTOR_RADIUS - 12  # radius of the arrow in a motor [px]

#: what the classes look like, for the drawing with the id {name}.
_STYLE = """
#{name} .bridge,#{name} .turn,#{name} .lead{{display:none}}
#{name} .closed>.bridge,#{name} .forward>.forwards,#{name} .reverse>.backwards,#{name} .lead.alive{{display:inline}}
#{name} .alive>path,#{name} path.alive,#{name} .alive>circle{{stroke:{accent}!important;stroke-width:3.2px!important}}
#{name} .junction.alive>circle{{fill:{accent}!important;stroke-width:1.2px!important}}
"""


def _style(name: str) -> str:
    return _STYLE.format(name=name, accent=ACCENT).strip()


class LivePower:
    """A power circuit, drawn once, that can show any of its states. name: id of its SVG; words: of the circuit.

    symbols, mechanical_interlock: as `draw_power`. faults: of its poles and supply. Raises LadderError as `draw_power`,
    and if the circuit is not valid: only a finished one has states.
    """

    def __init__(
        self,
        circuit: PowerCircuit,
        symbols: str = "nema",
        mechanical_interlock: Iterable[tuple[str, str]] = (),
        faults: PowerFaults | None = None,
    ) -> None:
        pairs = tuple(mechanical_interlock)
        picture = draw_power(circuit, symbols, pairs)
        circuit.validate()
        self.circuit = circuit
        self.words = picture.description
        self._faults = faults or PowerFaults()
        self._switches = tuple(device.tag for device in circuit.devices if device.tag.startswith("Q"))
        self.name = "rungbook-live-" + sha256(picture.svg.encode()).hexdigest()[:12]
        plan = layout(circuit, power_symbols(symbols), pairs)
        self._room = plan.width - 2 * MARGIN
        self._root = ET.fromstring(picture.svg)
        self._root.set("id", self.name)
        self._root.insert(2, ET.Element(f"{SVG}style"))
        self._keys = dict(self._keyed())
        self._leads = dict(self._marked({placed.device: placed for placed in plan.devices}))
        self._lines = 1 + 2 * len(circuit.motors)
        foot(self._root, plan.width, plan.height, _SIGNS, [f"m-t{n}" for n in range(1, self._lines + 1)])
        renamed(self._root, self.name, _style)
        self._looked = lru_cache(64)(self._look)

    @property
    def svg(self) -> str:
        """The drawing with nothing on."""
        return ET.tostring(self._root, encoding="unicode") + "\n"

    def look(self, state: Moment | Timeline) -> Look:
        """Return `state` of the control circuit on this drawing: what a widget has to change.

        A device that the control circuit does not know, such as a disconnect, is closed. Raises LadderError if it is
        neither a moment of a run nor a timeline, or knows no device with main poles of this circuit.
        """
        if not isinstance(state, Moment | Timeline):
            rule = "a live state is a moment of a run, or a timeline"
            raise LadderError("draw", rule, state, ("run(ladder, 'press S2')[1]", "panel_moment(panel, state)"))
        positions = state.positions() if isinstance(state, Timeline) else state.positions
        if not set(self._switches) & set(positions):
            rule = "the live state is of another circuit: it knows no device with main poles of this one"
            raise LadderError("draw", rule, tuple(positions), self._switches)
        return self._looked(tuple(tag for tag in self._switches if positions.get(tag, "in") in _CLOSED))

    def picture(self, state: Moment | Timeline) -> Picture:
        """Return the drawing with `state` on it. Raises LadderError as `look`."""
        return painted(self._root, self.name, self.words, self.look(state), _style)

    def _look(self, closed: tuple[str, ...]) -> Look:
        reading = energise(self.circuit, closed, self._faults)
        poles = closed_poles(self.circuit, closed, self._faults)
        alive = frozenset(_reached(self.circuit, poles, self._faults))
        shut = {(pole.device, pole.pole): pole for pole in poles}
        classes = {}
        for key, (kind, first, second) in self._keys.items():
            if kind == "pole":
                pole = shut.get((first, second))
                found = [] if pole is None else ["closed", *(["alive"] if pole.a in alive else [])]
            elif kind == "motor":
                found = {1: ["forward"], -1: ["reverse"], 0: []}[reading[first].direction]
            else:
                found = ["alive"] if first in alive else []
            classes[key] = " ".join(found)
        classes |= {key: "alive" if node in alive else "" for key, node in self._leads.items()}
        lines = wrap(str(reading).replace("\n", " "), STYLES["note"].size, self._room, self._lines)
        texts = {f"m-t{n}": line for n, line in enumerate((*lines, *[""] * (self._lines - len(lines))), 1)}
        return Look(classes, texts, _told(closed, self._switches, alive, self._nodes(), reading))

    def _nodes(self) -> tuple[str, ...]:
        """The wires that are drawn, from the supply on, as the poles come."""
        drawn = {first for kind, first, _ in self._keys.values() if kind == "wire"}
        order = (*LINES, *(node for pole in self.circuit.poles for node in (pole.a, pole.b)))
        return tuple(node for node in dict.fromkeys(order) if node in drawn)

    def _keyed(self) -> Iterator[tuple[str, tuple[str, str, str]]]:
        """Give every group that can change its key: "wire", "junction" by node, "pole" by device, "motor" by device."""
        motors = {motor.tag for motor in self.circuit.motors}
        n = 0
        for group in self._root.findall(f"{SVG}g"):
            kind, device = group.get("class", ""), group.get("data-device", "")
            if kind in ("wire", "junction"):
                about = (kind, group.get("data-wire", ""), "")
            elif kind == "pole":
                about = (kind, device, group.get("data-pole", ""))
            elif kind == "symbol" and device in motors:
                about = ("motor", device, "")
            else:
                continue
            n += 1
            group.set("data-live", f"m-{n}")
            yield f"m-{n}", about

    def _marked(self, placed: Mapping[str, PlacedDevice]) -> Iterator[tuple[str, str]]:
        """Put bridges over open poles and arrows and leads into motors; yield key and node of each lead."""
        groups = {about: group for group in self._root.iter() if (about := self._keys.get(group.get("data-live", "")))}
        for (kind, tag, pole), group in groups.items():
            if kind == "pole" and tag in self._switches:
                ends = pole.split("-")
                device = placed[tag]
                start, end = (device.place(pin) for pin in device.shape.pins if pin.terminal in ends)
                group.append(_path("bridge", [start, end], INK, SYMBOL))
            elif kind == "motor":
                device, nodes = placed[tag], dict(placed[tag].nodes)
                strokes = device.shape.common.strokes[: len(device.shape.pins)]  # the leads come first, pin by pin
                for pin, stroke in zip(device.shape.pins, strokes, strict=True):
                    key = f"m-{tag}-{pin.terminal}"
                    lead = _path("lead", [_shifted(point, device) for point in stroke.points], ACCENT, SYMBOL)
                    lead.set("data-live", key)
                    group.append(lead)
                    yield key, nodes[pin.terminal]
                (centre, _), *_ = ((ring.centre, ring.radius) for ring in device.shape.common.rings)
                for word, mark in zip(("forwards", "backwards"), _arrows(_shifted(centre, device)), strict=True):
                    mark.set("class", f"turn {word}")
                    group.append(mark)


def _reached(circuit: PowerCircuit, poles: Iterable[Pole], faults: PowerFaults) -> Iterator[str]:
    """The nodes that a phase reaches through closed poles and the windings of motors."""
    ways: dict[str, list[str]] = {}
    for a, b in [*((pole.a, pole.b) for pole in poles), *(ends for motor in circuit.motors for ends in _inside(motor))]:
        ways.setdefault(a, []).append(b)
        ways.setdefault(b, []).append(a)
    todo = [line for line, phase in zip(LINES, faults.supply, strict=True) if phase not in faults.lost]
    seen = set(todo)
    while todo:
        node = todo.pop()
        yield node
        fresh = [other for other in ways.get(node, ()) if other not in seen]
        seen.update(fresh)
        todo += fresh


def _inside(motor: PowerMotor) -> list[tuple[str, str]]:
    """Terminals that its windings join: U1-U2 and so on of six; three are joined inside."""
    ends = motor.nodes
    return list(zip(ends[:3], ends[3:], strict=True)) if len(ends) == 6 else [(ends[0], ends[1]), (ends[1], ends[2])]


def _told(
    closed: tuple[str, ...], switches: tuple[str, ...], alive: frozenset[str], nodes: tuple[str, ...], reading: object
) -> str:
    """The state in words: devices, wires, then a sentence for each short and each motor."""
    shut = f"{listed(closed)} closed" if closed else "nothing closed"
    still = [tag for tag in switches if tag not in closed]
    wires = [node for node in nodes if node in alive]
    what = f"wire{'s' * (len(wires) > 1)} {listed(wires)} at voltage" if wires else "no wire at voltage"
    parts = [shut, *([f"{listed(still)} open"] if still else []), what]
    return f"Live: {'; '.join(parts)}.\n{reading}"


def _shifted(point: Point, device: PlacedDevice) -> Point:
    return (point[0] + device.x, point[1] + device.y)


def _path(kind: str, points: Iterable[Point], colour: str, width: float) -> ET.Element:
    d = "M" + "L".join(f"{number(x)},{number(y)}" for x, y in points)
    about = {"class": kind, "d": d, "fill": "none", "stroke": colour, "stroke-width": number(width)}
    return ET.Element(f"{SVG}path", about)


def _arrows(centre: Point) -> tuple[ET.Element, ET.Element]:
    """Arrows over the letters of a motor, clockwise and against it: an arc whose end bears a head."""
    made = []
    for way in (1, -1):
        points = [(way * (x - centre[0]) + centre[0], y) for x, y in arc(centre, _TURN, _TURN, 225, 315).points]
        x, y = points[-1]
        head = [(x - way * 11, y - 3.5), (x + way * 2.5, y + 2.5), (x - way * 2.5, y - 12)]
        group = ET.Element(f"{SVG}g")
        group.append(_path("arc", points, ACCENT, 3.0))
        tip = _path("tip", [*head, head[0]], ACCENT, 1.0)
        tip.set("fill", ACCENT)
        group.append(tip)
        made.append(group)
    return made[0], made[1]
