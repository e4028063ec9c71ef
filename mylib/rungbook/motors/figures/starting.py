"""Torque–speed curve of a motor, the ways to start over the speed, and their course in time."""

from __future__ import annotations

from collections.abc import Sequence

from rungbook.drawing.picture import Picture
from rungbook.drawing.plot import DASHES, MOST, Axes, Dot, Level, Line, Plot
from rungbook.errors import LadderError
from rungbook.motors.figures.sheet import drawn_once, picture, tone_of
from rungbook.motors.load import Load
from rungbook.motors.nameplate import Nameplate
from rungbook.motors.run_up import RunUp
from rungbook.motors.starters import DRIVE, Starter, instant_of
from rungbook.motors.torque_speed import curve_of
from rungbook.motors.units import show

_STEPS = 200


@drawn_once
def torque_speed_figure(plate: Nameplate, load: Load | None = None) -> Picture:
    """Return torque and line current of `plate` over the speed at full voltage, with the load's torque if given.

    Raises LadderError as `curve_of`.
    """
    curve = curve_of(plate)
    speeds = [k / _STEPS for k in range(_STEPS + 1)]
    rpm = [speed * plate.synchronous_rpm for speed in speeds]
    torque = [curve.torque_at(1 - speed) * plate.torque for speed in speeds]
    amps = [curve.current_at(1 - speed) * float(plate.amps) for speed in speeds]
    breakdown_rpm = plate.synchronous_rpm * (1 - curve.breakdown_slip)
    words = (
        f"Torque and current over the speed of a motor of {show(float(plate.kilowatts), 'kW')}. "
        f"At rest {show(torque[0], 'N·m')} and {show(amps[0], 'A')}; breakdown torque "
        f"{show(curve.breakdown * plate.torque, 'N·m')} at {show(breakdown_rpm, 'rpm')}; rated "
        f"{show(plate.torque, 'N·m')} and {show(float(plate.amps), 'A')} at {show(float(plate.rpm), 'rpm')}; no torque "
        f"at {show(plate.synchronous_rpm, 'rpm')}."
    )
    lines = [Line(_points(rpm, torque), "motor" if load is not None else "", "accent", width=2.6)]
    if load is not None:
        lines.append(_load_line(load, rpm, plate))
        words += _of(load)
    dots = (
        Dot(0.0, torque[0], "locked rotor"),
        Dot(breakdown_rpm, curve.breakdown * plate.torque, "breakdown", nudge=(-8, 6)),
        Dot(float(plate.rpm), plate.torque, "rated", nudge=(-8, -4)),
    )
    above = Axes("torque [N·m]", tuple(lines), dots, top=curve.breakdown * plate.torque * 1.15)
    levels = (Level(float(plate.amps), "rated", "pale"),)
    below = Axes("line current [A]", (Line(_points(rpm, amps), tone="accent", width=2.6),), (), levels)
    plot = Plot("speed [rpm]", plate.synchronous_rpm, (above, below))
    return picture(plot, "Torque and current over the speed", words)


@drawn_once
def starting_figure(plate: Nameplate, *starters: Starter, load: Load | None = None) -> Picture:
    """Return torque and line current over the speed in the first step of each of `starters`, up to five, no drive.

    A soft starter is shown at its first voltage. Raises LadderError if there is none, more than five, or a drive.
    """
    if not 0 < len(starters) <= MOST or any(way.kind == DRIVE for way in starters):
        kinds = ("direct()", "star_delta()", "autotransformer()", "soft_starter()")
        raise LadderError("starting_figure", f"one to {MOST} ways, no drive", [way.kind for way in starters], kinds)
    curve = curve_of(plate)
    speeds = [k / _STEPS for k in range(_STEPS + 1)]
    rpm = [speed * plate.synchronous_rpm for speed in speeds]
    torques, currents, told = [], [], []
    for number, way in enumerate(starters):
        points = [instant_of(way, curve, 1 - speed, 0.0, False) for speed in speeds]
        torque = [point.torque * plate.torque for point in points]
        line = [point.line * float(plate.amps) for point in points]
        torques.append(Line(_points(rpm, torque), way.name, tone_of(number), number))
        currents.append(Line(_points(rpm, line), way.name, tone_of(number), number))
        told.append(f"{way.name} {show(torque[0], 'N·m')} and {show(line[0], 'A')}")
    words = f"Torque and line current over the speed, first step of each way to start. At rest: {'; '.join(told)}."
    if load is not None:
        torques.append(_load_line(load, rpm, plate))
        words += _of(load)
    above = Axes("torque [N·m]", tuple(torques), top=curve.breakdown * plate.torque * 1.1)
    plot = Plot("speed [rpm]", plate.synchronous_rpm, (above, Axes("line current [A]", tuple(currents))))
    return picture(plot, "Ways to start over the speed", words)


@drawn_once
def run_up_figure(*starts: RunUp) -> Picture:
    """Return speed, torque and line current over time of up to five `starts`. Raises LadderError if none or more."""
    if not 0 < len(starts) <= MOST:
        raise LadderError("run_up_figure", f"draws one to {MOST} starts", len(starts), ("run_up(…)",))
    ends = [start.samples[-1].seconds if start.seconds is None else start.seconds for start in starts]
    fields = []
    for name, value in (("speed [rpm]", "rpm"), ("torque [N·m]", "torque"), ("line current [A]", "line_amps")):
        lines, dots = [], []
        for number, start in enumerate(starts):
            points = tuple((sample.seconds, float(getattr(sample, value))) for sample in start.samples)
            lines.append(Line(points, start.starter.name, tone_of(number), number))
            dots.append(Dot(*points[-1], tone=tone_of(number)))
        fields.append(Axes(name, tuple(lines), tuple(dots)))
    words = f"Speed, torque and line current over time. {' '.join(f'{start}.' for start in starts)}"
    plot = Plot("time [s]", max(ends) * 1.02, tuple(fields), (("dot", "up to speed, or given up"),))
    return picture(plot, "Starts in time", words)


def _points(xs: Sequence[float], ys: Sequence[float]) -> tuple[tuple[float, float], ...]:
    return tuple(zip(xs, ys, strict=True))


def _load_line(load: Load, rpm: Sequence[float], plate: Nameplate) -> Line:
    """The load's torque over the speed, in the pattern that no way to start has."""
    held = [load.torque_at(speed / float(plate.rpm)) for speed in rpm]
    return Line(_points(rpm, held), "load", "pale", len(DASHES) - 1, 2.6)


def _of(load: Load) -> str:
    rest, running = show(load.torque_at(0.0), "N·m"), show(load.torque_at(1.0), "N·m")
    return f" The load takes {rest} at rest and {running} at rated speed."
