"""What is in series and in parallel becomes one edge; a bridge stays."""

from __future__ import annotations

from hypothesis import given, settings

from rungbook import NC, NO, coil, lamp
from rungbook.behaviour.board import Board
from rungbook.circuit import Wired
from rungbook.drawing.network import circuits

from .boards import boards, bridge


def test_a_rung_of_contacts_becomes_one_edge_before_its_load() -> None:
    items = [Wired(NC("S1"), 1, 3), Wired(NO("S2"), 3, 4), Wired(NO("Q1"), 3, 4), Wired(coil("Q1"), 4, 2)]
    (circuit,) = circuits(items)
    way, load = circuit.edges
    assert (way.left, way.right, load.left, load.right) == (1, 4, 4, 2)
    first, group = way.series
    assert [edge.wired and edge.wired.item for edge in (first, *group.parallel)] == [NC("S1"), NO("S2"), NO("Q1")]


def test_a_bridge_stays_five_edges_and_its_coil() -> None:
    (circuit,) = circuits(bridge().items)
    assert [(edge.left, edge.right) for edge in circuit.edges] == [(1, 3), (1, 4), (3, 4), (3, 5), (4, 5), (5, 2)]


def test_circuits_that_meet_on_the_rails_alone_are_told_apart() -> None:
    items = [Wired(NO("S1"), 1, 3), Wired(NO("S2"), 1, 4), Wired(coil("Q1"), 3, 2), Wired(lamp("P1"), 4, 2)]
    assert [[edge.item for edge in one.items()] for one in circuits(items)] == [[1, 3], [2, 4]]
    assert [one.number for one in circuits(items)] == [1, 2]


def test_loads_in_parallel_stay_single() -> None:
    items = [Wired(NO("S1"), 1, 3), Wired(coil("Q1"), 3, 2), Wired(lamp("P1"), 3, 2)]
    (circuit,) = circuits(items)
    assert len(circuit.edges) == 3


def test_a_way_turned_round_has_its_contacts_and_their_terminals_turned() -> None:
    (circuit,) = circuits([Wired(NO("S1"), 3, 4), Wired(NO("S2"), 4, 5)])
    (way,) = circuit.edges
    back = way.turned()
    assert (back.left, back.right) == (5, 3)
    assert [(edge.wired.item.device, edge.wired.left, edge.wired.turned) for edge in back.series if edge.wired] == [
        ("S2", 5, True),
        ("S1", 4, True),
    ]
    assert back.turned() == way


def test_contacts_in_parallel_lie_the_same_way_round() -> None:
    (circuit,) = circuits([Wired(NO("S1"), 3, 4), Wired(NO("S2"), 4, 3)])
    (group,) = circuit.edges
    assert [(e.left, e.right, e.wired and e.wired.turned) for e in group.parallel] == [(3, 4, False), (3, 4, True)]


def test_a_contact_with_both_ends_on_one_node_gets_a_far_end_of_that_name() -> None:
    (circuit,) = circuits([Wired(NO("S1"), 3, 3)])
    (edge,) = circuit.edges
    assert circuit.name(edge.right) == circuit.name(edge.left) == 3
    assert edge.right != edge.left


@given(boards())
@settings(deadline=None)
def test_nothing_is_lost_or_doubled(one: Board) -> None:
    found = sorted(edge.item for circuit in circuits(one.items) for edge in circuit.items())
    assert found == list(range(1, len(one.items) + 1))
