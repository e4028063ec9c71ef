"""The panel's plan: the network read back from the lines is the wire list, and nothing lies on anything else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import assume, given, settings

from labs.harness import run_cell
from rungbook import NC, NO, Ladder, LadderError, coil, lamp, wire
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from rungbook.drawing.panel_layout import layout
from rungbook.kit import TRAINING_KIT
from strategies import ladders

from .panel_geometry import check, every_corner_is_right, joined, no_two_routes_lie_on_one_another
from .panel_kits import apple_elevator, generous_for, kit_for, kit_ladders, wash_pump, without_terminals

ROOT = Path(__file__).resolve().parents[2]
A4 = (1123, 794)  # [px] at 96 px an inch, the longer side at the bottom
SMALLEST = 0.7  # scale at which letters of 10 px are 1.9 mm high on paper and can still be read


def lab_ladders():
    """Every ladder with rungs that the solution of a lab builds, as (name, ladder)."""
    found = {}
    for lab in find_labs(ROOT):
        names: dict = {"__name__": "__main__"}
        for cell in instructor_notebook(lab).cells:
            if cell.cell_type == "code":
                run_cell(cell.source, names)
                for name, value in names.items():
                    if isinstance(value, Ladder) and value.rungs:
                        found[f"{lab.short} {name}: {value.title}"] = value
    return list(found.items())


LADDERS = lab_ladders()


def checked(wiring):
    plan = layout(wiring)
    check(plan)
    assert joined(plan) == [frozenset((one.start, one.end)) for one in wiring.wires]
    assert [route.wire for route in plan.routes] == list(wiring.wires)
    return plan


def wired_on_enough(ladder):
    """`ladder` wired on real devices, or, where they have too few contacts, on ones with six or seven."""
    try:
        return wire(ladder, kit_for(ladder))
    except LadderError:
        try:
            return wire(ladder, generous_for(ladder, SIX))
        except LadderError:
            return wire(ladder, generous_for(ladder, (*SIX, "83-84")))


SIX = ("13-14", "21-22", "31-32", "41-42", "53-54", "63-64")


class TestLabs:
    @pytest.mark.parametrize("ladder", [ladder for _, ladder in LADDERS], ids=[name for name, _ in LADDERS])
    def test_every_solution_reads_back_and_fits_a_sheet(self, ladder):
        bare = without_terminals(ladder)
        if any(device.kind == "three-position selector" for device in ladder.devices.values()):
            bare = ladder  # which contact of a selector it is decides in which positions it is closed
        wiring = wired_on_enough(bare)
        plan = checked(wiring)
        ways_up = (A4, A4[::-1])
        scale = max(min(wide / plan.width, high / plan.height) for wide, high in ways_up)
        assert scale >= SMALLEST, (plan.width, plan.height)

    def test_there_are_solutions_to_look_at(self):
        assert len(LADDERS) >= 20


class TestTrade:
    @pytest.mark.parametrize("make", [wash_pump, apple_elevator])
    def test_circuits_of_the_mill_read_back_on_the_training_kit(self, make):
        checked(wire(make(), TRAINING_KIT))

    def test_a_wire_goes_straight_down_where_it_can(self):
        plan = layout(wire(wash_pump(), TRAINING_KIT))
        route = next(route for route in plan.routes if route.wire.start == "Q1:14" and route.wire.end == "F1:95")
        assert len(route.pieces) == 3

    def test_equal_wire_lists_give_equal_plans(self):
        assert layout(wire(apple_elevator(), TRAINING_KIT)) == layout(wire(apple_elevator(), TRAINING_KIT))

    def test_wire_numbers_of_three_figures_have_wider_sleeves(self):
        ladder = Ladder("Filling line")
        way = NC("S1")
        for n in range(2, 101):
            way = way & NC(f"S{n}")
        ladder.rung(way, coil("Q1"))
        plan = layout(wire(ladder, kit_for(ladder)))
        every_corner_is_right(plan)
        widths = {sleeve.box[2] - sleeve.box[0] for route in plan.routes for sleeve in route.sleeves}
        assert widths == {21.0}
        for route in plan.routes:
            for sleeve in route.sleeves:
                assert all(text.width <= 21 for text in sleeve.texts)

    def test_a_circuit_without_a_wire_to_a_side_needs_no_channel_there(self):
        ladder = Ladder()
        ladder.rung(lamp("P1", "white"))
        plan = checked(wire(ladder, TRAINING_KIT))
        assert plan.rows == (("",), ("P1",))
        assert plan.height < 400


class TestAnyLadder:
    @settings(max_examples=30, deadline=None)
    @given(kit_ladders())
    def test_what_fits_the_training_kit_reads_back(self, ladder):
        checked(wire(ladder, TRAINING_KIT))

    @settings(max_examples=60, deadline=None)
    @given(ladders())
    def test_any_ladder_with_any_words_on_it_reads_back(self, ladder):
        bare = without_terminals(ladder)
        try:
            wiring = wire(bare, generous_for(bare))
        except LadderError as short:
            assume("contacts of" not in short.rule)
            raise
        checked(wiring)


class TestTheCheckItself:
    def test_a_route_to_another_terminal_is_seen(self):
        wiring = wire(wash_pump(), TRAINING_KIT)
        plan = layout(wiring)
        first, second, *others = plan.routes
        swapped = replace(plan, routes=(replace(first, points=second.points), second, *others))
        assert joined(swapped)[0] == joined(plan)[1]

    def test_two_wires_on_one_line_are_seen(self):
        plan = layout(wire(wash_pump(), TRAINING_KIT))
        first, *others = plan.routes
        moved = replace(first, points=tuple((x + 4, y) for x, y in others[0].points))
        with pytest.raises(AssertionError, match=r"wires 1 and 2 lie beside each other"):
            no_two_routes_lie_on_one_another(replace(plan, routes=(moved, *others)))


def test_normally_open_and_closed_contacts_are_told_apart_by_words():
    ladder = Ladder("Cellar fan")
    ladder.rung(NO("S1"), coil("Q1"))
    plan = layout(wire(ladder, TRAINING_KIT))
    button = next(body for body in plan.bodies if body.device == "S1")
    assert [text.words for text in button.texts][:6] == ["11", "NC", "12", "23", "NO", "24"]
