"""A power circuit in words, complete enough to wire it by ear: device by device, then wire by wire."""

from __future__ import annotations

from rungbook.circuit.power import LINES, PowerCircuit, PowerDevice, PowerMotor
from rungbook.drawing.power_links import Pairs
from rungbook.tables import listed


def describe(circuit: PowerCircuit, pairs: Pairs = ()) -> str:
    """Return the description: the supply, a line for each device, motor and interlock, a line for each wire."""
    title = f"Power circuit {circuit.title!r}" if circuit.title.strip() else "Power circuit"
    source = circuit.source
    supply = f"supply {source.volts:g} V between lines, {source.hertz:g} Hz, three phases on wires L1, L2 and L3"
    if not circuit.elements:
        return f"{title}, nothing wired yet: {supply}."
    counted = [_count(len(circuit.devices), "device"), _count(len(circuit.motors), "motor")]
    said = [f"{title}: {supply}; {listed([words for words in counted if words])}. All devices are shown at rest."]
    said += [f"{describe_element(element)}." for element in circuit.elements]
    said += [f"Mechanical interlock between contactors {one} and {other}." for one, other in pairs]
    for node, ends in _ends(circuit).items():
        if len(ends) > 1:
            said.append(f"Wire {node} joins {listed(ends)}.")
        else:
            said.append(f"Wire {node} is on {ends[0]} only, to nothing else.")
    return "\n".join(said)


def describe_element(element: PowerDevice | PowerMotor) -> str:
    """Return e.g. "Contactor Q1 (wash pump): terminal 1 on wire L1, 2 on wire 1T1"."""
    name = f"{element.tag} ({element.label})" if element.label.strip() else element.tag
    if isinstance(element, PowerMotor):
        leads = "six leads" if len(element.nodes) == 6 else "three leads"
        ways = [f"{terminal} on wire {node}" for terminal, node in element.terminals.items()]
        return f"Three-phase motor {name}, {leads}: terminal {', '.join(ways)}; frame on protective earth"
    kind = f"{element.kind[:1].upper()}{element.kind[1:]}"
    many = _count(len(element.poles), "pole")
    ways = []
    for pole in element.poles:
        upper, lower = pole.pole.split("-")
        ways.append(f"terminal {upper} on wire {pole.a} to terminal {lower} on wire {pole.b}")
    return f"{kind} {name}, {many}: {'; '.join(ways)}"


def _ends(circuit: PowerCircuit) -> dict[str, list[str]]:
    """Node -> the terminals on it, the supply's first."""
    found: dict[str, list[str]] = {line: [f"the supply's {line}"] for line in LINES}
    for element in circuit.elements:
        if isinstance(element, PowerMotor):
            for terminal, node in element.terminals.items():
                found.setdefault(node, []).append(f"{element.tag} terminal {terminal}")
            continue
        for pole in element.poles:
            for terminal, node in zip(pole.pole.split("-"), (pole.a, pole.b), strict=True):
                found.setdefault(node, []).append(f"{element.tag} terminal {terminal}")
    return found


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'s' * (number != 1)}" if number else ""
