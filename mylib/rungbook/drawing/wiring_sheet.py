"""The wiring sheet of a circuit: what to take, the diagram, wire by wire, dead tests, sign-off, steps with voltage."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape

from rungbook.circuit.power import PowerCircuit, by_hand
from rungbook.circuit.power_wires import PowerWiring, wire_power
from rungbook.circuit.wires import LEFT_RAIL, RIGHT_RAIL
from rungbook.circuit.wiring import Wiring
from rungbook.drawing.forms import FIELDS, SIGN_OFF, Form, block, cautions, figure, fill_in, sign_off
from rungbook.drawing.power_wiring_sheet import power_parts, power_sections
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit
from rungbook.proof.wiring_check import dead_tests, live_tests
from rungbook.tables import listed

#: colour of a control wire by its node; NFPA 79 (from memory): red a.c. control, white the grounded conductor
GROUNDED, CONTROL = "white", "red"
_ALONE = "Sign-off before energising the control circuit alone"
_COLOURS = (
    "Colours as NFPA 79 has them (from memory): red for a.c. control wires, white for the grounded one (wire 2), green "
    "or green-and-yellow for the protective earth alone. Your local code comes first."
)


def wiring_sheet(
    wiring: Wiring,
    filled: Mapping[str, str] | None = None,
    symbols: str = "nema",
    power: PowerCircuit | None = None,
    box: Kit = TRAINING_KIT,
) -> Form:
    """Return the wiring sheet of `wiring`, to print and to fill in.

    filled: what fields say already, such as {"Group": "A", "Kit": "K03"}. symbols: "nema" or "iec". The wire list is in
    the order of work; dead tests and steps with voltage have the readings that the network predicts. power: the power
    circuit that the contactors of `wiring` switch; its side follows on pages of its own, with a sign-off of its own,
    and takes from `box` what the control circuit does not have.

    Raises LadderError if `wiring` is no `Wiring`, there is no such field, a contactor of `power` has no coil in
    `wiring`, or as `draw` and `wire_power`.
    """
    from rungbook.drawing import draw

    if not isinstance(wiring, Wiring):
        raise LadderError("wiring_sheet", "is made of a `Wiring`", wiring, ("wire(ladder, TRAINING_KIT)",))
    for field in filled or {}:
        if field not in FIELDS:
            raise LadderError("wiring_sheet", "has no such field", field, FIELDS)
    main = wire_power(power, wiring.kit, box) if power is not None else None
    control = _parts(wiring)
    title = f"Wiring sheet: {wiring.ladder.title}"
    dead = [(str(t.number), t.order or "at rest", f"{t.a} – {t.b}", t.shown, "") for t in dead_tests(wiring).tests]
    parts = [
        f"<h1>{escape(title)}</h1>",
        block(filled),
        cautions("Before you begin"),
        "<h2>1 · Parts to take</h2>",
        fill_in(("part", "model", "on the plate", "fit to it"), control + _power_parts(main, control)),
        "<h2>2 · The diagram</h2>",
        figure(draw(wiring.ladder, symbols)),
        f"<p>{escape(' '.join(wiring.notes))}</p>" if wiring.notes else "",
        "<h2>3 · The wires, in the order of work</h2>",
        f"<p>{escape(_COLOURS)} Not more than two wires on a terminal. Pull on each wire when it is screwed down.</p>",
        fill_in(("", "from", "to", "wire number", "colour"), _wires(wiring)),
        "<h2>4 · The panel</h2>",
        figure(draw(wiring)),
        "<h2>5 · Dead tests</h2>",
        "<p>Supply off, locked out, control fuse taken out, proved dead. Meter on ohms; it beeps below about 30 ohm. "
        "A reading may differ by a quarter: coils are not all alike.</p>",
        fill_in(("", "do", "measure between", "must show", "reading"), dead),
        sign_off() if main is None else sign_off(_ALONE, (*SIGN_OFF, _isolated(main))),
        cautions("With voltage: once more"),
        "<h2>6 · Steps with voltage</h2>" if main is None else "<h2>6 · Steps with voltage, control circuit alone</h2>",
        _live(wiring),
        *(power_sections(wiring, main, symbols, 7) if main is not None else []),
    ]
    return Form(title, "\n".join(parts))


def _isolated(main: PowerWiring) -> str:
    """The line of the sign-off that keeps the power side out while the control circuit is tested (common practice)."""
    switches = [part.tag for part in main.parts if by_hand(part.kind)]
    how = f"{listed(switches)} off and locked out" if switches else "L1, L2, L3 not connected"
    return f"Power side isolated: {how}, no motor connected"


def _power_parts(main: PowerWiring | None, control: list[tuple[str, ...]]) -> list[tuple[str, ...]]:
    return power_parts(main, [row[0] for row in control]) if main is not None else []


def _parts(wiring: Wiring) -> list[tuple[str, ...]]:
    devices = {device.tag: device for device in wiring.ladder.declared or ()}
    rows: list[tuple[str, ...]] = []
    for tag in dict.fromkeys(item.item.device for item in wiring.items):
        fitted = wiring.kit.devices[tag]
        device = devices.get(tag)
        plate = ", ".join(filter(None, (device.colour, device.label, device.setting))) if device is not None else ""
        used = {end for item in wiring.items if item.item.device == tag for end in item.item.terminals.split("-")}
        needed = [extra.name for extra in fitted.accessories if used & set(extra.terminals)]
        rows.append((tag, fitted.model.name, plate or "–", ", ".join(needed) or "nothing"))
    return rows


def _wires(wiring: Wiring) -> list[tuple[str, ...]]:
    colours = {RIGHT_RAIL: GROUNDED, LEFT_RAIL: CONTROL}
    return [
        (str(n), one.start, one.end, str(one.number), colours.get(one.number, CONTROL))
        for n, one in enumerate(wiring.wires, 1)
    ]


def _live(wiring: Wiring) -> str:
    found = live_tests(wiring)
    if not found.tests:
        return f"<p>{escape(found.told)}</p>"
    rows = [(str(t.number), t.orders, t.seen, t.shown or "–", "") for t in found.tests]
    cut = "" if found.whole else "<p>These are the first steps; think of more.</p>"
    told = (
        "<p>Only with your instructor beside you. Voltage across each coil and lamp; expected at 120 V supply. If one "
        "step is not as it must be: switch off, lock out, prove dead, and look for the reason.</p>"
    )
    return told + fill_in(("", "do", "must be seen", "must be read", "reading"), rows) + cut
