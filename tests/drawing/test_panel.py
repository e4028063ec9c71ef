"""The picture of the panel: each wire a group with a name, read back from the SVG; one step at a time."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from rungbook import NO, Ladder, LadderError, coil, draw, wire
from rungbook.circuit import PowerCircuit, Wiring
from rungbook.kit import TRAINING_KIT

from .panel_kits import apple_elevator, wash_pump

SVG = "{http://www.w3.org/2000/svg}"


def groups(picture, kind):
    return [group for group in ET.fromstring(picture.svg).iter(f"{SVG}g") if group.get("class") == kind]


def corners(path):
    """The points of a path of straight pieces, as schemdraw writes it: M x,y L x,y …"""
    words = path.get("d").replace("M", " ").replace("L", " ").replace(",", " ").split()
    numbers = [float(word) for word in words]
    return list(zip(numbers[::2], numbers[1::2], strict=True))


@pytest.fixture
def pump():
    return wire(wash_pump(), TRAINING_KIT)


class TestWires:
    def test_each_wire_is_one_group_named_as_in_the_list(self, pump):
        found = [
            (group.get("data-place"), group.get("data-from"), group.get("data-to"), group.get("data-wire"))
            for group in groups(draw(pump), "wire")
        ]
        assert found == [(str(n), one.start, one.end, str(one.number)) for n, one in enumerate(pump.wires, 1)]
        assert len({group.get("id") for group in groups(draw(pump), "wire")}) == 10

    def test_its_title_says_what_it_joins(self, pump):
        titles = [group.find(f"{SVG}title").text for group in groups(draw(pump), "wire")]
        assert titles[3] == "Wire 4 of 10: from S2 24 to Q1 14, wire number 4, red"
        assert titles[6] == "Wire 7 of 10: from supply X2 to Q1 A2, wire number 2, white"

    def test_its_line_ends_in_the_places_of_its_two_terminals(self):
        wiring = wire(apple_elevator(), TRAINING_KIT)
        picture = draw(wiring)
        places = {
            (float(ring.get("cx")), float(ring.get("cy"))): group.get("data-terminal")
            for group in groups(picture, "terminal")
            for ring in group.iter(f"{SVG}circle")
        }
        found = []
        for group in groups(picture, "wire"):
            points = corners(list(group.iter(f"{SVG}path"))[-1])
            found.append({places[points[0]], places[points[-1]]})
        assert found == [{one.start, one.end} for one in wiring.wires]

    def test_colour_is_a_letter_on_both_ends_too(self, pump):
        picture = draw(pump)
        letters = {}
        for group in groups(picture, "sleeves"):
            for text in group.iter(f"{SVG}text"):
                letters.setdefault(group.get("data-place"), []).append(text.text)
        assert letters["1"] == ["1", "R", "1", "R"]
        assert letters["7"] == ["2", "W", "2", "W"]
        assert set(letters) == {str(n) for n in range(1, 11)}

    def test_equal_lists_give_equal_bytes(self):
        assert draw(wire(apple_elevator(), TRAINING_KIT)).svg == draw(wire(apple_elevator(), TRAINING_KIT)).svg


class TestStep:
    def test_wires_before_are_pale_this_one_is_strong_the_rest_are_not_there(self, pump):
        found = groups(draw(pump, step=4), "wire")
        assert [group.get("data-place") for group in found] == ["1", "2", "3", "4"]
        strokes = [list(group.iter(f"{SVG}path"))[-1].get("style") for group in found]
        assert all("stroke:#8a8a8a;" in style and "stroke-width:1.0;" in style for style in strokes[:3])
        assert "stroke:#b85c00;" in strokes[3]
        assert "stroke-width:4.4;" in strokes[3]

    def test_what_is_drawn_stands_where_it_stands_in_the_whole_picture(self, pump):
        whole, step = groups(draw(pump), "wire"), groups(draw(pump, step=4), "wire")
        for one, other in zip(whole, step, strict=False):
            assert corners(next(one.iter(f"{SVG}path"))) == corners(next(other.iter(f"{SVG}path")))

    def test_the_line_below_the_title_and_the_words_name_the_wire(self, pump):
        picture = draw(pump, step=4)
        assert "Wire 4 of 10: from S2 24 to Q1 14, wire number 4, red (R)" in picture.svg
        assert "Wire 4 is being pulled; wires 1 to 3 are in place, 6 wires to come." in picture.description
        assert "Wire 5 of 10" not in picture.description

    @pytest.mark.parametrize("step", [0, 11, -1, 1.0, True, "4"])
    def test_a_step_that_is_no_wire_of_the_list_is_an_error(self, pump, step):
        with pytest.raises(LadderError, match=r"step is the number of a wire of the list, which has 10.*1 to 10"):
            draw(pump, step=step)


class TestArguments:
    def test_step_is_for_wire_lists(self):
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q1"))
        for circuit in (ladder, PowerCircuit()):
            with pytest.raises(LadderError, match="step is for a wire list"):
                draw(circuit, step=1)

    @pytest.mark.parametrize("more", [{"symbols": "iec"}, {"paths": "down"}, {"width": 500}])
    def test_a_wire_list_has_no_symbols_paths_or_width(self, pump, more):
        with pytest.raises(LadderError, match=f"{next(iter(more))} is for circuit diagrams"):
            draw(pump, **more)

    def test_a_list_without_wires_is_drawn_but_has_no_step(self):
        empty = Wiring(Ladder("Empty"), TRAINING_KIT, (), ())
        assert "0 wires" in draw(empty).description
        with pytest.raises(LadderError, match="which has 0"):
            draw(empty, step=1)
