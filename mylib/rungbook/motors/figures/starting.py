"""Torque–speed curve of a motor, the ways to start over the speed, and their course in time."""

from __future__ import annotations

from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError
from rungbook.motors.figures.sheet import ACCENT, DASHES, INK, PALE, drawn_once, picture, sheet
from rungbook.motors.load import Load
from rungbook.motors.nameplate import Nameplate
from rungbook.motors.run_up import RunUp
from rungbook.motors.starters import DRIVE, Starter, instant_of
from rungbook.motors.torque_speed import curve_of
from rungbook.motors.units import show

_STEPS = 200
_MOST = len(DASHES)


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
    with sheet(2, height=5.6) as (figure, (above, below)):
        above.plot(rpm, torque, color=ACCENT, linewidth=2.2, label="motor")
        marks = (
            (0.0, torque[0], "locked rotor", (8, 8)),
            (breakdown_rpm, curve.breakdown * plate.torque, "breakdown", (-8, 6)),
            (float(plate.rpm), plate.torque, "rated", (-8, -4)),
        )
        for x, y, name, offset in marks:
            above.plot([x], [y], "o", color=INK, markersize=5, clip_on=False)
            side = "left" if offset[0] > 0 else "right"
            above.annotate(name, (x, y), offset, textcoords="offset points", ha=side)
        if load is not None:
            held = [load.torque_at(speed / (1 - plate.slip)) for speed in speeds]
            above.plot(rpm, held, color=INK, linestyle=DASHES[1], linewidth=1.6, label="load")
            words += _of(load)
            figure.legend(loc="outside upper center", ncols=2)
        below.plot(rpm, amps, color=ACCENT, linewidth=2.2)
        below.axhline(float(plate.amps), color=PALE, linewidth=1)
        below.annotate("rated", (0, float(plate.amps)), (4, 3), textcoords="offset points", color=INK)
        above.set(ylabel="torque [N·m]", ylim=(0, curve.breakdown * plate.torque * 1.15))
        below.set(ylabel="line current [A]", xlabel="speed [rpm]", ylim=(0, None), xlim=(0, plate.synchronous_rpm))
        return picture(figure, "Torque and current over the speed", words)


@drawn_once
def starting_figure(plate: Nameplate, *starters: Starter, load: Load | None = None) -> Picture:
    """Return torque and line current over the speed in the first step of each of `starters`, up to five, no drive.

    A soft starter is shown at its first voltage. Raises LadderError if there is none, more than five, or a drive.
    """
    if not 0 < len(starters) <= _MOST or any(way.kind == DRIVE for way in starters):
        kinds = ("direct()", "star_delta()", "autotransformer()", "soft_starter()")
        raise LadderError("starting_figure", f"one to {_MOST} ways, no drive", [way.kind for way in starters], kinds)
    curve = curve_of(plate)
    speeds = [k / _STEPS for k in range(_STEPS + 1)]
    rpm = [speed * plate.synchronous_rpm for speed in speeds]
    told = []
    with sheet(2, height=5.6) as (figure, (above, below)):
        for number, (way, dash) in enumerate(zip(starters, DASHES, strict=False)):
            points = [instant_of(way, curve, 1 - speed, 0.0, False) for speed in speeds]
            torque = [point.torque * plate.torque for point in points]
            line = [point.line * float(plate.amps) for point in points]
            ink = ACCENT if number == 0 else INK
            above.plot(rpm, torque, color=ink, linestyle=dash, label=way.name)
            below.plot(rpm, line, color=ink, linestyle=dash)
            told.append(f"{way.name} {show(torque[0], 'N·m')} and {show(line[0], 'A')}")
        words = f"Torque and line current over the speed, first step of each way to start. At rest: {'; '.join(told)}."
        if load is not None:
            held = [load.torque_at(speed / (1 - plate.slip)) for speed in speeds]
            above.plot(rpm, held, color=PALE, linewidth=2.5, label="load")
            words += _of(load)
        figure.legend(loc="outside upper center", ncols=3)
        above.set(ylabel="torque [N·m]", ylim=(0, curve.breakdown * plate.torque * 1.1))
        below.set(ylabel="line current [A]", xlabel="speed [rpm]", ylim=(0, None), xlim=(0, plate.synchronous_rpm))
        return picture(figure, "Ways to start over the speed", words)


@drawn_once
def run_up_figure(*starts: RunUp) -> Picture:
    """Return speed, torque and line current over time of up to five `starts`. Raises LadderError if none or more."""
    if not 0 < len(starts) <= _MOST:
        raise LadderError("run_up_figure", f"draws one to {_MOST} starts", len(starts), ("run_up(…)",))
    ends = [start.samples[-1].seconds if start.seconds is None else start.seconds for start in starts]
    with sheet(3, height=7.4) as (figure, axes):
        for number, (start, dash) in enumerate(zip(starts, DASHES, strict=False)):
            ink = ACCENT if number == 0 else INK
            times = [sample.seconds for sample in start.samples]
            for axis, values in zip(
                axes,
                (
                    [sample.rpm for sample in start.samples],
                    [sample.torque for sample in start.samples],
                    [sample.line_amps for sample in start.samples],
                ),
                strict=True,
            ):
                axis.plot(times, values, color=ink, linestyle=dash, label=start.starter.name)
                axis.plot(times[-1:], values[-1:], "o", color=ink, markersize=4)
        axes[1].plot([], [], "o", color=INK, markersize=4, linestyle="", label="up to speed, or given up")
        for axis, name in zip(axes, ("speed [rpm]", "torque [N·m]", "line current [A]"), strict=True):
            axis.set(ylabel=name, ylim=(0, None))
        axes[-1].set(xlabel="time [s]", xlim=(0, max(ends) * 1.02))
        handles, labels = axes[1].get_legend_handles_labels()
        figure.legend(handles, labels, loc="outside upper center", ncols=2)
        words = f"Speed, torque and line current over time. {' '.join(f'{start}.' for start in starts)}"
        return picture(figure, "Starts in time", words)


def _of(load: Load) -> str:
    rest, running = show(load.torque_at(0.0), "N·m"), show(load.torque_at(1.0), "N·m")
    return f" The load takes {rest} at rest and {running} at rated speed."
