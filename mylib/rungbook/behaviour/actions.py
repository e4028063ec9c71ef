"""What is done at the bench, in the words that are printed and that `run` understands.

A `Step` is one move of one device, or of the control supply. "press S2" and "let S2 go" are two steps: a held
button is a button not yet let go. All other words come from the kit's records (`Move.order`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from rungbook.errors import LadderError
from rungbook.kit import Device, Move

SUPPLY = "supply"
_SUPPLY_MOVES = (
    Move("on", "off", "switch the supply off", "the supply was switched off"),
    Move("off", "on", "switch the supply on", "the supply was switched on"),
)
MAX_STEPS = 1000


@dataclass(frozen=True)
class Step:
    """One move of `device` (a designation, or "supply")."""

    device: str
    move: Move

    @cached_property
    def order(self) -> str:
        """The bench order, such as "press S2"."""
        return self.move.order.format(tag=self.device)

    @property
    def past(self) -> str:
        """The same as something that happened: "S2 was pressed"."""
        return self.move.past.format(tag=self.device)

    def __str__(self) -> str:
        return self.order


#: a new fuse for the control supply, possible while that is off. A repair, no part of normal work: no proof tries it.
MEND = Step(SUPPLY, Move("off", "off", "replace the fuse of the supply", "the fuse of the supply was replaced"))


def possible_steps(devices: Iterable[Device]) -> tuple[Step, ...]:
    """Every step that some position of these devices, or the supply, allows; devices in order, the supply last."""
    steps = [Step(device.tag, move) for device in devices for move in device.spec.moves]
    return (*steps, *(Step(SUPPLY, move) for move in _SUPPLY_MOVES))


def read_script(script: str | Iterable[str], devices: Mapping[str, Device]) -> tuple[Step, ...]:
    """Return the steps of `script`: a list of orders, or text with , ; . or a new line between orders.

    Capital letters do not matter. Raises LadderError if an order names no such device or no move of that device
    (the legal orders are listed), or there are more than 1000 steps.
    """
    if not isinstance(script, Iterable):
        raise LadderError("Script", "orders are text", script, ("'press S1, let S1 go'",))
    pieces = re.split(r"[,;.\n]", script) if isinstance(script, str) else list(script)
    legal = {step.order.casefold(): step for step in possible_steps(devices.values())}
    steps = []
    for piece in pieces:
        if not isinstance(piece, str):
            raise LadderError("Script", "orders are text", piece, tuple(step.order for step in legal.values()))
        order = " ".join(piece.split()).rstrip(".").casefold()
        if not order:
            continue
        if order not in legal:
            raise LadderError(
                "Script", "no such order here", piece.strip(), tuple(step.order for step in legal.values())
            )
        steps.append(legal[order])
    if len(steps) > MAX_STEPS:
        raise LadderError("Script", f"at most {MAX_STEPS} steps", len(steps))
    return tuple(steps)


def tell(steps: Iterable[Step]) -> str:
    """The steps as sentences: "Press S2. Let S2 go." `read_script` reads them back."""
    return " ".join(f"{step.order[0].upper()}{step.order[1:]}." for step in steps)
