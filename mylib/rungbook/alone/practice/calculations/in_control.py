"""Questions on the control circuit: coils, the transformer, the voltage lost on a line, timers and counters.

The ratings are drawn, invented but plausible; each is given in the text, so nothing of the kit's must be known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from rungbook.alone.practice.calculations.question import Question
from rungbook.alone.practice.draws import Draws
from rungbook.kit.ratings import CoilRating, SupplyRating
from rungbook.motors import Answer, control_drop
from rungbook.motors.control_drop import COPPER, LEAST
from rungbook.motors.units import show

_VOLTS = (24.0, 48.0, 110.0, 120.0, 230.0)
_AREAS = (0.5, 0.75, 1.0, 1.5, 2.5)
_MACHINES = ("apple elevator", "mill", "press pump", "filling line", "vat agitator")


@dataclass(frozen=True)
class Control:
    """A contactor's coil at the end of a line of `metres` [m], one way, of `area` [mm²] copper."""

    coil: CoilRating
    metres: int
    area: float


def draw_control(draws: Draws) -> Control:
    """Draw a coil and its line."""
    return Control(_coil(draws), 20 + 5 * draws.below(97), draws.pick(_AREAS))


def coil_current(draws: Draws, control: Control) -> Question:
    """The current [A] of a contactor's coil while it pulls in, or while it is held."""
    coil = control.coil
    pulls = draws.below(2) == 0
    power, other = (coil.inrush_va, coil.sealed_va)[:: 1 if pulls else -1]
    right = Answer("Coil current", power / coil.volts, "A", (f"I = S ÷ U = {_over(power, coil.volts)} A",))
    when = "pulls in" if pulls else "is held"
    state = "open, as while it pulls in" if not pulls else "closed, as while it is held"
    mistakes = (
        (other / coil.volts, f"That is the current with the magnet {state}; asked is while it {when}."),
        (coil.volts / power, "That is U ÷ S. Turn it over: I = S ÷ U."),
        (power / coil.volts / math.sqrt(3), "The control circuit has one phase: no √3."),
        (power * (coil.inrush_pf if pulls else coil.sealed_pf) / coil.volts, "Apparent power: no power factor here."),
    )
    given = (_coil_text(coil),)
    return Question(f"coil current while it {when}", right, "A", mistakes, "I = S ÷ U.", given)


def least_volts(draws: Draws, control: Control) -> Question:
    """The voltage [V] from which a contactor must pull in."""
    volts = control.coil.volts
    step = f"{LEAST:g} × {show(volts, 'V')} = {show(LEAST * volts, 'V')} (IEC 60947-4-1)"
    right = Answer("Voltage", LEAST * volts, "V", (step,))
    mistakes = (
        (volts, "It must pull in below its rated voltage already."),
        (1.1 * volts, "That is the upper end: it must stand 110 %."),
        (0.75 * volts, "75 % is the upper end of where it may drop out."),
        (0.2 * volts, "20 % is where it must have dropped out."),
    )
    given = (_coil_text(control.coil),)
    field = "voltage from which the contactor must pull in, by IEC 60947-4-1"
    return Question(field, right, "V", mistakes, "85 % of rated voltage.", given)


def transformer(draws: Draws, control: Control) -> Question:
    """The apparent power [VA] of the transformer while the last of some contactors pulls in."""
    coil, many = control.coil, 2 + draws.below(4)
    held = many - 1
    value = held * coil.sealed_va + coil.inrush_va
    steps = (
        f"held: {held} × {show(coil.sealed_va, 'VA')} = {show(held * coil.sealed_va, 'VA')}",
        f"with the one that pulls in: {show(held * coil.sealed_va)} + {show(coil.inrush_va)} = {show(value, 'VA')}",
    )
    mistakes = (
        (many * coil.inrush_va, "They pull in one after another: only one magnet is open at a time."),
        (many * coil.sealed_va, "The last one still pulls in: its magnet is open."),
        (value + coil.sealed_va, "The one that pulls in is not held as well."),
        (coil.inrush_va, "The contactors that came before are held meanwhile."),
    )
    given = (_coil_text(coil), f"{many} such contactors pull in one after another and stay in.")
    right = Answer("Apparent power, at most", value, "VA", steps)
    because = "The worst moment: all but one are held, the last one pulls in (sizes added, as is common practice)."
    return Question("largest apparent power of the coils", right, "VA", mistakes, because, given)


def line_ohms(draws: Draws, control: Control) -> Question:
    """The resistance [Ω] of a control line, there and back."""
    metres, area = control.metres, control.area
    value = control_drop(metres, area, celsius=20).line
    right = Answer("Resistance of the line", value, "Ω", (_line_step(metres, area, value),))
    mistakes = (
        (value / 2, "The current flows there and back: twice the length."),
        (2 * COPPER * area / metres, "Length over area: a longer line has more, a thicker one less."),
        (2 * value, "There and back is twice the distance, no more."),
    )
    because = "R = 2 l ρ ÷ A."
    return Question("resistance of the control line", right, "Ω", mistakes, because, (_line_text(metres, area),), 1)


def drop_volts(draws: Draws, control: Control) -> Question | None:
    """The voltage [V] at a coil while it pulls in, at the end of a long line behind a transformer."""
    coil, metres, area = control.coil, control.metres, control.area
    size = coil.volts**2 / coil.inrush_va
    inner = round(size * (1 + draws.below(5)) / 100, 2)
    supply = SupplyRating(coil.volts, ohms=complex(inner))
    found = control_drop(metres, area, coil, supply, celsius=20)
    if not 0.6 < found.share < 0.97:
        return None  # a line that loses nothing, or nearly all, is no exercise
    open_magnet = coil.ohms(False)
    whole = complex(inner + found.line) + open_magnet
    steps = (
        _line_step(metres, area, found.line),
        f"coil, magnet open: Z = U² ÷ S = {show(size, 'Ω')}",
        f"R = Z cos φ = {show(open_magnet.real, 'Ω')}, X = √(Z² - R²) = {show(open_magnet.imag, 'Ω')}",
        f"all in series: √(({show(inner)} + {show(found.line)} + {show(open_magnet.real)})² + "
        f"{show(open_magnet.imag)}²) = {show(abs(whole), 'Ω')}",
        f"U = {show(coil.volts, 'V')} × {show(size)} ÷ {show(abs(whole))} = {show(found.pull_in, 'V')}",
    )

    def left(line: float, other: float = inner) -> float:
        return coil.volts * size / abs(complex(other + line) + open_magnet)

    mistakes = (
        (left(found.line / 2), "The current flows there and back: twice the length of line."),
        (left(found.line, 0.0), "You left out the resistance of the transformer."),
        (found.held, "That is the voltage once the magnet is closed; it must close first."),
        (coil.volts * size / (size + inner + found.line), "Resistance and impedance add as phasors, not as numbers."),
        (
            coil.volts * (1 - (inner + found.line) / size),
            "The current is that of the whole circuit, not of the coil alone.",
        ),
        (coil.volts - found.pull_in, "That is what is lost; asked for is what the coil gets."),
        (left(0.0), "You left out the line."),
    )
    given = (
        _coil_text(coil),
        _line_text(metres, area),
        f"The transformer gives {show(coil.volts, 'V')} without load and has {show(inner, 'Ω')} of resistance.",
    )
    right = Answer("Voltage at the coil", found.pull_in, "V", steps)
    because = "Line and transformer in series with the coil, as phasors; the magnet is open."
    return Question("voltage at the coil while it pulls in", right, "V", mistakes, because, given, 1)


def flash(draws: Draws, control: Control) -> Question:
    """What a flashing relay with equal times is set to [s]."""
    many = 6 + draws.below(115)
    value = 60 / many / 2
    steps = (f"a flash and its pause: 60 s ÷ {many} = {show(60 / many, 's')}", f"half of it: {show(value, 's')}")
    mistakes = (
        (60 / many, "That is a whole period; on and off have half of it each."),
        (many / 60, "That is how often in a second; the time is the other way round."),
        (120 / many, "On and off together are one period: halve it, do not double it."),
    )
    given = (f"A lamp is to flash {many} times a minute, on as long as off.",)
    right = Answer("Time on, and off", value, "s", steps)
    return Question("time on, and time off", right, "s", mistakes, "60 s ÷ flashes, and half of that.", given)


def stagger(draws: Draws, control: Control) -> Question:
    """What the last timer of a staggered start is set to [s]: all of them run from the same signal, or in a chain."""
    many = 3 + draws.below(3)
    gaps = [2 + draws.below(19) / 2 for _ in range(many - 1)]
    together = draws.below(3) > 0
    names = draws.some(_MACHINES, many)
    pairs = [
        f"{name} {show(gap, 's')} after the {before}" for before, name, gap in zip(names, names[1:], gaps, strict=False)
    ]
    total, last = sum(gaps), gaps[-1]
    how = (
        "All timers (on-delay) begin with the start."
        if together
        else "Each timer (on-delay) begins as the machine before starts."
    )
    value = total if together else last
    step = (
        f"{' + '.join(show(gap) for gap in gaps)} = {show(total, 's')}" if together else f"as asked: {show(last, 's')}"
    )
    mistakes = (
        (last if together else total, f"Look from when the last timer runs. {how}"),
        (total - last, "That is the time of the machine before it."),
        (total + gaps[0], "The first machine starts at once."),
    )
    given = (f"The {names[0]} starts at once, then the {', the '.join(pairs)}. {how}",)
    right = Answer("Time of the last timer", value, "s", (step,))
    return Question(
        f"time of the timer of the {names[-1]}", right, "s", mistakes, "From what moment does it run?", given
    )


def dial(draws: Draws, control: Control) -> Question:
    """The mark of a timer's dial, "", for a time: the dial goes from 0 to 10 over its range."""
    top = draws.pick((6.0, 12.0, 30.0, 60.0, 120.0, 180.0, 600.0))
    value = round(2 + 0.1 * draws.below(75), 1)
    seconds = round(top * value / 10, 2)
    step = f"{show(seconds, 's')} ÷ {show(top, 's')} × 10 = {show(value)}"
    mistakes = (
        (10 * top / seconds, "Turn it over: time over range."),
        (seconds, "That is the time; the dial has marks from 0 to 10 for its whole range."),
        (value / 10, "That is the share of the range; the dial has ten marks."),
        (10 - value, "The dial begins at 0."),
    )
    given = (
        f"A timer has the range {show(top, 's')} and a dial from 0 to 10, in proportion. It is to run {seconds:g} s.",
    )
    right = Answer("Mark of the dial", value, "", (step,))
    return Question("mark of the dial (a plain number)", right, "", mistakes, "Time ÷ range × 10.", given)


def belt(draws: Draws, control: Control) -> Question:
    """The time [s] after which a belt is empty, for the timer that lets it run on."""
    metres, speed, more = 4 + draws.below(57) / 2, (20 + 5 * draws.below(17)) / 100, draws.below(11)
    way = metres / speed
    steps = [f"{show(metres, 'm')} ÷ {show(speed)} m/s = {show(way, 's')}"]
    steps += [f"and {more} s more: {show(way + more, 's')}"] if more else []
    mistakes = (
        (metres * speed + more, "Length over speed, not length times speed."),
        (speed / metres + more, "Length over speed, not speed over length."),
        *(((way, f"The {more} s more are missing."),) if more else ()),
        (60 * way + more, "The speed is in metres a second."),
    )
    extra = f", and {more} s more" if more else ""
    given = (
        f"The belt of the apple elevator is {show(metres, 'm')} long and runs at {speed:g} m/s. When the feed stops, "
        f"an off-delay timer is to let it run until the last apple is off{extra}.",
    )
    right = Answer("Time of the off-delay timer", way + more, "s", tuple(steps))
    return Question("time of the off-delay timer", right, "s", mistakes, "Time = length ÷ speed.", given)


def crates(draws: Draws, control: Control) -> Question:
    """The time [min] that a number of crates takes on the filling line, by its counter."""
    bottles, seconds, many = 6 * (1 + draws.below(4)), (15 + draws.below(46)) / 10, 5 + draws.below(56)
    pause = 2 + draws.below(9)
    one = bottles * seconds
    value = many * (one + pause) / 60
    steps = (
        f"a crate: {bottles} × {show(seconds, 's')} = {show(one, 's')}",
        f"with the change of crates: {show(one)} + {pause} = {show(one + pause, 's')}",
        f"{many} crates: {many} × {show(one + pause, 's')} = {show(60 * value, 's')} = {show(value, 'min')}",
    )
    mistakes = (
        (many * one / 60, "The change of crates is missing."),
        ((many * one + pause) / 60, "Each crate is changed, not only one."),
        (many * (seconds + pause) / 60, "The counter changes the crate after all its bottles, not after each."),
        (60 * value, "That is the number of seconds; asked for are minutes."),
    )
    given = (
        f"The filling line's counter is set to {bottles} bottles a crate, one bottle each {show(seconds, 's')}; each "
        f"change of crates takes {pause} s.",
    )
    right = Answer("Time", value, "min", steps)
    return Question(f"time for {many} crates, changes included", right, "min", mistakes, "Bottles, then crates.", given)


def _coil(draws: Draws) -> CoilRating:
    inrush = 40.0 + 5 * draws.below(30)
    sealed = round(inrush / (6 + draws.below(4)), 1)
    return CoilRating(
        draws.pick(_VOLTS),
        inrush,
        round(0.6 + 0.05 * draws.below(4), 2),
        sealed,
        round(0.25 + 0.05 * draws.below(3), 2),
    )


def _coil_text(coil: CoilRating) -> str:
    return (
        f"Contactor coil, {show(coil.volts, 'V')} a.c.: {show(coil.inrush_va, 'VA')} at power factor "
        f"{coil.inrush_pf:g} while it pulls in, {show(coil.sealed_va, 'VA')} at {coil.sealed_pf:g} while it is held."
    )


def _line_text(metres: float, area: float) -> str:
    return (
        f"The control line is {show(metres, 'm')} long, one way, of {area:g} mm² copper at 20 °C "
        f"({COPPER:g} Ω·mm²/m, IEC 60028)."
    )


def _line_step(metres: float, area: float, ohms: float) -> str:
    return f"R = 2 × {show(metres, 'm')} × {COPPER:g} ÷ {area:g} mm² = {show(ohms, 'Ω')}"


def _over(power: float, volts: float) -> str:
    return f"{show(power, 'VA')} ÷ {show(volts, 'V')} = {show(power / volts)}"
