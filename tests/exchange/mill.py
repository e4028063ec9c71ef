"""Circuits of the mill for the tests of the exchange."""

from __future__ import annotations

from rungbook import NC, NO, Device, Ladder, coil, count_down, lamp, reset


def wash_pump() -> Ladder:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"), note="start and stop")
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def everything() -> Ladder:
    """Plates, terminals, several loads, a selector with a chart, every timer function, every counter."""
    functions = (
        "on-delay 5 s",
        "off-delay 0.5 s",
        "on-and-off delay 2 min",
        "one-shot on rising edge 100 h",
        "one-shot on falling edge 90 s",
        "flash 500 ms",
        "cumulative on-delay 1.25 h",
    )
    devices = [
        Device("S1", "emergency stop", "red", 'all "off" (* now *)'),
        Device("S2", colour="green", label="start $2A"),
        Device("S3", "three-position selector", label="hand, off, automatic"),
        Device("S9"),
        Device("F1", setting="2.4 A class 10 manual"),
        Device("Q9", "manual motor starter", setting="2.5 A"),
        Device("B1"),
        *(Device(tag) for tag in ("Q1", "K1", "P1", "M1")),
        *(Device(f"K{n}", "timer relay", setting=function) for n, function in enumerate(functions, 11)),
        *(Device(f"K{n}", "counter", setting=f"{way} 3") for n, way in enumerate(("up", "down", "up-down"), 21)),
    ]
    ladder = Ladder("Vat  agitator ", devices)
    way = NC("S1", "21-22") & (NO("S2") | NO("Q1", "13-14")) & NC("F1", "95-96") & NC("Q9", "95-96") & NO("Q9")
    ladder.rung(way, coil("Q1", "A1-A2"), coil("K1"), lamp("P1", "green"), note=" (* start *) ")
    for n in range(1, 8):
        ladder.rung(NO("S3", "13-14") & NC("S3") | NO("K1") & NO("S1"), coil(f"K1{n}")) if n == 1 else ladder.rung(
            NO(f"K1{n - 1}") | NO(f"K1{n - 1}", "13-14"), coil(f"K1{n}")
        )
    ladder.rung(NC("K17", "65-66") & NC("K17", "21-22"), reset("K17"))
    ladder.rung(NO("B1"), coil("K21"), coil("K22"), coil("K23"))
    ladder.rung(NC("B1"), reset("K21"), reset("K22"))
    ladder.rung(NO("K21") & NO("K22") & NO("K23"), count_down("K23"))
    ladder.rung(reset("K23"))
    return ladder
