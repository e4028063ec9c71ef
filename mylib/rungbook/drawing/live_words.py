"""The live state of a circuit in words."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

from rungbook.behaviour import Board, Flowing, Moment
from rungbook.circuit import RIGHT_RAIL, Contact, Wired
from rungbook.tables import listed

_LOADS = {"coil": "coil of", "lamp": "lamp"}

Places = Mapping[int, Collection[int]]  # number of a rung -> places of its items on the board


def said(moment: Moment) -> str:
    """What was done and what runs, for the lines below the figure."""
    words = [f"After: {moment.order}." if moment.order else "Live state."]
    if not moment.supply:
        words.append("Control supply dead.")
    words += [f"{tag}: {left:.4g} s left." for tag, left in moment.left.items()]
    words += [f"{tag}: count {value:g}." for tag, value in moment.counts.items()]
    return " ".join([*words, *([f"{moment.note}."] if moment.note else [])])


def told(board: Board, places: Places, word: str, moment: Moment, flowing: Flowing, closed: Mapping[int, bool]) -> str:
    """The whole state: a line on voltages and devices, one line a rung.

    word: "rung" or "path". closed: place of each contact among the items -> whether it is closed.
    """
    alive = [str(node) for node in sorted(node for node in flowing.volts if flowing.alive(node))]
    wires = f"wire{'s' * (len(alive) > 1)} {listed(alive)} at voltage" if alive else "no wire at voltage"
    devices = board.devices
    head = [
        "control supply on" if moment.supply else "control supply dead",
        f"{wires} against wire {RIGHT_RAIL}",
        *(f"{tag} {now}" for tag, now in moment.positions.items() if tag in devices and now != devices[tag].spec.rest),
        *(f"timer {tag} has {left:.4g} s left" for tag, left in moment.left.items()),
        *(f"counter {tag} at {value:g}" for tag, value in moment.counts.items()),
        *filter(None, (moment.note,)),
    ]
    after = f" after {moment.order!r}" if moment.order else ""
    lines = [f"Live{after}: {'; '.join(head)}."]
    for rung, own in sorted(places.items()):
        lines.append(f"Live on {word} {rung}: {'; '.join(_rung(board.items, sorted(own), flowing, closed))}.")
    return "\n".join(lines)


def _rung(items: Sequence[Wired], own: Sequence[int], flowing: Flowing, closed: Mapping[int, bool]) -> list[str]:
    flows = [_name(items[place]) for place in own if flowing.carries(place)]
    shut = [_name(items[place]) for place in own if closed.get(place) and not flowing.carries(place)]
    opened = [_name(items[place]) for place in own if place in closed and not closed[place]]
    said = [f"current through {listed(flows)}" if flows else "no current"]
    said += [f"closed: {', '.join(shut)}"] if shut else []
    said += [f"open: {', '.join(opened)}"] if opened else []
    return said


def _name(wired: Wired) -> str:
    item = wired.item
    if isinstance(item, Contact):
        ends = f" ({item.terminals})" if item.terminals else ""
        return f"{item.kind} contact of {item.device}{ends}"
    return f"{_LOADS[item.kind]} {item.device}" if item.kind in _LOADS else item.name
