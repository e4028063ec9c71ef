"""Folding: a rung too long for the sheet goes on in a line below (or beside) it.

A line is broken between the parts in series, so a group of branches stays whole as long as it fits a line of its own;
only a group that is itself longer than a line is folded branch by branch.
"""

from __future__ import annotations

from dataclasses import replace

from rungbook.drawing.blocks import FORK, TURN, Block, in_fold, in_fork, in_row, only_wire


def folded(block: Block, room: float, tail: float = 0.0, above: float = 0.0) -> Block:
    """Return `block` in no more than `room` [px] along, as far as its symbols allow.

    tail: room along [px] that the last line leaves free behind it, for the loads; above: room across that the first
    of them needs before the wire. Nothing is left out or doubled; a single symbol longer than a line stays as it is.
    """
    if block.width + tail <= room:
        return block
    whole = room - 2 * TURN
    lines: list[list[Block]] = [[]]
    for member in block.row or (block,):
        used = sum(inner.width for inner in lines[-1])
        if lines[-1] and used + member.width > room - TURN * (1 + (len(lines) > 1)):
            lines.append([])
            used = 0.0
        first = len(lines) == 1
        lines[-1].append(member if member.width <= room - TURN * (2 - first) else _split(member, whole))
    last, start = lines[-1], TURN * (len(lines) > 1)
    if tail and start + sum(inner.width for inner in last) + tail > room:
        moved = last.pop() if len(last) > 1 and TURN + last[-1].width + tail <= room else None
        lines.append([moved] if moved else [only_wire(block.right)])
    done = [in_row(line) for line in lines]
    if len(done) == 1:
        return done[0]
    return in_fold([*done[:-1], replace(done[-1], ascent=max(done[-1].ascent, above - done[-1].exit))])


def _split(block: Block, room: float) -> Block:
    """`block`, longer than a line: its branches folded one by one; a single symbol as it is."""
    if block.fork:
        return in_fork([folded(inner, room - 2 * FORK) for inner in block.fork])
    return block
