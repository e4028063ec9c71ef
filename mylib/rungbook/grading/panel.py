"""A student's rungs on the panel of the exercise."""

from __future__ import annotations

from collections.abc import Iterable

from rungbook.circuit import Ladder
from rungbook.kit import Device
from rungbook.proof.compare import own_setting


def on_panel(ladder: Ladder, devices: Iterable[Device]) -> Ladder:
    """Return the same rungs on the panel of the exercise: `devices` decide kinds, settings, plates and colours.

    What they do not set is set as in the ladder, as the proofs have it.
    """
    given = (device if device.setting else own_setting(device, ladder) for device in devices)
    own = {device.tag: device for device in ladder.devices.values()}
    panel = own | {device.tag: device for device in given}
    copy = Ladder(ladder.title, panel.values())
    for rung in ladder.rungs:
        copy.rung(*(() if rung.contacts is None else (rung.contacts,)), *rung.loads, note=rung.note)
    return copy
