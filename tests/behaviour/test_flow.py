"""Through which contacts current flows, and which wires have voltage."""

from __future__ import annotations

import pytest

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.behaviour import Board, Flow
from rungbook.circuit import Wired


def _board(*items: Wired, **more: object) -> Board:
    return Board("Mill", items, {one.item.device: Device(one.item.device) for one in items}, **more)  # type: ignore[arg-type]


def _holding() -> Flow:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    return Flow(Board.of(ladder))


def test_a_closed_way_carries_the_current_of_its_coil() -> None:
    """A sealed contactor coil of 8 VA at 120 V takes 66.7 mA (kit's rating; S / V), less the drop in the supply."""
    found = _holding().at((True, False, True), {"Q1"})
    assert [found.carries(place) for place in range(4)] == [True, False, True, True]
    assert abs(found.amps[3]) == pytest.approx(8 / 120, rel=0.002)
    assert abs(found.amps[0]) == pytest.approx(abs(found.amps[3]))


def test_two_equal_branches_share_the_current() -> None:
    found = _holding().at((True, True, True), {"Q1"})
    assert abs(found.amps[1]) == pytest.approx(abs(found.amps[3]) / 2)
    assert abs(found.amps[2]) == pytest.approx(abs(found.amps[3]) / 2)


def test_up_to_the_open_contact_there_is_voltage_and_no_current() -> None:
    found = _holding().at((True, False, False), ())
    assert not any(found.carries(place) for place in range(4))
    assert [node for node in (1, 2, 3, 4) if found.alive(node)] == [1, 3]
    assert found.volts[4] == 0  # joined to wire 2 by the coil


def test_a_wire_that_nothing_joins_to_the_grounded_one_has_no_voltage_to_tell() -> None:
    flow = Flow(_board(Wired(NO("S1"), 1, 3), Wired(NO("S2"), 3, 4), Wired(lamp("P1"), 4, 2)))
    assert flow.at((False, False), ()).volts[3] is None
    assert not flow.at((False, False), ()).alive(3)


def test_a_contact_across_points_of_one_potential_carries_nothing() -> None:
    """The middle of a balanced bridge."""
    items = (
        Wired(NO("S1"), 1, 3),
        Wired(NO("S2"), 1, 4),
        Wired(NC("S3"), 3, 4),
        Wired(NO("S4"), 3, 5),
        Wired(NO("S5"), 4, 5),
        Wired(coil("Q1"), 5, 2),
    )
    flow = Flow(_board(*items))
    assert [flow.at((True,) * 5, ()).carries(place) for place in range(6)] == [True, True, False, True, True, True]
    crossed = flow.at((True, False, True, False, True), ())
    assert [crossed.carries(place) for place in range(6)] == [True, False, True, False, True, True]
    assert (flow.at((False, True, True, True, False), ()).amps[2] * crossed.amps[2].conjugate()).real < 0  # turned


def test_with_the_supply_off_nothing_is_at_voltage() -> None:
    found = _holding().at((True, False, True), {"Q1"}, 0.0)
    assert not any(found.carries(place) for place in range(4))
    assert not any(found.alive(node) for node in (1, 2, 3, 4))


def test_a_load_that_is_open_inside_carries_nothing() -> None:
    items = (Wired(NO("S1"), 1, 3), Wired(coil("Q1"), 3, 2), Wired(lamp("P1"), 3, 2))
    found = Flow(_board(*items, cut=frozenset({"Q1"}))).at((True,), ())
    assert [found.carries(place) for place in range(3)] == [True, False, True]
