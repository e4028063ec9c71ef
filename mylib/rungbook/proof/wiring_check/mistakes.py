"""Every single mistake that one can make with a wire list: a wire left out, or at a wrong place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from rungbook.circuit.wiring import Wire, Wiring
from rungbook.kit import Fitted
from rungbook.kit.models import ContactBlock

#: kinds of mistake, the commonest first (common practice)
KINDS = ("missing wire", "wrong terminal", "wrong contact", "wrong device")


@dataclass(frozen=True)
class Mistake:
    """One mistake. kind: one of `KINDS`. told: a sentence. wires: the wire list as it then is."""

    kind: str
    told: str
    wires: tuple[Wire, ...]


def mistakes(wiring: Wiring) -> tuple[Mistake, ...]:
    """Return every single mistake of the wire list, the commonest kinds first.

    missing wire: one wire left out, or loose. wrong terminal: one end of one wire on another terminal of the same
    device, or on the same terminal of another device of that model, unless wires join the two terminals. wrong contact:
    both wires of a contact on another contact of that device, such as NC for NO. wrong device: a contact or load taken
    from another device of that model.
    """
    wires = wiring.wires
    used = list(dict.fromkeys(item.item.device for item in wiring.items))
    found = [
        Mistake(
            KINDS[0], f"Wire {w.number} from {w.start} to {w.end} is missing or loose.", (*wires[:n], *wires[n + 1 :])
        )
        for n, w in enumerate(wires)
    ]
    for n, w in enumerate(wires):
        for end in ("start", "end"):
            right = getattr(w, end)
            for wrong in _others(wiring, used, right):
                moved = replace(w, start=wrong) if end == "start" else replace(w, end=wrong)
                if moved.start != moved.end and wrong not in _joined([*wires[:n], *wires[n + 1 :]], right):
                    told = f"Wire {w.number} is on {wrong} instead of {right}."
                    found.append(Mistake(KINDS[1], told, (*wires[:n], moved, *wires[n + 1 :])))
    for tag in used:
        found += _wrong_contacts(wiring, tag)
    for place, tag in enumerate(used):
        found += [_exchanged(wiring, tag, other) for other in used[place + 1 :] if _alike(wiring, tag, other)]
    return tuple(found)


def _others(wiring: Wiring, used: list[str], terminal: str) -> Iterator[str]:
    """Terminals on which a wire for `terminal` could end by mistake."""
    tag, _, end = terminal.partition(":")
    if not end:
        yield {"X1": "X2", "X2": "X1"}[terminal]
        return
    control = _control_ends(wiring.kit.devices[tag])
    yield from (f"{tag}:{other}" for other in control if other != end)
    for other in used:
        if other != tag and end in _control_ends(wiring.kit.devices[other]) and _alike(wiring, tag, other):
            yield f"{other}:{end}"


def _joined(wires: list[Wire], terminal: str) -> set[str]:
    """The terminals that `wires` join to `terminal`: for a further wire they are one place."""
    found = {terminal}
    while grown := {end for one in wires if {one.start, one.end} & found for end in (one.start, one.end)} - found:
        found |= grown
    return found


def _control_ends(fitted: Fitted) -> tuple[str, ...]:
    """The terminals of a device that belong to the control circuit."""
    supply = fitted.model.supply if fitted.load else ()
    return tuple(dict.fromkeys((*supply, *(end for block in fitted.contacts for end in block.ends))))


def _alike(wiring: Wiring, tag: str, other: str) -> bool:
    return wiring.kit.devices[tag].model == wiring.kit.devices[other].model


def _wrong_contacts(wiring: Wiring, tag: str) -> Iterator[Mistake]:
    """Both wires of a contact of `tag` on another contact that is free."""
    blocks = wiring.kit.devices[tag].contacts
    mine = {one.item.terminals for one in wiring.items if one.item.device == tag}
    for block in blocks:
        if block.terminals not in mine:
            continue
        for other in blocks:
            if other.terminals not in mine and not set(other.ends) & _ends_of(blocks, mine):
                swap = {f"{tag}:{a}": f"{tag}:{b}" for a, b in zip(block.ends, other.ends, strict=True)}
                told = f"Contact {tag}:{block.terminals} ({block.kind}) is wired on {other.terminals} ({other.kind})."
                yield Mistake(KINDS[2], told, _renamed(wiring.wires, swap))


def _ends_of(blocks: tuple[ContactBlock, ...], pairs: set[str]) -> set[str]:
    return {end for block in blocks if block.terminals in pairs for end in block.ends}


def _exchanged(wiring: Wiring, tag: str, other: str) -> Mistake:
    """Every wire of `tag` on `other`, and the other way round."""
    swap = {
        f"{one}:{end}": f"{two}:{end}"
        for one, two in ((tag, other), (other, tag))
        for end in wiring.kit.devices[one].terminals
    }
    return Mistake(KINDS[3], f"{tag} and {other} are exchanged.", _renamed(wiring.wires, swap))


def _renamed(wires: tuple[Wire, ...], swap: dict[str, str]) -> tuple[Wire, ...]:
    return tuple(replace(one, start=swap.get(one.start, one.start), end=swap.get(one.end, one.end)) for one in wires)
