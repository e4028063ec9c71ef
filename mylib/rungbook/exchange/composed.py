"""Relay functions that IEC 61131-3 has no block for, composed from its blocks, as structured text.

Each does in every scan what the relay's function (`behaviour/timers.py`, `behaviour/counters.py`) does that gets its
input changed at the instants of the scans; `FLASH` if its time is a whole number of scans, else each of its periods
ends with the next scan, and so later and later. `equivalence` proves it of this text, over all sequences, set times and
instants of scans, or names the shortest sequence that shows otherwise.

A period that is up in the very scan in which the input changes back is still ended: the timer sees its old input once
more, and is put back by a second call. `UP_DOWN_COUNT` does not count below 0, as CTUD would.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

_TIMER = "VAR_INPUT\n    IN : BOOL;{more}\n    PT : TIME;\nEND_VAR\nVAR_OUTPUT\n    Q : BOOL;\nEND_VAR\n"
_PLAIN = _TIMER.format(more="")

COMPOSED: Mapping[str, str] = MappingProxyType(
    {
        "ON_AND_OFF_DELAY": "FUNCTION_BLOCK ON_AND_OFF_DELAY\n"
        + _PLAIN
        + """VAR
    WAS : BOOL;
    UP : TON;
    DOWN : TON;
    HELD : RS;
END_VAR
    UP(IN := IN OR WAS, PT := PT);
    DOWN(IN := NOT IN OR NOT WAS, PT := PT);
    HELD(S := UP.Q, R1 := DOWN.Q);
    IF IN THEN
        DOWN(IN := FALSE, PT := PT);
    END_IF;
    IF NOT IN THEN
        UP(IN := FALSE, PT := PT);
    END_IF;
    WAS := IN;
    Q := HELD.Q1;
END_FUNCTION_BLOCK
""",
        "PULSE_ON_FALL": "FUNCTION_BLOCK PULSE_ON_FALL\n"
        + _PLAIN
        + """VAR
    ARMED : SR;
    PULSE : TP;
END_VAR
    ARMED(S1 := IN, R := FALSE);
    PULSE(IN := ARMED.Q1 AND NOT IN, PT := PT);
    Q := PULSE.Q;
END_FUNCTION_BLOCK
""",
        "FLASH": "FUNCTION_BLOCK FLASH\n"
        + _PLAIN
        + """VAR
    LIGHT : TON;
    DARK : TON;
END_VAR
    LIGHT(IN := IN, PT := PT);
    DARK(IN := LIGHT.Q, PT := PT);
    IF DARK.Q THEN
        LIGHT(IN := FALSE, PT := PT);
        LIGHT(IN := TRUE, PT := PT);
        DARK(IN := FALSE, PT := PT);
    END_IF;
    Q := IN AND NOT LIGHT.Q;
END_FUNCTION_BLOCK
""",
        "CUMULATIVE_ON_DELAY": "FUNCTION_BLOCK CUMULATIVE_ON_DELAY\n"
        + _TIMER.format(more="\n    R : BOOL;")
        + """VAR
    LIVE : BOOL;
    WAS : BOOL;
    KEPT : TIME;
    RUN : TON;
    DONE : RS;
END_VAR
    LIVE := IN AND NOT R;
    RUN(IN := LIVE OR WAS, PT := PT - KEPT);
    DONE(S := RUN.Q, R1 := R);
    IF NOT LIVE THEN
        KEPT := KEPT + RUN.ET;
        RUN(IN := FALSE, PT := PT);
    END_IF;
    IF R THEN
        KEPT := T#0s;
    END_IF;
    WAS := LIVE;
    Q := DONE.Q1;
END_FUNCTION_BLOCK
""",
        "UP_DOWN_COUNT": """FUNCTION_BLOCK UP_DOWN_COUNT
VAR_INPUT
    CU : BOOL;
    CD : BOOL;
    R : BOOL;
    PV : INT;
END_VAR
VAR_OUTPUT
    Q : BOOL;
END_VAR
VAR
    UP : R_TRIG;
    DOWN : R_TRIG;
    COUNT : CTUD;
END_VAR
    UP(CLK := CU);
    DOWN(CLK := CD);
    COUNT(CU := UP.Q, CD := DOWN.Q AND (UP.Q OR COUNT.CV > 0), R := R, LD := FALSE, PV := PV);
    Q := COUNT.QU;
END_FUNCTION_BLOCK
""",
    }
)


@dataclass(frozen=True)
class Use:
    """How a timer or counter is written: its `block`, the block's input for each kind of load, PT or PV, its output.

    inputs: kind of load -> name; those that need not be wired have FALSE when they are not.
    """

    block: str
    inputs: Mapping[str, str]
    setting: str


_IN = MappingProxyType({"coil": "IN"})
#: timer function, or direction of a counter -> how it is written
USES: Mapping[str, Use] = MappingProxyType(
    {
        "on-delay": Use("TON", _IN, "PT"),
        "off-delay": Use("TOF", _IN, "PT"),
        "one-shot on rising edge": Use("TP", _IN, "PT"),
        "on-and-off delay": Use("ON_AND_OFF_DELAY", _IN, "PT"),
        "one-shot on falling edge": Use("PULSE_ON_FALL", _IN, "PT"),
        "flash": Use("FLASH", _IN, "PT"),
        "cumulative on-delay": Use("CUMULATIVE_ON_DELAY", MappingProxyType({"coil": "IN", "reset": "R"}), "PT"),
        "up": Use("CTU", MappingProxyType({"coil": "CU", "reset": "R"}), "PV"),
        "down": Use("CTD", MappingProxyType({"coil": "CD", "reset": "LD"}), "PV"),
        "up-down": Use("UP_DOWN_COUNT", MappingProxyType({"coil": "CU", "down": "CD", "reset": "R"}), "PV"),
    }
)
#: name of a block -> timer function or direction
FUNCTION_OF: Mapping[str, str] = MappingProxyType({use.block: function for function, use in USES.items()})
