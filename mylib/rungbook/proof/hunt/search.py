"""A hunt act by act: what may be done, what it costs, what it shows, and whether it was safe. The same for all who act.

The student's acts, the marker's repetition of them on the same faulty board, and the trial of them on every other
suspect go through this one class, so they cannot differ.

Acts: "as found", "look", "do" (an order of the bench), "lock out", "take the lock off", "source" (the meter on a known
live source beside the board), "volts", "ohms", "continuity". A voltage read with the supply off costs nothing: that is
how a circuit is proved dead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungbook.behaviour import Reading
from rungbook.behaviour.actions import SUPPLY
from rungbook.behaviour.meter import LIVE, LIVE_VOLTS
from rungbook.errors import LadderError
from rungbook.proof.hunt.partition import told_apart
from rungbook.proof.hunt.rig import CONTINUITY, OHMS, QUANTITIES, VOLTS, Rig

AS_FOUND, LOOK, DO, LOCK, UNLOCK, SOURCE = "as found", "look", "do", "lock out", "take the lock off", "source"
ACTS = (AS_FOUND, LOOK, DO, LOCK, UNLOCK, SOURCE, *QUANTITIES)
BUDGET = 20  # readings, if an exercise says nothing
MAX_ACTS = 2000
UNPROVED = (
    "The circuit was not proved dead: switch the supply off, lock it out, test the meter on the live source, "
    "test X1 – X2, and test the source again."
)

Pair = frozenset[str]


@dataclass(frozen=True, repr=False)
class Row:
    """One act. what: the order, or "S2:14 – X2". shown: what was seen, or what the meter displayed.

    value: the number read [V, ohm], None if there is none. costs: 1 for a reading that counts, else 0. live: True for
    ohms or continuity tried on a live circuit. unproved: True for ohms or continuity on a circuit not proved dead.
    """

    number: int
    act: str
    what: str
    leads: tuple[str, str] | None
    shown: str
    value: float | None = None
    costs: int = 0
    live: bool = False
    unproved: bool = False

    @property
    def told(self) -> str:
        """What was done, in words: "press S2", "volts S2:14 – X2"."""
        if self.act == DO:
            return self.what
        return f"{self.act} {self.what}".strip() if self.act != SOURCE else "volts at the live source"

    @property
    def remark(self) -> str:
        """What was unsafe about a reading of resistance, or ""."""
        return LIVE if self.live else UNPROVED if self.unproved else ""

    def __str__(self) -> str:
        return ". ".join(filter(None, (f"{self.told}: {self.shown}", self.remark)))

    __repr__ = __str__

    def record(self) -> dict[str, Any]:
        """The row as plain JSON data."""
        found: dict[str, Any] = {"n": self.number, "act": self.act}
        if self.leads is not None:
            found["leads"] = list(self.leads)
        elif self.what:
            found["what"] = self.what
        return found | {"shown": self.shown}


class Search:
    """Acts on one `rig`, from the board as found. budget: how many readings may be taken, 1 or more."""

    def __init__(self, rig: Rig, budget: int = BUDGET) -> None:
        self.rig, self.budget = rig, budget
        self.rows: list[Row] = []
        self.used = 0
        self._proved: set[Pair] = set()  # emptied with the lock, and only without it can the supply come on again
        rig.begin()

    @property
    def left(self) -> int:
        """Readings that may still be taken."""
        return self.budget - self.used

    def act(self, act: object, what: object = "", leads: Sequence[object] = ()) -> Row:
        """Do one act and return its row.

        what: the order of "do". leads: the two leads of a reading. Raises LadderError, with nothing done, if the act,
        the order or a lead is none here, the order cannot be given now, a lock hinders it, or the budget is used up.
        """
        if not isinstance(act, str) or act not in ACTS:
            raise LadderError("Hunt", "no such act", act, ACTS)
        if len(self.rows) >= MAX_ACTS:
            raise LadderError("Hunt", f"at most {MAX_ACTS} acts", len(self.rows))
        row = self._measure(act, leads) if act in QUANTITIES else self._handle(act, what)
        self.rows.append(row)
        self.used += row.costs
        if act == SOURCE:
            self._prove()
        return row

    def _handle(self, act: str, what: object) -> Row:
        rig, shown, told = self.rig, "", ""
        if act == DO:
            told = self._order(what)
        elif act == AS_FOUND:
            rig.begin()
            self._proved.clear()
        elif act == LOCK:
            if rig.supplied:
                raise LadderError("Lock out", "switch the supply off first; a lock goes on a switch that is off", "on")
            rig.locked = True
        elif act == UNLOCK:
            if not rig.locked:
                raise LadderError("Take the lock off", "there is no lock on the supply", "no lock")
            rig.locked = False
            self._proved.clear()
        if act == SOURCE:
            reading = rig.live_source()
            return Row(self._next, act, "", None, reading.shown, reading.value)
        shown = rig.seen() + (", supply locked out" if rig.locked else "")
        return Row(self._next, act, told, None, shown)

    @property
    def _next(self) -> int:
        return len(self.rows) + 1

    def _order(self, what: object) -> str:
        rig = self.rig
        legal = {step.order.casefold(): step for step in rig.steps}
        step = legal.get(" ".join(what.split()).rstrip(".").casefold()) if isinstance(what, str) else None
        if step is None:
            raise LadderError("Order", "no such order here", what, tuple(one.order for one in rig.steps))
        if rig.locked and step.device == SUPPLY:
            raise LadderError("Order", "the supply is locked out; take the lock off first", step.order)
        if not rig.can(step):
            now = tuple(one.order for one in rig.steps if rig.can(one))
            where = rig.panel.position(step.device, rig.state)
            raise LadderError("Order", f"cannot be given now; the hand has left {step.device} {where}", step.order, now)
        rig.do(step)
        return step.order

    def _measure(self, act: str, leads: Sequence[object]) -> Row:
        if isinstance(leads, str) or len(leads) != 2:
            raise LadderError("Meter", "has two leads", leads, ("('S2:14', 'X2')",))
        a, b = self.rig.leads.lead(leads[0]), self.rig.leads.lead(leads[1])
        if a == b:
            raise LadderError("Meter", "its two leads go on two different terminals", a)
        costs = int(act != VOLTS or self.rig.supplied)
        if self.used + costs > self.budget:
            raise LadderError("Hunt", f"all {self.budget} readings are used up; name the fault", self.budget)
        reading = self.rig.read(act, a, b)
        live = bool(reading.warning)
        unproved = act != VOLTS and not self._proved & {frozenset(("X1", "X2")), frozenset((a, b))}
        shown = display(reading)
        return Row(self._next, act, f"{a} – {b}", (a, b), shown, reading.value, costs, live, unproved)

    def _prove(self) -> None:
        """A reading of no voltage between two readings of the live source, supply off and locked out, is the proof."""
        if len(self.rows) < 3 or not self.rig.locked:
            return
        first, middle, _ = self.rows[-3:]
        if first.act == SOURCE and middle.act == VOLTS and middle.leads and (middle.value or 0) < LIVE_VOLTS:
            self._proved.add(frozenset(middle.leads))

    @property
    def proved_dead(self) -> bool:
        """True if the circuit as a whole, X1 – X2, is proved dead and nothing has been done to its supply since."""
        return frozenset(("X1", "X2")) in self._proved


def display(reading: Reading) -> str:
    """What the meter displays, and whether it beeps: "119.9 V", "OL", "0.0 ohm, beeps", "--- live"."""
    return reading.shown + (", beeps" if reading.beeps else "") + (" live" if reading.warning else "")


def again(search: Search, record: Mapping[str, Any]) -> Row:
    """Do the act of `record` (`Row.record`) in `search`. Raises LadderError as `Search.act`."""
    return search.act(record["act"], record.get("what", ""), record.get("leads", ()))


def repeat(search: Search, records: Sequence[Mapping[str, Any]]) -> None:
    """Do the acts of `records` in `search`. Raises LadderError, naming the act, at the first that cannot be done."""
    for number, record in enumerate(records, 1):
        try:
            again(search, record)
        except LadderError as problem:
            raise LadderError(f"Act {number}", str(problem).rstrip(".")) from None


def alike(rows: Sequence[Row]) -> tuple[bool, ...]:
    """Which of the rows, all of one act on different boards, show the same as the first one, as far as one can tell."""
    first = rows[0]
    if first.act not in (VOLTS, OHMS, CONTINUITY):
        return tuple(row.shown == first.shown for row in rows)
    groups = told_apart([row.value for row in rows], first.act)
    return tuple(row.live == first.live and group == groups[0] for row, group in zip(rows, groups, strict=True))
