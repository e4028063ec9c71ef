"""Every single mistake that one can make with the wires of the power side: left out, exchanged, at a wrong place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from rungbook.circuit.power import LINES
from rungbook.circuit.power_wires import PE, MainWire, PowerWiring

#: kinds of mistake, the commonest first (common practice)
KINDS = ("missing wire", "exchanged wires", "wrong terminal")


@dataclass(frozen=True)
class MainMistake:
    """One mistake. kind: one of `KINDS`. told: a sentence. wires: the wire list as it then is."""

    kind: str
    told: str
    wires: tuple[MainWire, ...]


def main_mistakes(wiring: PowerWiring) -> tuple[MainMistake, ...]:
    """Return every single mistake of the power side's wire list that makes another circuit, the commonest kinds first.

    missing wire: one wire left out, or loose: a missing pole. exchanged wires: on one device, motor or on the supply,
    a wire of one terminal and a wire of another, or all wires of the two, have changed places: two lines swapped. wrong
    terminal: one end of one wire on another terminal of the same device. Two wires exchanged at both their ends make
    the same circuit, so they are no mistake but for their numbers. A wire that passes a pole of an overload relay by
    leaves a motor unprotected, and no ohmmeter tells it: one must look.
    """
    wires = wiring.wires
    found = [
        MainMistake(KINDS[0], f"Wire {w.node} from {w.start} to {w.end} is missing or loose.", _without(wires, n))
        for n, w in enumerate(wires)
    ]
    places = [(PE, LINES), *((part.tag, part.terminals) for part in wiring.parts)]
    for name, terminals in places:
        found += _exchanged(wires, "the supply" if name == PE else name, terminals)
    for n, one in enumerate(wires):
        for end in ("start", "end"):
            right = getattr(one, end)
            beside = next((ends for _, ends in places if right in ends), ())
            same = _joined(_without(wires, n), right)
            for wrong in beside:
                moved = _moved(one, end, wrong)
                if moved.start != moved.end and wrong not in same:
                    told = f"Wire {one.node} is on {wrong} instead of {right}."
                    found.append(MainMistake(KINDS[2], told, (*wires[:n], moved, *wires[n + 1 :])))
    return tuple(found)


def _exchanged(wires: tuple[MainWire, ...], name: str, terminals: tuple[str, ...]) -> Iterator[MainMistake]:
    ends = {
        terminal: [
            (n, side) for n, one in enumerate(wires) for side in ("start", "end") if getattr(one, side) == terminal
        ]
        for terminal in terminals
    }
    seen = {_circuit(wires)}
    for one, other in combinations(terminals, 2):
        if not ends[one] or not ends[other]:
            continue
        whole = [(ends[one], ends[other])]
        each = [([a], [b]) for a in ends[one] for b in ends[other]] if len(ends[one]) + len(ends[other]) > 2 else []
        for here, there in (*whole, *each):
            swapped = list(wires)
            for places, terminal in ((here, other), (there, one)):
                for n, side in places:
                    swapped[n] = _moved(swapped[n], side, terminal)
            made = tuple(swapped)
            if any(wire.start == wire.end for wire in made) or _circuit(made) in seen:
                continue
            seen.add(_circuit(made))
            which = " and ".join(dict.fromkeys(wires[n].node for n, _ in (here[0], there[0])))
            ends_told = f"{one} and {other.removeprefix(one.partition(':')[0] + ':')}"
            if (here, there) == whole[0]:
                told = f"Wires {which} are exchanged at {name}: {ends_told}."
            else:
                runs = [wires[n] for n, _ in (here[0], there[0])]
                each_told = " and ".join(f"{run.start} – {run.end}" for run in runs)
                told = f"Two wires are exchanged at {name}, {ends_told}: {each_told}."
            yield MainMistake(KINDS[1], told, made)


def _circuit(wires: tuple[MainWire, ...]) -> frozenset[frozenset[str]]:
    """What the wires join, whatever their way."""
    nodes: list[set[str]] = []
    for one in wires:
        meeting = [node for node in nodes if node & {one.start, one.end}]
        nodes = [node for node in nodes if node not in meeting]
        nodes.append({one.start, one.end}.union(*meeting))
    return frozenset(map(frozenset, nodes))


def _moved(one: MainWire, side: str, terminal: str) -> MainWire:
    return replace(one, start=terminal) if side == "start" else replace(one, end=terminal)


def _without(wires: tuple[MainWire, ...], n: int) -> tuple[MainWire, ...]:
    return (*wires[:n], *wires[n + 1 :])


def _joined(wires: tuple[MainWire, ...], terminal: str) -> frozenset[str]:
    """The terminals that `wires` join to `terminal`: for a further wire they are one place."""
    return next((node for node in _circuit(wires) if terminal in node), frozenset({terminal}))
