"""What must stop, what must not start by itself, and what must never be in together. Decided over all states.

Clauses are from memory unless `colours` says otherwise. A stop is asked to survive a broken wire: with every contact
of the stopping device open for good, as if its wires were cut, the coil must not be able to be in while the device is
operated. A contact that must *close* to stop does not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator

from rungbook.behaviour import State, Step
from rungbook.proof.practice.colours import role_of
from rungbook.proof.practice.facts import SUPPLY, Facts, Places, Shown, finding
from rungbook.proof.practice.finding import PracticeFinding, Severity

_SELECTORS = ("two-position selector", "three-position selector")
_RESETS = ("overload relay", "manual motor starter")


def emergency_stops(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Each emergency stop drops every driving coil out, and unlatching it starts nothing."""
    panel = facts.panel
    for stop in facts.of_kind("emergency stop"):
        name = panel.devices[stop].name
        for tag in facts.driving:
            shown = facts.first(
                lambda b, s, a, stop=stop, tag=tag: (  # type: ignore[misc]
                    a.supply and facts.operated(stop, a) and panel.is_on(tag, a)
                )
            )
            if shown is not None:
                yield finding(
                    "emergency stop",
                    "danger",
                    f"{tag} is in while {name} is latched; an emergency stop drops out everything.",
                    places.load(tag),
                    "IEC 60204-1, 9.2.3.4.2 (from memory); stop category 0, 9.2.2",
                    f"Put an NC contact of {stop} in series before everything else in the way of {tag}.",
                    (shown.steps, facts.seen(tag, shown)),
                )
        shown, tag = _restart(facts, lambda step, stop=stop: step.device == stop and step.move.end == "reset")  # type: ignore[misc]
        if shown is not None:
            yield finding(
                "emergency stop restart",
                "danger",
                f"{tag} comes in by itself {shown.when} {name} is unlatched; unlatching only allows a start.",
                places.load(tag),
                "IEC 60204-1, 9.2.3.4.2; ISO 13850, 4.1.4 (both from memory)",
                f"Make the start of {tag} a fresh press of a button with a holding contact.",
                (shown.steps, facts.seen(tag, shown)),
            )


def automatic_restart(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Nothing comes in when power returns or an overload is reset while no button is held."""
    for told, clause, wanted in (
        ("the supply comes on", "IEC 60204-1, 7.5; NFPA 79, 7.5 (both from memory)", _supply_on),
        (
            "a tripped device is reset",
            "IEC 60204-1, 7.3.1 (from memory); NEC 430.43 (from memory)",
            _reset_of(facts),
        ),
    ):
        shown, tag = _restart(facts, wanted, selectors=False, run_on=False)
        if shown is not None:
            yield finding(
                "automatic restart",
                "danger",
                f"{tag} comes in by itself {shown.when} {told}, with nothing held or turned on.",
                places.load(tag),
                clause,
                f"Let {tag} come in by a press of a start button only, with a holding contact of {tag} beside it.",
                (shown.steps, facts.seen(tag, shown)),
            )
            continue
        shown, tag = _restart(facts, wanted, run_on=False)
        if shown is not None:
            yield finding(
                "automatic restart",
                "advice",
                f"{tag} comes in by itself {shown.when} {told}, because a selector is still on: two-wire control. "
                "It is wanted where a fan or a sump pump must run again without a person, and never where a start can "
                "hurt someone.",
                places.load(tag),
                clause,
                "Use a start and a stop button with a holding contact (three-wire control) unless it is wanted.",
                (shown.steps, facts.seen(tag, shown)),
            )
            continue
        shown, tag = _restart(facts, wanted)
        if shown is not None and shown.before is not None:
            timers = " and ".join(facts.running_on(shown.before))
            yield finding(
                "automatic restart",
                "advice",
                f"{tag} comes in by itself {shown.when} {told}, because {timers} has not run out: run-on. It is wanted "
                "where a fan goes on cooling after a short dip, and never where a start can hurt someone.",
                places.load(tag),
                clause,
                f"Put a holding contact of {tag} in its way, so that a dip ends the run-on, unless it is wanted.",
                (shown.steps, facts.seen(tag, shown)),
            )


def _supply_on(step: Step) -> bool:
    return step.device == SUPPLY and step.move.end == "on"


def _reset_of(facts: Facts) -> Callable[[Step], bool]:
    resets = facts.of_kind(*_RESETS)
    return lambda step: step.device in resets and step.move.start == "tripped"


def _restart(
    facts: Facts, wanted: Callable[[Step], bool], *, selectors: bool = True, run_on: bool = True
) -> tuple[Shown | None, str]:
    """The nearest step of `wanted`, or supply first on, after which a driving coil comes in with no button held.

    Where no such step brings one in at once, the nearest wait after one that does. selectors: False to leave out cases
    in which a selector is on; run_on: False to leave out those in which a timer ran on while the supply was off.
    """
    turned = facts.of_kind(*_SELECTORS)
    hit = ""

    def asked(step: Step | None) -> bool:
        return wanted(step) if step is not None else wanted is _supply_on

    def starts(before: State | None, step: Step | None, after: State) -> bool:
        return asked(step) and comes_in(before, step, after)

    def comes_in(before: State | None, step: Step | None, after: State) -> bool:
        nonlocal hit
        if not facts.no_button_held(after) or (not selectors and any(facts.operated(one, after) for one in turned)):
            return False
        if before is not None and not run_on and facts.running_on(before):
            return False
        hit = next((tag for tag in facts.driving if facts.starts(tag, step, before, after)), "")
        return bool(hit)

    shown = facts.first(starts) or facts.later(asked, lambda before, after: comes_in(before, None, after))
    return shown, hit


def overload_contacts(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Each contactor is out whenever some overload relay (or motor starter) is tripped."""
    panel = facts.panel
    trips = facts.of_kind(*_RESETS)
    for tag in (tag for tag in facts.panel.coils if tag[0] == "Q"):
        ways: list[Shown] = []
        for trip in trips:
            shown = facts.first(
                lambda b, s, a, trip=trip, tag=tag: (  # type: ignore[misc]
                    a.supply and panel.position(trip, a) == "tripped" and panel.is_on(tag, a)
                )
            )
            if shown is None:
                break
            ways.append(shown)
        else:
            first = facts.first(lambda b, s, a, tag=tag: panel.is_on(tag, a))  # type: ignore[misc]
            if first is None:
                continue  # never in: another check says so
            best = min(ways, key=lambda way: len(way.steps), default=first)
            yield finding(
                "overload contact",
                "fault",
                f"{tag} has no overload contact in its circuit: "
                + ("it stays in while " + " or ".join(trips) + " is tripped." if trips else "nothing here can trip."),
                places.load(tag),
                "NEC 430.32 and 430.40 (from memory); IEC 60204-1, 7.3 (from memory)",
                f"Put the NC contact 95-96 of the overload relay of this motor in series with the coil of {tag}.",
                (best.steps, facts.seen(tag, best)),
            )


def stops_by_closing(facts: Facts, places: Places, cut: Callable[[str], Facts]) -> Iterator[PracticeFinding]:
    """Each device that stops a coil still does so with its wires cut. cut(tag): the circuit with them cut."""
    panel = facts.panel
    for device in panel.inputs:
        tag = device.tag
        if device.kind == "push button":
            found = role_of(facts, tag)
            if found is None or found[0] != "stop":
                continue
        elif device.kind not in ("emergency stop", "overload relay", "limit switch"):
            continue
        coils = [coil for coil in facts.driving if facts.off_while(coil, tag)]
        if not coils:
            continue
        broken = cut(tag)
        for coil in coils:
            shown = _runs_on(broken, coil, tag)
            if shown is None:
                continue
            severity: Severity = "danger" if device.kind == "emergency stop" else "fault"
            yield finding(
                "stop by opening",
                severity,
                f"{device.name} stops {coil} by closing a contact; with a broken wire it stops nothing.",
                places.contacts(tag, "NO"),
                "IEC 60204-1, 9.2.2 and 9.4 (from memory)",
                f"Stop {coil} by an NC contact of {tag} in series in its way.",
                (shown.steps, f"With a wire of {tag} broken, {broken.seen(coil, shown)}"),
            )
            break


def _runs_on(broken: Facts, coil: str, tag: str) -> Shown | None:
    """The nearest step after which `coil` is in while `tag` is operated."""
    return broken.first(lambda b, s, a: a.supply and broken.operated(tag, a) and broken.panel.is_on(coil, a))


def kept_apart(facts: Facts, places: Places, pairs: Iterable[tuple[str, str]]) -> Iterator[PracticeFinding]:
    """The contactors of each pair are never in together, not for a moment while the relays change over."""
    panel = facts.panel
    for one, other in pairs:

        def both(state: State, one: str = one, other: str = other) -> bool:
            return panel.is_on(one, state) and panel.is_on(other, state)

        steps: tuple[Step, ...] | None = None
        moment = ""
        for edge in facts.edges:
            if any(both(state) for state in edge.rest.states):
                steps = facts.orders(edge)
            elif any(both(state) for state in edge.rest.passed):
                steps, moment = facts.orders(edge), "For a moment, while the relays change over, "
            if steps is not None:
                break
        if steps is None:
            continue
        yield finding(
            "interlock",
            "danger",
            f"{one} and {other} can be in together; on one motor that shorts two phases.",
            f"{places.load(one)}; {places.load(other)}",
            "IEC 60204-1, 9.3.4 (from memory)",
            f"Put NC {other} before the coil of {one} and NC {one} before that of {other}, "
            "and fit a mechanical interlock.",
            (steps, f"{moment}{one} and {other} are both in."),
        )


def unsteady(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Coils that chatter, and an outcome that hangs on which relay is quicker: the nearest step of each.

    A race is advice only: two contactors that lock each other out have one when both starts are held, and are sound.
    """
    panel = facts.panel
    for edge in facts.edges:
        if edge.rest.chatter:
            yield finding(
                "chatter",
                "fault",
                "The coils chatter: they open their own ways, or one another's, and close them again without end.",
                ", ".join(panel.coils),
                "common practice",
                "Find the coil whose own contact opens its way, and take that contact out.",
                (facts.orders(edge), "The coils chatter."),
            )
            break
    for edge in facts.edges:
        if len(edge.rest.states) > 1:
            one, *others = edge.rest.states
            torn = [tag for tag in panel.coils if any(panel.is_on(tag, one) != panel.is_on(tag, s) for s in others)]
            torn = torn or [tag for tag in panel.coils if panel.devices[tag].spec.timed]  # their times differ alone
            yield finding(
                "race",
                "advice",
                f"What {' and '.join(torn)} {'does' if len(torn) == 1 else 'do'} hangs on which relay is quicker.",
                "; ".join(places.load(tag) for tag in torn),
                "common practice: an outcome should not depend on the speed of relays",
                "If it matters which comes in, open the way of one with an NC contact of the other's button.",
                (facts.orders(edge), "There is more than one outcome."),
            )
            break
