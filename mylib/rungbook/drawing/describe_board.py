"""A board in words, complete enough to wire it by ear: every item between its two wires, and every wire's ends.

A bridge has no reading order, so nothing is told as a path: items are told one by one, by the wires they lie between.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rungbook.behaviour.board import Board
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Wired
from rungbook.drawing.cells import ends_of
from rungbook.drawing.describe import contacts_of, describe_item
from rungbook.drawing.network import Circuit, circuits
from rungbook.drawing.references import Reference
from rungbook.kit import Device
from rungbook.tables import listed

_RAILS = {
    "across": {LEFT_RAIL: f"wire {LEFT_RAIL} (L), the left rail", RIGHT_RAIL: f"wire {RIGHT_RAIL} (N), the right rail"},
    "down": {LEFT_RAIL: f"wire {LEFT_RAIL} (L), the top rail", RIGHT_RAIL: f"wire {RIGHT_RAIL} (N), the bottom rail"},
}


def references_of(board: Board, found: Sequence[Circuit]) -> dict[str, tuple[Reference, ...]]:
    """Designation of each coil -> its contacts: number of the circuit that each stands in, and its kind."""
    named: dict[str, list[Reference]] = {load.device: [] for load in board.loads if load.kind == "coil"}
    for circuit in found:
        for edge in circuit.items():
            if edge.wired and not edge.load and edge.wired.item.device in named:
                named[edge.wired.item.device].append((circuit.number, edge.wired.item.kind))
    return {tag: tuple(entries) for tag, entries in named.items()}


def describe_board(board: Board, paths: str = "across") -> str:
    """Return the description: a line on the whole, one line a circuit, one line a wire, one line a coil.

    paths: "across" or "down", as drawn. The numbers of the circuits are those of the drawing.
    """
    rails = _RAILS[paths]
    title = f"Circuit diagram {board.title!r}" if board.title.strip() else "Circuit diagram"
    between = f"between {rails[LEFT_RAIL]}, and {rails[RIGHT_RAIL]}"
    found = circuits(board.items)
    if not found:
        return f"{title}, nothing wired yet {between}."
    word = "rung" if paths == "across" else "path"
    count = len(found)
    said = [f"{title}: {count} {word}{'s' * (count > 1)} {between}. All devices are shown at rest."]
    for circuit in found:
        told = [_item(board.items[edge.item - 1], board.devices) for edge in circuit.items()]
        said.append(f"{word.capitalize()} {circuit.number}: {'; '.join(told)}.")
    ends: dict[int, list[str]] = {}
    for wired in board.items:
        names = ends_of(wired) or ("", "")
        for node, name in zip((wired.left, wired.right), names, strict=True):
            ends.setdefault(node, []).append(f"{wired.item.device}:{name}" if name else wired.item.device)
    said += [_wire(rails.get(node, f"wire {node}"), ends[node]) for node in sorted(ends)]
    for tag, entries in references_of(board, found).items():
        said.append(contacts_of(board.devices[tag], entries, True, word, str, "on this board"))
    return "\n".join(said)


def _wire(name: str, ends: Sequence[str]) -> str:
    said = f"{name[:1].upper()}{name[1:]}{',' if ',' in name else ''}"
    if len(ends) > 1:
        return f"{said} joins {listed(ends)}."
    return f"{said} ends on {ends[0]}{'' if ',' in name else ' and nothing else'}."


def _item(wired: Wired, devices: Mapping[str, Device]) -> str:
    words = describe_item(wired.item, devices[wired.item.device])
    first, second = (wired.right, wired.left) if wired.turned else (wired.left, wired.right)
    return f"{words}, between wires {first} and {second}"
