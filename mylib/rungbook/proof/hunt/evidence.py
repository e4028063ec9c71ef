"""What every suspect would show at every stage: faults that nothing tells apart, and readings that divide the rest."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from rungbook.behaviour import Board
from rungbook.behaviour.faults import Fault
from rungbook.circuit import PowerCircuit
from rungbook.errors import LadderError
from rungbook.proof.hunt.leads import Leads
from rungbook.proof.hunt.partition import Best, Cost, Division, Tree, best_division, division, told_apart
from rungbook.proof.hunt.rig import Rig
from rungbook.proof.hunt.stages import Probe, probes, stages, take


@dataclass(frozen=True)
class NextReading:
    """A reading that divides best: the probe, its information [bit], and how many classes it leaves at worst."""

    probe: Probe
    bits: float
    left: int


class Evidence:
    """Readings and looks of every suspect of a sound board, over the stated set of operations (`stages`).

    faults: the suspects. classes: those that can be found, grouped; faults of one class differ in nothing that can be
    done, seen or read in the stated set, so each is as right an answer as the others. left_out: suspects with no effect
    there, or whose relays race or chatter, so that a meter shows nothing steady. stages: what is operated.

    Masks: bit k is class k. Raises LadderError as `Rig`, if there is no suspect, or if a fault cannot be in the board.
    """

    def __init__(self, board: Board, faults: Iterable[Fault], power: PowerCircuit | None = None) -> None:
        self.board, self.power = board, power
        self.faults = tuple(faults)
        self.leads = Leads(board)
        self.sound = Rig(board, self.leads, None, power)
        if not self.faults:
            raise LadderError("Hunt", "needs at least one fault that can be hunted")
        self._rigs = [self.sound, *(Rig(board, self.leads, fault, power) for fault in self.faults)]
        self._gather()

    def _gather(self) -> None:
        """Fill in looks and readings, sound board first; then the classes."""
        steady = [True] * len(self._rigs)
        looks: list[tuple[str, ...]] = []
        readings: list[tuple[int, ...]] = []
        asked: list[Probe] = []
        met: set[object] = set()
        self.stages = stages(self.sound)
        for stage in self.stages:
            for k, rig in enumerate(self._rigs):
                steady[k] = steady[k] and take(rig, stage)
            same = tuple(rig.state if ok else None for ok, rig in zip(steady, self._rigs, strict=True))
            if same in met:  # another way to where all of them stand already
                continue
            met.add(same)
            looks.append(tuple(rig.seen() for rig in self._rigs))
            here = probes(self.leads, stage)
            quantity = here[0].quantity
            ends = [(probe.a, probe.b) for probe in here]
            columns = [rig.foresee(quantity, ends) if ok else [] for ok, rig in zip(steady, self._rigs, strict=True)]
            for place, probe in enumerate(here):
                values = [column[place] if column else None for column in columns]
                groups = told_apart(values, quantity)
                if len(set(groups)) > 1:
                    asked.append(probe)
                    readings.append(groups)
        self._class(steady, looks, readings, asked)

    def _class(
        self, steady: list[bool], looks: list[tuple[str, ...]], readings: list[tuple[int, ...]], asked: list[Probe]
    ) -> None:
        signs = list(zip(*looks, *readings, strict=True))
        found: dict[object, list[int]] = {}
        out: list[Fault] = []
        for k, fault in enumerate(self.faults, 1):
            if not steady[k] or signs[k] == signs[0]:
                out.append(fault)
            else:
                found.setdefault(signs[k], []).append(k)
        self.left_out = tuple(out)
        self.classes = tuple(tuple(self.faults[k - 1] for k in group) for group in found.values())
        if not self.classes:
            raise LadderError("Hunt", "no fault here shows itself in the stated set of operations and readings")
        first = [group[0] for group in found.values()]
        self._symptoms = division([tuple(look[k] for look in looks) for k in first])
        kept: dict[Division, Probe] = {}
        for probe, groups in zip(asked, readings, strict=True):
            parts = division([groups[k] for k in first])
            if len(parts) > 1:
                kept.setdefault(parts, probe)
        self.divisions = tuple(kept)
        self.probes = tuple(kept.values())
        self._class_of = {fault: number for number, group in enumerate(self.classes) for fault in group}

    @property
    def every(self) -> int:
        """The mask of all classes."""
        return (1 << len(self.classes)) - 1

    def rig(self, number: int) -> Rig:
        """The board with the first fault of class `number`, for one who begins with it as found."""
        return self._rigs[1 + self.faults.index(self.classes[number][0])]

    def class_of(self, fault: Fault) -> int | None:
        """The number of the class of `fault`; None if it is left out."""
        return self._class_of.get(fault)

    def members(self, mask: int) -> tuple[tuple[Fault, ...], ...]:
        """The classes of `mask`."""
        return tuple(group for number, group in enumerate(self.classes) if mask >> number & 1)

    def like(self, fault: Fault) -> int:
        """The classes that look as `fault` does at every stage, without a meter. Raises LadderError if left out."""
        number = self.class_of(fault)
        if number is None:
            rule = "this fault cannot be found in the stated set of operations and readings"
            raise LadderError("Hunt", rule, fault.sentence, tuple(group[0].sentence for group in self.classes))
        return next(part for part in self._symptoms if part >> number & 1)

    @property
    def symptoms(self) -> Division:
        """The classes divided by what is seen without a meter at all stages."""
        return self._symptoms

    @cached_property
    def strategy(self) -> Tree:
        """The best order of readings, once all has been operated and looked at (`partition.Tree` says how good)."""
        return Tree(self.divisions)

    def cost(self, among: int) -> Cost:
        """Readings that the best strategy needs to part `among`."""
        return self.strategy.cost(among)

    def next_reading(self, among: int) -> NextReading | None:
        """The reading that divides `among` best by information; None if none divides it."""
        best: Best | None = best_division(self.divisions, among)
        return None if best is None else NextReading(self.probes[best.number], best.bits, best.left)

    def planned(self, among: int) -> Probe | None:
        """The reading that the best strategy takes next; None if nothing divides `among` any more."""
        number = self.strategy.choose(among)
        return None if number is None else self.probes[number]
