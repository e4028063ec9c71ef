"""A counter on the timeline: the voltages of its inputs drive a counter block, the block drives its contacts.

Its contacts are told by the rule of `clockwork.is_timed_contact`: those with the function digits 5-6, 7-8 or 5-8, and
those without terminals, change at once when the count reaches the preset; others change over with the count coil.

Assumed: a battery keeps the count, and the contacts stay as they are, when the supply fails. Voltage that comes back at
a count input is a new rising edge: what stands at the sensor then is counted again, as on the bench.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from rungbook.behaviour import counters
from rungbook.behaviour.counters import MAX_COUNT, Counter, CounterState
from rungbook.errors import LadderError
from rungbook.kit import CounterSetting, Device, parse_setting
from rungbook.kit.ratings import CoilRating

MARGIN = 50  # counts before the contacts change from which no cycle is passed over


@dataclass
class Countwork:
    """The counter block of one counter: `tag`, numbers of its contacts, its state, and its inputs.

    inputs: "coil", "down" or "reset" -> number of that load and its rating; those that are wired. on: kinds of input
    that have voltage now, each with its own pull-in and drop-out.
    """

    tag: str
    nc: tuple[int, ...]
    no: tuple[int, ...]
    inputs: dict[str, tuple[int, CoilRating]]
    state: CounterState
    on: set[str] = field(default_factory=set)

    def answer(self, shares: tuple[float, ...], level: float, now: int) -> bool:
        """Tell the block the voltage at every input; True if one of them came or went.

        shares: of each load, of its rated voltage, at full supply; level: of the supply [unitless]. All inputs change
        in one step, so a reset that comes together with a count wins, and the count is lost.
        """
        found = {
            kind
            for kind, (load, rating) in self.inputs.items()
            if shares[load] * level >= (rating.drop_out if kind in self.on else rating.pull_in)
        }
        if found == self.on:
            return False
        self.on = found
        counting, down, reset = "coil" in found, "down" in found, "reset" in found
        if self.state.counter.kind == "down":  # one count input; its reset puts it back to the preset
            self.state = counters.step(self.state, down=counting, load=reset)
        else:
            self.state = counters.step(self.state, up=counting, down=down, reset=reset)
        return True

    def tick(self, now: int) -> None:
        """Nothing: a counter does nothing by itself."""

    @property
    def due(self) -> int | None:
        """None: a counter does nothing by itself."""
        return None

    def room(self, change: int) -> int:
        """How often `change`, not 0, can be added to the value [counts] before the contacts may change."""
        value, preset = self.state.value, self.state.counter.preset
        if change > 0:
            far = (preset if value < preset else MAX_COUNT) - value
        else:
            far = value - (preset if value >= preset else 0)
        return max(0, (far - MARGIN) // abs(change))

    def skip(self, counts: int) -> None:
        """Add `counts` to the value: those of cycles that are passed over."""
        self.state = replace(self.state, value=self.state.value + counts)

    def contacts(self) -> tuple[tuple[int, bool], ...]:
        """All contacts of the count as they stand now, those that open first."""
        operated = counters.output(self.state)
        opening, closing = (self.nc, self.no) if operated else (self.no, self.nc)
        return (*((number, False) for number in opening), *((number, True) for number in closing))

    @property
    def word(self) -> str:
        """ "in" while the contacts are operated, else "out"."""
        return "in" if counters.output(self.state) else "out"


def counter_of(device: Device) -> CounterState:
    """The counter block of a counter out of the box, at 0. Raises LadderError if no count is set on it."""
    setting = parse_setting(device)
    if not isinstance(setting, CounterSetting):
        choices = tuple(f"{kind} 3" for kind in counters.COUNTER_KINDS)
        raise LadderError(
            f"Device {device.tag}", "a counter needs its direction and preset, such as setting='up 3'", "", choices
        )
    return CounterState(Counter(setting.direction, setting.preset))
