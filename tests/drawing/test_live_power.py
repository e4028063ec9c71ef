"""The live state of a power circuit: the same figure, classes that agree with what is fed, and words."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, draw, run
from rungbook.behaviour import PowerFaults, Timeline
from rungbook.circuit.power import POLES, PowerCircuit, direct, reversing, star_delta
from rungbook.drawing.live_power import LivePower

SVG = "{http://www.w3.org/2000/svg}"


def elevator() -> Ladder:
    ladder = Ladder("Apple elevator", [Device(tag) for tag in ("S1", "S2", "S3", "Q1", "Q2")])
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1"))
    ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2"))
    return ladder


def shown(svg: str, word: str) -> set[str]:
    """Wires, poles and motors whose class says `word`."""
    groups = [group for group in ET.fromstring(svg).iter(f"{SVG}g") if word in group.get("class", "").split()]
    return {group.get("data-wire") or group.get("data-device", "") + group.get("data-pole", "") for group in groups}


@pytest.mark.parametrize("symbols", ["nema", "iec"])
def test_a_wire_is_at_voltage_behind_a_closed_pole_and_not_behind_an_open_one(symbols: str) -> None:
    moments = run(elevator(), "press S3, press S1")
    before = {"L1", "L2", "L3", "1L1", "1L2", "1L3", "2L1", "2L2", "2L3"}
    behind = {"1T1", "1T2", "1T3", "U1", "V1", "W1"}
    wires = before | behind
    assert shown(draw(reversing(), symbols, live=moments[0]).svg, "alive") & wires == before
    assert shown(draw(reversing(), symbols, live=moments[1]).svg, "alive") & wires == before | behind
    assert shown(draw(reversing(), symbols, live=moments[2]).svg, "alive") & wires == before


def test_closed_poles_and_the_way_of_the_motor_are_marked() -> None:
    moments = run(elevator(), "press S2, let S2 go, press S1, let S1 go, press S3")
    always = {tag + pole for tag in ("Q9", "F9", "F1") for pole in POLES}
    for place, contactor, way in ((0, "", ""), (1, "Q1", "forward"), (3, "", ""), (5, "Q2", "reverse")):
        svg = draw(reversing(), live=moments[place]).svg
        assert shown(svg, "closed") == always | ({contactor + pole for pole in POLES} if contactor else set())
        assert shown(svg, "forward") == ({"M1"} if way == "forward" else set())
        assert shown(svg, "reverse") == ({"M1"} if way == "reverse" else set())


def test_the_words_and_the_line_below_tell_it() -> None:
    picture = draw(reversing(), live=run(elevator(), "press S3")[1])
    assert picture.description.startswith(draw(reversing()).description)
    assert picture.description.splitlines()[-2:] == [
        "Live: Q9 and Q2 closed; Q1 open; wires L1, L2, L3, 1L1, 1L2, 1L3, 2L1, 2L2, 2L3, 1T1, 1T2, 1T3, U1, V1 and W1"
        " at voltage.",
        "M1: L3 L2 L1 on U1 V1 W1: runs backwards.",
    ]
    lines = [text.text for text in ET.fromstring(picture.svg).iter(f"{SVG}text") if text.get("data-live")]
    assert lines[0] == "M1: L3 L2 L1 on U1 V1 W1: runs backwards."


def test_nothing_of_the_figure_moves() -> None:
    plain, live = (ET.fromstring(draw(reversing(), live=given).svg) for given in (None, run(elevator(), "")[0]))
    added = {"bridge", "lead", "arc", "tip"}

    def strokes(root: ET.Element) -> list[str | None]:
        paths = [one for one in root.iter(f"{SVG}path") if one.get("class", "").split(" ")[0] not in added]
        return [one.get("d") for one in paths]

    assert len(strokes(plain)) > 30
    assert strokes(live) == strokes(plain)


def test_a_terminal_that_is_fed_back_through_a_winding_is_at_voltage() -> None:
    figure = LivePower(direct(), faults=PowerFaults(open=frozenset({("Q1", "5-6")})))
    ladder = Ladder("Wash pump")
    ladder.rung(NO("S1"), coil("Q1"))
    look = figure.look(run(ladder, "press S1")[1])
    assert "W1 at voltage" in look.words
    assert look.words.endswith("single-phasing, so it hums and does not start.")


def test_shorted_phases_are_told() -> None:
    both = Ladder("Both", [Device("S1"), Device("Q1"), Device("Q2")])
    both.rung(NO("S1"), coil("Q1"))
    both.rung(NO("S1"), coil("Q2"))
    picture = draw(reversing(), live=run(both, "press S1")[1])
    assert "L1 and L3 are shorted: Q9 1-2, F9 1-2, Q1 1-2, Q2 5-6, F9 5-6, Q9 5-6." in picture.description.splitlines()
    assert shown(picture.svg, "forward") | shown(picture.svg, "reverse") == set()


def test_a_star_point_is_reached_through_the_windings() -> None:
    ladder = Ladder("Mill", [Device(tag) for tag in ("S1", "Q1", "Q2", "Q3")])
    ladder.rung(NO("S1"), coil("Q1"))
    ladder.rung(NO("S1"), coil("Q3"))
    ladder.rung(NC("S1") & NO("Q1"), coil("Q2"))
    svg = draw(star_delta(), live=run(ladder, "press S1")[1]).svg
    assert {"U2", "V2", "W2"} <= shown(svg, "alive")


def test_a_timeline_is_a_state_too() -> None:
    figure = LivePower(reversing())
    timeline = Timeline(elevator())
    assert figure.look(timeline) == figure.look(run(elevator(), "")[0])


class TestRefusals:
    def test_a_state_of_another_circuit(self) -> None:
        other = Ladder("Cellar fan")
        other.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError, match=r"knows no device with main poles of this one\. Given: .*Q9, Q1, Q2"):
            draw(reversing(), live=run(other, "press S1")[1])

    def test_what_is_no_state(self) -> None:
        with pytest.raises(LadderError, match=r"a live state is a moment of a run, or a timeline\. Given: 'now'"):
            draw(reversing(), live="now")  # type: ignore[arg-type]

    def test_an_unfinished_circuit_has_no_states(self) -> None:
        with pytest.raises(LadderError):
            LivePower(PowerCircuit("Empty"))

    def test_what_is_for_ladders(self) -> None:
        with pytest.raises(LadderError, match="width is for ladders; the lines of a power circuit run down"):
            draw(reversing(), width=400, live=run(elevator(), "")[0])
