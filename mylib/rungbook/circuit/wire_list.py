"""`read_wires`: a wire list written by hand becomes the network it makes; `loose_ends` tells what looks forgotten.

Terminals joined by wires are one node (union and find). What a person has pulled is taken as it is: nothing here asks
whether the circuit makes sense.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Iterable
from dataclasses import replace

from rungbook.circuit.parts import INPUTS, LOAD_TERMINALS, Contact, Load
from rungbook.circuit.wires import LEFT_RAIL, RIGHT_RAIL, Wired
from rungbook.circuit.wiring import MAX_ON_TERMINAL, SUPPLY, Wire
from rungbook.errors import LadderError
from rungbook.kit import KIND_OF_LETTER, KINDS, ContactBlock, Fitted, Kit, contact_kind

MAX_WIRES = 2000
_FORMS = ("Wire('X1', 'S1:11')", "('X1', 'S1:11')")


class _Net:
    """A checked wire list: its wires, its terminals in order of appearance, and the node of each."""

    def __init__(self, wires: Iterable[Wire | tuple[str, str]], kit: Kit) -> None:
        self.kit = kit
        self.wires = _records(wires)
        self.place: dict[str, int] = {}  # terminal -> place in order of appearance; the supply first
        for terminal in (*SUPPLY.values(), *(end for wire in self.wires for end in (wire.start, wire.end))):
            self.place.setdefault(terminal, len(self.place))
        for number, wire in enumerate(self.wires, 1):
            for terminal in (wire.start, wire.end):
                _check_terminal(f"Wire {number}", terminal, kit)
            if wire.start == wire.end:
                raise LadderError(f"Wire {number}", "ends on the terminal it starts from", wire.start)
        on = Counter(end for wire in self.wires for end in (wire.start, wire.end))
        for terminal, count in on.items():
            if count > MAX_ON_TERMINAL:
                rule = f"at most {MAX_ON_TERMINAL} wires on a terminal; go on from the far end of one of them"
                raise LadderError(f"Terminal {terminal}", rule, count)
        self._add_bare_commons()
        self._parent = {terminal: terminal for terminal in self.place}
        for wire in self.wires:
            self._parent[self.root(wire.start)] = self.root(wire.end)
        if self.root(SUPPLY[LEFT_RAIL]) == self.root(SUPPLY[RIGHT_RAIL]):
            path = " – ".join(self._path(SUPPLY[LEFT_RAIL], SUPPLY[RIGHT_RAIL]))
            raise LadderError("Wire list", f"the wires alone short the supply: {path}")

    def _add_bare_commons(self) -> None:
        """Add each common terminal without a wire if both contacts beyond it have one: it joins the two."""
        for tag, fitted in self.kit.devices.items():
            beyond: dict[str, list[int]] = {}
            for block in _contacts(tag, fitted):
                common, outer = (f"{tag}:{end}" for end in block.ends)
                if outer in self.place:
                    beyond.setdefault(common, []).append(self.place[outer])
            for common, places in beyond.items():
                if len(places) > 1:
                    self.place.setdefault(common, max(places))

    def root(self, terminal: str) -> str:
        while self._parent[terminal] != terminal:
            self._parent[terminal] = self._parent[self._parent[terminal]]
            terminal = self._parent[terminal]
        return terminal

    def _path(self, start: str, end: str) -> list[str]:
        """The terminals along the fewest wires from `start` to `end`."""
        beside: dict[str, list[str]] = {}
        for wire in self.wires:
            beside.setdefault(wire.start, []).append(wire.end)
            beside.setdefault(wire.end, []).append(wire.start)
        before = {start: start}
        waiting = deque([start])
        while waiting:
            here = waiting.popleft()
            for there in beside.get(here, ()):
                if there not in before:
                    before[there] = here
                    waiting.append(there)
        path = [end]
        while path[-1] != start:
            path.append(before[path[-1]])
        return path[::-1]

    def items(self) -> list[tuple[Contact | Load, str, str]]:
        """Every contact and load of the kit with its two terminals, wired or not."""
        found: list[tuple[Contact | Load, str, str]] = []
        for tag, fitted in self.kit.devices.items():
            if fitted.load:
                left, right = fitted.model.supply
                found.append((Load(tag, fitted.load), f"{tag}:{left}", f"{tag}:{right}"))
            for kind, (left, right) in _inputs(fitted):
                found.append((Load(tag, kind), f"{tag}:{left}", f"{tag}:{right}"))
            for block in _contacts(tag, fitted):
                known = block.terminals if contact_kind(block.terminals) else ""
                left, right = block.ends
                found.append((Contact(tag, block.kind, known), f"{tag}:{left}", f"{tag}:{right}"))
        return found


def read_wires(wires: Iterable[Wire | tuple[str, str]], kit: Kit) -> tuple[Wired, ...]:
    """Return the contacts and loads that `wires` connect on both sides, with their nodes, in order of appearance.

    wires: `Wire` records or pairs of terminals such as ("X1", "S1:11"). Nodes: 1 is X1, 2 is X2, the others 3, 4, …
    as they appear. `left` is the end nearer to X1, counted in contacts and loads.

    Raises LadderError if an entry is no wire, there are more than 2000, a terminal is none of this kit's coils, lamps
    and contacts (the legal ones are listed), a wire ends where it starts, more than two wires are on one terminal,
    the wires alone short the supply (the path is named), or a coil has one side wired, or none though its contacts
    are in use.
    """
    net = _Net(wires, kit)
    numbers = {net.root(terminal): node for node, terminal in SUPPLY.items()}
    for terminal in net.place:
        numbers.setdefault(net.root(terminal), len(numbers) + 1)
    found: list[tuple[int, Wired]] = []
    used = {terminal.partition(":")[0] for terminal in net.place}
    for item, left, right in net.items():
        there = [end for end in (left, right) if end in net.place]
        if isinstance(item, Load) and item.kind == "coil" and item.device in used and len(there) < 2:
            missing = " and ".join(end for end in (left, right) if end not in there)
            raise LadderError(f"Coil {item.device}", f"is not connected: no wire on {missing}")
        if len(there) == 2:
            terminals = "-".join(end.partition(":")[2] for end in (left, right))
            named = replace(item, terminals=terminals) if isinstance(item, Load) else item
            ends = numbers[net.root(left)], numbers[net.root(right)]
            found.append((max(net.place[left], net.place[right]), Wired(named, *ends)))
    found.sort(key=lambda pair: pair[0])
    return _turned(wired for _, wired in found)


def loose_ends(wires: Iterable[Wire | tuple[str, str]], kit: Kit) -> tuple[str, ...]:
    """Return what looks forgotten, a sentence each; empty if nothing does.

    Contacts and lamps wired on one side only (they carry nothing and are no part of the network), two wires beside
    each other, and wire numbers that stand for two nodes, or two on one node. Raises LadderError as `read_wires`.
    """
    net = _Net(wires, kit)
    read_wires(net.wires, kit)
    items = net.items()
    whole = {end for _, left, right in items if left in net.place and right in net.place for end in (left, right)}
    found: list[str] = []
    for item, left, right in items:
        for here, other in ((left, right), (right, left)):
            if here in net.place and here not in whole:
                word = "contact" if isinstance(item, Contact) else item.kind
                found.append(f"A {word} is wired on one side only: {here} has a wire, {other} has none.")
    for ends, count in Counter(frozenset((wire.start, wire.end)) for wire in net.wires).items():
        if count > 1:
            found.append(f"Two wires lie beside each other: {' – '.join(sorted(ends))}.")
    nodes: dict[int, set[str]] = {}
    numbers: dict[str, set[int]] = {}
    for wire in net.wires:
        if wire.number:
            nodes.setdefault(wire.number, set()).add(net.root(wire.start))
            numbers.setdefault(net.root(wire.start), set()).add(wire.number)
    for number, roots in nodes.items():
        if len(roots) > 1:
            found.append(f"Wire number {number} stands on {len(roots)} nodes that no wire joins.")
    for given in numbers.values():
        if len(given) > 1:
            found.append(f"One node has the wire numbers {', '.join(map(str, sorted(given)))}.")
    return tuple(dict.fromkeys(found))


def _records(wires: Iterable[Wire | tuple[str, str]]) -> tuple[Wire, ...]:
    if isinstance(wires, str) or not isinstance(wires, Iterable):
        raise LadderError("Wire list", "is a list of wires", wires, _FORMS)
    found: list[Wire] = []
    for entry in wires:
        pair = (entry.start, entry.end) if isinstance(entry, Wire) else entry
        if not isinstance(pair, tuple | list) or len(pair) != 2 or not all(isinstance(end, str) for end in pair):
            raise LadderError(f"Wire {len(found) + 1}", "goes from one terminal to another", entry, _FORMS)
        found.append(entry if isinstance(entry, Wire) else Wire(*pair))
        if len(found) > MAX_WIRES:
            raise LadderError("Wire list", f"at most {MAX_WIRES} wires")
    return tuple(found)


def _contacts(tag: str, fitted: Fitted) -> tuple[ContactBlock, ...]:
    """The contacts that a `Contact` can stand for: those of a device whose letter is one of devices with contacts."""
    return fitted.contacts if KINDS[KIND_OF_LETTER[tag[0]]].closed else ()


def _inputs(fitted: Fitted) -> list[tuple[str, list[str]]]:
    """Further inputs of a timer or counter: kind of load, and its two terminals."""
    pairs = [(kind, LOAD_TERMINALS[kind].split("-")) for kind in INPUTS]
    return [(kind, ends) for kind, ends in pairs if fitted.load == "coil" and set(ends) <= set(fitted.terminals)]


def _check_terminal(thing: str, terminal: str, kit: Kit) -> None:
    if terminal in SUPPLY.values():
        return
    tag, _, end = terminal.partition(":")
    if tag not in kit.devices:
        choices = (*SUPPLY.values(), *(f"{name}:…" for name in kit.devices))
        raise LadderError(thing, f"no terminal {terminal[:40]} in the kit {kit.name!r}", terminal, choices)
    fitted = kit.devices[tag]
    legal = list(fitted.model.supply) if fitted.load else []
    legal += [end for _, ends in _inputs(fitted) for end in ends]
    legal += [end for block in _contacts(tag, fitted) for end in block.ends]
    if end not in legal:
        rule = f"no terminal {terminal[:40]} in the kit {kit.name!r}"
        if end in fitted.terminals:
            rule = f"{terminal} belongs to no coil, lamp or contact, so it is no part of a control circuit here"
        raise LadderError(thing, rule, terminal, tuple(f"{tag}:{end}" for end in dict.fromkeys(legal)))


def _turned(items: Iterable[Wired]) -> tuple[Wired, ...]:
    """The same items, each with the end nearer to the left rail on its left."""
    whole = tuple(items)
    beside: dict[int, list[int]] = {}
    for wired in whole:
        beside.setdefault(wired.left, []).append(wired.right)
        beside.setdefault(wired.right, []).append(wired.left)
    far = {LEFT_RAIL: 0}
    waiting = deque([LEFT_RAIL])
    while waiting:
        here = waiting.popleft()
        if here == RIGHT_RAIL:
            continue
        for there in beside.get(here, ()):
            if there not in far:
                far[there] = far[here] + 1
                waiting.append(there)
    end = len(whole) + 1
    far[RIGHT_RAIL] = end  # the far rail is right of everything
    return tuple(
        replace(wired, left=wired.right, right=wired.left, turned=not wired.turned)
        if far.get(wired.right, end) < far.get(wired.left, end)
        else wired
        for wired in whole
    )
