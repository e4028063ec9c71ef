"""The walk with voltage for a circuit that works in time: each order, what is seen at once, and what after a wait.

Nothing is proved here: the walk is run on the timeline, order by order. It keeps at most one device away from rest and
does each order once in each situation that coils, lamps and that device tell apart after the wait.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Mapping

from rungbook.behaviour import run
from rungbook.behaviour.actions import possible_steps
from rungbook.circuit import Ladder
from rungbook.kit import Device, TimerSetting, parse_setting

MARGIN = 2.0  # waited beyond the longest time that is set [s]
LONGEST = 120.0  # longer times are not waited for [s]

Situation = tuple[tuple[str, str], ...]
Known = Mapping[Situation, Mapping[str, Situation]]


def wait_of(devices: Mapping[str, Device]) -> float | None:
    """How long to wait until no timer runs any more [s]; None if a time is longer than two minutes, or one flashes."""
    times = [0.0]
    for device in devices.values():
        setting = parse_setting(device)
        if isinstance(setting, TimerSetting):
            if setting.function == "flash" or setting.seconds > LONGEST:
                return None
            times.append(setting.seconds)
    return sum(times) + MARGIN  # one timer may start the next


def timed_walk(ladder: Ladder, most: int) -> Iterator[tuple[str, str]]:
    """Yield (orders, what must be seen) of at most `most` steps; nothing if `wait_of` finds no wait."""
    devices = ladder.devices
    pause = wait_of(devices)
    if pause is None:
        return
    shown = [tag for tag, device in devices.items() if device.spec.load]
    steps = [step for device in devices.values() for step in possible_steps([device])[: len(device.spec.moves)]]
    wait = f"wait {pause:g} s"
    script: list[str] = []
    known: dict[Situation, dict[str, Situation]] = {}  # situation -> order done there -> the one that followed

    def orders_in(here: Situation) -> list[str]:
        at = dict(here)
        away = [tag for tag, device in devices.items() if device.spec.operated and at[tag] != device.spec.rest]
        legal = [step for step in steps if at[step.device] == step.move.start]
        return [step.order for step in legal if not away or step.device in away]

    def stand() -> dict[str, str]:
        return dict(run(ladder, script).moments[-1].positions)

    here: Situation = tuple(stand().items())
    yield "switch the supply on, touch nothing", _words(dict(here), shown)
    for _ in range(most - 1):
        way = _nearest(known, here, orders_in)
        if way is None:
            break
        for order in way[:-1]:
            script += [order, wait]
            here = known[here][order]
        script.append(way[-1])
        seen = _words(stand(), shown)
        script.append(wait)
        after: Situation = tuple(stand().items())
        known.setdefault(here, {})[way[-1]] = after
        here = after
        later = _words(dict(here), shown)
        told = ", ".join(f"{order}, {wait}" for order in way)
        yield told, seen if seen == later else f"at once: {seen}; after the wait: {later}"
    for at, way in _reached(known, here):
        rest = all(position == devices[tag].spec.rest for tag, position in at if devices[tag].spec.operated)
        if rest and any(position != devices[tag].spec.rest for tag, position in at if tag in shown):
            script += [
                part for order in (*way, "switch the supply off", "switch the supply on") for part in (order, wait)
            ]
            told = ", ".join(f"{order}, {wait}" for order in (*way, "switch the supply off", "switch it on"))
            yield told, _words(stand(), shown)
            return


def _nearest(known: Known, here: Situation, orders_in: Callable[[Situation], list[str]]) -> list[str] | None:
    """The shortest orders from `here` that end with one not yet done where it is given; None if there are none."""
    for at, way in _reached(known, here):
        for order in orders_in(at):
            if order not in known.get(at, {}):
                return [*way, order]
    return None


def _reached(known: Known, here: Situation) -> Iterator[tuple[Situation, list[str]]]:
    """The situations that known orders lead to from `here`, with the shortest orders, the nearest first."""
    before: dict[Situation, list[str]] = {here: []}
    waiting = deque([here])
    while waiting:
        at = waiting.popleft()
        yield at, before[at]
        for order, after in known.get(at, {}).items():
            if after not in before:
                before[after] = [*before[at], order]
                waiting.append(after)


def _words(positions: Mapping[str, str], shown: list[str]) -> str:
    return ", ".join(f"{tag} {positions[tag]}" for tag in shown)
