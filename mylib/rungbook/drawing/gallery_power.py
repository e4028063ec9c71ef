"""The lines of the gallery for what stands in a power circuit."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from rungbook.circuit.power import POLES, TERMINALS
from rungbook.drawing.gallery_page import Entry, Section, Specimen
from rungbook.drawing.power_shapes import (
    LEAST_PITCH,
    Ink,
    PowerShape,
    PowerSymbols,
    box_shape,
    device_shape,
    motor_shape,
)
from rungbook.drawing.power_symbols import power_symbols
from rungbook.drawing.shapes import Point, Ring, Shape
from rungbook.drawing.sheet import Text

_PITCH = LEAST_PITCH + 4
#: kind -> heading, clause in either set, use.
_DEVICES = {
    "disconnect": ("Disconnect", "IEEE 315, 4", "IEC 60617-7, 13", "Isolates from the supply; can be locked when off."),
    "circuit breaker": ("Circuit breaker", "IEEE 315, 11", "IEC 60617-7, 13", "Opens by hand and on a short circuit."),
    "manual motor starter": (
        "Manual motor starter, main contacts",
        "IEEE 315, 11; letters of the trade",
        "IEC 60617-7, 13; IEC 60617-2, 13",
        "Operated by hand; trips late on overload (thermal), at once on a short circuit (magnetic).",
    ),
    "fuse": ("Fuses", "IEEE 315, 9", "IEC 60617-7, 21", "Protection against short circuits, one in each line."),
    "contactor": ("Contactor, main contacts", "IEEE 315, 4", "IEC 60617-7, 13", "Switched by its coil."),
    "overload relay": (
        "Overload relay, heaters",
        "NEMA ICS 19",
        "IEC 60617-7, 15",
        "Feels the current of the motor; opens its control contact, never these lines.",
    ),
}


#: the same of motors, by their terminals
_MOTORS = {
    TERMINALS[:3]: ("Three-phase motor", "IEEE 315, 13", "IEC 60617-6, 8", "Windings joined inside."),
    TERMINALS: ("Three-phase motor, six leads", "IEEE 315, 13", "IEC 60617-6, 8", "Both ends of each winding."),
    ("U1", "U2"): ("Single-phase motor", "IEEE 315, 13", "IEC 60617-6, 8", "Between two conductors of the supply."),
}
_BOXES = {
    "soft starter": (
        "Soft starter, power side",
        "letters of the trade",
        "IEC 60617-5; box our own",
        "Ramps voltage up.",
    ),
    "drive": ("Drive, power side", "letters of the trade", "IEC 60617-6, 14", "Gives the motor another frequency."),
}


def sections() -> tuple[Section, ...]:
    """Return the section of power circuits."""
    entries = [
        _entry(words, partial(device_shape, kind=kind, poles=POLES, pitch=_PITCH)) for kind, words in _DEVICES.items()
    ]
    entries += [_entry(words, partial(motor_shape, terminals=ends, pitch=_PITCH)) for ends, words in _MOTORS.items()]
    entries += [_entry(words, partial(box_shape, kind=kind, pitch=_PITCH)) for kind, words in _BOXES.items()]
    return (Section("Power circuits", (*entries, _interlock())),)


def _entry(words: tuple[str, str, str, str], make: Callable[[PowerSymbols], PowerShape]) -> Entry:
    name, nema, iec, use = words
    drawn = [(_specimen(make(power_symbols(which))),) for which in ("nema", "iec")]
    return Entry(name, drawn[0], drawn[1], nema, iec, use)


def _specimen(shape: PowerShape) -> Specimen:
    """A power symbol about the middle of its height, its terminals' marks beyond the ends of its poles."""
    half = shape.height / 2
    ink = Ink()
    for part in (*shape.poles, shape.common):
        ink += part.moved(0.0, -half)
    texts = [Text(t.role, t.x, t.y, ((t.words, False),)) for t in ink.letters]
    for pin in shape.pins:
        x, y = pin.at
        texts.append(Text("terminal", x + 4, y - half + (-6 if pin.up else 15), ((pin.label, False),), "start"))
    points: tuple[Point, ...] = tuple((pin.at[0], pin.at[1] - half) for pin in shape.pins)
    rings = tuple(Ring(ring.centre, ring.radius, "none") for ring in ink.rings)
    return Specimen(Shape(shape.name, 0.0, ink.strokes, rings, points=points), tuple(texts), upright=True)


def _interlock() -> Entry:
    """The sign in the link between two contactors that hold each other out."""
    drawn = []
    for which in ("nema", "iec"):
        ink = power_symbols(which).interlock((0.0, 0.0))
        drawn.append((Specimen(Shape("mechanical interlock", 8.0, ink.strokes, points=((-8.0, 0.0), (8.0, 0.0)))),))
    use = "In the dashed link between two contactors: while one is in, the other cannot close."
    return Entry("Mechanical interlock", drawn[0], drawn[1], "X common practice", "IEC 60617-2, 12", use)
