"""Why a load has voltage or none, in the words of a technician: where the way is open, or through what it is closed."""

from __future__ import annotations

from rungbook.behaviour import SUPPLY, Panel, State, Step, bridging, closed_way
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Contact, wire_numbers

CHATTER = "The coils open their own ways, or one another's, and close them again without end."


def why(panel: Panel | TimedPanel | BoardPanel, tag: str, wanted_on: bool, state: State, last: Step | None) -> str:
    """Say why load `tag` is not as wanted in `state`, after the order `last`.

    Names contacts with the wire numbers that `draw` prints. Only what the circuit shows is said, no guess.
    """
    if isinstance(panel, BoardPanel):
        return panel.reason(tag, wanted_on, state)
    if tag not in panel.coils and tag not in panel.lamps:
        return f"No rung ends in {tag}."
    if isinstance(panel, TimedPanel) and (reason := panel.own_reason(tag, state)):
        return reason
    if wanted_on:
        return _why_off(panel, tag, state, last)
    return _why_on(panel, tag, state, last)


def _spot(panel: Panel | TimedPanel, tag: str, contact: Contact) -> str:
    """ "NO S2 (wires 3–4)": the contact and where it stands before `tag`."""
    for rung in wire_numbers(panel.ladder):
        if any(wired.item.device == tag for wired in rung.loads):
            for wired in rung.contacts:
                if wired.item is contact:
                    return f"{contact.kind} {contact.device} (wires {wired.left}–{wired.right})"
    raise AssertionError(f"{contact} does not stand before {tag}")


def _open_because(panel: Panel | TimedPanel, tag: str, contact: Contact, state: State) -> str:
    return f"{_spot(panel, tag, contact)} is open while {contact.device} is {panel.position(contact.device, state)}"


def _why_off(panel: Panel | TimedPanel, tag: str, state: State, last: Step | None) -> str:
    if not state.supply:
        return "The supply is off."
    if panel.has_voltage(tag, state):
        return CHATTER
    spots = bridging(panel.way(tag), lambda contact: panel.closed(contact, state))
    if last is not None:
        for contact in spots:
            if contact.device == last.device and _was_closed(panel, contact, last):
                where = _spot(panel, tag, contact).split(" ", 1)[1]
                return f"There is no closed path around {where} after it opens."
    if len(spots) == 1:
        return f"The way is interrupted: {_open_because(panel, tag, spots[0], state)}."
    if spots:
        listed = "; ".join(_open_because(panel, tag, contact, state) for contact in spots[:3])
        return f"The way is interrupted, and any of these would close it: {listed}."
    way = panel.way(tag)
    contacts = tuple(way.contacts()) if way is not None else ()
    opened = [contact for contact in contacts if not panel.closed(contact, state)]
    listed = "; ".join(_open_because(panel, tag, contact, state) for contact in opened[:3])
    return f"The way is interrupted in more than one place: {listed}."


def _why_on(panel: Panel | TimedPanel, tag: str, state: State, last: Step | None) -> str:
    way = closed_way(panel.way(tag), lambda contact: panel.closed(contact, state))
    if not way and panel.way(tag) is not None:
        return f"{tag} has no voltage any more, and has not answered yet."
    if not way:
        return f"{tag} hangs on the rail: no contact stands before it."
    path = ", ".join(f"{contact.kind} {contact.device}" for contact in way)
    text = f"Current flows through {path} to {tag}."
    if last is None or last.device in (SUPPLY, ""):  # "": time has passed
        return text
    mine = [contact for contact in way if contact.device == last.device]
    if not mine:
        return f"{text} No contact of {last.device} stands in this path."
    closed = [contact for contact in mine if not _was_closed(panel, contact, last)]
    return f"{text} {_spot(panel, tag, closed[0])} closed when {last.past}." if closed else text


def _was_closed(panel: Panel | TimedPanel, contact: Contact, last: Step) -> bool:
    """True if `contact`, of the device that `last` moved, was closed before: a selector leaves some as they are."""
    closed = panel.devices[contact.device].spec.closed_in(contact.kind, contact.terminals)
    return last.move.start in closed
