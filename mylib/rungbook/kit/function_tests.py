"""Inspection and function test of each part of the box: what to do, what must be measured, and what a deviation means.

Made from the catalogue: each contact in every position of its device, the coil's resistance, operation and release, the
overload relay's test and resets, the timer's functions. All with the part out of the circuit or the supply locked out,
but for the steps that say "with voltage"; those only under supervision.

Limits: a coil operates at 85 % of its rated voltage and lets go between 75 % and 20 % (IEC 60947-4-1 for a.c.
contactors, from memory). Coil resistance within 20 %, times within 10 % of what is set: common practice; the data
sheet comes first.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.kit.inventory import Fitted
from rungbook.kit.kinds import ALL_KINDS, NC_KIND
from rungbook.kit.models import ContactBlock
from rungbook.kit.settings import RESETS, TIMER_FUNCTIONS

COIL_TOLERANCE = 0.2
TIME_TOLERANCE = 0.1
TEST_SECONDS = 5.0  # what a timer is set to for its test [s]
CLOSED_OHMS = 5.0  # below it a contact counts as closed [ohm]
OPERATES_AT = 0.85
RELEASES = (0.20, 0.75)

#: what it shows -> what is looked at
INSPECTION = (
    "housing whole, no cracks, no burn marks",
    "all terminal screws there and turning, no stripped heads",
    "markings readable: model, voltage, terminal numbers",
)
_TOLD = {
    "pressed": "press it",
    "latched": "strike it",
    "reached": "push its roller",
    "tripped": "press its test button",
}
_WORKED = {"in": "with the armature in"}
_OTHERS = {
    "motor": (
        "shaft turns by hand, without rubbing",
        "windings U1–V1, V1–W1, U1–W1: three readings alike within 5 %, none open",
        "each winding to the protective earth: OL",
    ),
    "control transformer": (
        "primary H1–H2 and secondary X1–X2: each has a reading, neither is open",
        "primary to secondary, and each to the protective earth: OL",
    ),
}
_TIMERS = {
    "on-delay": "give voltage: {no} closes after the time",
    "off-delay": "give voltage, take it away: {no} opens after the time",
    "on-and-off delay": "give voltage: {no} closes after the time; take it away: opens after the time",
    "one-shot on rising edge": "give voltage: {no} closes at once and opens after the time",
    "one-shot on falling edge": "give voltage, take it away: {no} closes and opens after the time",
    "flash": "give voltage: {no} is closed for the time, open for the time",
    "cumulative on-delay": "give voltage for half the time, take it away, give it: {no} closes after the other half",
}


@dataclass(frozen=True)
class FunctionTest:
    """One test of a part. number: from 1. do: what to do. measure: what is measured, such as "13-14" or "A1-A2".

    kind: "contact", "coil", "volts", "time" or "look". lowest, highest: what must be read, in `unit` (ohm, V, s);
    highest None: the contact must be open (OL). For "look" there is no reading but "yes" or "no".
    """

    number: int
    kind: str
    do: str
    measure: str
    lowest: float = 0.0
    highest: float | None = None
    unit: str = ""
    position: str = ""

    @property
    def shown(self) -> str:
        """What must be read, in words."""
        if self.kind == "look":
            return "yes"
        if self.kind == "contact":
            return "OL" if self.highest is None else "beeps"
        if self.highest is None or math.isinf(self.highest):
            return f"{_figure(self.lowest)} {self.unit} or more"
        if self.lowest == 0:
            return f"at most {_figure(self.highest)} {self.unit}"
        return f"{_figure(self.lowest)} to {_figure(self.highest)} {self.unit}"


def _figure(value: float) -> str:
    """Three figures, without an exponent: 134, 1970, 4.5."""
    return f"{float(f'{value:.3g}'):g}"


def function_tests(fitted: Fitted) -> tuple[FunctionTest, ...]:
    """Return the inspection and function tests of a device with its accessories, in order of work.

    Raises LadderError if `fitted` is none.
    """
    if not isinstance(fitted, Fitted):
        raise LadderError("function_tests", "tests a device of the kit", fitted, ("fit('contactor')",))
    found: list[FunctionTest] = []

    def add(kind: str, do: str, measure: str, **limits: float | str | None) -> None:
        found.append(FunctionTest(len(found) + 1, kind, do, measure, **limits))  # type: ignore[arg-type]

    for words in INSPECTION:
        add("look", words, "")
    kind = ALL_KINDS[fitted.model.kind]
    for words in _OTHERS.get(kind.name, ()):
        add("look", words, "")
    for position in _positions(fitted):
        for block in fitted.contacts:
            closed = CLOSED_OHMS if position in block.closed else None
            add("contact", _how(fitted, position), block.terminals, highest=closed, unit="ohm", position=position)
    coil = fitted.model.coil
    if coil is not None:
        size = coil.ohms(False).real
        measure = "-".join(fitted.model.supply)
        add(
            "coil",
            "at rest",
            measure,
            lowest=size * (1 - COIL_TOLERANCE),
            highest=size * (1 + COIL_TOLERANCE),
            unit="ohm",
        )
    if kind.load == "coil" and not kind.timed and coil is not None:
        add(
            "volts",
            "with voltage: raise it slowly until the part pulls in",
            "pull-in",
            highest=OPERATES_AT * coil.volts,
            unit="V",
        )
        low, high = (share * coil.volts for share in RELEASES)
        add(
            "volts",
            "with voltage: lower it slowly until the part drops out",
            "drop-out",
            lowest=low,
            highest=high,
            unit="V",
        )
    if fitted.model.lamp is not None:
        size = fitted.model.lamp.ohms.real
        add("coil", "at rest", "-".join(fitted.model.supply), lowest=0.05 * size, highest=1.2 * size, unit="ohm")
        add("look", "with voltage: lights in its colour", "")
    if kind.setting == "overload":
        for reset in RESETS:
            for words in _resets(reset):
                add("look", words, "")
    if kind.setting == "timer":
        changing = next((block.terminals for block in fitted.contacts if block.timed and block.kind != NC_KIND), "")
        span = (TEST_SECONDS * (1 - TIME_TOLERANCE), TEST_SECONDS * (1 + TIME_TOLERANCE))
        for function in TIMER_FUNCTIONS:
            told = _TIMERS[function].format(no=changing)
            add(
                "time",
                f"with voltage: {function}, set to {TEST_SECONDS:g} s: {told}",
                "time",
                lowest=span[0],
                highest=span[1],
                unit="s",
            )
    return tuple(found)


def _positions(fitted: Fitted) -> tuple[str, ...]:
    """The positions to which a hand, or a push on the armature, can bring its contacts without voltage, unharmed."""
    kind = ALL_KINDS[fitted.model.kind]
    if kind.name == "fuse":
        return (kind.rest,)
    return kind.positions if kind.moves or (kind.load == "coil" and not kind.timed) else ()


def _how(fitted: Fitted, position: str) -> str:
    kind = ALL_KINDS[fitted.model.kind]
    if position == kind.rest:
        return "at rest"
    if position in _TOLD:
        return _TOLD[position]
    if position in _WORKED:
        return "push the armature in by hand"
    move = next((move for move in kind.moves if move.end == position), None)
    return move.order.replace("{tag}", "it") if move is not None else position


def _resets(reset: str) -> tuple[str, ...]:
    if reset == "manual":
        return (
            "reset on manual: tripped by the test button, it stays tripped until reset is pressed",
            "reset on manual: pressed and held, reset does not keep it from tripping",
        )
    return ("reset on automatic: tripped by the test button, it goes back by itself",)


@dataclass(frozen=True)
class Judged:
    """What one reading says. good: True if it is as it must be. told: a sentence if it is not, else ""."""

    test: FunctionTest
    good: bool
    told: str = ""


def judge_part(tag: str, fitted: Fitted, entries: Mapping[int, object]) -> tuple[tuple[Judged, ...], tuple[str, ...]]:
    """Return a finding for each entry, and what is wrong with the part, a sentence each (empty: nothing).

    tag: its designation, for the sentences. entries: number of the test -> reading: ohms, volts, seconds as a number,
    "OL", "beeps", or "yes" / "no". Contacts are judged over all their positions: one that never changes is welded or
    dead, one that is the wrong way round is the wrong block. Raises LadderError for an unknown test or reading.
    """
    tests = {test.number: test for test in function_tests(fitted)}
    found: list[Judged] = []
    contacts: dict[str, dict[str, bool]] = {}
    said: list[str] = []
    for number, entry in entries.items():
        if isinstance(number, bool) or number not in tests:
            raise LadderError(f"Test of {tag}", f"there are tests 1 to {len(tests)}", number)
        test = tests[number]
        if test.kind == "contact":
            closed = _is_closed(f"{tag}, test {number}", entry)
            contacts.setdefault(test.measure, {})[test.position] = closed
            found.append(Judged(test, closed == (test.highest is not None)))
        elif test.kind == "look":
            good = _yes(f"{tag}, test {number}", entry)
            found.append(Judged(test, good, "" if good else f"{tag}: not so: {test.do}."))
        else:
            found.append(_within(tag, test, entry))
    for block in fitted.contacts:
        if block.terminals in contacts:
            said += _contact(tag, fitted, block, contacts[block.terminals])
    said = _all_alike(tag, fitted, contacts, said)
    said += [one.told for one in found if one.told]
    return tuple(found), tuple(said)


def _contact(tag: str, fitted: Fitted, block: ContactBlock, seen: Mapping[str, bool]) -> list[str]:
    """What is wrong with one contact, seen closed or open in each position."""
    name = f"{tag}: contact {block.terminals}"
    right = {position: position in block.closed for position in seen}
    if seen == right:
        return []
    if len(seen) > 1 and all(seen[position] != right[position] for position in seen):
        return [f"{name} works the wrong way round: the block is fitted the wrong way, or it is another contact."]
    wrong = [position for position in seen if seen[position] != right[position]]
    doing = " and ".join(_where(fitted, position) for position in wrong)
    if seen[wrong[0]]:
        return [f"{name} stayed closed {doing}: block fitted the wrong way round, or contact welded."]
    return [f"{name} stayed open {doing}: block not latched, contact dirty or burnt, or a loose screw."]


def _all_alike(tag: str, fitted: Fitted, contacts: Mapping[str, Mapping[str, bool]], said: list[str]) -> list[str]:
    """One sentence instead of many if no contact changes at all: then the part does not move."""
    whole = [seen for seen in contacts.values() if len(seen) == len(ALL_KINDS[fitted.model.kind].positions)]
    if len(whole) > 1 and said and all(len(set(seen.values())) == 1 for seen in whole):
        return [f"{tag}: no contact changes: the part does not move, or the contact blocks are not coupled to it."]
    return said


def _where(fitted: Fitted, position: str) -> str:
    how = _how(fitted, position)
    if how == "at rest":
        return "at rest"
    past = {
        "pressed": "with the button pressed",
        "latched": "with the button struck",
        "reached": "with the roller pushed",
        "tripped": "with the relay tripped",
    }
    return past.get(position, _WORKED.get(position, f"in the position {position!r}"))


def _within(tag: str, test: FunctionTest, entry: object) -> Judged:
    value = _number(f"{tag}, test {test.number}", entry, test.unit)
    if value is not None and test.lowest <= value and (test.highest is None or value <= test.highest):
        return Judged(test, True)
    if test.kind == "coil":
        if value is None:
            return Judged(test, False, f"{tag}: {test.measure} is open: winding or filament broken, or a loose screw.")
        why = "turns are shorted" if value < test.lowest else "another coil (look at its voltage), or a bad joint"
        return Judged(test, False, f"{tag}: {test.measure} has {value:g} ohm, must be {test.shown}: {why}.")
    read = "nothing" if value is None else f"{value:g} {test.unit}"
    return Judged(test, False, f"{tag}: {test.measure} at {read}, must be {test.shown} ({test.do}).")


def _is_closed(thing: str, entry: object) -> bool:
    if isinstance(entry, str) and entry.strip().lower() in ("beeps", "beep", "closed"):
        return True
    value = _number(thing, entry, "ohm")
    return value is not None and value < CLOSED_OHMS


def _yes(thing: str, entry: object) -> bool:
    if isinstance(entry, bool):
        return entry
    if isinstance(entry, str) and entry.strip().lower() in ("yes", "no"):
        return entry.strip().lower() == "yes"
    raise LadderError(thing, "is answered by yes or no", entry, ("'yes'", "'no'"))


def _number(thing: str, entry: object, unit: str) -> float | None:
    """The reading as a number in `unit`; None if it is open."""
    if isinstance(entry, str):
        words = entry.strip()
        if words.lower() in ("ol", "open", "no beep"):
            return None
        words = words.removesuffix(unit).strip()
        try:
            entry = float(words)
        except ValueError:
            raise LadderError(thing, f"is a number in {unit}, or OL", entry, (f"'12 {unit}'", "'OL'")) from None
    if isinstance(entry, bool) or not isinstance(entry, int | float) or not math.isfinite(entry) or entry < 0:
        raise LadderError(thing, f"is a number in {unit}, or OL", entry, (f"12 {unit}", "'OL'"))
    return float(entry)
