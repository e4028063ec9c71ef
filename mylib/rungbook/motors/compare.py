"""Ways to start, side by side: currents, torque, time to run up, and whether the overload relay holds."""

from __future__ import annotations

from dataclasses import dataclass, field

from rungbook.errors import LadderError
from rungbook.motors.answer import Given
from rungbook.motors.load import Load
from rungbook.motors.nameplate import Nameplate
from rungbook.motors.run_up import RunUp, run_up
from rungbook.motors.start_heating import StartHeating, start_heating
from rungbook.motors.starters import (
    DRIVE,
    Instant,
    Starter,
    autotransformer,
    direct,
    drive,
    drive_instant,
    instant_of,
    soft_starter,
    star_delta,
)
from rungbook.motors.torque_speed import curve_of
from rungbook.motors.units import show
from rungbook.tables import html_table, text_table

_HEAD = (
    "start",
    "line at rest [A]",
    "× rated",
    "motor at rest [A]",
    "torque at rest [N·m]",
    "% of rated",
    "largest line current [A]",
    "up to speed [s]",
    "overload relay",
)


def at_rest(plate: Nameplate, starter: Starter) -> Instant:
    """Return torque and currents at the first instant, rotor at rest, as shares of rated [unitless].

    Of a drive: the torque is its limit, which it gives at rest as well. Raises LadderError as `curve_of`.
    """
    curve = curve_of(plate)
    if starter.kind == DRIVE:
        return drive_instant(curve, float(plate.power_factor), starter.limit or 1.0, 0.0)
    return instant_of(starter, curve, 1.0, 0.0, False)


@dataclass(frozen=True)
class Started:
    """One way: values at rest, the run-up, and what the overload relay did."""

    starter: Starter
    first: Instant
    course: RunUp
    heating: StartHeating


@dataclass(frozen=True)
class Comparison:
    """Shows itself as a table, a row a way. `ways` has all of it."""

    plate: Nameplate
    load: Load
    ways: tuple[Started, ...] = field(repr=False)

    def _rows(self) -> list[list[str]]:
        amps, torque = float(self.plate.amps), self.plate.torque
        rows = []
        for way in self.ways:
            heat = way.heating
            told = f"holds, heat {100 * heat.peak:.0f} %" if heat else "not tripped yet"
            relay = f"class {heat.trip_class} " + (told if heat.trip is None else f"trips at {heat.trip:.1f} s")
            rows.append(
                [
                    way.starter.name,
                    show(way.first.line * amps),
                    show(way.first.line),
                    show(way.first.motor * amps),
                    show(way.first.torque * torque),
                    f"{100 * way.first.torque:.0f}",
                    show(way.course.line_peak),
                    f"{way.course.seconds:.2f}" if way.course.seconds is not None else f"never: {way.course.why}",
                    relay,
                ]
            )
        return rows

    def __str__(self) -> str:
        return text_table(_HEAD, self._rows())

    __repr__ = __str__

    def _repr_html_(self) -> str:
        kind = f"{show(float(self.plate.kilowatts), 'kW')}, {show(float(self.plate.amps), 'A')}"
        caption = f"Ways to start a motor of {kind} with a load of {show(float(self.load.torque), 'N·m')}"
        return html_table(caption, _HEAD, self._rows())


def compare_starting(
    plate: Nameplate,
    load: Load,
    starters: tuple[Starter, ...] = (),
    setting: Given | None = None,
    trip_class: str = "10",
    longest: Given = 60.0,
) -> Comparison:
    """Return `starters` side by side on `plate` with `load` (none given: the five ways with their usual settings).

    setting: dial of the overload relay [A] (None: the nameplate's current), cold, in the motor's leads. A drive has its
    own motor protection; its row shows what a relay of this class would do. Loads scipy, if it is there.
    Raises LadderError as `run_up` and `start_heating`.
    """
    ways = starters or (direct(), star_delta(), autotransformer(), soft_starter(), drive())
    if not all(isinstance(way, Starter) for way in ways):
        made = ("direct()", "star_delta()", "autotransformer()", "soft_starter()", "drive()")
        raise LadderError("compare_starting", "takes ways to start", ways, made)
    dial = float(plate.amps) if setting is None else setting
    found = []
    for way in ways:
        course = run_up(plate, load, way, longest)
        found.append(Started(way, at_rest(plate, way), course, start_heating(course, dial, trip_class)))
    return Comparison(plate, load, tuple(found))
