"""`draw` for a wire list: the devices as on the panel, and the wires from terminal to terminal."""

from __future__ import annotations

from hashlib import sha256
from xml.etree import ElementTree as ET

from rungbook.circuit import Wiring
from rungbook.drawing.adapter import Sheet, quiet
from rungbook.drawing.cells import line
from rungbook.drawing.panel_describe import describe, route_words
from rungbook.drawing.panel_layout import layout
from rungbook.drawing.panel_marks import Outlines, Path, Sleeves, Terminal
from rungbook.drawing.panel_sheet import PanelPlan, Route
from rungbook.drawing.picture import Picture
from rungbook.drawing.svg import canvas_of
from rungbook.drawing.symbols import Words
from rungbook.errors import LadderError

_CAPTION = 50.0  # baseline of the line below the title


def draw_panel(wiring: Wiring, step: int | None = None) -> Picture:
    """Return the picture of the panel wired as `wiring` says. Equal input gives equal bytes.

    step: number of a wire of the list, from 1: this wire is drawn strong, those before it pale, those after it not.
    Raises LadderError if `wiring` is no Wiring, or it has no wire of that number.
    """
    if not isinstance(wiring, Wiring):
        raise LadderError("draw", "draws a Wiring", wiring, ("wire(ladder, kit)",))
    many = len(wiring.wires)
    if step is not None and (type(step) is not int or not 1 <= step <= many):
        choices = (f"1 to {many}",) if many else ()
        raise LadderError("draw", f"step is the number of a wire of the list, which has {many}", step, choices)
    plan = layout(wiring)
    words = describe(wiring, plan, step)
    name = "rungbook-" + sha256(f"{step}\n{words}".encode()).hexdigest()[:12]
    with quiet():
        sheet = _filled(plan, step, name)
        title = wiring.ladder.title.strip() or "Connections"
        canvas = canvas_of(plan.width, plan.height, title, words, name=name)
        sheet.onto(canvas)
    return Picture(ET.tostring(canvas, encoding="unicode") + "\n", words)


def _filled(plan: PanelPlan, step: int | None, name: str) -> Sheet:
    """The plan as schemdraw elements: devices with their terminals, wires one by one, holes, texts."""
    sheet = Sheet(plan.width, plan.height)
    shown = plan.routes[:step]
    at_hand = set() if step is None else {plan.routes[step - 1].wire.start, plan.routes[step - 1].wire.end}
    for body in plan.bodies:
        about = {"class": "device", "data-device": body.device or "X", "data-kind": body.kind}
        sheet.place(Outlines(body), about, body.title)
        if body.texts:
            sheet.place(Words(body.texts), {"class": "lettering", "data-device": body.device or "X"})
    for route in shown:
        _place(sheet, route, plan, step, name)
    taken = {point for route in shown for point in (route.points[0], route.points[-1])}
    for pin in (pin for body in plan.bodies for pin in body.pins):
        about = {"class": "terminal", "data-terminal": pin.terminal}
        sheet.place(Terminal(pin, taken, pin.terminal in at_hand), about)
    for route in shown:
        look = _look(route, step)
        about = {"class": "sleeves", "data-place": str(route.place)}
        sheet.place(Sleeves(route.sleeves, look), about)
        sheet.place(Words([text for sleeve in route.sleeves for text in sleeve.texts]), about)
    sheet.place(
        Words([*plan.texts, line("note", plan.texts[0].x, _CAPTION, caption(plan, step), "start")]),
        {"class": "lettering"},
    )
    return sheet


def _look(route: Route, step: int | None) -> str:
    return "" if step is None else "strong" if route.place == step else "pale"


def _place(sheet: Sheet, route: Route, plan: PanelPlan, step: int | None, name: str) -> None:
    """One group for one wire, with its name and what it joins."""
    about = {
        "id": f"{name}-wire-{route.place}",
        "class": "wire",
        "data-place": str(route.place),
        "data-wire": str(route.wire.number),
        "data-from": route.wire.start,
        "data-to": route.wire.end,
        "data-colour": route.colour.name,
    }
    sheet.place(Path(route, _look(route, step)), about, route_words(route, len(plan.routes)))


def caption(plan: PanelPlan, step: int | None) -> str:
    """The line below the title: how many wires, or which one is being pulled."""
    many = len(plan.routes)
    if step is None:
        return f"Connections: {many} wire{'s' * (many != 1)}, seen from the front"
    route = plan.routes[step - 1]
    return f"{route_words(route, many)} ({route.colour.letter})"
