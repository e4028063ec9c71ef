"""A mechanical interlock holds an armature out whatever its coil gets: on the panel without times, and in time."""

from dataclasses import replace

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil
from rungbook.behaviour import MICRO, Board, Timeline, read_script
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.faults import open_load, welded_contactor


def elevator():
    """Two directions without any electrical interlock."""
    ladder = Ladder("Apple elevator")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    ladder.rung(NC("S1") & (NO("S3") | NO("Q2")), coil("Q2"))
    return ladder


BARE = Board.of(elevator())
LOCKED = replace(BARE, mechanical_interlock=(("Q1", "Q2"),))


def rests(board, script):
    """The panel, and its one state at rest after `script`."""
    panel = BoardPanel(board)
    (state,) = panel.rest(panel.start).states
    for step in read_script(script, board.devices):
        (state,) = panel.after(step, state).states
    return panel, state


def played(board, script):
    timeline = Timeline(board)
    for step in read_script(script, {tag: one for tag, one in board.devices.items() if one.spec.operated}):
        timeline.do(step)
        timeline.advance(timeline.now + MICRO)
    return timeline


def words(board, script, *tags):
    panel, state = rests(board, script)
    timeline = played(board, script)
    there = [panel.position(tag, state) for tag in tags]
    assert [timeline.position(tag) for tag in tags] == there
    return there


class TestBothReadings:
    def test_without_it_both_come_in(self):
        assert words(BARE, "press S2, press S3", "Q1", "Q2") == ["in", "in"]

    def test_the_second_armature_stays_out(self):
        assert words(LOCKED, "press S2, press S3", "Q1", "Q2") == ["in", "out"]
        assert words(LOCKED, "press S3, press S2", "Q1", "Q2") == ["out", "in"]

    def test_it_comes_in_when_the_first_has_dropped_out_and_its_button_is_still_held(self):
        released = "press S2, let S2 go, press S3, press S1, let S1 go"
        assert words(LOCKED, released, "Q1", "Q2") == ["out", "in"]

    def test_an_armature_that_a_weld_keeps_in_holds_the_other_out(self):
        assert words(welded_contactor(LOCKED, "Q1").apply(LOCKED), "press S3", "Q1", "Q2") == ["in", "out"]

    def test_poles_that_are_welded_while_the_armature_is_out_do_so_too(self):
        assert words(replace(LOCKED, welded=frozenset({"Q1"})), "press S3", "Q1", "Q2") == ["out", "out"]
        assert words(replace(BARE, welded=frozenset({"Q1"})), "press S3", "Q1", "Q2") == ["out", "in"]

    def test_of_two_coils_that_get_voltage_at_once_one_comes_in(self):
        at_once = Ladder("Apple elevator")
        at_once.rung(NO("S2"), coil("Q1"))
        at_once.rung(NO("S2"), coil("Q2"))
        board = replace(Board.of(at_once), mechanical_interlock=(("Q1", "Q2"),))
        panel = BoardPanel(board)
        step = next(step for step in panel.steps if step.order == "press S2")
        assert sorted(state.pulled for state in panel.after(step, panel.start).states) == [1, 2]  # a race
        timeline = played(board, "press S2")
        assert [timeline.position(tag) for tag in ("Q1", "Q2")] == ["in", "out"]


class TestHum:
    def test_the_coil_that_is_held_out_hums_and_the_reason_names_who_holds_it(self):
        panel, state = rests(LOCKED, "press S2, press S3")
        assert (panel.hums("Q1", state), panel.hums("Q2", state)) == (False, True)
        assert panel.held_out_by("Q2", state) == "Q1"
        assert panel.reason("Q2", True, state) == (
            "The mechanical interlock of Q1 holds the armature of Q2 out, so its coil hums and gets hot."
        )

    def test_a_coil_that_is_open_or_has_no_voltage_does_not_hum(self):
        panel, state = rests(LOCKED, "press S2")
        assert not panel.hums("Q2", state)
        panel, state = rests(open_load(LOCKED, "Q2").apply(LOCKED), "press S2, press S3")
        assert not panel.hums("Q2", state)


class TestErrors:
    @pytest.mark.parametrize("pair", [("Q1", "Q1"), ("Q1", "S1"), ("Q1",), ("Q1", "Q7"), "Q1"])
    def test_it_sits_on_two_different_coils(self, pair):
        with pytest.raises(LadderError, match=r"sits on two different coils of the board.*Q1, Q2"):
            replace(BARE, mechanical_interlock=(pair,))

    def test_only_a_contactor_of_the_board_is_welded(self):
        with pytest.raises(LadderError, match=r"no contactor Q7 here whose poles could be welded.*Q1, Q2"):
            replace(BARE, welded=frozenset({"Q7"}))
