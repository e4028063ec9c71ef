"""Timed scripts: bench orders, waits and times of day in one text.

    press S2, let S2 go, wait 5 s, at 12.5 s press S1, set the supply to 60 %, replace the fuse of the supply

An order follows one second after the one before, unless a `wait` stands between them or it says `at`. Orders are those
of `actions.read_script`; an untimed script is read the same by both.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from rungbook.behaviour.actions import MAX_STEPS, MEND, Step, possible_steps
from rungbook.errors import LadderError
from rungbook.kit import Device

MICRO = 1_000_000
PAUSE = 1 * MICRO  # from one order to the next, if nothing else is said [us]
MAX_TIME = 30 * 24 * 3600 * MICRO  # thirty days [us]

_UNITS = {"us": 1, "ms": 1_000, "s": MICRO, "min": 60 * MICRO, "h": 3600 * MICRO}
_TIME = r"(-?\d+(?:\.\d+)?)\s*(us|ms|s|min|h)"
_WAIT = re.compile(rf"wait\s+{_TIME}\Z", re.IGNORECASE)
_AT = re.compile(rf"at\s+{_TIME}\s*:?\s+(.*)\Z", re.IGNORECASE | re.DOTALL)
_LEVEL = re.compile(r"set the supply to\s+(-?\d+(?:\.\d+)?)\s*%\Z", re.IGNORECASE)
_SPLIT = re.compile(r"[,;\n]|\.(?!\d)")  # a full stop, but not the point in 2.5


@dataclass(frozen=True)
class Timed:
    """Something to do at `time` [us]: a `step`, a new supply `level` (share of rated voltage), or nothing (a wait)."""

    time: int
    step: Step | None = None
    level: float | None = None

    @property
    def order(self) -> str:
        """The words for it, which `read_timed` reads back."""
        if self.step is not None:
            return self.step.order
        return "" if self.level is None else f"set the supply to {self.level * 100:g} %"


def read_timed(script: str | Iterable[str], devices: Mapping[str, Device]) -> tuple[tuple[Timed, ...], int]:
    """Return what `script` orders, in time, and the time at which the run ends [us].

    Raises LadderError if an order is unknown (the legal ones are listed), a time is negative, lies before the order
    above it or beyond thirty days, a supply level is outside 0 to 200 %, or there are more than 1000 orders.
    """
    if isinstance(script, str):
        pieces: list[object] = list(_SPLIT.split(script))
    elif isinstance(script, Iterable):
        pieces = list(script)
    else:
        raise LadderError("Script", "orders are text, or a list of texts", script)
    legal = {step.order.casefold(): step for step in (*possible_steps(devices.values()), MEND)}
    found: list[Timed] = []
    now, pause = 0, PAUSE  # the first order comes a second after the supply is on
    for piece in pieces:
        words = _words(piece, legal)
        if not words:
            continue
        wait = _WAIT.match(words)
        if wait:
            now += _micro("wait", wait[1], wait[2])
            found.append(Timed(now))
            pause = 0
            continue
        at = _AT.match(words)
        if at:
            time = _micro("at", at[1], at[2])
            if time < now:
                raise LadderError("Script", f"this order lies before the one above it, at {now / MICRO:g} s", words)
            now, words = time, _words(at[3], legal)
        else:
            now += pause
        pause = PAUSE
        found.append(_order(now, words, legal))
        if now > MAX_TIME:
            raise LadderError("Script", "a script ends within thirty days", f"{now / MICRO:g} s")
        if len(found) > MAX_STEPS:
            raise LadderError("Script", f"at most {MAX_STEPS} orders", len(found))
    return tuple(found), now + pause


def _words(piece: object, legal: Mapping[str, Step]) -> str:
    if not isinstance(piece, str):
        raise LadderError("Script", "orders are text", piece, tuple(step.order for step in legal.values()))
    return " ".join(piece.split()).rstrip(".")


def _micro(thing: str, number: str, unit: str) -> int:
    value = round(float(number) * _UNITS[unit.lower()])
    if value < 0:
        raise LadderError("Script", f"a time after '{thing}' is not negative", f"{number} {unit}")
    return value


def _order(now: int, words: str, legal: Mapping[str, Step]) -> Timed:
    level = _LEVEL.match(words)
    if level:
        share = float(level[1]) / 100
        if not 0 <= share <= 2:
            raise LadderError("Script", "the supply is set to 0 to 200 % of its rated voltage", words)
        return Timed(now, level=share)
    step = legal.get(words.casefold())
    if step is None:
        known = (*(step.order for step in legal.values()), "wait 5 s", "at 12.5 s ORDER", "set the supply to 60 %")
        raise LadderError("Script", "no such order here", words, known)
    return Timed(now, step)
