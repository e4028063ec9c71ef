"""A live state on a drawing: the same figure, classes that agree with the circuit, and words."""

from __future__ import annotations

import re
from xml.etree import ElementTree as ET

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from playwright.sync_api import Browser

from rungbook import NC, NO, Device, Ladder, LadderError, coil, draw, lamp, run
from rungbook.behaviour import Board, Flow, Moment, Panel, Timeline, panel_moment, read_script
from rungbook.circuit import Contact, wire_numbers
from rungbook.drawing.live import LiveFigure, live_classes

from .boards import BOARDS
from .strategies import NAMED, ladders

SVG = "{http://www.w3.org/2000/svg}"
_TABLES = [("nema", "across"), ("nema", "down"), ("iec", "across"), ("iec", "down")]


def _drawn(svg: str, kind: str) -> list[tuple[str, str, str]]:
    """Device, item and classes of every symbol."""
    groups = [g for g in ET.fromstring(svg).iter(f"{SVG}g") if "symbol" in g.get("class", "").split()]
    return [(g.get("data-device", ""), g.get(kind, ""), g.get("class", "")) for g in groups]


@pytest.mark.parametrize(("symbols", "paths"), _TABLES)
def test_the_holding_circuit_after_start_carries_current_through_its_holding_contact(symbols: str, paths: str) -> None:
    ladder = NAMED["holding"]()
    svg = draw(ladder, symbols, paths, live=run(ladder, "press S2, let S2 go")[2]).svg
    assert _drawn(svg, "data-rung") == [
        ("S1", "1", "symbol carries closed"),
        ("S2", "1", "symbol"),
        ("Q1", "1", "symbol carries closed away"),
        ("F1", "1", "symbol carries closed"),
        ("Q1", "1", "symbol carries on"),
        ("Q1", "2", "symbol carries closed away"),
        ("P1", "2", "symbol carries on"),
    ]


def test_words_tell_what_is_live_and_what_is_open() -> None:
    ladder = NAMED["holding"]()
    picture = draw(ladder, live=run(ladder, "press S2, let S2 go")[2])
    assert picture.description.startswith(draw(ladder).description)
    assert picture.description.splitlines()[-3:] == [
        "Live after 'let S2 go': control supply on; wires 1, 3, 4, 5 and 6 at voltage against wire 2; Q1 in; P1 lit.",
        "Live on rung 1: current through NC contact of S1 (11-12), NO contact of Q1 (13-14), NC contact of F1 (95-96)"
        " and coil of Q1; open: NO contact of S2 (13-14).",
        "Live on rung 2: current through NO contact of Q1 (23-24) and lamp P1.",
    ]
    assert f'<desc id="{ET.fromstring(picture.svg).get("id")}-desc">' in picture.svg


def test_a_contact_that_rungs_share_carries_in_each_of_them() -> None:
    ladder = Ladder("Elevator")
    ladder.rung(NC("S1", "11-12") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NC("S1", "11-12") & NO("S3"), coil("Q2"))
    picture = draw(ladder, live=run(ladder, "press S2, let S2 go")[2])
    assert _drawn(picture.svg, "data-rung") == [
        ("S1", "1", "symbol carries closed"),
        ("S2", "1", "symbol"),
        ("Q1", "1", "symbol carries closed away"),
        ("Q1", "1", "symbol carries on"),
        ("S1", "2", "symbol carries closed"),
        ("S3", "2", "symbol"),
        ("Q2", "2", "symbol"),
    ]
    assert "S1 11-12 in rungs 1 and 2 is one contact." in picture.description
    assert picture.description.splitlines()[-1] == (
        "Live on rung 2: current through NC contact of S1 (11-12); open: NO contact of S3."
    )


def test_an_opened_contact_is_marked_and_told() -> None:
    ladder = NAMED["holding"]()
    picture = draw(ladder, live=run(ladder, "press S2, let S2 go, trip F1")[3])
    assert ("F1", "1", "symbol away") in _drawn(picture.svg, "data-rung")
    assert "wires 1, 3 and 4 at voltage" not in picture.description
    assert "wires 1 and 3 at voltage against wire 2; F1 tripped." in picture.description
    told = "no current; closed: NC contact of S1 (11-12); open: NO contact of S2 (13-14), NO contact of Q1 (13-14), NC"
    assert told in picture.description


@pytest.mark.parametrize(("symbols", "paths"), _TABLES)
@pytest.mark.parametrize("width", [None, 560])
def test_it_is_the_same_figure(symbols: str, paths: str, width: float | None) -> None:
    """Every stroke, circle and text stands where it stood; only wires are cut, and texts added below."""
    ladder = NAMED["counting"]()
    trace = run(ladder, "press S1")
    plain, live = draw(ladder, symbols, paths, width).svg, draw(ladder, symbols, paths, width, live=trace[1]).svg

    def strokes(svg: str) -> list[str]:
        root = ET.fromstring(svg)
        found = []
        for group in root.iter(f"{SVG}g"):
            if group.get("class", "").split()[0] in ("symbol", "lettering", "junction", "continuation"):
                own = [one for one in group if one.get("class", "") not in ("bridge", "frame", "tint")]
                found += [
                    "".join(f"{one.get(k)} " for k in ("d", "cx", "cy", "x", "y")) + "".join(one.itertext())
                    for one in own
                ]
        return found

    assert strokes(live) == strokes(plain)
    size = re.compile(r'viewBox="0 0 (\S+) (\S+)"')
    (wide, high), (same, higher) = (tuple(map(float, size.findall(svg)[0])) for svg in (plain, live))
    assert wide == same
    assert higher > high


def test_a_folded_rung_is_live_from_line_to_line() -> None:
    ladder = Ladder("Mill")
    ladder.rung(NC("B1") & NC("B2") & NC("B3") & NC("B4") & NC("B5") & NC("B6") & NC("B7"), coil("Q1"))
    figure = LiveFigure(ladder, width=560)
    whole = live_classes(figure, run(ladder, "")[0])
    assert {key: name for key, name in whole.items() if key[0] == "a"} == {"a1": "carries", "a2": "carries"}
    off = live_classes(figure, run(ladder, "reach B7")[1])
    assert {key: name for key, name in off.items() if key[0] == "a"} == {"a1": "", "a2": ""}


def _classed(root: ET.Element, tag: str, name: str) -> list[ET.Element]:
    return [one for one in root.iter(f"{SVG}{tag}") if name in one.get("class", "").split()]


@pytest.mark.parametrize("paths", ["across", "down"])
@pytest.mark.parametrize("width", [None, 560])
def test_numbers_and_dots_that_are_live_are_those_of_live_wires(paths: str, width: float | None) -> None:
    """Read back from the SVG: wire numbers by what they say, dots by where they stand."""
    ladder = Ladder("Mill")
    way = NC("S1") & (NO("S2") | NO("K1")) & NC("F1") & NC("B1") & NC("B2") & NC("B3") & NC("B4")
    ladder.rung(way, coil("K1"), lamp("P1"))
    ladder.rung(NC("K1") | NO("S3") & NO("B5"), coil("Q1"))
    ladder.rung(NO("K1"), lamp("P2"), lamp("P3"))
    moment = run(ladder, "press S2, let S2 go")[2]
    root = ET.fromstring(draw(ladder, "nema", paths, width, live=moment).svg)
    numbers = {int((one.text or "").split()[0]) for one in _classed(root, "text", "alive")}
    flowing = Flow(Board.of(ladder)).at(moment.closed, {"K1"})
    assert numbers == {node for node, volts in flowing.volts.items() if volts and volts > 1}
    silent = {
        int((one.text or "").split()[0])
        for kind in ("wire", "rail")
        for one in _classed(root, "text", kind)
        if "alive" not in one.get("class", "")
    }
    assert silent
    assert not silent & numbers
    pieces = [one for one in _classed(root, "path", "carries") if one.get("data-live", "").startswith("p")]
    ends = {end for piece in pieces for end in re.findall(r"[ML]([^,]+),([^ML]+)", piece.get("d", ""))}
    dots = {
        (one.get("cx", ""), one.get("cy", "")): "carries" in one.get("class", "").split()
        for one in _classed(root, "circle", "dot")
    }
    assert {dot for dot, carries in dots.items() if carries} == ends & dots.keys()
    assert len(ends & dots.keys()) >= 6


def test_a_bridge_carries_current_either_way() -> None:
    board = BOARDS["bridge"]()
    timeline = Timeline(board)
    for step in read_script("press S1, press S5", board.devices):
        timeline.do(step)
        timeline.advance(timeline.now + 1_000_000)
    picture = draw(board, live=timeline)
    assert {(tag, kind) for tag, _, kind in _drawn(picture.svg, "data-item")} == {
        ("S1", "symbol carries closed away"),
        ("S4", "symbol"),
        ("S2", "symbol"),
        ("S5", "symbol carries closed away"),
        ("S3", "symbol carries closed"),
        ("Q1", "symbol carries on"),
    }


def test_a_timer_that_runs_says_how_long_still() -> None:
    panel = [Device("S1"), Device("K1", "timer relay", setting="on-delay 5 s"), Device("Q1")]
    ladder = Ladder("Press pump", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), coil("Q1"))
    look = LiveFigure(ladder).look(run(ladder, "at 1 s press S1, at 3.5 s let S1 go")[1])
    assert re.fullmatch(r"After: press S1\. K1: 2\.5\d* s left\.", look.texts["t1"])
    assert re.search(r"timer K1 has 2\.5\d* s left", look.words)


def test_a_dead_supply_leaves_nothing_at_voltage() -> None:
    ladder = NAMED["holding"]()
    look = LiveFigure(ladder).look(run(ladder, "press S2, switch the supply off")[2])
    assert "control supply dead; no wire at voltage" in look.words
    assert {name for key, name in look.classes.items() if key[0] in "panj"} == {""}


def test_every_key_of_the_drawing_has_a_class_and_no_other() -> None:
    for name in ("holding", "every_kind", "counting", "six_by_five"):
        ladder = NAMED[name]()
        if name == "six_by_five":
            ladder = Ladder("Mill")
            ladder.rung(NO("S1"), coil("Q1"))
        figure = LiveFigure(ladder, width=560)
        look = figure.look(run(ladder, "")[0])
        keys = [one.get("data-live", "") for one in ET.fromstring(figure.svg).iter() if one.get("data-live")]
        assert sorted(keys) == sorted([*look.classes, *look.texts])


@given(ladders(), st.lists(st.integers(0, 99), max_size=6))
def test_loads_carry_current_where_the_boolean_reading_says_so(ladder: Ladder, orders: list[int]) -> None:
    wound = {load.device for rung in ladder.rungs for load in rung.loads}
    for tag in sorted({c.device for rung in ladder.rungs for c in rung.all_contacts() if c.device[0] in "QK"} - wound):
        ladder.rung(coil(tag))
    assume(ladder.rungs)
    panel, figure = Panel(ladder), LiveFigure(ladder)
    loads = {
        place: wired.item.device
        for place, wired in enumerate(item for rung in wire_numbers(ladder) for item in rung.items)
        if not isinstance(wired.item, Contact)
    }
    state = panel.start
    for order in orders:
        steps = [step for step in panel.steps if panel.can(step, state)]
        rest = panel.after(steps[order % len(steps)], state)
        if rest.chatter or len(rest.states) != 1:
            break
        (state,) = rest.states
        classes = figure.look(panel_moment(panel, state)).classes
        found = {loads[item]: "carries" in classes[f"s{k}"] for k, item in enumerate(figure.items, 1) if item in loads}
        assert found == {tag: panel.has_voltage(tag, state) for tag in loads.values()}


def test_the_path_is_thick_and_in_the_accent_colour_in_a_browser(browser: Browser) -> None:
    ladder = NAMED["holding"]()
    page = browser.new_page()
    page.set_content(draw(ladder, live=run(ladder, "press S2, let S2 go")[2]).svg)
    found = page.evaluate(
        "() => [...document.querySelectorAll('[data-device]')].map(group => { const path ="
        " group.querySelector('path:not(.bridge)') || group.querySelector('circle');"
        " const look = getComputedStyle(path);"
        " const [bridge, frame, tint] = ['.bridge', '.frame', '.tint'].map(name => { const mark ="
        " group.querySelector(name); return mark ? getComputedStyle(mark).display : '' });"
        " return [group.dataset.device, look.stroke, look.strokeWidth, bridge, frame, tint] })"
    )
    page.close()
    ink, accent = "rgb(26, 26, 26)", "rgb(184, 92, 0)"
    assert found == [
        ["S1", accent, "3.2px", "", "none", ""],
        ["S2", ink, "1.8px", "none", "none", ""],
        ["Q1", accent, "3.2px", "inline", "inline", ""],
        ["F1", accent, "3.2px", "", "none", ""],
        ["Q1", accent, "3.2px", "", "", "inline"],
        ["Q1", accent, "3.2px", "inline", "inline", ""],
        ["P1", accent, "3.2px", "", "", "inline"],
    ]


def test_two_states_on_one_page_do_not_mix() -> None:
    """The style sheet of an SVG that stands in a page counts in the whole page: it must name its own drawing."""
    ladder = NAMED["holding"]()
    trace = run(ladder, "press S2")
    roots = [ET.fromstring(draw(ladder, live=moment).svg) for moment in trace]
    names = [root.get("id") for root in roots]
    assert len(set(names)) == 2
    for name, root in zip(names, roots, strict=True):
        rules = (root.findtext(f"{SVG}style") or "").splitlines()
        assert len(rules) == 5
        assert all(part.startswith(f"#{name} ") for rule in rules for part in rule.split("{")[0].split(","))


@pytest.mark.parametrize(
    ("live", "said"),
    [
        ("press S2", "a moment of a run"),
        (Moment("", {"Q1": "in"}), "has 5 contacts"),
        (Moment("", {"Q1": "in"}, closed=(True,) * 5), "does not say where this device is"),
    ],
)
def test_a_state_that_is_not_of_this_circuit_is_refused(live: object, said: str) -> None:
    with pytest.raises(LadderError, match=said):
        draw(NAMED["holding"](), live=live)  # type: ignore[arg-type]


def test_a_ladder_that_is_not_finished_has_no_live_state() -> None:
    with pytest.raises(LadderError, match="no rungs yet"):
        draw(Ladder("Cellar fan"), live=Moment("", {}))


def test_a_live_state_is_for_ladders_and_boards() -> None:
    ladder = Ladder("Cellar fan")
    ladder.rung(NO("S1"), lamp("P1"))
    for other in (run(ladder, "press S1"), 3):
        with pytest.raises(LadderError, match="a live state is that of a Ladder"):
            draw(other, live=run(ladder, "")[0])  # type: ignore[arg-type]
