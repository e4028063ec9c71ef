"""Where the leads of a meter can be put: terminals of a board by name, the supply's X1 and X2, a wire at a device.

A lead is written "S2:14" (designation, colon, terminal), "X1" or "X2" (the supply's terminals, ungrounded and grounded,
behind its fuse), or "wire 5 at F1" (the terminal of F1 that has this wire). Names are those of the sound board: a wire
that has come off is off at its terminal, and the terminal keeps its name.
"""

from __future__ import annotations

import re
from itertools import count

from rungbook.behaviour import Board
from rungbook.circuit import LEFT_RAIL, RIGHT_RAIL, Contact
from rungbook.circuit.parts import LOAD_TERMINALS
from rungbook.errors import LadderError

RAILS = {"X1": LEFT_RAIL, "X2": RIGHT_RAIL}
_AT = re.compile(r"(?:wire\s+)?(\d+)\s+at\s+([A-Z]\d+)\Z", re.IGNORECASE)
_FUNCTIONS = {"NC": ("1", "2"), "NO": ("3", "4")}  # EN 50005: second digit of a contact's terminals
_OVERLOAD = {"NC": "95-96", "NO": "97-98"}

Place = tuple[int, str]  # place among the items of a board, and "left" or "right"


class Leads:
    """The terminals of the sound `board`. names: lead -> place of the item and its end; X1 and X2 are not in it.

    A contact that names no terminals gets those that EN 50005 gives the next free position of its device: 11-12, 23-24
    (contacts in reading order; an overload relay: 95-96, 97-98, from memory). The first terminal is on the left end,
    but for a changeover both of whose contacts are wired: their common terminal is on the wire that they share.
    """

    def __init__(self, board: Board) -> None:
        self.board = board
        self.names: dict[str, Place] = {}
        self.pairs: list[tuple[str, str]] = []  # terminals (left, right) of each item
        numbers = self._numbered()
        for place, (wired, pair) in enumerate(zip(board.items, numbers, strict=True)):
            first, _, second = pair.partition("-")
            sharing = [
                other
                for other, mine in zip(board.items, numbers, strict=True)
                if other is not wired and other.item.device == wired.item.device and mine.split("-")[0] == first
            ]
            turned = bool(sharing) and wired.left not in (sharing[0].left, sharing[0].right)
            ends = (second, first) if turned else (first, second)
            left, right = (f"{wired.item.device}:{end}" for end in ends)
            self.pairs.append((left, right))
            self.names.setdefault(left, (place, "left"))
            self.names.setdefault(right, (place, "right"))

    def _numbered(self) -> list[str]:
        """Terminals of each item, such as "13-14"; those that the board names come first, none stands twice."""
        found: list[str] = []
        taken: set[tuple[str, str]] = set()
        for wired in self.board.items:
            if wired.item.terminals:
                taken |= {(wired.item.device, end) for end in wired.item.terminals.split("-")}
        for wired in self.board.items:
            item = wired.item
            pair = item.terminals
            if not pair and isinstance(item, Contact):
                pair = next(p for p in self._free(item) if not {(item.device, end) for end in p.split("-")} & taken)
                taken |= {(item.device, end) for end in pair.split("-")}
            found.append(pair or LOAD_TERMINALS[getattr(item, "kind", "")])
        return found

    def _free(self, contact: Contact) -> list[str]:
        """Pairs of terminals for `contact`, the best first; as many as a board can use up."""
        mine = [one for one in self.board.contacts if one.device == contact.device]
        first, second = _FUNCTIONS[contact.kind]
        tens = [f"{n}{first}-{n}{second}" for n, _ in zip(count(1), range(2 * len(mine) + 1), strict=False)]
        used = sum(1 for one in mine[: next(k for k, one in enumerate(mine) if one is contact)])
        at = tens[used:] + tens[:used]
        overload = self.board.devices[contact.device].kind == "overload relay"
        return [_OVERLOAD[contact.kind], *at] if overload else at

    def lead(self, text: object) -> str:
        """The name of the lead `text`. Raises LadderError if there is no such terminal (the legal ones are listed)."""
        known = (*RAILS, *self.names)
        if isinstance(text, str):
            words = " ".join(text.split())
            for name in known:
                if words.casefold() == name.casefold():
                    return name
            if found := _AT.match(words):
                return self._at(int(found[1]), found[2].upper(), words)
        raise LadderError("Lead", "no such terminal here", text, (*known, "wire 5 at F1"))

    def _at(self, number: int, tag: str, words: str) -> str:
        """The terminal of device `tag` that is on wire `number`."""
        here = [name for name in self.names if name.startswith(f"{tag}:")]
        fitting = [name for name in here if self.wire(name) == number]
        if len(fitting) == 1:
            return fitting[0]
        rule = f"{tag} has {len(fitting)} terminals on wire {number}; name the terminal"
        raise LadderError("Lead", rule, words, tuple(fitting or here or self.names))

    def wire(self, lead: str) -> int:
        """The wire number that stands on `lead` by the drawing."""
        return self.node(lead, self.board)

    def node(self, lead: str, board: Board) -> int:
        """The node that `lead` is on in `board`: the sound board, or that board with a fault."""
        if lead in RAILS:
            return RAILS[lead]
        place, end = self.names[lead]
        wired = board.items[place]
        return wired.left if end == "left" else wired.right
