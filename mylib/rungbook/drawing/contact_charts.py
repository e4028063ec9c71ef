"""Contact charts: in which position of a device each of its contacts is closed, an X for closed (common practice)."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS, CATALOGUE, ContactBlock, Device, Fitted, parse_setting
from rungbook.tables import html_table, text_table

CLOSED, OPEN = "X", "–"
_KINDS = {"NO": "normally open", "NC": "normally closed"}
_TIMED = {
    "timer": "Timed contacts change with the timer, the others at once with the coil.",
    "counter": "Timed contacts change with the count that is set.",
}


@dataclass(frozen=True)
class ContactChart:
    """The chart of one device: `positions`, the first at rest, and its `contacts`. Shows itself as a table.

    name: of the device, such as "S5 (manual or automatic), three-position selector". note: a sentence, or "".
    """

    name: str
    positions: tuple[str, ...]
    contacts: tuple[ContactBlock, ...]
    note: str = ""

    @property
    def head(self) -> tuple[str, ...]:
        """Words above the columns."""
        return ("contact", "kind", f"{self.positions[0]} (at rest)", *self.positions[1:])

    @property
    def rows(self) -> tuple[tuple[str, ...], ...]:
        """A row a contact: terminals, kind, and for each position X (closed) or a dash (open)."""
        return tuple(
            (
                block.terminals,
                block.kind + (", timed" if block.timed else ""),
                *(CLOSED if position in block.closed else OPEN for position in self.positions),
            )
            for block in self.contacts
        )

    @property
    def sentences(self) -> tuple[str, ...]:
        """The rows in words."""
        return tuple(
            f"{block.terminals}, {_KINDS[block.kind]}{', timed' if block.timed else ''}: {self._closed(block)}."
            for block in self.contacts
        )

    def _closed(self, block: ContactBlock) -> str:
        where = [position for position in self.positions if position in block.closed]
        return f"closed in position {' and '.join(where)}" if where else "closed in no position"

    def __str__(self) -> str:
        return "\n".join(filter(None, (self.name, text_table(self.head, self.rows), self.note)))

    __repr__ = __str__

    def _repr_html_(self) -> str:
        caption = f"Contact chart of {self.name}. {CLOSED}: closed, {OPEN}: open."
        return html_table(caption, self.head, self.rows) + (f"<p>{self.note}</p>" if self.note else "")


def contact_chart(device: Device | Fitted | str) -> ContactChart:
    """Return the contact chart of a device.

    device: a `Device` or the name of a kind, with the contacts that the catalogue gives a device of that kind and its
    accessories; or one of a kit, such as `TRAINING_KIT.devices["S5"]`, with the contacts that it has there.

    Raises LadderError if it is none of these, or has no contacts whose positions are known.
    """
    if isinstance(device, Device):
        name, kind = f"{device.name}, {device.kind}", device.kind
        contacts = _usual(kind)
        if parse_setting(device) is not None:
            name += f", {device.setting}"
    elif isinstance(device, Fitted):
        name, kind, contacts = device.model.name, device.model.kind, device.contacts
    elif isinstance(device, str) and device in ALL_KINDS:
        name, kind, contacts = device, device, _usual(device)
    else:
        choices = ("Device('S1')", "TRAINING_KIT.devices['S5']", *ALL_KINDS)
        raise LadderError("contact_chart", "takes a device, one of a kit, or a kind", device, choices)
    known = tuple(block for block in contacts if block.closed)
    if not known:
        having = tuple(kind for kind in ALL_KINDS if any(block.closed for block in _usual(kind)))
        raise LadderError("contact_chart", f"a {kind} has no contacts with a chart", name, having)
    spec = ALL_KINDS[kind]
    note = _TIMED.get(spec.setting, "") if any(block.timed for block in known) else ""
    return ContactChart(name, spec.positions, known, note)


def _usual(kind: str) -> tuple[ContactBlock, ...]:
    """The contacts of the catalogue's first model of `kind` that has some, or takes some, with those of accessories."""
    for model in CATALOGUE.values():
        if model.kind != kind:
            continue
        contacts = list(model.contacts)
        for extra in CATALOGUE.values():
            if kind in extra.fits:
                taken = {end for block in contacts for end in block.ends}
                contacts += [block for block in extra.contacts_on(kind) if not taken & set(block.ends)]
        if contacts:
            return tuple(contacts)
    return ()
