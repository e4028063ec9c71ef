"""What a moment says of contacts, timers and the supply, in time and without."""

from __future__ import annotations

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, run
from rungbook.behaviour import Board, Panel, Timeline, moment_of, panel_moment, read_script
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.behaviour.timed_panel import TimedPanel


def _delayed() -> Ladder:
    panel = [Device("S1"), Device("K1", "timer relay", setting="on-delay 5 s"), Device("Q1")]
    ladder = Ladder("Mill", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1", "17-18") & NC("S1", "21-22"), coil("Q1"))
    return ladder


def test_contacts_are_told_in_reading_order() -> None:
    trace = run(_delayed(), "press S1")
    assert trace[0].closed == (False, False, True)
    assert trace[1].closed == (True, False, False)


def test_a_timer_that_runs_has_time_left() -> None:
    trace = run(_delayed(), "at 1 s press S1, at 3 s let S1 go")
    assert trace[0].left == {}
    assert trace[1].left == {"K1": pytest.approx(3, abs=0.05)}
    assert trace[2].left == {}


def test_a_counter_has_its_value() -> None:
    ladder = Ladder("Filling line", [Device("B1"), Device("K5", "counter", setting="up 3")])
    ladder.rung(NO("B1"), coil("K5"))
    assert run(ladder, "reach B1, leave B1")[2].counts == {"K5": 1}


def test_the_supply_off_is_told() -> None:
    trace = run(_delayed(), "switch the supply off")
    assert [moment.supply for moment in trace] == [True, False]


def test_a_panel_without_times_tells_the_same_contacts() -> None:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    panel, board = Panel(ladder), BoardPanel(Board.of(ladder))
    timed = TimedPanel(ladder)
    trace = run(ladder, "press S2, let S2 go")
    states = [one.start for one in (panel, board, timed)]
    for step, moment in zip(read_script("press S2, let S2 go", panel.devices), tuple(trace)[1:], strict=True):
        states = [one.after(step, state).states[0] for one, state in zip((panel, board, timed), states, strict=True)]
        for one, state in zip((panel, board, timed), states, strict=True):
            found = panel_moment(one, state, step.order)
            assert (found.closed, dict(found.positions), found.order) == (
                moment.closed,
                dict(moment.positions),
                moment.order,
            )
            assert found.supply


def test_a_welded_contact_is_closed_in_the_moment_of_its_board() -> None:
    ladder = Ladder("Wash pump")
    ladder.rung(NO("S2"), coil("Q1"))
    sound = Board.of(ladder)
    faulty = Board(sound.title, sound.items, sound.devices, held={0: True})
    assert moment_of(Timeline(faulty)).closed == (True,)
    panel = BoardPanel(faulty)
    assert panel_moment(panel, panel.start).closed == (True,)


def test_a_state_without_its_panel_is_refused() -> None:
    with pytest.raises(LadderError, match="states are those of a panel"):
        panel_moment("Q1", None)  # type: ignore[arg-type]
