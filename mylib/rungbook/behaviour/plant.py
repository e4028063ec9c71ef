"""The plant behind the contactors: power circuit, motors, overload relays. A neighbour of a timeline.

Contactors close their main poles with their NO contacts. What the poles feed decides how each motor turns; what the
motor draws heats the bimetal of its overload relay; what the relay does is seen by the control circuit.

The current of a start falls while the motor gains speed. Between two events of the motor the relay is given the root
mean square of that current, with which it warms as it does with the true one.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from rungbook.behaviour import motor, overload
from rungbook.behaviour.motor import Motor, MotorState
from rungbook.behaviour.overload import Overload, OverloadState
from rungbook.behaviour.power import MotorFeed, PowerFaults, closed_poles, energise
from rungbook.circuit.power import Pole, PowerCircuit, joined
from rungbook.errors import LadderError
from rungbook.kit import OverloadSetting, parse_setting

if TYPE_CHECKING:
    from rungbook.behaviour.timeline import Timeline

_FEEDS = {1: "forward", -1: "reverse"}


@dataclass(frozen=True)
class Drive:
    """A motor of the plant: its `machine`, rated current `amps` [A], and the overload relay it is protected by.

    relay: designation of the overload relay, or "". setting: what its dial says [A], None for the rated current.
    """

    machine: Motor = field(default_factory=Motor)
    amps: float = 1.0
    relay: str = ""
    setting: float | None = None
    protection: Overload = field(default_factory=Overload)

    def __post_init__(self) -> None:
        for what, value in (("rated current", self.amps), ("setting", self.setting)):
            if value is not None and not 0 < value < 10_000:
                raise LadderError("Drive", f"the {what} is above 0 and below 10 000 A", value)


class Plant:
    """Motors behind a power circuit, as a neighbour of one timeline.

    drives: designation of each motor of the circuit -> its `Drive`; left out, a motor of 200 W without relay. faults:
    of the power circuit. `findings` collects (time [us], sentence): shorts, single-phasing.

    Raises LadderError if the circuit is not valid or a drive is for no motor of it.
    """

    def __init__(
        self, circuit: PowerCircuit, drives: Mapping[str, Drive] | None = None, faults: PowerFaults | None = None
    ) -> None:
        circuit.validate()
        self.circuit = circuit
        self.faults = faults
        tags = tuple(one.tag for one in circuit.motors)
        for tag in drives or {}:
            if tag not in tags:
                raise LadderError("Plant", "no such motor in the power circuit", tag, tags)
        self.drives = {tag: (drives or {}).get(tag, Drive()) for tag in tags}
        self.motors = {tag: MotorState(drive.machine) for tag, drive in self.drives.items()}
        self.relays = {d.relay: OverloadState(d.protection) for d in self.drives.values() if d.relay}
        self.feeds: dict[str, MotorFeed] = {}
        self.findings: list[tuple[int, str]] = []
        self._switched = [device.tag for device in circuit.devices if device.tag.startswith("Q")]
        self._words: dict[str, str] = {}
        self._conducting: tuple[Pole, ...] = ()

    @property
    def due(self) -> int | None:
        """When a motor or a relay changes next [us], or None."""
        times = [*map(motor.due, self.motors.values()), *map(overload.due, self.relays.values())]
        return min((time for time in times if time is not None), default=None)

    def tick(self, timeline: Timeline) -> None:
        """Let motors and relays come to now."""
        now = timeline.now
        for tag, state in self.motors.items():
            self.motors[tag] = motor.step(state, now, state.feed)
        for tag, relay in self.relays.items():
            self.relays[tag] = overload.step(relay, now, relay.current)
            self._show(timeline, tag)

    def react(self, timeline: Timeline) -> None:
        """Feed the motors as the contactors stand now, and heat the relays with what they draw."""
        for tag in self.relays:
            self._hand_on(timeline, tag)
        closed = [tag for tag in self._switched if self._is_closed(timeline, tag)]
        reading = energise(self.circuit, closed, self.faults)
        self._conducting = closed_poles(self.circuit, closed, self.faults or PowerFaults())
        for short in reading.shorts:
            self._find(timeline, str(short))
        for feed in reading.motors:
            self._feed(timeline, feed)

    def _is_closed(self, timeline: Timeline, tag: str) -> bool:
        """Contactors by their position; what the control circuit does not know, such as a disconnect, is closed."""
        return tag not in timeline.devices or timeline.position(tag) in ("in", "on")

    def _hand_on(self, timeline: Timeline, tag: str) -> None:
        """Take over what a hand has done to relay `tag`: the test button, or a reset, which a hot relay refuses."""
        state, now = self.relays[tag], timeline.now
        shown = timeline.position(tag) if tag in timeline.devices else ""
        if shown == "tripped" and not state.tripped:
            pressed = replace(overload.step(state, now, state.current), tripped=True)
            self.relays[tag] = pressed
        elif shown == "set" and state.tripped:
            self.relays[tag] = overload.reset(state, now)
            if self.relays[tag].tripped:
                self._find(timeline, f"{tag} is still too hot to be reset")
                self._show(timeline, tag)

    def _show(self, timeline: Timeline, tag: str) -> None:
        word = "tripped" if overload.output(self.relays[tag]) else "set"
        if tag in timeline.devices and timeline.position(tag) != word:
            timeline.force(tag, word)

    def _feed(self, timeline: Timeline, feed: MotorFeed) -> None:
        tag, now, drive = feed.motor, timeline.now, self.drives[feed.motor]
        before = self.feeds.get(tag)
        self.feeds[tag] = feed
        if feed.state in ("single-phasing", "short") and (before is None or before.state != feed.state):
            self._find(timeline, feed.sentence)
        fed = "single-phase" if feed.state == "single-phasing" else _FEEDS.get(feed.direction, "off")
        state = self.motors[tag] = motor.step(self.motors[tag], now, fed)
        word = _word(state)
        if self._words.get(tag, "standing") != word:
            self._words[tag] = word
            timeline.note(tag, word)
        if drive.relay:
            until = motor.due(state)
            share = motor.current(state) if until is None else motor.rms_current(state, until)
            dial = drive.setting if drive.setting is not None else drive.amps
            amps = share * drive.amps
            if fed not in ("off", "single-phase"):
                amps *= self._through(drive.relay, feed)
            self.relays[drive.relay] = overload.step(
                self.relays[drive.relay], now, min(amps / dial, overload.MAX_SHARE)
            )
            self._show(timeline, drive.relay)

    def _through(self, relay: str, feed: MotorFeed) -> float:
        """Largest current through a pole of `relay`, as a share of the motor's line current when connected direct.

        A pole that feeds one terminal alone carries that terminal's current: inside the delta the current of a winding,
        1/sqrt(3) of the line current. One that feeds more, or is not found in the circuit, carries the line current.
        """
        motor = next(one for one in self.circuit.motors if one.tag == feed.motor)
        net = joined(pole for pole in self._conducting if pole.device != relay)
        shares = []
        for pole in self._conducting:
            if pole.device == relay:
                fed = [k for k, node in enumerate(motor.nodes) if net(node) == net(pole.b)]
                shares.append(feed.terminal_shares[fed[0]] if len(fed) == 1 else max(feed.line_shares))
        return max(shares, default=max(feed.line_shares))

    def _find(self, timeline: Timeline, sentence: str) -> None:
        if not self.findings or self.findings[-1][1] != sentence:
            self.findings.append((timeline.now, sentence))


def _word(state: MotorState) -> str:
    """ "standing", "humming" (fed but blocked), "starting", or how it moves and which way."""
    if motor.blocked(state):
        return "humming"
    phase = motor.phase(state)
    if phase == "standing" and motor.due(state) is not None:
        return "starting"
    return phase if phase == "standing" else f"{phase} {'forwards' if motor.direction(state) > 0 else 'backwards'}"


def drive_of(timeline: Timeline, relay: str, machine: Motor, amps: float) -> Drive:
    """A `Drive` whose relay is set as the device `relay` of the timeline says ("2.4 A class 10 manual").

    Raises LadderError if there is no such device or nothing is set on it.
    """
    if relay not in timeline.devices:
        raise LadderError("Drive", f"no device {relay} on this board", relay, tuple(timeline.devices))
    setting = parse_setting(timeline.devices[relay])
    if not isinstance(setting, OverloadSetting):
        raise LadderError(
            f"Device {relay}", "needs a setting such as '2.4 A class 10 manual'", timeline.devices[relay].setting
        )
    protection = Overload(setting.trip_class, setting.reset, setting.test)
    return Drive(machine, amps, relay, setting.amps, protection)
