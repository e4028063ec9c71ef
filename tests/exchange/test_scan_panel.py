"""The program as a panel against the program itself: what the walk says of it, the text run scan by scan shows."""

from itertools import islice

import pytest

from exchange.samples import at_random
from rungbook import NC, NO, Device, Ladder, coil, reset
from rungbook.behaviour import tell
from rungbook.exchange import Scan
from rungbook.exchange.confirm import rows_of
from rungbook.exchange.scan_panel import ScanPanel
from rungbook.proof import TooMany
from rungbook.proof.timed.schedule import schedule
from rungbook.proof.timed.walk import Walk


def compared(ladder: Ladder, most: int = 40) -> int:
    """Hold the first `most` arrivals of the walk against the program; return how many were held."""
    panel = ScanPanel(ladder, ladder.declared or ())
    walk = Walk([panel], limit=5_000)
    held = 0
    for arrival in islice(walk.arrivals(), most):
        ends = {tuple(panel.shows(tag, node.words[0]) for tag in panel.loads) for node in arrival.nodes}
        supply = all(node.words[0] & 1 for node in arrival.nodes)
        if arrival.chatter[0]:
            arrival.nodes.clear()
        elif supply:
            try:
                steps = schedule(walk, arrival)
            except TooMany:
                continue
            scan = Scan(ladder, scan_time=0.001)
            rows = rows_of(scan, steps)
            assert rows is not None
            seen = tuple(scan.is_on(tag) for tag in panel.loads)
            assert seen in ends, tell(steps)
            held += 1
        if len(arrival.nodes) > 1:
            arrival.nodes.clear()  # the length of a scan decides, and with it all that follows
    return held


def test_random_ladders_with_timers_and_counters() -> None:
    assert sum(compared(ladder) for ladder in at_random()[:30]) > 400


@pytest.mark.parametrize("setting", ["up 2", "down 2", "up-down 2"])
def test_a_counter_keeps_its_count_and_the_inputs_that_it_saw_without_supply(setting: str) -> None:
    ladder = Ladder("", [Device("S1"), Device("S2"), Device("K1", "counter", setting=setting), Device("Q1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("S2"), reset("K1"))
    ladder.rung(NC("K1"), coil("Q1"))
    assert compared(ladder, 150) > 40


def test_two_times_that_are_up_together_are_tried_in_one_scan_and_one_after_another() -> None:
    """Which of two that stop each other ends first: in one scan, the upper; in two, either."""
    ladder = Ladder("", [Device("S1"), *(Device(k, "timer relay", setting="on-delay 2 s") for k in ("K1", "K2"))])
    ladder.rung(NO("S1") & NC("K2"), coil("K1"))
    ladder.rung(NO("S1") & NC("K1"), coil("K2"))
    panel = ScanPanel(ladder, ladder.declared or ())
    walk = Walk([panel])
    ends = [
        {tag for tag in ("K1", "K2") if panel.shows(tag, node.words[0])}
        for arrival in walk.arrivals()
        if arrival.event is not None and len(arrival.event.due) == 2
        for node in arrival.nodes
    ]
    assert {"K1"} in ends
    assert {"K2"} in ends
