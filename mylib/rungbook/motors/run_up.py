"""A start in time: J dω/dt = motor's torque - load's torque, integrated over the torque–speed curve (`integrate`).

Not modelled: the electric transient of the first cycles, the gap without voltage at a changeover and its current peak,
the voltage drop of the supply, heating of the rotor. The load does not turn a motor backwards: one that has too little
torque stands.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field

from rungbook.errors import LadderError
from rungbook.motors.answer import Given, given
from rungbook.motors.integrate import integrate
from rungbook.motors.load import Load
from rungbook.motors.nameplate import Nameplate
from rungbook.motors.starters import DRIVE, SOFT, STAR_DELTA, TRANSFORMER, Instant, Starter, drive_instant, instant_of
from rungbook.motors.torque_speed import Curve, curve_of
from rungbook.motors.units import show

NEAR = 0.995  # share of the final speed at which the motor counts as up to speed
STUCK = 1e-3  # accelerating torque [share of rated] below which it gets no faster
POINTS = 200  # in each step of the start


@dataclass(frozen=True)
class Sample:
    """One instant: seconds [s], speed [rpm], torque and load torque [N·m], current of motor and line [A]."""

    seconds: float
    rpm: float
    torque: float
    load: float
    motor_amps: float
    line_amps: float


@dataclass(frozen=True)
class RunUp:
    """A start: its samples, the time until up to speed (None: never, and `why`), and the changeover if there was one.

    Shows itself as one line; `samples` has the course.
    """

    plate: Nameplate
    starter: Starter
    samples: tuple[Sample, ...] = field(repr=False)
    seconds: float | None
    changeover: float | None = None
    why: str = ""

    @property
    def line_peak(self) -> float:
        """Largest current of the line [A]."""
        return max(sample.line_amps for sample in self.samples)

    def __str__(self) -> str:
        told = f"up to speed in {self.seconds:.2f} s" if self.seconds is not None else self.why
        over = "" if self.changeover is None else f", changeover at {self.changeover:.2f} s"
        return f"{self.starter.name}: {told}{over}; line current up to {show(self.line_peak, 'A')}"

    __repr__ = __str__


def run_up(plate: Nameplate, load: Load, starter: Starter, longest: Given = 60.0) -> RunUp:
    """Return the start of `plate` with `load` on `starter`; given up after `longest` [s].

    Up to speed is 99.5 % of the speed at which motor and load agree at full voltage. A motor that does not get there is
    no error: `seconds` is None and `why` says what holds it. Loads scipy, if it is there.
    Raises LadderError if the load's torque at rated speed is above the breakdown torque, if there is no inertia, or
    `longest` is out of range.
    """
    limit, _ = given("Longest start", longest, "s", 0, 3600, above=True)
    curve = curve_of(plate)
    motion = _Motion(plate, load, starter, curve)
    goal = NEAR * (1 - motion.final_slip())
    if starter.kind == SOFT:
        return _finish(motion, *motion.ramped(limit, goal), None, limit)
    if not starter.changes_over:
        return _finish(motion, *motion.leg(0.0, 0.0, limit, goal, changed=False), None, limit)
    until = limit if starter.seconds is None else min(starter.seconds, limit)
    # with no time set the changeover comes when the speed, which creeps up on its end in this step, is near it
    end = goal if starter.seconds is not None else min(goal, NEAR * motion.reach())
    samples, end_speed, came = motion.leg(0.0, 0.0, until, end, changed=False)
    if starter.seconds is not None and starter.seconds > limit:
        came = None  # fast as it may be, it is not on full voltage yet
    if came is None and (starter.seconds is None or starter.seconds > limit):
        return _finish(motion, samples, end_speed, None, None, limit)
    at = until if starter.seconds is not None else samples[-1].seconds
    if samples[-1].seconds < at:
        samples = (*samples, motion.sample(at, end_speed, changed=False))  # it waits for the timer at its speed
    more, end_speed, came = motion.leg(at, end_speed, limit, goal, changed=True)
    return _finish(motion, (*samples, *more), end_speed, came, at, limit)


class _Motion:
    """Speeds are shares of the synchronous speed; torques shares of rated."""

    def __init__(self, plate: Nameplate, load: Load, starter: Starter, curve: Curve) -> None:
        self.plate, self.load, self.starter, self.curve = plate, load, starter, curve
        self.rated = 1 - plate.slip
        self.inertia = float(plate.inertia) + float(load.inertia)
        #: time in which rated torque alone brings it to synchronous speed [s]
        self.scale = self.inertia * 2 * math.pi * plate.synchronous_rpm / 60 / plate.torque

    def against(self, speed: float) -> float:
        """Torque of the load at `speed`, share of the motor's rated torque."""
        return self.load.torque_at(speed / self.rated) / self.plate.torque

    def final_slip(self) -> float:
        """Slip at which motor and load agree at full voltage, on the steep side of the curve."""
        low, high = 0.0, self.curve.breakdown_slip
        if self.against(1 - high) > self.curve.breakdown:
            most = show(self.curve.breakdown * self.plate.torque, "N·m")
            rule = f"near its final speed it is above what this motor can ever give, {most}"
            raise LadderError("Torque of the load", rule, self.load.torque)
        for _ in range(60):
            middle = (low + high) / 2
            if self.curve.torque_at(middle) < self.against(1 - middle):
                low = middle
            else:
                high = middle
        return high

    def reach(self) -> float:
        """The speed at which the first step of the starter comes to rest, from standstill."""
        share = self.starter.share**2
        steps = 2000
        for number in range(steps):
            speed = number / steps
            if share * self.curve.torque_at(1 - speed) <= self.against(speed):
                return speed
        return 1.0

    def instant(self, seconds: float, speed: float, changed: bool) -> Instant:
        """Torque and currents at this moment."""
        if self.starter.kind == DRIVE:
            torque = self.drive_rate(speed) * self.scale + self.against(speed)
            return drive_instant(self.curve, float(self.plate.power_factor), torque, speed / self.rated)
        return instant_of(self.starter, self.curve, 1 - speed, seconds, changed)

    def drive_rate(self, speed: float) -> float:
        """How fast the speed rises [1/s]: as the ramp says, or as the torque limit allows; the ramp then waits."""
        ramp = self.rated / (self.starter.seconds or 1.0)
        return max(min(ramp, ((self.starter.limit or 1.0) - self.against(speed)) / self.scale), 0.0)

    def rate(self, seconds: float, speed: float, changed: bool) -> float:
        """d(speed)/dt [1/s]."""
        if self.starter.kind == DRIVE:
            return self.drive_rate(speed)
        over = self.instant(seconds, speed, changed).torque - self.against(speed)
        return 0.0 if speed <= 0 and over < 0 else over / self.scale

    def sample(self, seconds: float, speed: float, changed: bool) -> Sample:
        """The moment in units."""
        now = self.instant(seconds, speed, changed)
        amps, torque = float(self.plate.amps), self.plate.torque
        rpm = speed * self.plate.synchronous_rpm
        held = self.against(speed)
        if speed <= 0 and now.torque < held:
            held = now.torque  # a machine at rest holds with no more than it is turned with
        return Sample(seconds, rpm, now.torque * torque, held * torque, now.motor * amps, now.line * amps)

    def ramped(self, limit: float, goal: float) -> tuple[tuple[Sample, ...], float, float | None]:
        """The start on a soft starter, until `limit` [s] or the `goal`: the ramp, then full voltage. As `leg`."""
        ramp = min(self.starter.seconds or limit, limit)
        samples, speed, came = self.leg(0.0, 0.0, ramp, goal, changed=False)
        if came is not None or ramp >= limit:
            return samples, speed, came
        more, speed, came = self.leg(ramp, speed, limit, goal, changed=False)
        return (*samples, *more), speed, came

    def leg(
        self, start: float, speed: float, until: float, goal: float, *, changed: bool
    ) -> tuple[tuple[Sample, ...], float, float | None]:
        """Integrate from `start` [s] to `until` [s] or the `goal`: samples, last speed, when it came."""

        def there(seconds: float, speed: float) -> float:
            return speed - goal

        def stuck(seconds: float, speed: float) -> float:
            if self.starter.kind == SOFT and seconds < (self.starter.seconds or 0.0):
                return -1.0  # the voltage still rises
            return STUCK - self.rate(seconds, speed, changed) * self.scale

        if speed >= goal > 0:
            return (self.sample(start, speed, changed),), speed, start
        if start >= until:
            return (), speed, None
        if stuck(start, speed) >= 0:
            ends = (self.sample(start, speed, changed), self.sample(until, speed, changed))
            return ends, speed, None
        step = (until - start) / 20  # a motor that stands while the voltage rises must not be stepped over
        found = integrate(lambda t, y: self.rate(t, y, changed), start, speed, until, (there, stuck), step)
        last = found.last
        times = [*(start + (last - start) * k / POINTS for k in range(POINTS)), last]
        speeds = [max(found.at(seconds), 0.0) for seconds in times]
        samples = tuple(self.sample(t, v, changed) for t, v in zip(times, speeds, strict=True))
        return samples, speeds[-1], last if found.end == 0 else None


def _finish(
    motion: _Motion,
    samples: Iterable[Sample],
    speed: float,
    came: float | None,
    changeover: float | None,
    limit: float,
) -> RunUp:
    why = ""
    timer = motion.starter.seconds if motion.starter.changes_over else None
    if came is None and timer is not None and timer > limit:
        why = f"not changed over within {limit:g} s: the timer is set to {timer:g} s"
    elif came is None:
        rpm = show(speed * motion.plate.synchronous_rpm, "rpm")
        step = {STAR_DELTA: " in star", TRANSFORMER: " on the tap"}.get(motion.starter.kind, "")
        step = step if changeover is None else ""
        last = list(samples)[-1].seconds
        short = f"stays at {rpm}{step}: there the load's torque is as large as the motor's"
        if speed <= 0:
            short = f"does not start{step}: the load's torque at rest is larger than the motor's"
        moving = motion.rate(last, speed, changeover is not None) * motion.scale > 2 * STUCK
        why = f"not up to speed within {limit:g} s, {rpm} so far" if moving else short
    return RunUp(motion.plate, motion.starter, tuple(samples), came, changeover, why)
