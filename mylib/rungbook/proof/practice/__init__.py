"""`review`: a circuit held against good practice, each finding with its place, its rule and what to do.

Enters: a `Ladder`, or a `Board` as it is wired. Leaves: a `Review`, findings worst first. Not decided here: stop
category, utilisation category, guards of the machine, anything in the power circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import chain

from rungbook.behaviour import Board, Panel
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.timed_panel import TimedPanel, works_in_time
from rungbook.circuit import RIGHT_RAIL, Contact, Ladder, Wired, wire_numbers
from rungbook.errors import LadderError
from rungbook.proof.explore import TooMany
from rungbook.proof.practice import colours, needless, stops
from rungbook.proof.practice.facts import Facts, Places, finding
from rungbook.proof.practice.finding import SEVERITIES, PracticeFinding, Review, Severity
from rungbook.proof.rules import AnyPanel

MAX_REVIEWED = 10_000  # reachable states
MAX_COMPARED = 200_000  # reachable states times contacts, above which needless contacts are not looked for

Pairs = Iterable[tuple[str, str]]


def review(
    circuit: Ladder | Board,
    *,
    never_together: Pairs = (),
    not_asked: Iterable[str] = (),
    limit: int = MAX_REVIEWED,
) -> Review:
    """Hold `circuit` against good practice, over all sequences of bench orders.

    circuit: a ladder, with the panel that it declares, or a board. Of a board every check is made but those that
    change the circuit (stop by opening, needless and doubled contacts, unused devices). never_together: pairs of
    contactors that must never be in together, such as ("Q1", "Q2"). not_asked: devices of the panel that this circuit
    need not use yet, such as an emergency stop that is wired in a later exercise; one that is used is judged. limit:
    reachable states; above it the checks of behaviour are left undecided and the others made.

    With timers and counters orders are given at any instant (`proof.timed`), `limit` counts states with their times,
    and what comes in by itself when a time has run out is found too. Needless contacts are then not looked for, which
    the review says. A device that works by a program of its own leaves behaviour undecided.

    Raises LadderError if `circuit` is neither, a ladder is not valid, a pair is no two coils of the circuit, or
    `not_asked` names a device that is not on the panel.
    """
    if not isinstance(circuit, Ladder | Board):
        raise LadderError("review", "works on a Ladder or a Board", circuit, ("Ladder('title')",))
    if isinstance(circuit, Ladder):
        circuit.validate()
        rungs = tuple(rung.items for rung in wire_numbers(circuit))
    else:
        rungs = (circuit.items,)
    pairs = _checked(never_together, rungs)
    later = _not_asked(circuit, not_asked)
    places = Places(rungs, numbered=isinstance(circuit, Ladder))
    found = list(_grounded(rungs, places))
    undecided: list[str] = []
    left: list[str] = []
    try:
        facts = Facts(_panel(circuit, later), limit)
    except (TooMany, LadderError) as reason:
        undecided.append(f"everything about behaviour: {str(reason).rstrip('.')}; an instructor will look.")
    else:
        try:
            for one in _behaviour(facts, places, circuit, pairs, rungs):
                found.append(one)  # one by one: what is found before a limit is kept
        except TooMany as reason:
            undecided.append(f"the rest about behaviour: {reason}; an instructor will look.")
        if isinstance(circuit, Ladder):
            try:
                found += _structure(circuit, facts, places, limit)
            except TooMany as reason:
                undecided.append(f"what a broken wire or a contact less would do: {reason}; an instructor will look.")
            found += _without(circuit, facts, places, limit, undecided, left)
    if isinstance(circuit, Ladder):
        found += needless.unused_devices(circuit, later)
    found.sort(key=lambda one: SEVERITIES.index(one.severity))  # stable: the order of the checks within
    return Review(circuit.title, tuple(found), tuple(undecided), tuple(left))


def _panel(circuit: Ladder | Board, later: frozenset[str]) -> AnyPanel:
    """The devices that are used, and emergency stops that are not but are asked: to move any other changes nothing."""
    if isinstance(circuit, Board):
        return BoardPanel(circuit)
    there = (device for device in circuit.declared or () if device.tag not in later)
    stops_too = tuple(device for device in there if device.kind == "emergency stop")
    return TimedPanel(circuit, stops_too) if works_in_time(circuit, stops_too) else Panel(circuit, stops_too)


def _not_asked(circuit: Ladder | Board, tags: Iterable[str]) -> frozenset[str]:
    """Those of `tags` that the circuit does not use."""
    if isinstance(tags, str):
        tags = (tags,)
    known = dict(circuit.devices)
    if isinstance(circuit, Ladder):
        known |= {device.tag: device for device in circuit.declared or ()}
    wanted = frozenset(tags)
    for tag in sorted(wanted):
        if tag not in known:
            raise LadderError("review", f"not_asked: no device {tag} on this panel", tag, tuple(known))
    return wanted - set(circuit.devices)


def _checked(pairs: Pairs, rungs: tuple[tuple[Wired, ...], ...]) -> tuple[tuple[str, str], ...]:
    loads = [one.item for one in chain(*rungs) if not isinstance(one.item, Contact)]
    coils = tuple(load.device for load in loads if load.kind == "coil")
    checked = []
    for pair in pairs:
        if not isinstance(pair, tuple | list) or len(pair) != 2 or any(tag not in coils for tag in pair):
            raise LadderError("review", "never_together takes pairs of coils of this circuit", pair, coils)
        checked.append((pair[0], pair[1]))
    return tuple(checked)


def _grounded(rungs: tuple[tuple[Wired, ...], ...], places: Places) -> Iterator[PracticeFinding]:
    """Each load has one end on the grounded conductor: true of every ladder, asked of wired items."""
    for wired in chain(*rungs):
        if not isinstance(wired.item, Contact) and RIGHT_RAIL not in (wired.left, wired.right):
            yield finding(
                "grounded conductor",
                "fault",
                f"{wired.item.name} is not connected to the grounded conductor; an earth fault may then switch it on.",
                places.load(wired.item.name),
                "IEC 60204-1, 9.4.3; NFPA 79, 9.4.3 (both from memory)",
                f"Connect one end of {wired.item.name} to the grounded conductor; put every contact on its other side.",
            )


def _behaviour(
    facts: Facts,
    places: Places,
    circuit: Ladder | Board,
    pairs: tuple[tuple[str, str], ...],
    rungs: tuple[tuple[Wired, ...], ...],
) -> Iterator[PracticeFinding]:
    loads = [one.item for one in chain(*rungs) if not isinstance(one.item, Contact)]
    lenses = {load.device: load.colour or circuit.devices[load.device].colour for load in loads}
    yield from stops.emergency_stops(facts, places)
    yield from stops.kept_apart(facts, places, pairs)
    yield from stops.automatic_restart(facts, places)
    yield from stops.overload_contacts(facts, places)
    yield from stops.unsteady(facts, places)
    yield from colours.button_colours(facts, places)
    yield from colours.lamp_colours(facts, places, lenses)
    yield from needless.never_on(facts, places)
    yield from needless.twin_lamps(facts, places)


def _structure(ladder: Ladder, facts: Facts, places: Places, limit: int) -> list[PracticeFinding]:
    return list(stops.stops_by_closing(facts, places, _cutter(ladder, facts, limit)))


def _cutter(ladder: Ladder, facts: Facts, limit: int) -> Callable[[str], Facts]:
    """A function: designation -> the circuit with every contact of that device open for good."""

    def cut(tag: str) -> Facts:
        mine = {id(c): False for rung in ladder.rungs for c in rung.all_contacts() if c.device == tag}
        broken, devices = needless.changed(ladder, mine), facts.panel.devices.values()
        if isinstance(facts.panel, TimedPanel):
            return Facts(TimedPanel(broken, devices), limit, facts.deadline)
        return Facts(Panel(broken, devices), limit)

    return cut


def _without(
    ladder: Ladder, facts: Facts, places: Places, limit: int, undecided: list[str], left: list[str]
) -> list[PracticeFinding]:
    doubled = list(needless.doubled_contacts(ladder, places))
    found = [one for _, one in doubled]
    contacts = sum(len(rung.all_contacts()) for rung in ladder.rungs)
    twice = {(contact.device, contact.kind) for contact, _ in doubled}
    spared = {
        id(contact)
        for rung in ladder.rungs
        for contact in rung.all_contacts()
        if (contact.device, contact.kind) in twice
    }
    if isinstance(facts.panel, TimedPanel):
        left.append("needless contacts: the circuit has a timer or a counter.")
    elif len(facts.live) * contacts > MAX_COMPARED:
        undecided.append(f"needless contacts: {len(facts.live)} states and {contacts} contacts are too many.")
    else:
        try:
            found += needless.needless_contacts(ladder, facts, places, limit, spared)
        except TooMany as reason:
            undecided.append(f"needless contacts: {reason}")
    return found


__all__ = ["MAX_REVIEWED", "SEVERITIES", "PracticeFinding", "Review", "Severity", "review"]
