"""Boards: sound ones from ladders, and what a wire list makes, played in time."""

from types import MappingProxyType

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, wire
from rungbook.behaviour import MICRO, Board, Timeline, read_script
from rungbook.circuit import Wired
from rungbook.kit import TRAINING_KIT


def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def trace(board, script):
    timeline = Timeline(board)
    timeline.advance(MICRO)
    for step in read_script(script, {tag: d for tag, d in timeline.devices.items() if d.spec.operated}):
        timeline.do(step)
        timeline.advance(timeline.now + MICRO)
    return timeline.changes


class TestFromWires:
    def test_the_wired_ladder_does_on_the_kit_what_it_does_on_paper(self):
        script = "press S2, let S2 go, press S1, let S1 go, press S2, trip F1, reset F1, let S2 go"
        wired = Board.from_wires("Wash pump", wire(pump(), TRAINING_KIT).wires, TRAINING_KIT)
        assert trace(wired, script) == trace(Board.of(pump()), script)

    def test_one_wire_left_out_is_another_circuit(self):
        wires = [one for one in wire(pump(), TRAINING_KIT).wires if (one.start, one.end) != ("S2:23", "Q1:13")]
        board = Board.from_wires("Wash pump", wires, TRAINING_KIT)
        words = [(change.device, change.state) for change in trace(board, "press S2, let S2 go")]
        assert words == [
            ("S2", "pressed"),
            ("Q1", "in"),
            ("P1", "lit"),
            ("S2", "released"),
            ("Q1", "out"),
            ("P1", "dark"),
        ]

    def test_two_coils_in_series_are_taken_as_they_are_and_neither_pulls_in(self):
        wires = [("X1", "S1:23"), ("S1:24", "Q1:A1"), ("Q1:A2", "Q2:A1"), ("Q2:A2", "X2")]
        board = Board.from_wires("Mill", wires, TRAINING_KIT)
        assert [change.device for change in trace(board, "press S1")] == ["S1"]

    def test_settings_come_with_the_devices_given(self):
        wires = [
            ("X1", "S1:23"),
            ("S1:24", "K4:A1"),
            ("K4:A2", "X2"),
            ("X1", "K4:15"),
            ("K4:18", "P1:X1"),
            ("P1:X2", "X2"),
        ]
        timer = Device("K4", "timer relay", setting="on-delay 500 ms")
        board = Board.from_wires("Cellar fan", wires, TRAINING_KIT, [timer])
        assert [(c.time, c.device) for c in trace(board, "press S1") if c.device == "P1"] == [(1_504_000, "P1")]

    def test_a_supply_shorted_by_wires_alone_is_refused_with_the_way(self):
        with pytest.raises(LadderError, match="the wires alone short the supply"):
            Board.from_wires("Mill", [("X1", "P1:X1"), ("P1:X1", "X2")], TRAINING_KIT)


class TestErrors:
    ITEMS = (Wired(NO("S1"), 1, 3), Wired(coil("Q1"), 3, 2))
    DEVICES = MappingProxyType({"S1": Device("S1"), "Q1": Device("Q1")})

    @pytest.mark.parametrize(
        ("options", "rule"),
        [
            ({"devices": {"S1": Device("S1")}}, "no device Q1. Given: 'Q1'"),
            ({"stuck": {"S7": "pressed"}}, "no device S7 that could be stuck"),
            ({"stuck": {"S1": "tripped"}}, "S1 has no such position to be stuck in. Given: 'tripped'"),
            ({"held": {1: True}}, "no contact at this place. Given: 1. Choices: 0 to 0"),
            ({"cut": frozenset({"P1"})}, "no load P1 here. Given: 'P1'. Choices: Q1"),
        ],
    )
    def test_name_what_is_not_there(self, options, rule):
        with pytest.raises(LadderError) as found:
            Board(**({"title": "Mill", "items": self.ITEMS, "devices": self.DEVICES} | options))
        assert str(found.value).startswith("Board: ")
        assert rule in str(found.value)
