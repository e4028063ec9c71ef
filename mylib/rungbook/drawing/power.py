"""`draw` for power circuits: from a `PowerCircuit` to a picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from xml.etree import ElementTree as ET

from rungbook.circuit.power import PowerCircuit
from rungbook.drawing.adapter import Sheet, quiet
from rungbook.drawing.picture import Picture
from rungbook.drawing.power_describe import describe, describe_element
from rungbook.drawing.power_layout import layout
from rungbook.drawing.power_links import check_pairs
from rungbook.drawing.power_sheet import SUPPLY, PlacedDevice, PowerPlan
from rungbook.drawing.power_symbols import THIN, Inked, NodeDots, NodeWires, power_symbols
from rungbook.drawing.power_texts import terminal_texts
from rungbook.drawing.svg import canvas_of
from rungbook.drawing.symbols import Words
from rungbook.errors import LadderError


def draw_power(
    circuit: PowerCircuit, symbols: str = "nema", mechanical_interlock: Iterable[Sequence[str]] = ()
) -> Picture:
    """Return the picture of `circuit`; an unfinished one is drawn as far as it goes. Equal input gives equal bytes.

    symbols: "nema" or "iec". mechanical_interlock: pairs of contactors that hold each other out.
    Raises LadderError if `circuit` is no PowerCircuit, there is no such set, or a pair is not two contactors of it.
    """
    if not isinstance(circuit, PowerCircuit):
        raise LadderError("draw", "draws a PowerCircuit", circuit, ("PowerCircuit('title')",))
    chosen = power_symbols(symbols)
    pairs = check_pairs(circuit, mechanical_interlock)
    plan = layout(circuit, chosen, pairs)
    words = describe(circuit, pairs)
    about = {element.tag: describe_element(element) for element in circuit.elements}
    with quiet():
        sheet = _filled(plan, about)
        title = circuit.title.strip() or "Power circuit"
        canvas = canvas_of(plan.width, plan.height, title, words, variant=f"{symbols}\n")
        sheet.onto(canvas)
    return Picture(ET.tostring(canvas, encoding="unicode") + "\n", words)


def _filled(plan: PowerPlan, about: dict[str, str]) -> Sheet:
    """The plan as schemdraw elements: links, wires, junctions, symbols pole by pole, texts."""
    sheet = Sheet(plan.width, plan.height)
    for link in plan.links:
        sheet.place(Inked(link.ink, width=THIN), {"class": "link", "data-devices": " ".join(link.devices)})
    for node in dict.fromkeys(wire.node for wire in plan.wires):
        wires = [wire for wire in plan.wires if wire.node == node]
        sheet.place(NodeWires(wires), {"class": "wire", "data-wire": node})
    for node in dict.fromkeys(dot.node for dot in plan.dots):
        dots = [dot for dot in plan.dots if dot.node == node]
        sheet.place(NodeDots(dots), {"class": "junction", "data-wire": node})
    for device in plan.devices:
        _place_device(sheet, device, about.get(device.device, "Supply"))
        _place_terminals(sheet, device)
    others = [text for text in plan.texts if text.role not in ("terminal", "rail")]
    for name in dict.fromkeys(text.device for text in others):
        texts = [text for text in others if text.device == name]
        sheet.place(Words(texts), {"class": "lettering"} | ({"data-device": name} if name else {}))
    return sheet


def _place_device(sheet: Sheet, device: PlacedDevice, words: str) -> None:
    """One group for what the poles have in common, one for each pole, one for each terminal where a wire ends."""
    tag = {"data-device": device.device}
    nodes = dict(device.nodes)
    if device.device == SUPPLY:
        for ink in device.shape.poles:
            sheet.place(Inked(ink, (device.x, device.y)), {"class": "symbol", **tag, "data-kind": device.kind}, words)
        return
    sheet.place(
        Inked(device.shape.common, (device.x, device.y)), {"class": "symbol", **tag, "data-kind": device.kind}, words
    )
    for n, ink in enumerate(device.shape.poles):
        upper, lower = device.shape.pins[2 * n : 2 * n + 2]
        pole = {
            "data-pole": f"{upper.terminal}-{lower.terminal}",
            "data-from": nodes[upper.terminal],
            "data-to": nodes[lower.terminal],
        }
        sheet.place(Inked(ink, (device.x, device.y)), {"class": "pole", **tag, **pole})


def _place_terminals(sheet: Sheet, device: PlacedDevice) -> None:
    """The mark of each terminal in a group that names it."""
    nodes = dict(device.nodes)
    for pin, text in zip(device.shape.pins, terminal_texts(device), strict=True):
        about = {"class": "terminal", "data-device": device.device, "data-terminal": pin.terminal}
        sheet.place(Words([text]), about | {"data-wire": nodes[pin.terminal]})
