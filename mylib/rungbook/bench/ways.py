"""The fewest moves of a hand that bring a device from one position into another."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence

from rungbook.errors import LadderError
from rungbook.kit import Move


def way(tag: str, moves: Sequence[Move], here: str, position: str, further: tuple[str, ...] = ()) -> tuple[Move, ...]:
    """Return the fewest of `moves` that bring device `tag` from `here` into `position`; none if it is there already.

    further: positions that it has besides, for the message. Raises LadderError if no hand can bring it there.
    """
    ways: dict[str, tuple[Move, ...]] = {here: ()}
    todo = deque(ways)
    while todo and position not in ways:
        now = todo.popleft()
        for move in moves:
            if move.start == now and move.end not in ways:
                ways[move.end] = (*ways[now], move)
                todo.append(move.end)
    if position not in ways:
        choices = tuple(dict.fromkeys(move.end for move in moves)) + further
        raise LadderError(f"bench, {tag}", "no such position that a hand can reach", position, choices)
    return ways[position]
