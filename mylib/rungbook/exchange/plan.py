"""From a ladder to variables and networks: what both written forms, and the scan, have in common.

Inputs. Each device that a person or the plant moves has one contact wired to one input, %IX0.0, %IX0.1, … in the order
of use. Which contact: the one that the ladder uses; if it uses both, the NC contact of an emergency stop and of what
protects (letter F), so that a broken wire acts as the stop, else the NO contact; `wired` says otherwise. The variable
has the device's designation. Where contacts on certain terminals close in positions of their own (selector), each
stands on an input of its own, named with its terminals: `S1_13_14`. The initial value of an input is what it reads at
rest.

Outputs. Coils of contactors and lamps are %QX0.0, %QX0.1, …; control relays are variables in the program, timers and
counters function blocks with a variable for each input, such as `K1_IN`, which is also their instantaneous contact.
A block is called after the last rung that feeds it. A counter is retained when the supply fails; everything else,
timers too, begins anew.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from rungbook.behaviour.clockwork import clock_of, is_timed_contact
from rungbook.behaviour.countwork import counter_of
from rungbook.circuit import Contact, Ladder, Load, Part, Rung, Series, check_input
from rungbook.errors import LadderError
from rungbook.exchange.composed import USES, Use
from rungbook.exchange.tree import Assign, Call, Declaration, Expr, Literal, Name, Op
from rungbook.kit import CounterSetting, Device, TimerSetting, parse_setting

PROGRAM = "CONTROL"
TRUE, FALSE = Literal(True, "BOOL"), Literal(False, "BOOL")
_PAIR = re.compile(r"([1-9][1-8])_([1-9][1-8])\Z")


@dataclass(frozen=True)
class Wiring:
    """What one input reads: variable `name`, `device`, its `contact`, and the positions in which it is closed."""

    name: str
    device: Device
    contact: Contact
    closed: frozenset[str]

    @property
    def at_rest(self) -> bool:
        """True if the input reads 1 while the device is at rest."""
        return self.device.spec.rest in self.closed

    @property
    def words(self) -> str:
        """Which contact, and what it reads when: "NC contact wired: 1 while released, 0 while pressed"."""
        ones = [word for word in self.device.spec.positions if word in self.closed]
        zeros = [word for word in self.device.spec.positions if word not in self.closed]
        parts = [f"{value} while {' or '.join(words)}" for value, words in ((1, ones), (0, zeros)) if words]
        if not self.at_rest:
            parts.reverse()
        pair = f" {self.contact.terminals}" if self.contact.terminals else ""
        return f"{self.contact.kind} contact{pair} wired: {', '.join(parts)}"


@dataclass(frozen=True)
class Network:
    """One rung as written: the variables that its loads are, and the calls that follow it. number: from 1.

    shared: variable that holds what the rung makes, if several loads hang on it, else "".
    """

    number: int
    rung: Rung
    targets: tuple[str, ...]
    shared: str = ""
    calls: tuple[Call, ...] = ()


@dataclass(frozen=True)
class Plan:
    """A ladder as variables and networks. blocks: designation -> how that timer or counter is written."""

    ladder: Ladder
    wiring: tuple[Wiring, ...]
    declarations: tuple[Declaration, ...]
    networks: tuple[Network, ...]
    blocks: Mapping[str, Use]
    _inputs: Mapping[Contact, tuple[str, bool]] = field(repr=False)

    def contact(self, contact: Contact) -> tuple[Name, bool]:
        """The variable that `contact` reads, and True if it reads the opposite of it."""
        if contact in self._inputs:
            name, opposite = self._inputs[contact]
            return Name(name), opposite
        opposite = contact.kind == "NC"
        use = self.blocks.get(contact.device)
        if use is None:
            return Name(contact.device), opposite
        if is_timed_contact(contact):
            return Name(contact.device, "Q"), opposite
        return Name(f"{contact.device}_{use.inputs['coil']}"), opposite

    def expression(self, part: Part | None) -> Expr:
        """What a way through contacts makes."""
        if part is None:
            return TRUE
        if isinstance(part, Contact):
            name, opposite = self.contact(part)
            return Op("NOT", (name,)) if opposite else name
        sign = "AND" if isinstance(part, Series) else "OR"
        return Op(sign, tuple(self.expression(inner) for inner in part.parts))  # type: ignore[attr-defined]

    def assigns(self, network: Network) -> list[Assign]:
        """The assignments of one rung."""
        value = self.expression(network.rung.contacts)
        if not network.shared:
            return [Assign(network.targets[0], value)]
        return [Assign(network.shared, value), *(Assign(name, Name(network.shared)) for name in network.targets)]


def plan(ladder: object, wired: Mapping[str, str] | None = None) -> Plan:
    """Return the `Plan` of `ladder`. wired: designation -> "NO" or "NC", the contact that stands on its input.

    Raises LadderError as `Ladder.validate`; if nothing is set on a timer or counter; if a device works by a program of
    its own (soft starter, drive); if both kinds of contact of a device are used that are not each other's opposite
    (fuse); or if `wired` names no device with an input, or neither "NO" nor "NC".
    """
    if not isinstance(ladder, Ladder):
        raise LadderError("exchange", "writes a Ladder", ladder, ("Ladder('title')",))
    ladder.validate()
    devices = ladder.devices
    blocks = {tag: _use(devices[tag]) for tag in ladder.coils() if devices[tag].spec.timed}
    for tag, device in devices.items():
        if device.spec.timed and tag not in blocks:
            raise LadderError(f"Device {tag}", f"a {device.kind} works by a program of its own", device.kind)
    for rung in ladder.rungs:
        for load in rung.loads:
            check_input(load, devices[load.device])
    wiring, inputs = _wire_inputs(ladder, dict(wired or {}))
    networks = _networks(ladder, blocks)
    return Plan(ladder, wiring, _declare(ladder, wiring, networks, blocks), networks, blocks, inputs)


def _use(device: Device) -> Use:
    setting = parse_setting(device)
    if isinstance(setting, TimerSetting):
        return USES[setting.function]
    if isinstance(setting, CounterSetting):
        return USES[setting.direction]
    if device.kind == "counter":
        counter_of(device)  # says that no count is set
    if device.kind == "timer relay":
        clock_of(device)
    raise LadderError(f"Device {device.tag}", f"a {device.kind} works by a program of its own", device.kind)


# -- inputs ------------------------------------------------------------------------------------------------------------


def _wire_inputs(ladder: Ladder, wired: dict[str, str]) -> tuple[tuple[Wiring, ...], dict[Contact, tuple[str, bool]]]:
    used: dict[str, list[Contact]] = {}
    for rung in ladder.rungs:
        for contact in rung.all_contacts():
            if ladder.devices[contact.device].spec.operated:
                used.setdefault(contact.device, []).append(contact)
    for tag, kind in wired.items():
        if tag not in used:
            raise LadderError("wired", "names a device with contacts on an input", tag, tuple(used))
        if kind not in ("NO", "NC"):
            raise LadderError(f"wired, {tag}", "the contact on the input", kind, ("NO", "NC"))
    found: list[Wiring] = []
    inputs: dict[Contact, tuple[str, bool]] = {}
    for tag, contacts in used.items():
        device = ladder.devices[tag]
        plain = [one for one in contacts if one.terminals not in device.spec.chart]
        if plain:
            kind = wired.get(tag) or _usual(device, plain)
            closed = device.spec.closed_in(kind)
            found.append(Wiring(tag, device, Contact(tag, kind), closed))
            for one in plain:
                if one.kind != kind:
                    check_opposite(device)
                inputs[one] = tag, one.kind != kind
        for one in contacts:
            if one not in plain:
                name = f"{tag}_{one.terminals.replace('-', '_')}"
                found.append(Wiring(name, device, one, device.spec.chart[one.terminals]))
                inputs[one] = name, False
    return tuple(found), inputs


def _usual(device: Device, contacts: list[Contact]) -> str:
    kinds = {one.kind for one in contacts}
    if len(kinds) == 1:
        return kinds.pop()
    return "NC" if device.tag[0] == "F" or device.kind == "emergency stop" else "NO"


def check_opposite(device: Device) -> None:
    """Raise LadderError if one contact on an input cannot tell the NO and the NC contact of `device`."""
    make, break_ = device.spec.closed_in("NO"), device.spec.closed_in("NC")
    if make & break_ or make | break_ != set(device.spec.positions):
        rule = (
            f"its NO and its NC contact are not each other's opposite, so that one input of a {device.kind} is no help"
        )
        raise LadderError(f"Device {device.tag}", rule, choices=("contacts of one kind",))


def terminals_in(name: str, tag: str) -> str:
    """The terminals in the name of an input with a chart of its own: "13-14" for `S1_13_14`, else ""."""
    match = _PAIR.match(name.removeprefix(f"{tag}_"))
    return f"{match[1]}-{match[2]}" if match else ""


# -- networks ----------------------------------------------------------------------------------------------------------


def _target(load: Load, blocks: Mapping[str, Use]) -> str:
    use = blocks.get(load.device)
    return load.device if use is None else f"{load.device}_{use.inputs[load.kind]}"


def _networks(ladder: Ladder, blocks: Mapping[str, Use]) -> tuple[Network, ...]:
    last: dict[str, int] = {}  # timer or counter -> the last rung that feeds it
    fed: dict[str, dict[str, Expr]] = {tag: {} for tag in blocks}
    for number, rung in enumerate(ladder.rungs, 1):
        for load in rung.loads:
            if load.device in blocks:
                last[load.device] = number
                name = blocks[load.device].inputs[load.kind]
                fed[load.device][name] = Name(f"{load.device}_{name}")
    found = []
    for number, rung in enumerate(ladder.rungs, 1):
        targets = tuple(_target(load, blocks) for load in rung.loads)
        calls = tuple(
            _call(ladder.devices[tag], blocks[tag], fed[tag]) for tag, place in last.items() if place == number
        )
        found.append(Network(number, rung, targets, f"RUNG{number}" if len(targets) > 1 else "", calls))
    return tuple(found)


def _call(device: Device, use: Use, fed: Mapping[str, Expr]) -> Call:
    setting = parse_setting(device)
    value = (
        Literal(setting.milliseconds * 1000, "TIME")
        if isinstance(setting, TimerSetting)
        else Literal(setting.preset if isinstance(setting, CounterSetting) else 0, "INT")
    )
    names = use.inputs.values()
    return Call(device.tag, (*((name, fed.get(name, FALSE)) for name in names), (use.setting, value)))


def _declare(
    ladder: Ladder, wiring: tuple[Wiring, ...], networks: tuple[Network, ...], blocks: Mapping[str, Use]
) -> tuple[Declaration, ...]:
    found = [
        Declaration(one.name, "BOOL", address=_address("I", place), initial=one.at_rest)
        for place, one in enumerate(wiring)
    ]
    targets = [(name, load) for net in networks for name, load in zip(net.targets, net.rung.loads, strict=True)]
    outputs = [name for name, load in targets if load.device not in blocks and load.device[0] != "K"]
    found += [Declaration(name, "BOOL", address=_address("Q", place)) for place, name in enumerate(outputs)]
    found += [Declaration(name, "BOOL") for name, _ in targets if name not in outputs]
    found += [Declaration(net.shared, "BOOL") for net in networks if net.shared]
    plain = {tag: use for tag, use in blocks.items() if ladder.devices[tag].kind != "counter"}
    found += [Declaration(tag, use.block) for tag, use in plain.items()]
    found += [Declaration(tag, use.block, retain=True) for tag, use in blocks.items() if tag not in plain]
    return tuple(found)


def _address(letter: str, place: int) -> str:
    return f"%{letter}X{place // 8}.{place % 8}"
