"""A ladder in words, complete enough to wire it by ear.

Each rung is read from the left rail to the right rail, wire by wire. A branch is numbered within its group, a branch
within a branch with a point: branch 2.1 is the first of a group in branch 2.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungbook.behaviour.clockwork import is_timed_contact
from rungbook.circuit import (
    LEFT_RAIL,
    RIGHT_RAIL,
    Contact,
    Ladder,
    Load,
    Parallel,
    Part,
    Series,
    Wired,
    WiredRung,
    shared_contacts,
    wire_numbers,
)
from rungbook.drawing.cells import colour_of
from rungbook.drawing.references import Reference, references
from rungbook.kit import Device
from rungbook.tables import listed

_KINDS = {"NO": "normally open", "NC": "normally closed"}
_TIMED = {"timer relay": "timed "}  # a counter's contact is told by its device
_LOADS = {"coil": "coil", "reset": "reset input", "down": "count-down input"}


@dataclass(frozen=True)
class _Terms:
    """What the parts of a ladder are called: a rung, and the rails that it begins and ends on."""

    rung: str
    first: str
    last: str


_TERMS = {
    "across": _Terms("rung", f"the left rail, wire {LEFT_RAIL}", f"the right rail, wire {RIGHT_RAIL}"),
    "down": _Terms("path", f"the top rail, wire {LEFT_RAIL}", f"the bottom rail, wire {RIGHT_RAIL}"),
}


def describe(
    ladder: Ladder, paths: str = "across", rungs: Sequence[int] | None = None, name: Callable[[int], str] = str
) -> str:
    """Return the description: a line on the whole, one line a rung, one line for each device with a coil.

    paths: "across" or "down", as drawn. rungs: numbers of the rungs that are told, on a page that shows some only;
    a device is then told with its coil, or, if that is nowhere, with its first contact. name: how a rung is named.
    """
    terms = _TERMS[paths]
    title = f"Ladder diagram {ladder.title!r}" if ladder.title.strip() else "Ladder diagram"
    rails = f"between {terms.first} (L), and {terms.last} (N)"
    if not ladder.rungs:
        return f"{title}, no {terms.rung}s yet {rails}."
    count = len(ladder.rungs)
    shown = range(1, count + 1) if rungs is None else rungs
    some = "" if len(shown) == count else f", of which {listed([str(n) for n in shown])} here"
    how = "" if paths == "across" else " that run from top to bottom, numbered from left to right,"
    said = [f"{title}: {count} {terms.rung}{'s' * (count > 1)}{some}{how} {rails}. All devices are shown at rest."]
    devices = ladder.devices
    wired = wire_numbers(ladder)
    for n in shown:
        rung = ladder.rungs[n - 1]
        note = f" Note: {rung.note}" if rung.note.strip() else ""
        said.append(f"{terms.rung.capitalize()} {n}: {_rung(rung.contacts, wired[n - 1], devices, terms)}.{note}")
    coils = {load.device: n for n, rung in enumerate(ladder.rungs, 1) for load in rung.loads if load.kind == "coil"}
    for tag, entries in references(ladder).items():
        if coils.get(tag, entries[0][0] if entries else 0) in shown:
            said.append(contacts_of(devices[tag], entries, tag in coils, terms.rung, name))
    for contact, rungs in shared_contacts(ladder).items():
        if set(rungs) & set(shown):
            where = f"{terms.rung}s {listed([name(n) for n in rungs])}"
            said.append(f"{contact.device} {contact.terminals} in {where} is one contact.")
    return "\n".join(said)


def describe_item(item: Contact | Load, device: Device) -> str:
    """Return e.g. "normally closed contact of push button S1 (stop, red), terminals 11-12"."""
    extra = ", ".join(filter(None, (device.label, colour_of(item, device))))
    name = f"{device.tag} ({extra})" if extra else device.tag
    if isinstance(item, Contact):
        timed = _TIMED.get(device.kind, "") if is_timed_contact(item) else ""
        words = f"{_KINDS[item.kind]} {timed}contact of {device.kind} {name}"
    elif item.kind in _LOADS:
        words = f"{_LOADS[item.kind]} of {device.kind} {name}"
    else:
        words = f"{device.kind} {name}"
    return f"{words}, terminals {item.terminals}" if item.terminals else words


def _rung(contacts: Part | None, wired: WiredRung, devices: Mapping[str, Device], terms: _Terms) -> str:
    said = [f"from {terms.first}"]
    if contacts is not None:
        said += _part(contacts, iter(wired.contacts), devices, "")
    loads = [describe_item(load.item, devices[load.item.device]) for load in wired.loads]
    if len(loads) == 1:
        return "; ".join([*said, f"{loads[0]}, to {terms.last}"])
    said.append(f"{len(loads)} loads in parallel from wire {wired.before_load} to {terms.last}")
    said += [f"load {n}: {words}" for n, words in enumerate(loads, 1)]
    return "; ".join(said)


def _part(part: Part, items: Iterator[Wired], devices: Mapping[str, Device], where: str) -> list[str]:
    """Clauses for `part`, in reading order. where: number of the branch it stands in, "" on the rung itself."""
    if isinstance(part, Series):
        return [clause for inner in part.parts for clause in _part(inner, items, devices, where)]
    if isinstance(part, Parallel):
        taken = [[next(items) for _ in range(inner.size)] for inner in part.parts]
        left, right = taken[0][0].left, _end(part.parts[0], taken[0])
        said = [f"{len(part.parts)} branches in parallel from wire {left} to wire {right}"]
        for n, (inner, own) in enumerate(zip(part.parts, taken, strict=True), 1):
            name = f"{where}{n}"
            first, *others = _part(inner, iter(own), devices, f"{name}.")
            said += [f"branch {name}: {first}", *others]
        return [*said, f"end of the {len(part.parts)} branches, at wire {right}"]
    wired = next(items)
    return [f"{describe_item(wired.item, devices[wired.item.device])}, to wire {wired.right}"]


def _end(part: Part, own: Sequence[Wired]) -> int:
    """Node at the right end of `part`, whose contacts are `own`."""
    if isinstance(part, Series):
        return _end(part.parts[-1], own[-part.parts[-1].size :])
    if isinstance(part, Parallel):
        return _end(part.parts[0], own[: part.parts[0].size])
    return own[-1].right


def contacts_of(
    device: Device,
    entries: tuple[Reference, ...],
    wound: bool,
    word: str,
    name: Callable[[int], str],
    whole: str = "in this ladder",
) -> str:
    """Return where the contacts of a device with a coil are.

    wound: its coil is there. word: "rung" or "path". name: how one is named. whole: where there are no others.
    """
    if not entries:
        return f"{device.tag} has no contacts {whole}."
    where = []
    for kind, words in _KINDS.items():
        rungs = Counter(rung for rung, found in entries if found == kind)
        if rungs:
            named = [f"{name(rung)} ({count} contacts)" if count > 1 else name(rung) for rung, count in rungs.items()]
            where.append(f"{words} on {word}{'s' * (len(rungs) > 1)} {listed(named)}")
    coil = "" if wound else f" The coil of {device.tag} is not {whole}."
    return f"Contacts of {device.tag}: {', '.join(where)}.{coil}"
