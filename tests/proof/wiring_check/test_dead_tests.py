"""What a board must show before it is energised."""

import pytest

from rungbook.circuit import wire
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT
from rungbook.proof.wiring_check import dead_tests


def table(wiring):
    return [(test.order, test.shown) for test in dead_tests(wiring).tests if not test.wire]


class TestTable:
    def test_tests_each_wire_first(self, pump):
        tests = dead_tests(pump).tests
        assert [(t.a, t.b, t.wire) for t in tests[:3]] == [
            ("X1", "S1:11", 1),
            ("S1:12", "S2:23", 2),
            ("S2:23", "Q1:13", 3),
        ]
        assert {t.shown for t in tests if t.wire} == {"beeps, 0 ohm"}
        assert [t.number for t in tests] == list(range(1, len(tests) + 1))

    def test_asks_whether_stop_opens_what_start_has_closed(self, pump):
        # coil of Q1: 120 V, 60 VA at 0.7 inrush = 240 ohm, of which 168 ohm real; lamp 120 V, 2 W = 7200 ohm
        assert table(pump) == [
            ("", "OL"),
            ("press S1", "OL"),
            ("press S2", "168 ohm"),
            ("push the armature of Q1 in by hand", "164 ohm"),
            ("trip F1", "OL"),
            ("press S2; then, still so, press S1", "OL"),
            ("press S2; then, still so, push the armature of Q1 in by hand", "164 ohm"),
            ("press S2; then, still so, trip F1", "OL"),
            ("push the armature of Q1 in by hand; then, still so, press S1", "7200 ohm"),
            ("push the armature of Q1 in by hand; then, still so, trip F1", "7200 ohm"),
        ]

    def test_asks_whether_the_interlock_is_open(self, elevator):
        shown = dict(table(elevator))
        assert shown["press S2; then, still so, push the armature of Q2 in by hand"] == "168 ohm"  # one coil, not two
        assert shown["press S2; then, still so, press S3"] == "84 ohm"
        assert shown["push the armature of Q1 in by hand; then, still so, push the armature of Q2 in by hand"] == "OL"

    def test_a_shared_stop_opens_both_rungs(self, shared):
        found = dict(table(shared))
        assert found["press S2"] == found["press S3"] == "168 ohm"
        assert found["press S2; then, still so, press S3"] == "84 ohm"
        assert found["press S3; then, still so, press S1"] == "OL"
        assert found["push the armature of Q2 in by hand; then, still so, trip F1"] == "OL"

    def test_shows_itself_with_room_for_readings(self, pump):
        assert str(dead_tests(pump)).splitlines()[0].split() == ["do", "measure", "ohms", "must", "show", "reading"]
        assert "<table>" in dead_tests(pump)._repr_html_()

    def test_of_a_ladder_is_refused(self, pump):
        with pytest.raises(LadderError, match="tests what `wire` lists"):
            dead_tests(pump.ladder)


def test_a_wired_board_stays_what_the_list_says(pump):
    assert dead_tests(wire(pump.ladder, TRAINING_KIT)) == dead_tests(pump)
