"""A sequence of orders and waits done on the program itself, scan by scan: does it show what was said of it?

Long waits cost little: while nothing but elapsed times changes, the scans in which no period can end are done in one.
"""

from __future__ import annotations

from collections.abc import Sequence

from rungbook.behaviour import Step, read_timed
from rungbook.exchange.scan import Scan

Row = tuple[bool, ...]
MOST_SCANS = 20_000  # done one by one, in one sequence


def rows_of(scan: Scan, steps: Sequence[Step]) -> list[Row] | None:
    """The outputs, in the order of `scan.outputs`: before the first scan, and then each time that they change.

    An order is seen by the first scan at or after its instant, as in `Scan.run`. None if that takes too many scans.
    """
    orders, end = read_timed([step.order for step in steps], scan.devices)
    waiting = list(orders)
    found = [_shown(scan)]
    for _ in range(MOST_SCANS):
        while waiting and waiting[0].time <= scan.now + scan.every:
            step = waiting.pop(0).step
            if step is not None:
                scan.move(step)
        before = scan.state()
        scan.scan()
        row = _shown(scan)
        if row != found[-1]:
            found.append(row)
        until = waiting[0].time if waiting else end
        _leap(scan, before, until)
        if not waiting and scan.now >= end:
            return found
    return None


def _shown(scan: Scan) -> Row:
    return tuple(scan.is_on(tag) for tag in scan.outputs)


def _leap(scan: Scan, before: tuple[int, ...], until: int) -> None:
    """Do the scans that end before `until` [us] at once if the last one, from state `before`, changed nothing but
    elapsed times, up to the one in which a period ends.
    """
    values = scan.machine.values
    gone = [name for (name, now), then in zip(values.items(), before, strict=True) if now != then]
    if not all(name.endswith(".ET") for name in gone):
        return
    left = [until - scan.now, *(values[f"{name.removesuffix('ET')}PT"] - values[name] for name in gone)]
    scans = min((one - 1) // scan.every for one in left)
    if scans > 0:
        if scan.supply:
            scan.machine.scan(scans * scan.every)
        scan.now += scans * scan.every
