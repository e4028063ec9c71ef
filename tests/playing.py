"""Play a timed script on a timeline, order by order, without `run`."""

from __future__ import annotations

from rungbook.behaviour import Timeline, read_timed


def play(timeline: Timeline, script: str) -> Timeline:
    todo, end = read_timed(script, timeline.devices)
    for one in todo:
        timeline.advance(one.time)
        if one.step is not None:
            timeline.do(one.step)
        if one.level is not None:
            timeline.set_supply_level(one.level)
    timeline.advance(end)
    return timeline
