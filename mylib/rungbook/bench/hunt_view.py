"""What hands and eyes know of the board of a hunt: plain data for a front end, and nothing that knows the fault."""

from __future__ import annotations

from typing import Any

from rungbook.behaviour.actions import SUPPLY
from rungbook.behaviour.meter import LIVE_VOLTS
from rungbook.behaviour.motor_panel import MotorPanel
from rungbook.proof.hunt import Search
from rungbook.proof.hunt.rig import VOLTS
from rungbook.proof.hunt.search import SOURCE


def seen_of(search: Search) -> dict[str, Any]:
    """Return what is seen in `search` now.

    positions: of operators where the hand has left them, of coils and lamps what is seen. words_of: where another word
    than the position is shown. motors: designation -> word. left: readings that may still be taken. points: how many of
    the three points of the proof are done; proved: True if X1 – X2 is proved dead.
    """
    rig = search.rig
    panel, state = rig.panel, rig.state
    positions = {step.device: panel.position(step.device, state) for step in rig.steps if step.device != SUPPLY}
    words = {}
    for tag, position in positions.items():
        device = panel.devices[tag]
        if not device.spec.momentary and tag.startswith("F"):  # whether it has tripped by itself is not looked at
            words[tag] = "not touched" if position == device.spec.rest else f"{position} by hand"
    for tag in panel.coils:
        positions[tag] = panel.position(tag, state)
        if panel.hums(tag, state):
            words[tag] = f"{positions[tag]}, hums"
    positions |= {tag: panel.position(tag, state) for tag in panel.lamps}
    positions[SUPPLY] = "on" if state.supply else "off"
    if rig.locked:
        words[SUPPLY] = "off, locked out"
    motors = {tag: panel.motor_word(tag, state) for tag in panel.motors} if isinstance(panel, MotorPanel) else {}
    return {
        "positions": positions,
        "words_of": words,
        "motors": motors,
        "locked": rig.locked,
        "left": search.left,
        "points": _points(search),
        "proved": search.proved_dead,
    }


def _points(search: Search) -> int:
    """How many of the three points the last acts have done, in their order."""
    if search.proved_dead:
        return 3
    rows = search.rows
    if rows and rows[-1].act == SOURCE:
        return 1
    if len(rows) > 1 and rows[-2].act == SOURCE and rows[-1].act == VOLTS and search.rig.locked:
        return 2 if (rows[-1].value or 0) < LIVE_VOLTS else 0
    return 0
