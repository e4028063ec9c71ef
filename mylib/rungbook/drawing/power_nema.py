"""Power symbols of North American practice (IEEE 315, NEMA ICS 19): the same kinds as in `power_iec`.

A contactor's pole is two bars, a breaker an arc over a gap, a fuse a wave, an overload heater two facing arcs.
Conformance is from memory of the standards and common practice; the X of a mechanical interlock is common practice.
"""

from __future__ import annotations

from types import MappingProxyType

from rungbook.drawing.power_shapes import Ink, Letters, PoleKind, PowerSymbols, arc, handle, line
from rungbook.drawing.shapes import Point, Ring, Stroke

_HIGH = 72.0
_TALL = 126.0
_MIDDLE = 36.0


def _breaker(end: float) -> Ink:
    """An arc to the left of a gap, the lower lead reaching to `end`."""
    leads = (line((0, 0), (0, 26)), line((0, 46), (0, end)))
    return Ink((*leads, arc((-2, _MIDDLE), 9, 15, 100, 260)), (Ring((0.0, 26.0), 1.5), Ring((0.0, 46.0), 1.5)))


def _heater(middle: float) -> tuple[Stroke, ...]:
    """Two facing arcs: the upper lead goes into the right one, the lower lead into the left one."""
    top, bottom = middle - 10, middle + 10
    return (
        line((0, top - 4), (0, top), (3, top)),
        arc((3, middle), 7, 10, -90, 90),
        line((0, bottom + 4), (0, bottom), (-3, bottom)),
        arc((-3, middle), 7, 10, 90, 270),
    )


def _wave(top: float) -> tuple[Stroke, Stroke]:
    return arc((0, top + 7), 7, 7, -90, 90), arc((0, top + 21), 7, 7, 270, 90)


def _cross(at: Point) -> Ink:
    x, y = at
    return Ink((line((x - 5, y - 5), (x + 5, y + 5)), line((x - 5, y + 5), (x + 5, y - 5))))


_BLADE = (-6.5, _MIDDLE)
_SWITCH = Ink(
    (line((0, 0), (0, 19)), line((0, 53), (0, _HIGH)), line((-13, 22), (0, 50))),
    (Ring((0.0, 22.0), 3.0), Ring((0.0, 50.0), 3.0)),
)
_BARS = Ink(
    (line((0, 0), (0, 31)), line((-11, 31), (11, 31)), line((-11, 41), (11, 41)), line((0, 41), (0, _HIGH))),
)
_RELEASES = Ink(
    (
        line((0, 60), (0, 62)),
        *_heater(76),
        line((0, 90), (0, 96)),
        arc((0, 99), 4, 3, -90, 90),
        arc((0, 105), 4, 3, -90, 90),
        line((0, 108), (0, _TALL)),
    ),
)

NEMA = PowerSymbols(
    "nema",
    MappingProxyType(
        {
            "disconnect": PoleKind("disconnect switch", _SWITCH, _HIGH, _BLADE, handle(_MIDDLE, _BLADE[0])),
            "circuit breaker": PoleKind(
                "circuit breaker", _breaker(_HIGH), _HIGH, (-11.0, _MIDDLE), handle(_MIDDLE, -11)
            ),
            "manual motor starter": PoleKind(
                "manual motor starter", _breaker(60) + _RELEASES, _TALL, (-11.0, _MIDDLE), handle(_MIDDLE, -11)
            ),
            "contactor": PoleKind("main contact of a contactor", _BARS, _HIGH, (0.0, _MIDDLE)),
            "fuse": PoleKind("fuse", Ink((line((0, 0), (0, 22)), *_wave(22), line((0, 50), (0, _HIGH)))), _HIGH),
            "overload relay": PoleKind(
                "overload relay",
                Ink((line((0, 0), (0, 22)), *_heater(_MIDDLE), line((0, 50), (0, _HIGH)))),
                _HIGH,
                mark="OL",
            ),
        }
    ),
    phase_marks=True,
    motor=("MOT", "3 PH"),
    one_phase_motor=("MOT", "1 PH"),
    earth="GND",
    ringed=False,
    interlock=_cross,
    boxes=MappingProxyType(
        {
            "soft starter": Ink(letters=(Letters(0, 4, "SS", "inside"),)),
            "drive": Ink(letters=(Letters(0, 4, "VFD", "inside"),)),
        }
    ),
)
