"""A student's rungs on the panel of the exercise."""

from __future__ import annotations

from collections.abc import Iterable

from rungbook.circuit import Ladder
from rungbook.kit import Device


def on_panel(ladder: Ladder, devices: Iterable[Device]) -> Ladder:
    """Return the same rungs on the panel of the exercise: `devices` decide kinds, settings, plates and colours."""
    panel = {device.tag: device for device in (*ladder.devices.values(), *devices)}
    copy = Ladder(ladder.title, panel.values())
    for rung in ladder.rungs:
        copy.rung(*(() if rung.contacts is None else (rung.contacts,)), *rung.loads, note=rung.note)
    return copy
