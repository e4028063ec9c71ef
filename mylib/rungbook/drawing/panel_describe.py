"""The panel in words, complete enough to wire it by ear: where each device stands, then wire by wire in order."""

from __future__ import annotations

from rungbook.circuit import Wiring
from rungbook.drawing.panel_sheet import BOTTOM, TOP, Body, PanelPlan, Route

CAUTION = (
    "De-energise, lock out and verify absence of voltage before you touch a terminal; work under qualified supervision;"
    " local codes and the data sheets of the parts come first."
)


def describe(wiring: Wiring, plan: PanelPlan, step: int | None = None) -> str:
    """Return the description of `plan`. step: the wire that is being pulled; later ones are then not told."""
    name = f"Connections of {wiring.ladder.title!r}" if wiring.ladder.title.strip() else "Connections"
    many = len(plan.routes)
    said = [f"{name} on the {wiring.kit.name}, seen from the front: {_count(many, 'wire')}. {CAUTION}"]
    bodies = {body.device: body for body in plan.bodies}
    for n, row in enumerate(plan.rows, 1):
        said.append(f"Row {n} from the top, from the left:")
        said += [f"{_body(bodies[tag], plan, wiring)}." for tag in row]
    if step is not None:
        said.append(step_words(plan, step))
    shown = plan.routes if step is None else plan.routes[:step]
    said += [f"{route_words(route, many)}." for route in shown]
    return "\n".join(said)


def route_words(route: Route, many: int) -> str:
    """Return e.g. "Wire 7 of 14: from S2 14 to Q1 A1, wire number 3, red"."""
    ends = f"from {_end(route.wire.start)} to {_end(route.wire.end)}"
    return f"Wire {route.place} of {many}: {ends}, wire number {route.wire.number}, {route.colour.name}"


def step_words(plan: PanelPlan, step: int) -> str:
    """What has been done at this step, and what is left."""
    left = len(plan.routes) - step
    done = {0: "no wire is in place yet", 1: "wire 1 is in place"}.get(step - 1, f"wires 1 to {step - 1} are in place")
    rest = f"{_count(left, 'wire')} to come" if left else "this is the last one"
    return f"Wire {step} is being pulled; {done}, {rest}."


def _body(body: Body, plan: PanelPlan, wiring: Wiring) -> str:
    """A device: what it is, where it hangs, and its terminals that take a wire in this circuit."""
    wired = {end for route in plan.routes for end in (route.wire.start, route.wire.end)}
    name = body.title
    under = next((row for row in plan.bodies if row is not body and _hangs(body, row)), None)
    if under is not None:
        name += f", below {under.device}"
    ways = []
    for side, words in ((TOP, "at its upper edge"), (BOTTOM, "at its lower edge")):
        names = [
            pin.name for pin in sorted(body.pins, key=lambda pin: pin.x) if pin.side == side and pin.terminal in wired
        ]
        if names:
            ways.append(f"{words} {', '.join(names)}")
    return f"{name}: wired {'; '.join(ways)}" if ways else name


def _hangs(body: Body, other: Body) -> bool:
    return body.box[0] == other.box[0] and 0 < body.box[1] - other.box[3] < 20


def _end(terminal: str) -> str:
    tag, _, name = terminal.partition(":")
    return f"{tag} {name}".strip() if name else f"supply {tag}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'s' * (number != 1)}"
