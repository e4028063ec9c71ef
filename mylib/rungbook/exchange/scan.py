"""`Scan`: the program of a ladder, run scan by scan.

A scan reads all inputs at its start, runs the networks from top to bottom, and writes all outputs at its end. Inputs
change between scans. What is run is the structured text itself, read back: what `structured_text` writes is what is
tried here. Deterministic: same orders, same values.

The supply: while it is off there is no scan, and every output is off. When it returns the program makes a cold start,
but that counters keep their values (VAR RETAIN).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.behaviour import MICRO, SUPPLY, Step, read_script, read_timed
from rungbook.behaviour.timers import is_number
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse
from rungbook.exchange.plan import plan
from rungbook.exchange.text import text_of
from rungbook.kit import Device
from rungbook.tables import html_table, text_table

SCAN_TIME = 0.01  # [s]
MAX_SCANS = 2_000_000  # in one run


@dataclass(frozen=True)
class ScanTrace:
    """What happened, scan by scan: (time [s], designation, on or off) of every change of an output or coil.

    end [s]: of the run. Shows itself as a table of the changes.
    """

    title: str
    changes: tuple[tuple[float, str, bool], ...]
    end: float

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [(f"{time:.3f} s", tag, "on" if on else "off") for time, tag, on in self.changes]
        return ("time", "output", "value"), rows

    def __str__(self) -> str:
        return text_table(*self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(f"Scans: {self.title}" if self.title else "Scans", *self._rows())


class Scan:
    """The program of `ladder` at a panel of its devices, each at rest, before its first scan.

    scan_time: from one scan to the next [s], more than 0, at most 10 s. wired: as in `structured_text`.
    Raises LadderError as `plan`, or for another scan time.
    """

    def __init__(self, ladder: Ladder, scan_time: float = SCAN_TIME, wired: Mapping[str, str] | None = None) -> None:
        if not is_number(scan_time) or not 0 < scan_time <= 10:
            raise LadderError("Scan", "the scan time is more than 0 s and at most 10 s", scan_time)
        self.wired = dict(wired or {})
        self.plan = plan(ladder, self.wired)
        self.ladder = ladder
        self.devices: dict[str, Device] = {device.tag: device for device in ladder.declared or ()}
        self.devices |= ladder.devices
        self.machine = Machine(parse(text_of(self.plan)))
        self.positions = {tag: device.spec.rest for tag, device in self.devices.items() if device.spec.operated}
        self.supply = True
        self.now = 0  # [us]
        self.every = max(1, round(scan_time * MICRO))  # [us]
        blocks = self.plan.blocks
        #: designation of each coil and lamp -> its variable; of a timer or counter, its output
        self.outputs = {tag: f"{tag}.Q" if tag in blocks else tag for tag in (*ladder.coils(), *ladder.lamps())}

    def order(self, orders: str) -> None:
        """Do bench orders such as "press S2": the next scan sees them. Raises LadderError as `read_script`."""
        for step in read_script(orders, self.devices):
            self.move(step)

    def move(self, step: Step) -> None:
        """Do one step. Raises LadderError if its device is not in the position from which it starts."""
        if step.device == SUPPLY:
            self._switch(step.move.end == "on")
            return
        position = self.positions[step.device]
        if position != step.move.start:
            raise LadderError("Scan", f"{step.device} is {position}, so nothing can {step.order}", step.order)
        self.positions[step.device] = step.move.end

    def _switch(self, on: bool) -> None:
        self.supply = on
        if not on:
            self.machine.restart()

    def scan(self, times: int = 1) -> None:
        """Run so many scans, the time of one passing before each: inputs, networks, outputs."""
        for _ in range(times):
            self.now += self.every
            if self.supply:
                values = self.machine.values
                for one in self.plan.wiring:
                    values[one.name] = int(self.positions[one.device.tag] in one.closed)
                self.machine.scan(self.every)

    def is_on(self, tag: str) -> bool:
        """True if coil or lamp `tag` is on after the last scan; of a timer or counter, its output. Else False."""
        return self.supply and bool(self.machine.values.get(self.outputs.get(tag, ""), 0))

    def value(self, name: str) -> int:
        """A variable by its name, such as "Q1", "K1.Q", "K1.ET" [us], "K5.CV". Raises LadderError if there is none."""
        if name.upper() not in self.machine.values:
            raise LadderError("Scan", "no variable of this name", name, tuple(self.machine.values))
        return self.machine.values[name.upper()]

    def state(self) -> tuple[int, ...]:
        """Everything that the program remembers, times as elapsed; equal states go on equally."""
        return tuple(self.machine.values.values())

    def put(self, state: tuple[int, ...], positions: Mapping[str, str], supply: bool) -> None:
        """Go back to a `state` that was there before, with devices in `positions`."""
        self.machine.values.update(zip(self.machine.values, state, strict=True))
        self.positions.update(positions)
        self.supply = supply

    def run(self, script: str) -> ScanTrace:
        """Do a script in time, such as "press S2, wait 5 s, let S2 go", and return what changed.

        As in `run`, the first order comes a second after the start, and a second lies between orders if nothing else is
        said. An order is seen by the first scan at or after its instant. Raises LadderError as `read_timed`, if the
        script sets the supply to some per cent, or the run has more than two million scans.
        """
        orders, end = read_timed(script, self.devices)
        if end // self.every > MAX_SCANS:
            raise LadderError("Scan", f"at most {MAX_SCANS} scans", end // self.every)
        begin, waiting = self.now, list(orders)
        changes: list[tuple[float, str, bool]] = []
        seen = {tag: self.is_on(tag) for tag in self.outputs}
        while self.now < begin + end:
            while waiting and waiting[0].time <= self.now + self.every - begin:
                one = waiting.pop(0)
                if one.level is not None:
                    raise LadderError("Scan", "a program knows a supply that is on or off", one.order)
                if one.step is not None:
                    self.move(one.step)
            self.scan()
            for tag, before in seen.items():
                if self.is_on(tag) is not before:
                    seen[tag] = not before
                    changes.append((self.now / MICRO, tag, not before))
        return ScanTrace(self.ladder.title, tuple(changes), self.now / MICRO)
