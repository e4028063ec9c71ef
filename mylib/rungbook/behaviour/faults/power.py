"""Faults of a power circuit: phases, poles, fuses and leads."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field, replace
from itertools import combinations

from rungbook.behaviour.faults.records import full
from rungbook.behaviour.power import PowerFaults, energise
from rungbook.circuit.power import LINES, POLES, TERMINALS, PowerCircuit, PowerMotor
from rungbook.errors import LadderError


@dataclass(frozen=True)
class PowerFault:
    """A fault of a power circuit: `faults` for `power.energise`, or `leads`, two terminals of motor `device` swapped.

    `sentence`, `kind` and `describe` as of `Fault`.
    """

    device: str
    kind: str
    sentence: str
    faults: PowerFaults = field(default_factory=PowerFaults)
    leads: tuple[str, ...] = ()

    def describe(self) -> str:
        """The sentence, with a capital and a full stop."""
        return full(self.sentence)

    def apply(self, circuit: PowerCircuit, faults: PowerFaults | None = None) -> tuple[PowerCircuit, PowerFaults]:
        """Return the circuit and the faults for `energise` with this fault, over `faults` that are there already.

        Raises LadderError as `energise` (a pole that is not there, a pole both welded and open), if the motor or its
        terminal is not there, or the fault changes nothing.
        """
        old = PowerFaults() if faults is None else faults
        supply = tuple(old.supply[LINES.index(line)] for line in self.faults.supply)
        mine = self.faults
        new = PowerFaults(old.welded | mine.welded, old.open | mine.open, old.lost | mine.lost, supply)
        changed = self._swap_leads(circuit) if self.leads else circuit
        energise(changed, (), new)  # raises if it does not fit
        if changed == circuit and new == old:
            raise LadderError(f"Fault on {circuit.title!r}", f"this changes nothing: {self.sentence}", self.kind)
        return changed, new

    def _swap_leads(self, circuit: PowerCircuit) -> PowerCircuit:
        if self.device not in {motor.tag for motor in circuit.motors}:
            choices = tuple(motor.tag for motor in circuit.motors)
            raise LadderError(f"Fault on {circuit.title!r}", "no such motor here", self.device, choices)
        changed = PowerCircuit(circuit.title, circuit.source)
        for element in circuit.elements:
            if isinstance(element, PowerMotor) and element.tag == self.device:
                for terminal in self.leads:
                    if terminal not in element.terminals:
                        choices = tuple(element.terminals)
                        raise LadderError(f"Motor {element.tag}", "no such terminal", terminal, choices)
                one, other = self.leads
                way = {**element.terminals, one: element.terminals[other], other: element.terminals[one]}
                element = replace(element, nodes=tuple(way.values()))
            changed.add(element)
        return changed


def lost_phase(line: str) -> PowerFault:
    """Phase `line` ("L1", "L2", "L3") does not arrive. Raises LadderError if there is no such phase."""
    if line not in LINES:
        raise LadderError("Fault", "no such phase", line, LINES)
    return PowerFault("supply", "lost phase", f"phase {line} does not arrive", PowerFaults(lost=frozenset({line})))


def swapped_phases(one: str, other: str) -> PowerFault:
    """Two phases are swapped at the supply: every motor runs the other way. Raises LadderError if there is no such."""
    for line in (one, other):
        if line not in LINES:
            raise LadderError("Fault", "no such phase", line, LINES)
    supply = tuple({one: other, other: one}.get(line, line) for line in LINES)
    return PowerFault("supply", "swapped phases", f"{one} and {other} are swapped", PowerFaults(supply=supply))


def swapped_leads(motor: str, one: str, other: str) -> PowerFault:
    """Two wires are swapped at the terminals of `motor`: it alone is connected otherwise."""
    told = f"the wires on {one} and {other} of {motor} are swapped"
    return PowerFault(motor, "swapped leads", told, leads=(one, other))


def welded_pole(device: str, pole: str) -> PowerFault:
    """A main pole such as ("Q1", "1-2") stays closed. The control side of the same weld is `welded_contactor`."""
    told = f"the pole {pole} of {device} is welded"
    return PowerFault(device, "welded pole", told, PowerFaults(welded=frozenset({(device, pole)})))


def welded_poles(device: str, poles: Iterable[str] = POLES) -> PowerFault:
    """All main poles of contactor `device` stay closed while its armature, and its auxiliary contacts, drop out.

    That is a contactor without mirror contacts. With them its NC contacts cannot close while a pole is welded
    (IEC 60947-4-1 annex F, from memory): that one is `welded_contactor`.
    """
    told = f"the main poles of {device} are welded, but its auxiliary contacts drop out"
    welded = frozenset((device, pole) for pole in poles)
    return PowerFault(device, "welded poles", told, PowerFaults(welded=welded))


def open_pole(device: str, pole: str) -> PowerFault:
    """A main pole that never closes, or a loose wire on it."""
    told = f"the pole {pole} of {device} is open"
    return PowerFault(device, "open pole", told, PowerFaults(open=frozenset({(device, pole)})))


def blown_phase_fuse(device: str, pole: str) -> PowerFault:
    """One of the fuses of `device` is blown."""
    told = f"the fuse {pole} of {device} is blown"
    return PowerFault(device, "blown fuse", told, PowerFaults(open=frozenset({(device, pole)})))


def single_power_faults(circuit: PowerCircuit, mirror_contacts: Collection[str] = ()) -> tuple[PowerFault, ...]:
    """Every fault of the catalogue that this power circuit can have, in a fixed order.

    mirror_contacts: contactors that have them; no pole of these is welded while the armature drops out. Wires are
    swapped among the terminals of one end of the windings (U1 V1 W1, U2 V2 W2). Raises LadderError if the circuit is
    not valid.
    """
    circuit.validate()
    found = [lost_phase(line) for line in LINES]
    found += [swapped_phases(one, other) for one, other in combinations(LINES, 2)]
    for device in circuit.devices:
        mirrored = device.kind == "contactor" and device.tag in mirror_contacts
        if device.kind == "contactor" and not mirrored and len(device.poles) > 1:
            found.append(welded_poles(device.tag, [pole.pole for pole in device.poles]))
        for pole in device.poles:
            if device.tag[0] == "Q" and not mirrored:
                found.append(welded_pole(device.tag, pole.pole))
            is_fuse = device.kind == "fuse"
            found.append((blown_phase_fuse if is_fuse else open_pole)(device.tag, pole.pole))
    for motor in circuit.motors:
        for some in (TERMINALS[:3], TERMINALS[3 : len(motor.nodes)]):
            for one, other in combinations(some, 2):
                if motor.terminals[one] != motor.terminals[other]:
                    found.append(swapped_leads(motor.tag, one, other))
    return tuple(found)
