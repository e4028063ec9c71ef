"""Random ladders with timers and counters, by a seed."""

from __future__ import annotations

import random

from rungbook.circuit import NC, NO, Ladder, Part, coil, lamp, reset
from rungbook.kit import Device
from strategies import join

FUNCTIONS = (
    "on-delay",
    "off-delay",
    "on-and-off delay",
    "one-shot on rising edge",
    "one-shot on falling edge",
    "flash",
)


def random_ladder(seed: int, functions: tuple[str, ...] = FUNCTIONS, most: int = 3, timers: int = 2) -> Ladder:
    """Two buttons, one or two coils, up to `timers` timers of 1 to `most` seconds, at times a counter and a lamp."""
    chance = random.Random(seed)
    tags = ["S1", "S2", "Q1"]
    devices = [Device("S1"), Device("S2"), Device("Q1")]
    for k in range(1, chance.randint(1, timers) + 1):
        setting = f"{chance.choice(functions)} {chance.randint(1, most)} s"
        devices.append(Device(f"K{k}", "timer relay", setting=setting))
        tags.append(f"K{k}")
    counter = chance.random() < 0.3
    if counter:
        setting = chance.choice(("up 2", "down 2", "up 1"))
        devices.append(Device("K5", "counter", setting=setting))
        tags.append("K5")
    if chance.random() < 0.3:
        devices.append(Device("K9"))
        tags.append("K9")
    pairs = {tag: [pair for pair in ("13-14", "21-22") if tag[0] == "K"] for tag in tags}

    def contact() -> Part:
        tag = chance.choice(tags)
        make = chance.choice((NO, NC))
        pair = "13-14" if make is NO else "21-22"
        if pair in pairs[tag] and chance.random() < 0.15:  # an instantaneous contact of a timer
            pairs[tag].remove(pair)
            return make(tag, pair)
        return make(tag)

    def way() -> Part:
        return join(chance.choice("&|"), [contact() for _ in range(chance.choice((1, 2, 2, 3)))])

    ladder = Ladder(f"random {seed}", [*devices, Device("P1")])
    for tag in tags[2:]:
        first = NO("S1") if tag == "Q1" else NO("S2") if tag == "K1" and chance.random() < 0.5 else way()
        ladder.rung(join(chance.choice("&|"), [first, way()]), coil(tag))
    if counter and chance.random() < 0.7:
        ladder.rung(way(), reset("K5"))
    ladder.rung(way(), lamp("P1"))
    return ladder
