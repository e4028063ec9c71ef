"""Relay functions that IEC 61131-3 has no block for, composed from its blocks, as structured text.

How near each comes to the relay's function (`behaviour/timers.py`, `behaviour/counters.py`) is shown in
`tests/exchange/`: the same circuits drawn with relays are proved equal for times without scans, and the text is held
against the pure blocks over every sequence of some scans. What the scan adds:

* `ON_AND_OFF_DELAY`: the same in every scan; but an input that has changed back in the very scan in which the time is
  up has not been seen long enough, and nothing happens.
* `PULSE_ON_FALL`: the same in every scan.
* `FLASH`: the first light comes at once; then each period is longer by a scan or two.
* `CUMULATIVE_ON_DELAY`: later by less than one scan for each pause: what lies between the last scan with voltage and
  the first without is not gathered.
* `UP_DOWN_COUNT`: the same in every scan: it does not count below 0, as the standard's CTUD does.
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
    UP : TON;
    DOWN : TON;
    HELD : RS;
END_VAR
    UP(IN := IN, PT := PT);
    DOWN(IN := NOT IN, PT := PT);
    HELD(S := UP.Q, R1 := DOWN.Q);
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
    LIGHT(IN := IN AND NOT DARK.Q, PT := PT);
    DARK(IN := LIGHT.Q, PT := PT);
    Q := IN AND NOT LIGHT.Q;
END_FUNCTION_BLOCK
""",
        "CUMULATIVE_ON_DELAY": "FUNCTION_BLOCK CUMULATIVE_ON_DELAY\n"
        + _TIMER.format(more="\n    R : BOOL;")
        + """VAR
    KEPT : TIME;
    RUN : TON;
    DONE : RS;
END_VAR
    IF NOT IN THEN
        KEPT := KEPT + RUN.ET;
    END_IF;
    IF R THEN
        KEPT := T#0s;
    END_IF;
    RUN(IN := IN AND NOT R, PT := PT - KEPT);
    DONE(S := RUN.Q, R1 := R);
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
