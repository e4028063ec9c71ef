"""The bench without a browser: orders with their times go in, what is to be shown comes out. No clock, no thread.

The front end has the clock. It sends an order with the time at which the hand gave it, and now and then the time alone
while something runs; the timeline is brought to that time, so twenty quick taps are twenty taps however late they come.
After an order the bench runs a little ahead of the hand (`AHEAD`), so that one answer shows what the relay did. An
order that comes within that is done at its end. Paused, time stands still; then `step` goes from event to event.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from rungbook.behaviour import (
    MEND,
    MICRO,
    SUPPLY,
    Board,
    Drive,
    Moment,
    Plant,
    Step,
    Timeline,
    moment_of,
    motor,
    overload,
)
from rungbook.behaviour.script import MAX_TIME
from rungbook.bench.controls import BLOWN, REPLACED, parts_of
from rungbook.bench.meter import BenchMeter
from rungbook.bench.traces import Traces
from rungbook.bench.ways import way
from rungbook.circuit import Ladder, PowerCircuit
from rungbook.drawing.live import LiveFigure, Look
from rungbook.drawing.live_power import LivePower
from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError
from rungbook.kit import CounterSetting, Move, TimerSetting, parse_setting

AHEAD = 30_000  # [us]; a button changes over in 4 ms, then a contactor comes in within 16 ms
FOLLOWS, MOST_AHEAD = 20_000, 100_000  # [us]; a look takes in what comes so soon after it, in all that far
QUICK, SLOW = 0.1, 1.0  # time between two looks [s] while a motor changes its speed; while a relay cools
MOST_STEPS = 200  # events that `step` passes over in search of one that shows
_SUPPLY = (
    Move("on", "off", "switch the supply off", "the supply was switched off"),
    Move("off", "on", "switch the supply on", "the supply was switched on"),
)


class BenchModel:
    """A circuit on the bench. `timeline` and `plant` are what runs, `figure` the drawing, `parts` what is on the panel.

    `meter` is the meter on it; its leads stay where they are when the bench starts over.

    circuit: a finished `Ladder`, or a `Board`. power, drives: motors behind the contactors, as `Plant`. symbols, paths,
    width: as `draw`. `running` is False while the bench is paused.

    Raises LadderError as `Timeline`, `Plant` and `draw`, and if drives are given without a power circuit.
    """

    def __init__(
        self,
        circuit: Ladder | Board,
        power: PowerCircuit | None = None,
        drives: Mapping[str, Drive] | None = None,
        symbols: str = "nema",
        paths: str = "across",
        width: float | None = None,
    ) -> None:
        if not isinstance(circuit, Ladder | Board):
            choices = ("bench(Ladder('title'))", "bench(Board.from_wires(…))")
            raise LadderError("bench", "works on a Ladder, or a Board of wired items", circuit, choices)
        if power is None and drives:
            raise LadderError("bench", "drives are those of a power circuit; none is given", tuple(drives))
        self.circuit = circuit
        self._power, self._drives = power, drives
        self.figure = LiveFigure(circuit, symbols, paths, width)
        self.power_figure = None if power is None else LivePower(power, symbols)
        self.meter = BenchMeter(self.figure.board)
        self.running = True
        self.epoch = -1
        self.start_over()
        relays = () if self.plant is None else tuple(self.plant.relays)
        motors = () if self.plant is None else tuple(self.plant.drives)
        declared = (circuit.declared or ()) if isinstance(circuit, Ladder) else ()
        known = {device.tag: device for device in declared} | self.timeline.devices  # as the plan lists them
        self.parts = parts_of(known, motors, relays)
        self.moves: dict[str, tuple[Move, ...]] = {
            tag: device.spec.moves for tag, device in self.timeline.devices.items() if device.spec.operated
        }
        self.moves[SUPPLY] = _SUPPLY

    def start_over(self) -> None:
        """Put everything at rest, supply on, time 0, nothing done yet."""
        self._begin()
        self.orders: list[tuple[int, Step]] = []
        self.epoch += 1
        self.locked = False
        self.meter.forget()

    def _begin(self) -> None:
        self.plant = None if self._power is None else Plant(self._power, self._drives)
        neighbours = () if self.plant is None else (self.plant,)
        devices = (self.circuit.declared or ()) if isinstance(self.circuit, Ladder) else ()
        self.timeline = Timeline(self.circuit, devices, neighbours=neighbours)
        self.traces = Traces(self.timeline, self.plant)
        self._good = 0  # time that was reached whole [us]

    # -- what comes in ------------------------------------------------------------------------------------------------

    def order(self, tag: str, position: str, at: float | None = None) -> None:
        """Bring device `tag` (or "supply") into `position` at time `at` [s], by the moves of its kind.

        Nothing happens if it is there already. A time that is past, or None, is now; paused, it always is now.
        Raises LadderError if there is no such device to operate, it has no such position that a hand can reach, or the
        time is none.
        """
        if tag not in self.moves:
            raise LadderError("bench", "no such device to operate", tag, tuple(self.moves))
        if tag == SUPPLY and self.locked and position != REPLACED:
            raise LadderError("bench", "the supply is locked out; take the lock off first", position)
        instant = None if at is None else _instant(at)
        moves = self._way(tag, position)
        if self.running and instant is not None:
            self.timeline.advance(instant)
            moves = self._way(tag, position)  # what happened meanwhile may have moved it
        for move in moves:
            step = Step(tag, move)
            self.orders.append((self.timeline.now, step))
            self.timeline.do(step)
        if self.running:
            self.timeline.advance(self.timeline.now + AHEAD)
        self._good = self.timeline.now

    def lock_out(self) -> None:
        """Put a lock on the supply's switch. Raises LadderError if it is on."""
        if self.timeline.supply_on:
            raise LadderError("Lock out", "switch the supply off first; a lock goes on a switch that is off", "on")
        self.locked = True

    def take_lock_off(self) -> None:
        """Take the lock off the supply's switch; the circuit is then proved dead no more."""
        self.locked = False
        self.meter.forget()

    def put(self, a: str, b: str) -> None:
        """Put the two leads of the meter on `a` and `b`: terminals, or "" for in the air. Raises LadderError."""
        self.meter.put(a, b)
        self.meter.touch(self.timeline, self.locked)

    def to_source(self, there: bool = True) -> None:
        """Put both leads on the known live source beside the board, or back where they were."""
        self.meter.to_source(there)
        self.meter.touch(self.timeline, self.locked)

    def turn_to(self, function: str) -> None:
        """Set the meter to "volts", "ohms" or "continuity". Raises LadderError if it has no such function."""
        self.meter.turn_to(function)
        self.meter.touch(self.timeline, self.locked)

    def let_go(self) -> None:
        """Take all hands off: every device that springs back is at rest again, as of now."""
        for tag, device in self.timeline.devices.items():
            if device.spec.momentary:
                self.order(tag, device.spec.rest)

    def advance(self, at: float) -> None:
        """Let time pass up to `at` [s]; nothing if paused, or that is past. Raises LadderError as `order`."""
        instant = _instant(at)
        if self.running:
            self.timeline.advance(instant)
            self._good = self.timeline.now

    def look(self, at: float) -> None:
        """As `advance`, and on to the end of what follows event upon event: one look shows a chain of relays."""
        self.advance(at)
        if not self.running:
            return
        most = self.timeline.now + MOST_AHEAD
        while (following := self.timeline.next_event()) is not None:
            if following > min(most, self.timeline.now + FOLLOWS):
                break
            self.timeline.advance(following)
            self._good = self.timeline.now

    def pause(self) -> None:
        """Let time stand still."""
        self.running = False

    def go_on(self) -> None:
        """Let time pass again."""
        self.running = True

    def step(self) -> bool:
        """Pause, and go to the next event that can be seen; False if nothing will happen by itself."""
        self.running = False
        for _ in range(MOST_STEPS):
            instant = self.timeline.next_event()
            if instant is None:
                return False
            before = (self.timeline.closed, len(self.timeline.changes))
            self.timeline.advance(instant)
            self._good = self.timeline.now
            if (self.timeline.closed, len(self.timeline.changes)) != before:
                return True
        return True

    def restore(self) -> None:
        """Build the run anew from its orders, up to the time that was last reached whole: after an interrupt."""
        done, good = [one for one in self.orders if one[0] <= self._good], self._good
        self._begin()
        for instant, step in done:
            self.timeline.advance(instant)
            self.timeline.do(step)
        self.timeline.advance(good)
        self.orders, self._good = done, good

    def _way(self, tag: str, position: str) -> tuple[Move, ...]:
        """The fewest moves that bring `tag` from where it is into `position`; a new fuse needs the supply off."""
        if (tag, position) == (SUPPLY, REPLACED):
            if self.timeline.supply_on:
                raise LadderError("bench, supply", "its fuse is replaced with the supply off only", "on", ("off",))
            return () if self.timeline.fuse_whole else (MEND.move,)
        further = (REPLACED,) if tag == SUPPLY else ()
        return way(tag, self.moves[tag], self.timeline.position(tag), position, further)

    # -- what comes out -----------------------------------------------------------------------------------------------

    @property
    def now(self) -> float:
        """The time reached [s]."""
        return self.timeline.now / MICRO

    @property
    def script(self) -> str:
        """What was done so far, as `run` reads it; it leads to the same changes at the same times."""
        return ", ".join(f"at {instant / MICRO:.6f} s {step.order}" for instant, step in self.orders)

    def state(self) -> dict[str, object]:
        """All that a front end shows now, as plain data; times in s.

        next: when something will happen by itself, or None. live: time between two looks while something changes
        without an event, 0 if nothing does. positions, gauges and motors (word, speed as a share of synchronous speed,
        positive forwards) by designation; classes, texts and words as `drawing.live.Look`; meter as `BenchMeter.state`.
        A gauge has the share done and words; one of a timer that runs also until (when it changes), span (of its whole
        time) and tail (the words behind the time that is left), so that a front end counts by its own clock.
        """
        timeline = self.timeline
        self.traces.read()
        look = self.figure.look(self._lasting())
        behind = Look({}, {}, "") if self.power_figure is None else self.power_figure.look(timeline)
        following = timeline.next_event()
        return {
            "epoch": self.epoch,
            "running": self.running,
            "now": self.now,
            "next": None if following is None else following / MICRO,
            "live": self._live(),
            "positions": {**timeline.positions(), SUPPLY: self._supply()},
            "fuse": timeline.fuse_whole,
            "gauges": dict(self._gauges()),
            "motors": self._motors(),
            "classes": {**look.classes, **behind.classes},
            "texts": {**look.texts, **behind.texts},
            "words": "\n".join(filter(None, (look.words, behind.words))),
            "locked": self.locked,
            "meter": self.meter.state(self.timeline),
        }

    def _lasting(self) -> Moment:
        """The moment in words that stay true until the next event: when timers change, not how long they still run."""
        moment = moment_of(self.timeline, self._last)
        ends = [f"{tag} changes at {self.now + left:.3f} s" for tag, left in moment.left.items()]
        return replace(moment, left={}, note=", ".join(ends))

    @property
    def _last(self) -> str:
        return self.orders[-1][1].order if self.orders else ""

    @property
    def svg(self) -> tuple[str, ...]:
        """The drawings with nothing on: of the circuit, then of the power circuit if there is one."""
        return (self.figure.svg, *(() if self.power_figure is None else (self.power_figure.svg,)))

    def pictures(self) -> tuple[Picture, ...]:
        """The drawings as they are now, for a notebook that is read without a kernel."""
        first = self.figure.picture(moment_of(self.timeline, self._last))
        return (first, *(() if self.power_figure is None else (self.power_figure.picture(self.timeline),)))

    def measured(self) -> str:
        """What the meter shows now, in words, or "" if nothing is measured."""
        meter = self.meter.state(self.timeline)
        if not meter["shown"]:
            return ""
        return f"Meter, {meter['function']}, {meter['where']}: {meter['shown']}. {meter['remark']}".strip()

    def _supply(self) -> str:
        place = self.timeline.position(SUPPLY)
        return place if self.timeline.fuse_whole else f"{place}, {BLOWN}"

    def _live(self) -> float:
        if self.plant is not None:
            if any(motor.due(state) is not None for state in self.plant.motors.values()):
                return QUICK
            if any(state.heat > 0.01 or state.current > 0 for state in self.plant.relays.values()):
                return SLOW
        return 0.0

    def _timers(self) -> tuple[str, ...]:
        wound = {load.device for load in self.timeline.board.loads if load.kind == "coil"}
        wound -= self.timeline.board.stuck.keys()
        return tuple(
            tag for tag, device in self.timeline.devices.items() if device.kind == "timer relay" and tag in wound
        )

    def _gauges(self) -> Iterator[tuple[str, dict[str, object]]]:
        timeline = self.timeline
        for tag in self._timers():
            setting = parse_setting(timeline.devices[tag])
            left = timeline_left(timeline, tag)
            if isinstance(setting, TimerSetting) and left is not None:
                tail = f" s of {setting.seconds:g} s left"
                until = {"until": self.now + left, "span": setting.seconds, "tail": tail}
                yield tag, {"share": 1 - left / setting.seconds, "words": f"{left:.1f}{tail}", **until}
            else:
                phase = timeline.timer(tag)[0]
                yield tag, {"share": float(phase == "done"), "words": timeline.devices[tag].setting}
        for load in timeline.board.loads:
            device = timeline.devices[load.device]
            setting = parse_setting(device)
            if load.kind == "coil" and isinstance(setting, CounterSetting) and device.tag not in timeline.board.stuck:
                count = timeline.counter(device.tag)
                share = min(max(count / setting.preset, 0.0), 1.0)
                yield device.tag, {"share": share, "words": f"{count} of {setting.preset}"}
        if self.plant is not None:
            for tag, relay in self.plant.relays.items():
                heat = overload.step(relay, timeline.now, relay.current).heat
                yield tag, {"share": min(heat, 1.0), "words": f"heat {100 * heat:.0f} % of trip"}

    def _motors(self) -> dict[str, dict[str, object]]:
        if self.plant is None:
            return {}
        found = {}
        for tag, state in self.plant.motors.items():
            speed = motor.step(state, self.timeline.now, state.feed).speed
            found[tag] = {"word": self.traces.word(tag), "speed": round(speed, 4)}
        return found


def timeline_left(timeline: Timeline, tag: str) -> float | None:
    """Time [s] until timer relay `tag` changes next, None while it does not run."""
    return timeline.timer(tag)[1]


def _instant(at: object) -> int:
    """`at` [s] in whole microseconds. Raises LadderError if it is no time within thirty days."""
    if isinstance(at, bool) or not isinstance(at, int | float) or not 0 <= at <= MAX_TIME / MICRO:
        raise LadderError("bench", "a time is a number of seconds, from 0 to thirty days", at)
    return round(at * MICRO)
