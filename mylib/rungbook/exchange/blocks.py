"""The standard function blocks of IEC 61131-3, called once a scan (ed. 3, Tables 43 to 46, from memory).

A block is a record of its inputs, its outputs and further values with their types and cold-start values, and a
function that is called with a dictionary of all of them and the time since the last scan [us]; it sets outputs.
Times are whole microseconds. A period begins with elapsed time 0 in the scan that sees the edge. A block that is called
again in the same scan must have no period running on: the programs here call a timer again only to put it back.

Where the standard leaves something open: a pulse (TP) that has run out is ended before a new edge is looked at; a
counter stops at the ends of INT. A first scan with CLK at TRUE is a rising edge, and with CLK at FALSE a falling one.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

INT_MIN, INT_MAX = -32768, 32767
Values = dict[str, int]


@dataclass(frozen=True)
class Block:
    """inputs, outputs: name -> type. hidden: what it remembers beside its outputs. work(values, since [us])."""

    inputs: Mapping[str, str]
    outputs: Mapping[str, str]
    hidden: Mapping[str, str]
    work: Callable[[Values, int], None]

    def cold(self) -> Values:
        """All values at a cold start: FALSE and 0."""
        return dict.fromkeys((*self.inputs, *self.outputs, *self.hidden), 0)


def _ton(v: Values, since: int) -> None:
    v["ET"] = min(v["ET"] + since, v["PT"]) if v["IN"] and v["WAS"] else 0
    v["Q"] = int(bool(v["IN"]) and v["ET"] >= v["PT"])
    v["WAS"] = v["IN"]


def _tof(v: Values, since: int) -> None:
    if v["IN"]:
        v["Q"], v["ET"] = 1, 0
    elif v["WAS"]:
        v["ET"] = 0
        v["Q"] = int(v["PT"] > 0)
    elif v["Q"]:
        v["ET"] = min(v["ET"] + since, v["PT"])
        v["Q"] = int(v["ET"] < v["PT"])
    v["WAS"] = v["IN"]


def _tp(v: Values, since: int) -> None:
    if v["Q"]:
        v["ET"] = min(v["ET"] + since, v["PT"])
        v["Q"] = int(v["ET"] < v["PT"])
    if not v["Q"]:
        if v["IN"] and not v["WAS"]:
            v["ET"] = 0
            v["Q"] = int(v["PT"] > 0)
        elif not v["IN"]:
            v["ET"] = 0
    v["WAS"] = v["IN"]


def _r_trig(v: Values, since: int) -> None:
    v["Q"] = int(bool(v["CLK"]) and not v["M"])
    v["M"] = v["CLK"]


def _f_trig(v: Values, since: int) -> None:
    v["Q"] = int(not v["CLK"] and not v["M"])
    v["M"] = int(not v["CLK"])


def _sr(v: Values, since: int) -> None:
    v["Q1"] = int(bool(v["S1"]) or (not v["R"] and bool(v["Q1"])))


def _rs(v: Values, since: int) -> None:
    v["Q1"] = int(not v["R1"] and (bool(v["S"]) or bool(v["Q1"])))


def _ctu(v: Values, since: int) -> None:
    edge = v["CU"] and not v["WAS"]
    if v["R"]:
        v["CV"] = 0
    elif edge and v["CV"] < INT_MAX:
        v["CV"] += 1
    v["Q"] = int(v["CV"] >= v["PV"])
    v["WAS"] = v["CU"]


def _ctd(v: Values, since: int) -> None:
    edge = v["CD"] and not v["WAS"]
    if v["LD"]:
        v["CV"] = v["PV"]
    elif edge and v["CV"] > INT_MIN:
        v["CV"] -= 1
    v["Q"] = int(v["CV"] <= 0)
    v["WAS"] = v["CD"]


def _ctud(v: Values, since: int) -> None:
    up, down = v["CU"] and not v["WAS_UP"], v["CD"] and not v["WAS_DOWN"]
    if v["R"]:
        v["CV"] = 0
    elif v["LD"]:
        v["CV"] = v["PV"]
    elif up and not down and v["CV"] < INT_MAX:
        v["CV"] += 1
    elif down and not up and v["CV"] > INT_MIN:
        v["CV"] -= 1
    v["QU"], v["QD"] = int(v["CV"] >= v["PV"]), int(v["CV"] <= 0)
    v["WAS_UP"], v["WAS_DOWN"] = v["CU"], v["CD"]


def _block(work: Callable[[Values, int], None], inputs: str, outputs: str, hidden: str = "") -> Block:
    """inputs and the others: names, each with its type after a colon unless it is BOOL."""

    def named(words: str) -> Mapping[str, str]:
        pairs = (word.partition(":") for word in words.split())
        return MappingProxyType({name: kind or "BOOL" for name, _, kind in pairs})

    return Block(named(inputs), named(outputs), named(hidden), work)


STANDARD: Mapping[str, Block] = MappingProxyType(
    {
        "TON": _block(_ton, "IN PT:TIME", "Q ET:TIME", "WAS"),
        "TOF": _block(_tof, "IN PT:TIME", "Q ET:TIME", "WAS"),
        "TP": _block(_tp, "IN PT:TIME", "Q ET:TIME", "WAS"),
        "R_TRIG": _block(_r_trig, "CLK", "Q", "M"),
        "F_TRIG": _block(_f_trig, "CLK", "Q", "M"),
        "SR": _block(_sr, "S1 R", "Q1"),
        "RS": _block(_rs, "S R1", "Q1"),
        "CTU": _block(_ctu, "CU R PV:INT", "Q CV:INT", "WAS"),
        "CTD": _block(_ctd, "CD LD PV:INT", "Q CV:INT", "WAS"),
        "CTUD": _block(_ctud, "CU CD R LD PV:INT", "QU QD CV:INT", "WAS_UP WAS_DOWN"),
    }
)
