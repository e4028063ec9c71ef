"""Times as a person reads them, and where the ticks of an axis stand."""

from __future__ import annotations

from math import ceil, floor, log10

_MINUTE, _HOUR = 60.0, 3600.0
_STEPS = (1, 2, 5)
_LONG_STEPS = (1, 2, 5, 10, 15, 30)  # of minutes
_HOURS = (1, 2, 4, 6, 12, 24)


def seconds(time: float) -> str:
    """`time` [s] to the microsecond, and from two minutes on also in minutes or hours: "5 s", "7200 s (2 h)"."""
    plain = f"{trimmed(time, 6)} s"
    if time < 2 * _MINUTE:
        return plain
    if time < 2 * _HOUR:
        return f"{plain} ({trimmed(time / _MINUTE, 2)} min)"
    return f"{plain} ({trimmed(time / _HOUR, 2)} h)"


def trimmed(value: float, places: int) -> str:
    """`value` with at most `places` decimals, without zeros at their end."""
    text = f"{value:.{places}f}".rstrip("0").rstrip(".") if places else f"{value:.0f}"
    return "0" if text == "-0" else text


def ticks(start: float, end: float, most: int) -> tuple[str, tuple[tuple[float, str], ...]]:
    """Return the unit of an axis from `start` to `end` [s] and its ticks: (time [s], words), at most `most` and one.

    The unit is s up to five minutes, min up to five hours, h beyond.
    """
    span = end - start
    unit, size = ("s", 1.0) if span <= 5 * _MINUTE else ("min", _MINUTE) if span <= 5 * _HOUR else ("h", _HOUR)
    step = _step(span / size / most, unit)
    places = max(0, -floor(log10(step) + 1e-9))
    first = ceil(start / size / step - 1e-9)
    last = floor(end / size / step + 1e-9)
    return unit, tuple((n * step * size, trimmed(n * step, places)) for n in range(first, last + 1))


def _step(least: float, unit: str) -> float:
    """The smallest usual step that is at least `least` units."""
    usual = {"s": (), "min": _LONG_STEPS, "h": _HOURS}[unit]
    for step in usual:
        if step >= least and least > 0.5:
            return float(step)
    return round_step(least)


def round_step(least: float) -> float:
    """The smallest 1, 2 or 5 times a power of ten that is at least `least`."""
    power = 10.0 ** floor(log10(least))
    return next(factor * power for factor in (*_STEPS, 10) if factor * power >= least * (1 - 1e-9))
