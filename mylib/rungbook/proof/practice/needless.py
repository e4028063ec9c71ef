"""What a circuit could do without: unused devices, loads that never come on, needless and doubled contacts, twin lamps.

A contact is needless if the ladder without it (bridged, or left out) does the same on every load in every case.
Contacts that guard are spared, since they earn their place when another device fails: contacts of contactors, overload
relays, motor starters, and emergency stops that are closed at rest, before a coil.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from rungbook.behaviour import Panel, conducts
from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.circuit import NC, NO, Contact, Ladder, Parallel, Part, Series
from rungbook.kit import ALL_KINDS
from rungbook.proof.compare import compare
from rungbook.proof.explore import TooMany
from rungbook.proof.practice.facts import Facts, Places, finding
from rungbook.proof.practice.finding import PracticeFinding

_PRACTICE = "common practice: what does nothing is one more thing to fail"
_GUARDS = ("contactor", "overload relay", "manual motor starter", "emergency stop")


def changed(ladder: Ladder, values: dict[int, bool]) -> Ladder:
    """A copy of `ladder` in which contacts are held closed (True) or open (False), by their `id`.

    A contact that rungs share is held in all of them. A way that is open for good becomes two contacts of one device
    that are never closed together.
    """
    contacts = [one for rung in ladder.rungs for one in rung.all_contacts()]
    named = {(one.device, one.terminals): values[id(one)] for one in contacts if one.terminals and id(one) in values}
    values = values | {
        id(one): named[one.device, one.terminals] for one in contacts if (one.device, one.terminals) in named
    }
    copy = Ladder(ladder.title, ladder.declared)
    for rung in ladder.rungs:
        way = True if rung.contacts is None else _changed(rung.contacts, values)
        if way is False:
            tag = rung.all_contacts()[0].device
            way = NO(tag) & NC(tag)
        copy.rung(*(() if way is True else (way,)), *rung.loads, note=rung.note)
    return copy


def _changed(part: Part, values: dict[int, bool]) -> Part | bool:
    if isinstance(part, Contact):
        return values.get(id(part), part)
    assert isinstance(part, Series | Parallel)
    series = isinstance(part, Series)
    kept: list[Part] = []
    for inner in part.parts:
        new = _changed(inner, values)
        if new is (not series):
            return not series
        if isinstance(new, Part):
            kept.append(new)
    if not kept:
        return series
    whole = kept[0]
    for new in kept[1:]:
        whole = whole & new if series else whole | new
    return whole


def doubled_contacts(ladder: Ladder, places: Places) -> Iterator[tuple[Contact, PracticeFinding]]:
    """Contacts that stand beside, or in series with, one of the same device that closes in the same positions."""
    for rung in ladder.rungs:
        for group in _groups(rung.contacts):
            seen: dict[tuple[str, frozenset[str], bool], Contact] = {}
            for contact in (inner for inner in group.parts if isinstance(inner, Contact)):
                spec = ladder.devices[contact.device].spec
                quick = spec.timed and not is_timed_contact(contact)
                key = contact.device, spec.closed_in(contact.kind, contact.terminals), quick
                if key in seen:
                    how = "in series with" if isinstance(group, Series) else "in parallel with"
                    yield (
                        contact,
                        finding(
                            "doubled contact",
                            "advice",
                            f"{contact.kind} {contact.device} stands twice, {how} itself.",
                            f"{places.contact(seen[key])}; {places.contact(contact)}",
                            _PRACTICE,
                            "Take one of the two out.",
                        ),
                    )
                seen.setdefault(key, contact)


def _groups(part: Part | None) -> Iterator[Series | Parallel]:
    if isinstance(part, Series | Parallel):
        yield part
        for inner in part.parts:
            yield from _groups(inner)


def needless_contacts(
    ladder: Ladder, facts: Facts, places: Places, limit: int, spared: set[int]
) -> Iterator[PracticeFinding]:
    """Contacts whose removal changes nothing in any case. spared: `id` of contacts told of already.

    A ladder with a race or chatter asks nothing definite, so `compare` refuses it; there a contact is needless if it
    changes no way in any state, those passed through included. Raises TooMany if a comparison meets the limit.
    """
    panel = facts.panel
    assert isinstance(panel, Panel)
    unsteady = any(edge.rest.chatter or len(edge.rest.states) > 1 for edge in facts.edges)
    moments: set[int] = set()
    if unsteady:
        moments.update(*(panel.moments(edge.step, edge.before) for edge in facts.edges))
    told: set[tuple[str, str]] = set()
    for rung in ladder.rungs:
        on = [load.device for load in rung.loads if any(facts.pattern(load.device))]
        if not on:
            continue  # the whole rung does nothing; another check says so
        before_coil = any(load.kind == "coil" for load in rung.loads)
        for contact in rung.all_contacts():
            device = ladder.devices[contact.device]
            at_rest = device.spec.rest in device.spec.closed_in(contact.kind, contact.terminals)
            guards = before_coil and at_rest and device.kind in _GUARDS
            if id(contact) in spared or guards or (contact.device, contact.terminals) in told:
                continue
            if contact.terminals:
                told.add((contact.device, contact.terminals))  # the rungs below may share it
            for value, done in ((True, "bridged"), (False, "left out")):
                if unsteady:
                    same = all(_changes_no_way(panel, *one, value, moments) for one in _drawn(ladder, contact))
                else:
                    found = compare(changed(ladder, {id(contact): value}), ladder, limit=limit)
                    same = bool(found)
                    if found.outcome == "not decided":
                        raise TooMany(found.why)
                if not same:
                    continue
                yield finding(
                    "needless contact",
                    "advice",
                    f"{contact.kind} {contact.device} changes nothing: {done}, every load does the same in every case.",
                    places.contact(contact),
                    _PRACTICE,
                    "Take the contact out" + (", and join its ends." if value else ", and its branch with it."),
                )
                break


def _drawn(ladder: Ladder, contact: Contact) -> list[tuple[Part | None, Contact]]:
    """Each way in which `contact` is drawn, and the contact there: more than one if rungs share it."""
    return [
        (rung.contacts, one)
        for rung in ladder.rungs
        for one in rung.all_contacts()
        if one is contact or (one.terminals and one == contact)
    ]


def _changes_no_way(panel: Panel, way: Part | None, contact: Contact, value: bool, moments: set[int]) -> bool:
    """True if `way` conducts in the same of `moments` with `contact` held at `value`."""

    def conducts_at(moment: int, held: bool) -> int:
        return conducts(way, lambda one: int(value if held and one is contact else panel.is_closed(one, moment)))

    return all(conducts_at(moment, True) == conducts_at(moment, False) for moment in moments)


def never_on(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Loads that no sequence of orders brings on; nothing is said of a circuit that chatters."""
    if any(edge.rest.chatter for edge in facts.edges):
        return
    for tag in (*facts.panel.coils, *facts.panel.lamps):
        if not any(facts.pattern(tag)):
            word = "never pulls in" if tag in facts.panel.coils else "is never lit"
            yield finding(
                "never on",
                "fault",
                f"{tag} {word}, whatever is done.",
                places.load(tag),
                _PRACTICE,
                f"Look for contacts in the way of {tag} that are never closed together.",
            )


def twin_lamps(facts: Facts, places: Places) -> Iterator[PracticeFinding]:
    """Lamps that say the same as one above them in every case."""
    first: dict[tuple[bool, ...], str] = {}
    for tag in facts.panel.lamps:
        pattern = facts.pattern(tag)
        if pattern in first:
            yield finding(
                "twin lamps",
                "advice",
                f"{tag} says the same as {first[pattern]} in every case.",
                f"{places.load(first[pattern])}; {places.load(tag)}",
                _PRACTICE,
                f"Take {tag} out, or let it tell something else.",
            )
        elif any(pattern):
            first[pattern] = tag


def unused_devices(ladder: Ladder, later: Collection[str] = ()) -> Iterator[PracticeFinding]:
    """Declared devices with contacts or a coil or lens, of which nothing stands on a rung; but for those of `later`."""
    used = ladder.devices
    for device in ladder.declared or ():
        spec = ALL_KINDS[device.kind]
        if device.tag not in used and device.tag not in later and (spec.closed or spec.load):
            yield finding(
                "unused device",
                "advice",
                f"{device.name} is on the panel and on no rung.",
                device.tag,
                _PRACTICE,
                f"Wire {device.tag}, or take it off the panel.",
            )
