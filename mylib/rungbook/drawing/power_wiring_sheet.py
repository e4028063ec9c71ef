"""The power side of a wiring sheet: diagram and wires, dead tests, the motor, sign-off, rotation and direction."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import groupby

from rungbook.circuit.power import LINES, MOTOR, by_hand
from rungbook.circuit.power_wires import PE, STANDS_FOR, MainWire, PowerWiring
from rungbook.circuit.wiring import Wiring
from rungbook.drawing.forms import BOX, beside, cautions, figure, fill_in, sign_off
from rungbook.proof.wiring_check import Joined, MainTest, main_tests, motor_steps, must_stay_apart, overload_shares
from rungbook.tables import listed

_USUAL = (
    "Usual, from memory; your local code comes first. Lines and loads: black (NFPA 79, IEC 60204-1), or brown, black, "
    "grey for L1, L2, L3 (IEC 60445). Protective earth: green, or green with yellow (NFPA 79), green-and-yellow "
    "(IEC 60445), and nothing else in these colours. Size: 14 AWG or 1.5 mm² at the least, 125 % of the motor's rated "
    "current or more, and not less than the fuses in front protect. Write what you took."
)
_SUPPLY_OFF = (
    "Supply off and locked out in front of L1, L2, L3, proved dead there; control supply off too; main fuses in place "
    "where a row does not say “out”. Meter on ohms. “Pushed in”: the armature, by hand, with a tool that insulates. A "
    "control transformer that hangs on two of the lines shows the ohms of its winding between them: take the fuses in "
    "front of it out first. No ohmmeter tells whether a wire passes an overload relay by: see that each of its poles "
    "has a wire at both ends."
)
_SIGNED = (
    "Power side wired as drawn, every wire ticked and pulled",
    "Its dead tests done, readings as expected: no two lines are joined",
    "Control circuit tested alone, and every interlock seen to hold",
    "Protective earth of each motor connected and measured; overload set to the nameplate",
    "Covers on, shafts free and guarded, tools away",
)
_LINKED = {(end, end) for end in ("1/L1", "3/L2", "5/L3", "4/T2")} | {("2/T1", "6/T3"), ("6/T3", "2/T1")}
_LINE = "." * 20  # to write a reading on
_WIDE = 460.0  # a diagram that is wider [px] stands above the wires, not beside them


def power_parts(power: PowerWiring, listed: Sequence[str]) -> list[tuple[str, ...]]:
    """Rows for the parts of the power side that are not `listed` yet: designation, model, plate, what to fit."""
    labels = {element.tag: element.label for element in power.circuit.elements}
    rows: list[tuple[str, ...]] = []
    for part in power.parts:
        if part.tag in listed:
            continue
        model = part.model or f"{part.kind} with {len(part.ends)} leads"
        if not part.model:
            fit = f"not in the kit: {len(part.ends)} free terminals and {PE} in its place"
        else:
            fit = "not in the box: to be added" if part.extra else "nothing"
        if part.kind in STANDS_FOR and part.model:
            model += f" (is the {part.kind})"
        rows.append((part.tag, model, labels[part.tag] or "–", fit))
    for one in must_stay_apart(power):
        rows.append((" + ".join(one.pair), "mechanical interlock", "–", f"between the two; {_links(power, *one.pair)}"))
    return rows


def _links(power: PowerWiring, one: str, other: str) -> str:
    """What becomes of reversing links on two contactors: straight above, the outer two crossed below."""
    between = {
        (wire.start.partition(":")[2], wire.end.partition(":")[2]): number
        for number, wire in enumerate(power.wires, 1)
        if (wire.start.partition(":")[0], wire.end.partition(":")[0]) == (one, other)
    }
    if set(between) != _LINKED:
        return "reversing links off"
    numbers = sorted(between.values())
    return f"reversing links, if fitted, are wires {numbers[0]} to {numbers[-1]}"


def power_sections(wiring: Wiring, power: PowerWiring, symbols: str, first: int) -> list[str]:
    """The HTML of the power side, on a new page. first: number of its first section."""
    from rungbook.drawing import draw

    numbers = list(enumerate(power.wires, 1))
    on_panel = [(n, one) for n, one in numbers if not one.motor]
    to_motor = [(n, one) for n, one in numbers if one.motor]
    tests = main_tests(power)
    picture = draw(power.circuit, symbols)
    listed = fill_in(
        ("", "from", "to", "wire", "colour, size (usual: black)"), [(*row[:4], "") for row in _wires(on_panel)]
    )
    wide = picture.size[0] > _WIDE
    return [
        f'<h2 class="new-page">{first} · Power side: diagram and wires</h2>',
        f"<p>{escape(_USUAL)} Not more than two wires on a terminal. No wire goes to a motor yet.</p>",
        figure(picture) + listed if wide else beside(figure(picture), listed),
        f'<h2 class="new-page">{first + 1} · Power side: dead tests, no motor connected</h2>',
        f"<p>{escape(_SUPPLY_OFF)}</p>",
        _tests(tests.of_stage("panel")),
        _apart(tests.joined),
        f"<h2>{first + 2} · The motors: by themselves, then connected</h2>",
        "<p>First each motor by itself. Its windings are alike: readings within 5 % of their mean, the meter's leads "
        "taken off (usual, from memory). R is their mean. Insulation is tested only as your supervisor says, the motor "
        "not connected to anything.</p>",
        fill_in(
            (
                "motor",
                "rated current, voltage on the plate",
                "R [ohm]",
                "insulation",
                "dial of the relay",
                "set to [A]",
            ),
            _plates(power),
        ),
        _tests(tests.of_stage("motor")),
        "<p>Control circuit tested alone, supply locked out again, proved dead: then these wires, protective earth "
        "first.</p>",
        fill_in(_HEAD, _wires(to_motor)),
        _tests(tests.of_stage("connected")),
        "<p>Protective earth, with a proper tester or the meter on its lowest range: below 1 ohm (usual, from memory) "
        f"from the bar {PE} to each frame, mounting plate, cover and door of metal.</p>",
        fill_in(
            (f"from {PE} to", "must show", "reading"),
            [(f"frame of {p.tag}", "below 1 ohm", "") for p in power.parts if p.kind == MOTOR]
            + [("mounting plate, covers, door", "below 1 ohm", "")],
        ),
        sign_off("Sign-off before energising the power side", _SIGNED),
        cautions("Power side with voltage"),
        f"<h2>{first + 3} · Power side: rotation and direction</h2>",
        _live(wiring, power),
    ]


_HEAD = ("", "from", "to", "wire", "usual", "colour, size")


def _wires(numbered: Sequence[tuple[int, MainWire]]) -> list[tuple[str, ...]]:
    return [
        (str(n), one.start, one.end, one.node, "green-yellow" if one.node == PE else "black", "") for n, one in numbered
    ]


def _tests(tests: Sequence[MainTest]) -> str:
    """Three tests a row, pole by pole: alike in what is pushed in and in what must show."""
    rows = ""
    for _, alike in groupby(tests, key=lambda test: (test.order, test.shown, _part(test.a), _part(test.b))):
        whole = list(alike)
        for at in range(0, len(whole), 3):
            three = whole[at : at + 3]
            numbers = str(three[0].number) if len(three) == 1 else f"{three[0].number}–{three[-1].number}"
            cells = [f'<td class="whole">{numbers}</td><td>{escape(three[0].order or "all off")}</td>']
            cells += [f'<td class="read">{escape(f"{test.a} – {test.b}")}<br>{_LINE}</td>' for test in three]
            cells += ['<td class="none"></td>'] * (3 - len(three))
            rows += (
                f'<tr>{"".join(cells)}<td class="whole">{escape(three[0].shown)}</td><td class="tick">{BOX}</td></tr>'
            )
    head = (
        '<td></td><th scope="col">with</th>'
        '<th scope="colgroup" colspan="3">measure between, write the reading below</th>'
        '<th scope="col">must show</th><td></td>'
    )
    return f'<table class="small"><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>'


def _part(terminal: str) -> str:
    """The part that a terminal belongs to; "" for a line of the supply."""
    return "" if terminal in LINES else terminal.partition(":")[0]


def _apart(pairs: Sequence[Joined]) -> str:
    if not pairs:
        return ""
    told = (
        "<p>No contactor alone joins two lines, as you have measured. Two together would: that is why the interlock is "
        "there. With a mechanical interlock fitted, push the one in and try the other: it must not move in.</p>"
    )
    body = ""
    for joined in pairs:
        a, b = joined.pair
        held = f"{a} in: {b} held out {BOX}<br>{b} in: {a} held out {BOX}"
        body += f'<tr><td>{escape(joined.told)}</td><td class="whole">{held}</td></tr>'
    head = '<th scope="col">the model says</th><th scope="col">mechanical interlock, by hand</th>'
    return f'{told}<table class="small"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'


def _plates(power: PowerWiring) -> list[tuple[str, ...]]:
    shares = overload_shares(power.circuit)
    rows: list[tuple[str, ...]] = []
    for part in power.parts:
        if part.kind == MOTOR:
            tag, share = shares.get(part.tag, ("", 0.0))
            inside = "" if abs(share - 1) < 0.001 else f" × {share:.3f}"
            told = f"{tag}: rated current{inside}" if tag else "as your instructor says"
            rows.append((part.tag, "", "", "", told, ""))
    return rows


def _live(wiring: Wiring, power: PowerWiring) -> str:
    volts = power.circuit.source.volts
    switches = [part.tag for part in power.parts if by_hand(part.kind)]
    rows = [
        (
            "supply on, all off",
            f"rotation meter on {', '.join(LINES)}: it turns right, the order is {', '.join(LINES)}",
            "",
        ),
        (
            "measure between each two lines",
            f"{volts:g} V, all three alike",
            "",
        ),
    ]
    if switches:
        rows.append((f"turn {listed(switches)} on, touch nothing", "every motor stands still", ""))
    steps = motor_steps(wiring, power.circuit)
    rows += [(step.orders, f"{step.seen}. {step.motors}", "") for step in steps]
    rows.append(
        ("let each motor run, if there is one", "current in the three lines alike, none above the nameplate", "")
    )
    told = (
        "<p>Only with your instructor beside you. Tap first: stop as soon as the shaft has moved, look which way. "
        "“Forwards” is L1, L2, L3 on U1, V1, W1; which way that is at the shaft, your instructor says. If every way is "
        "the wrong one: off, lock out, prove dead, exchange two wires at the motor, do its dead tests again. If one "
        "contactor alone gives the wrong way, its wires are not as listed.</p>"
    )
    return f'<div class="whole">{told}{fill_in(("do", "must be seen", "seen, read"), rows)}</div>'
