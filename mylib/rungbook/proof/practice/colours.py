"""Colours of buttons and lamps, by what each *does* in the circuit over all states, not by its plate.

A start button is a push button whose press can bring a driving coil in; a stop button one that cannot, and under
which some driving coil is always out; a reset button one that does neither, and drops a relay out. A lamp tells of a
fault if it is lit only while an overload relay is tripped or an emergency stop is latched; "running" or "stopped" if
it is lit exactly while a contactor is in, or out. No colour is asked of a button or lamp whose colour is not given.
Sources: IEC 60204-1, 10.2.1 (emergency stop 10.7, reset from a secondary page), IEC 60073; NFPA 79 from memory.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from rungbook.behaviour import State, Step
from rungbook.kit import LAMP_MEANINGS, START_COLOURS, STOP_COLOURS
from rungbook.proof.practice.facts import Facts, Places, Shown, finding
from rungbook.proof.practice.finding import PracticeFinding

Role = Literal["start", "hold-to-run", "stop", "reset"]
#: a reset button that does not stop, too (IEC 60204-1, 10.2.1; check value read in a secondary page).
RESET_COLOURS = ("blue", "white", "grey", "black")
#: a button under which something runs only while it is held (IEC 60204-1, 10.2.1, from memory).
HOLD_COLOURS = ("white", "grey", "black")
#: role -> (colours to use, colours that must not be used)
_BUTTONS: dict[Role, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "start": (START_COLOURS, ("red",)),
    "hold-to-run": (HOLD_COLOURS, ("red", "yellow", "green")),
    "stop": (STOP_COLOURS, ("green",)),
    "reset": (RESET_COLOURS, ("green",)),
}
_CLAUSE: dict[Role, str] = {
    "start": "IEC 60204-1, 10.2.1; NFPA 79, 10.2 (from memory)",
    "hold-to-run": "IEC 60204-1, 10.2.1 (from memory)",
    "stop": "IEC 60204-1, 10.2.1; NFPA 79, 10.2 (from memory)",
    "reset": "IEC 60204-1, 10.2.1 (from a secondary page)",
}
#: what a lamp tells -> (colours to use, colours that must not be used)
_LAMPS = {
    "a fault": (("red", "yellow"), ("green",)),
    "running": (("green", "white"), ("red",)),
    "stopped": (("white", "green"), ("red",)),
}
_LAMP_CLAUSE = "IEC 60073; NFPA 79, 10.3 (from memory)"


def role_of(facts: Facts, button: str) -> tuple[Role, str, Shown] | None:
    """What push button `button` does: its role, the coil that shows it, the shortest orders; None if neither."""
    panel = facts.panel

    def pressed(step: Step | None) -> bool:
        return step is not None and step.device == button and step.move.start == "released"

    for tag in facts.driving:
        shown = facts.first(lambda b, s, a, tag=tag: pressed(s) and facts.starts(tag, s, b, a))  # type: ignore[misc]
        if shown is not None:
            return "hold-to-run" if _only_while_held(facts, button) else "start", tag, shown
    helping = tuple(tag for tag in panel.coils if tag not in facts.driving)
    roles: tuple[tuple[Role, tuple[str, ...]], ...] = (("stop", facts.driving), ("reset", helping))
    for role, coils in roles:
        for tag in coils:
            if facts.off_while(tag, button):
                shown = facts.first(
                    lambda b, s, a, tag=tag: (  # type: ignore[misc]
                        pressed(s) and b is not None and panel.is_on(tag, b) and not panel.is_on(tag, a)
                    )
                )
                if shown is not None:
                    return role, tag, shown
    return None


def _only_while_held(facts: Facts, button: str) -> bool:
    """True if letting the button go always drops out everything that a press of it brings in."""

    def started(tag: str) -> bool:
        return (
            facts.first(lambda b, s, a: s is not None and s.device == button and facts.starts(tag, s, b, a)) is not None
        )

    def stays(before: State | None, step: Step | None, after: State) -> bool:
        let_go = before is not None and step is not None and step.device == button and step.move.end == "released"
        return let_go and any(facts.panel.is_on(tag, after) for tag in mine)

    mine = tuple(tag for tag in facts.driving if started(tag))
    return facts.first(stays) is None


def button_colours(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Each push button by its role, each emergency stop red."""
    for device in facts.panel.inputs:
        tag, colour = device.tag, device.colour
        if not colour:
            continue
        if device.kind == "emergency stop" and colour != "red":
            yield finding(
                "button colour",
                "fault",
                f"{device.name} is an emergency stop and is {colour}; an emergency stop is red.",
                places.contacts(tag),
                "IEC 60204-1, 10.7 (yellow behind it from memory); NFPA 79 (from memory)",
                f"Give {tag} a red actuator on a yellow background.",
            )
        if device.kind != "push button":
            continue
        found = role_of(facts, tag)
        if found is None:
            continue
        role, coil, shown = found
        good, bad = _BUTTONS[role]
        if colour in good:
            continue
        word = "must never be" if colour in bad else "is not meant to be"
        yield finding(
            "button colour",
            "fault" if colour in bad else "advice",
            f"{device.name} works as a {role} button and is {colour}; a {role} button {word} {colour}.",
            places.contacts(tag),
            _CLAUSE[role],
            f"Make {tag} {', '.join(good[:-1])} or {good[-1]}.",
            (shown.steps, facts.seen(coil, shown)),
        )


def lamp_colours(facts: Facts, places: Places, lenses: Mapping[str, str]) -> Iterator[PracticeFinding]:
    """Each lamp by what it tells. lenses: designation -> colour, "" if not given."""
    trips = facts.of_kind("overload relay", "emergency stop")
    for tag in facts.panel.lamps:
        colour = lenses.get(tag, "")
        meaning = _meaning(facts, tag, trips)
        if not colour or meaning is None:
            continue
        tells, about = meaning
        good, bad = _LAMPS[tells]
        if colour in good:
            continue
        shown = facts.first(lambda b, s, a, tag=tag: facts.panel.is_on(tag, a))  # type: ignore[misc]
        assert shown is not None  # a lamp that is never lit has no meaning
        yield finding(
            "lamp colour",
            "fault" if colour in bad else "advice",
            f"{facts.panel.devices[tag].name} tells of {tells} ({about}) and is {colour}; "
            f"{colour} means {LAMP_MEANINGS.get(colour, 'nothing here')}.",
            places.load(tag),
            _LAMP_CLAUSE,
            f"Give {tag} a {' or '.join(good)} lens.",
            (shown.steps, facts.seen(tag, shown)),
        )


def _meaning(facts: Facts, tag: str, trips: tuple[str, ...]) -> tuple[str, str] | None:
    lit = [state for state in facts.live if facts.panel.is_on(tag, state)]
    if not lit:
        return None
    if all(any(facts.operated(trip, state) for trip in trips) for state in lit):
        return "a fault", "lit only while something is tripped or latched"
    pattern = facts.pattern(tag)
    for coil in (coil for coil in facts.driving if coil[0] == "Q"):
        inside = facts.pattern(coil)
        if any(inside) and pattern == inside:
            return "running", f"lit while {coil} is in"
        if any(inside) and pattern == tuple(not on for on in inside):
            return "stopped", f"lit while {coil} is out"
    return None
