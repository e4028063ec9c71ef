"""A timer relay on the timeline: its coil's voltage drives a timer block, the block drives its timed contacts.

Timed contacts are those with the function digits 5-6, 7-8 or 5-8 (EN 50005), and those without terminals: who writes
`NO("K1")` of a timer means the timed one. The others change over with the coil, as a relay's do.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.behaviour import timers
from rungbook.behaviour.timers import Timer, TimerState
from rungbook.circuit import Contact
from rungbook.errors import LadderError
from rungbook.kit import Device, TimerSetting, parse_setting
from rungbook.kit.ratings import CoilRating
from rungbook.kit.settings import TIMER_FUNCTIONS

TIMED_DIGITS = ("5-6", "7-8", "5-8")


def is_timed_contact(contact: Contact) -> bool:
    """True if `contact`, of a timer relay, is one that its timer moves."""
    return not contact.terminals or "-".join(pair[-1] for pair in contact.terminals.split("-")) in TIMED_DIGITS


@dataclass
class Clockwork:
    """The timer block of one timer relay: `tag`, number of its `load`, numbers of its timed contacts, and its state.

    reset: number and rating of its reset input, None if none is wired. resetting: True while that has voltage.
    """

    tag: str
    load: int
    nc: tuple[int, ...]
    no: tuple[int, ...]
    rating: CoilRating
    state: TimerState
    reset: tuple[int, CoilRating] | None = None
    energised: bool = False
    resetting: bool = False

    def answer(self, shares: tuple[float, ...], level: float, now: int) -> bool:
        """Tell the block the voltages of its coil and reset input at `now` [us]; True if one came or went.

        shares: of each load, of its rated voltage, at full supply; level: of the supply [unitless]. While the reset
        input has voltage no time is gathered and the contacts are at rest; when it goes and the coil still has voltage
        the time starts anew.
        """
        share = shares[self.load] * level
        energised = share >= (self.rating.drop_out if self.energised else self.rating.pull_in)
        resetting = False
        if self.reset is not None:
            load, rating = self.reset
            resetting = shares[load] * level >= (rating.drop_out if self.resetting else rating.pull_in)
        if (energised, resetting) == (self.energised, self.resetting):
            return False
        self.energised, self.resetting = energised, resetting
        self.state = timers.step(self.state, now, energised and not resetting)
        if resetting:
            self.state = timers.reset(self.state, now)
        return True

    def tick(self, now: int) -> None:
        """Let the change that is due at `now` [us] happen."""
        self.state = timers.step(self.state, now, self.state.energised)

    @property
    def due(self) -> int | None:
        """When the timed contacts change next if the voltage stays [us], or None."""
        return timers.due(self.state)

    def contacts(self) -> tuple[tuple[int, bool], ...]:
        """All timed contacts as they stand now, those that open first."""
        operated = timers.output(self.state)
        opening, closing = (self.nc, self.no) if operated else (self.no, self.nc)
        return (*((number, False) for number in opening), *((number, True) for number in closing))

    @property
    def word(self) -> str:
        """ "in" while the timed contacts are operated, else "out"."""
        return "in" if timers.output(self.state) else "out"


def clock_of(device: Device) -> TimerState:
    """The timer block of a timer relay out of the box. Raises LadderError if no time is set on it."""
    setting = parse_setting(device)
    if not isinstance(setting, TimerSetting):
        rule = "a timer relay needs its function and time, such as setting='on-delay 5 s'"
        raise LadderError(f"Device {device.tag}", rule, device.setting, TIMER_FUNCTIONS)
    return TimerState(Timer(setting.function, setting.seconds))
