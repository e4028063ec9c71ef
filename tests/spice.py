"""A network as a netlist for ngspice, and ngspice in batch mode. For tests and benchmarks alone.

A closed link is a resistor of 1 micro-ohm, an open one is left out; each node has 10**12 ohm to ground, so that a
floating one has a potential. Coils are a resistance in series with an inductance.
"""

from __future__ import annotations

import cmath
import math
import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from rungbook.behaviour.network import Network, Node

HERTZ = 60.0
CLOSED_OHMS = 1e-6


def find_ngspice() -> str | None:
    """The program that NGSPICE names, else the one on the path."""
    given = os.environ.get("NGSPICE", "ngspice")
    return shutil.which(given)


def elements(network: Network, closed: frozenset[str], sealed: frozenset[str], ground: Node, prefix: str) -> list[str]:
    """The lines of one circuit; its nodes and names begin with `prefix`, so that many fit into one netlist."""

    def node(name: Node) -> str:
        return "0" if name == ground else f"{prefix}_{name}"

    lines = []
    for k, link in enumerate(network.links):
        if link.name in closed and link.a != link.b:
            lines.append(f"rlink{prefix}_{k} {node(link.a)} {node(link.b)} {CLOSED_OHMS}")
    for k, branch in enumerate(network.branches):
        ohms = branch.sealed_ohms if branch.name in sealed else branch.ohms
        lines += _impedance(f"{prefix}_b{k}", node(branch.a), node(branch.b), complex(ohms))
    for k, source in enumerate(network.sources):
        size, degrees = abs(source.volts), math.degrees(cmath.phase(source.volts))
        inner = f"{prefix}_e{k}"
        lines.append(f"vsrc{inner} {inner} {node(source.b)} dc {size!r} ac {size!r} {degrees!r}")
        lines += _impedance(inner, inner, node(source.a), complex(source.ohms))
    return lines


def _impedance(name: str, a: str, b: str, ohms: complex) -> list[str]:
    if ohms.imag == 0:
        return [f"r{name} {a} {b} {ohms.real!r}"]
    turn = 2 * math.pi * HERTZ
    reactance = f"l{name} {name}_m {b} {ohms.imag / turn!r}"
    if ohms.imag < 0:
        reactance = f"c{name} {name}_m {b} {-1 / (turn * ohms.imag)!r}"
    return [f"r{name} {a} {name}_m {ohms.real!r}", reactance]


def netlist(lines: list[str], control: list[str]) -> str:
    """A whole netlist: element lines and the commands of its control block."""
    return "\n".join(
        ["rungbook", *lines, ".option rshunt=1e12", ".control", "set numdgt=12", *control, "quit", ".endc", ".end", ""]
    )


def run_ngspice(program: str, text: str) -> str:
    """What ngspice prints for a netlist in batch mode. Raises RuntimeError with its messages if it fails."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "circuit.cir")
        path.write_text(text, encoding="ascii")
        done = subprocess.run([program, "-b", str(path)], capture_output=True, text=True, timeout=100, check=False)
    if done.returncode or "error" in (done.stdout + done.stderr).lower():
        raise RuntimeError(f"ngspice returned {done.returncode}:\n{done.stdout[-2000:]}\n{done.stderr[-2000:]}")
    return done.stdout


_VALUE = re.compile(r"^(\S+) = \(?\s*([-+.\deE]+)\s*,\s*([-+.\deE]+)\s*\)?$", re.MULTILINE)


def ac_values(output: str) -> dict[str, complex]:
    """Vector -> phasor, as `print all` shows an a.c. analysis of one point."""
    return {name: complex(float(real), float(imag)) for name, real, imag in _VALUE.findall(output)}
