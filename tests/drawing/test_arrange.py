"""Layers, rows and bridges: where edges stand so that they cross as little as they can."""

from __future__ import annotations

from rungbook import NO, coil
from rungbook.behaviour.board import Board
from rungbook.drawing.arrange import Arrangement, arrange
from rungbook.drawing.network import circuits

from .boards import board, bridge, tangle, two_outputs


def _of(one: Board) -> Arrangement:
    return arrange(circuits(one.items)[0])


def _tags(places: Arrangement) -> list[list[str]]:
    """First device of each edge, row by row."""
    return [[next(edge.items()).wired.item.device for edge in row] for row in places.rows]  # type: ignore[union-attr]


def test_nodes_lie_in_layers_from_the_left_rail_and_edges_end_to_end_on_rows() -> None:
    places = _of(bridge())
    assert dict(places.layer) == {1: 0, 3: 1, 4: 1, 5: 2, 2: 3}
    assert _tags(places) == [["S1", "S4", "Q1"], ["S3"], ["S2", "S5"]]
    assert places.bridges == {1}


def test_a_bridge_without_a_place_moves_a_node_on() -> None:
    """Of three nodes joined in a ring two are bridged, the third stands a layer further."""
    places = _of(tangle())
    assert [places.layer[node] for node in (3, 4, 5)] == [1, 1, 2]
    assert len(places.bridges) == 1


def test_nodes_of_one_layer_that_pass_each_other_have_columns_of_their_own() -> None:
    """Nodes 5 and 6 both join rows on either side of each other: no planar drawing, so two columns."""
    ways = [(1, 3), (1, 4), (1, 7), (3, 5), (4, 5), (7, 5), (3, 6), (4, 6), (7, 6)]
    one = board(
        "Crossing", *((NO(f"S{n}"), *way) for n, way in enumerate(ways, 1)), (coil("Q1"), 5, 2), (coil("Q2"), 6, 2)
    )
    places = _of(one)
    assert places.layer[5] == places.layer[6] == 2
    assert sorted(places.columns[node] for node in (5, 6)) == [0, 1]


def test_the_first_row_begins_at_the_left_rail() -> None:
    for make in (bridge, two_outputs, tangle):
        assert _of(make()).rows[0][0].left == 1
