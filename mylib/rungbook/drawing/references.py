"""Cross-references: on which rungs the contacts of a coil stand."""

from __future__ import annotations

from rungbook.circuit import Ladder

Reference = tuple[int, str]  # rung number from 1, "NO" or "NC"


def references(ladder: Ladder) -> dict[str, tuple[Reference, ...]]:
    """Designation of each device with a coil -> its contacts, one entry a contact, in reading order.

    A device is listed if its coil or one of its contacts is in the ladder; a coil without contacts has an empty tuple.
    """
    devices = ladder.devices
    found: dict[str, list[Reference]] = {tag: [] for tag, device in devices.items() if device.spec.load == "coil"}
    for n, rung in enumerate(ladder.rungs, 1):
        for contact in rung.all_contacts():
            if contact.device in found:
                found[contact.device].append((n, contact.kind))
    return {tag: tuple(entries) for tag, entries in found.items()}
