"""A ladder and a board walked through together: every order in every state, coils and lamps must agree."""

from __future__ import annotations

from collections import deque

from rungbook.behaviour import Board, Panel
from rungbook.behaviour.actions import possible_steps
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.circuit import Ladder, Wiring


def board_of(wiring: Wiring) -> Board:
    """The board that the wires of `wiring` make, read terminal by terminal."""
    return Board.from_wires("wired", wiring.wires, wiring.kit, wiring.ladder.declared or ())


def states_that_agree(ladder: Ladder, board: Board, most: int = 3000) -> int:
    """Assert that `board` does what `ladder` does, in each of the first `most` states; return how many pairs were seen.

    Where the ladder has a race or chatter nothing is asked.
    """
    drawn, wired = Panel(ladder), BoardPanel(board)
    tags = [*drawn.coils, *drawn.lamps]
    waiting = deque([(drawn.start, wired.start)])
    seen = set(waiting)
    while waiting and len(seen) < most:
        one, other = waiting.popleft()
        assert {tag: drawn.is_on(tag, one) for tag in tags} == {tag: wired.is_on(tag, other) for tag in tags}
        for step in possible_steps(drawn.inputs):
            if not drawn.can(step, one):
                continue
            after, too = drawn.after(step, one), wired.after(step, other)
            if len(after.states) != 1 or after.chatter:
                continue
            assert len(too.states) == 1, step
            pair = (after.states[0], too.states[0])
            if pair not in seen:
                seen.add(pair)
                waiting.append(pair)
    return len(seen)
