"""Which device stands where on the panel: rows from top to bottom, in each row units from left to right.

Top: control supply, fuses, transformer, manual starters. Below: contactors, each with the overload relay that its
coil's rung names hung below it, other converters, relays. Last, as on a door: operators, sensors, lamps. Within a row
by letter and number. A row that is too wide goes on in another one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rungbook.circuit import Ladder, Wiring
from rungbook.drawing.cells import colour_of
from rungbook.drawing.panel_faces import body, is_overload, supply
from rungbook.drawing.panel_sheet import BOTTOM, Body, Pin
from rungbook.kit import Fitted

WIDEST = 1080.0  # [px], of a row before it is broken, without the lanes between its devices
_TOP_KINDS = ("fuse", "control transformer", "manual motor starter")
_DOOR = "SBP"
HANG = 9.0  # from a contactor to the overload relay below it


@dataclass(frozen=True)
class Unit:
    """What stands side by side in a row: a device, and what hangs below it. Left upper corner at (0, 0)."""

    bodies: tuple[Body, ...]

    @property
    def tag(self) -> str:
        """Designation of the device at the top, "" for the supply."""
        return self.bodies[0].device

    @property
    def width(self) -> float:
        """Of the widest outline [px]."""
        return max(body.box[2] for body in self.bodies)

    @property
    def height(self) -> float:
        """From the top of the first to the bottom of the last [px]."""
        return max(body.box[3] for body in self.bodies)

    @property
    def pins(self) -> tuple[Pin, ...]:
        """All terminals."""
        return tuple(pin for body in self.bodies for pin in body.pins)


def rows(wiring: Wiring, unit: float) -> tuple[tuple[Unit, ...], ...]:
    """Return the rows of units for every device that `wiring` uses. unit: from one hole of a terminal to the other."""
    devices = wiring.ladder.devices
    fitted = {tag: wiring.kit.devices[tag] for tag in devices}
    colours = dict.fromkeys(devices, "")
    for wired in wiring.items:
        device = devices[wired.item.device]
        if device.spec.load != "coil":
            colours[device.tag] = colour_of(wired.item, device) or colours[device.tag]
    below = _hung(wiring.ladder, fitted)

    def made(tag: str, least: float = 0.0) -> Unit:
        top = body(devices[tag], colours[tag], fitted[tag], unit, covered=tag in below, least=least)
        if tag not in below:
            return Unit((top,))
        lower = body(devices[below[tag]], "", fitted[below[tag]], unit)
        return Unit((top, lower.moved(0, top.box[3] + HANG)))

    for upper in tuple(below):
        if not _clear(made(upper), unit):
            del below[upper]
    sections: tuple[list[Unit], ...] = ([Unit((supply(unit),))], [], [])
    for tag in sorted(set(devices) - set(below.values()), key=_order):
        door, high = tag[0] in _DOOR, fitted[tag].model.kind in _TOP_KINDS
        sections[2 if door else 0 if high else 1].append(made(tag))
    found = []
    for row in (row for section in sections for row in _broken(section)):
        least = max(one.bodies[0].box[3] for one in row)
        found.append(tuple(made(one.tag, least) if one.tag and one.bodies[0].box[3] < least else one for one in row))
    return tuple(found)


def _order(tag: str) -> tuple[int, int]:
    return "FQTKSBP".find(tag[0]), int(tag[1:])


def _hung(ladder: Ladder, fitted: dict[str, Fitted]) -> dict[str, str]:
    """Contactor -> overload relay below it: the first whose coil's rung has a contact of the relay, else any free one.

    A ladder does not say which motor the relay watches, nor does a kit; a relay has to hang somewhere.
    """
    found: dict[str, str] = {}
    contactors = {tag for tag, one in fitted.items() if one.model.kind == "contactor" and one.model.poles}
    for rung in ladder.rungs:
        coils = [load.device for load in rung.loads if load.device in contactors]
        for contact in rung.all_contacts():
            tag = contact.device
            if is_overload(fitted[tag]) and tag not in found.values():
                free = [coil for coil in coils if coil not in found]
                if free:
                    found[free[0]] = tag
    free = [tag for tag in sorted(contactors, key=_order) if tag not in found]
    loose = [tag for tag in sorted(fitted, key=_order) if is_overload(fitted[tag]) and tag not in found.values()]
    return found | dict(zip(free, loose, strict=False))


def _clear(unit: Unit, step: float) -> bool:
    """True if what hangs below leaves the way free from every control terminal above it, `step` at least."""
    top, hung = unit.bodies
    holes = [x for pin in top.pins if pin.side == BOTTOM for x, _ in pin.holes]
    return all(hung.box[2] + step <= x for x in holes)


def _broken(section: Sequence[Unit]) -> list[tuple[Unit, ...]]:
    """The units of a section in as few rows as hold them, the widest of which is as narrow as can be."""
    done = _filled(section, WIDEST)
    widths = [unit.width for unit in section]
    sums = sorted({sum(widths[a:b]) for a in range(len(widths)) for b in range(a + 1, len(widths) + 1)})
    for limit in sums:
        if limit >= max(widths) and len(narrower := _filled(section, limit)) <= len(done):
            return narrower
    return done


def _filled(section: Sequence[Unit], limit: float) -> list[tuple[Unit, ...]]:
    """The units in rows, each filled up to `limit` before the next is begun."""
    done: list[list[Unit]] = []
    for unit in section:
        if not done or sum(one.width for one in done[-1]) + unit.width > limit:
            done.append([])
        done[-1].append(unit)
    return [tuple(row) for row in done]
