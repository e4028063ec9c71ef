"""What bears on a load: the part of a panel that decides it, so that a question is answered on that part alone.

The cone of a load is the load, every device with a contact on its way, and their cones. Nothing outside can change
what happens inside: a coil outside moves no contact inside, and the coils inside take no notice of when it moves. So
the states of the part are those of the whole seen through the part; a rule that asks only of the cone, and of devices
outside no more than that they are at rest, gets the same answer by the same shortest sequence.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from rungbook.circuit import Ladder

Cone = frozenset[str]

T = TypeVar("T")


class Cones:
    """The cones of one ladder: designations of loads and of operated devices."""

    def __init__(self, ladder: Ladder) -> None:
        self._before: dict[str, set[str]] = {}
        for rung in ladder.rungs:
            devices = {contact.device for contact in rung.all_contacts()}
            for load in rung.loads:
                self._before.setdefault(load.device, set()).update(devices)

    def of(self, tags: Iterable[str]) -> Cone:
        """`tags`, and everything that bears on one of them."""
        found = set(tags)
        waiting = list(found)
        while waiting:
            new = self._before.get(waiting.pop(), set()) - found
            found |= new
            waiting += new
        return frozenset(found)

    def has_state(self, cone: Cone) -> bool:
        """True if a load in `cone` bears on itself: a coil that holds itself, or two that hold one another."""
        return any(tag in self.of(self._before[tag]) for tag in cone if tag in self._before)


def widest(cones: Sequence[frozenset[T]]) -> list[frozenset[T]]:
    """Those of `cones` that lie in no other, each once, in the order in which they stand there."""
    return [cone for cone in dict.fromkeys(cones) if not any(cone < other for other in cones)]
