"""Every single mistake of a wire list shows in the dead tests, and is named."""

import itertools

import pytest

from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS
from rungbook.proof.wiring_check import check_wiring, dead_tests, mistakes
from rungbook.proof.wiring_check.dead_tests import terminals_of
from rungbook.proof.wiring_check.report import agree, read_ohms
from rungbook.proof.wiring_check.terminals import ohms


def readings(wiring, wires):
    """What a person would read on a board wired with `wires`."""
    terminals = terminals_of(wiring)
    network = terminals.wired(wires)
    return {
        test.number: "OL" if value is None else value
        for test in dead_tests(wiring).tests
        for value in [ohms(network, terminals.closed(test.positions), len(wires), test.a, test.b)]
    }


def across_the_supply(wiring, wires):
    """Conductance X1 – X2 in every combination of positions of all devices [S]."""
    terminals = terminals_of(wiring)
    network = terminals.wired(wires)
    places = [ALL_KINDS[wiring.kit.devices[tag].model.kind].positions for tag in terminals.tags]
    found = []
    for combination in itertools.product(*places):
        positions = dict(zip(terminals.tags, combination, strict=True))
        value = ohms(network, terminals.closed(positions), len(wires), "X1", "X2")
        found.append(0.0 if value is None else 1 / value)
    return found


def told(report):
    """All mistakes that the report names, in order, those not told apart together."""
    return [(one.mistake.told, *(other.told for other in one.alike)) for one in report.likely]


class TestList:
    def test_has_the_four_kinds_the_commonest_first(self, pump):
        found = mistakes(pump)
        assert list(dict.fromkeys(one.kind for one in found)) == [
            "missing wire",
            "wrong terminal",
            "wrong contact",
            "wrong device",
        ]
        words = {one.told for one in found}
        assert "Wire 4 from S2:24 to Q1:14 is missing or loose." in words
        assert "Wire 4 is on S2:23 instead of S2:24." in words
        assert "Wire 4 is on S1:24 instead of S2:24." in words
        assert "Contact S1:11-12 (NC) is wired on 23-24 (NO)." in words
        assert "S1 and S2 are exchanged." in words

    def test_none_of_them_is_the_list_itself(self, elevator):
        assert [one for one in mistakes(elevator) if one.wires == elevator.wires] == []

    @pytest.mark.parametrize(("name", "alike"), [("pump", 0), ("elevator", 5), ("shared", 0)])
    def test_each_shows_in_the_tests_unless_the_board_is_the_same_in_every_position(self, name, alike, request):
        wiring = request.getfixturevalue(name)
        right = {test.number: test.expected for test in dead_tests(wiring).tests}
        hidden = [
            one
            for one in mistakes(wiring)
            if all(agree(read_ohms("", value), right[n]) for n, value in readings(wiring, one.wires).items())
        ]
        assert len(hidden) == alike
        sound = across_the_supply(wiring, wiring.wires)
        for one in hidden:
            assert across_the_supply(wiring, one.wires) == pytest.approx(sound), one.told


class TestReport:
    def test_of_a_sound_board_says_so(self, pump):
        report = check_wiring(pump, readings(pump, pump.wires))
        assert report.as_expected
        assert report.told == ("All 20 readings are as expected.",)

    def test_of_one_mistake_names_it_first(self, pump):
        second = 0
        for one in mistakes(pump):
            found = told(check_wiring(pump, readings(pump, one.wires)))
            assert any(one.told in group for group in found[:2]), one.told
            second += one.told not in found[0]
        assert second <= 2  # the others stand in the first place

    def test_of_the_wire_behind_a_shared_contact(self, shared):
        (missing,) = [one for one in mistakes(shared) if one.told == "Wire 4 from Q1:13 to S3:23 is missing or loose."]
        assert told(check_wiring(shared, readings(shared, missing.wires)))[0][0] == missing.told

    def test_of_the_wrong_contact_of_the_stop(self, pump):
        (wrong,) = [one for one in mistakes(pump) if one.told == "Contact S1:11-12 (NC) is wired on 23-24 (NO)."]
        report = check_wiring(pump, readings(pump, wrong.wires))
        assert report.told[1] == "Contact S1:11-12 (NC) is wired on 23-24 (NO)."
        assert report.told[-1] == "Do not energise."
        assert not report.as_expected

    def test_tells_what_it_cannot_tell_apart(self, pump):
        (missing,) = [one for one in mistakes(pump) if one.told.startswith("Wire 6 from Q1:44")]
        first = check_wiring(pump, readings(pump, missing.wires)).likely[0]
        assert first.mistake == missing
        assert "Wire 6 is on Q1:53 instead of Q1:44." in [other.told for other in first.alike]
        assert "Or, not told apart by these readings: " in first.told

    def test_with_readings_left_out_does_not_say_that_all_is_well(self, pump):
        some = {number: value for number, value in readings(pump, pump.wires).items() if number < 5}
        report = check_wiring(pump, some)
        assert not report.as_expected
        assert report.told == (
            "All 4 readings are as expected.",
            "16 tests have no reading yet.",
            "Do not energise.",
        )

    def test_of_what_no_single_mistake_gives_says_so(self, pump):
        report = check_wiring(pump, {11: 3000.0})
        assert (
            report.told[1] == "No single mistake of the wire list explains them better than none: look for two at once."
        )

    @pytest.mark.parametrize(
        ("given", "rule"),
        [
            ({}, "readings are given by number of test"),
            ([1, 2], "readings are given by number of test"),
            ({99: 0}, "there are tests 1 to 20. Given: 99"),
            ({True: 0}, "there are tests 1 to 20"),
            ({1: "fine"}, r"Reading 1: is a resistance in ohm, or open. Given: 'fine'. Choices: 168, '168 ohm', 'OL'"),
            ({1: -3}, "is a resistance"),
            ({1: float("nan")}, "is a resistance"),
        ],
    )
    def test_refuses_what_is_no_reading(self, pump, given, rule):
        with pytest.raises(LadderError, match=rule):
            check_wiring(pump, given)


class TestReadings:
    @pytest.mark.parametrize(
        ("given", "value"),
        [("OL", None), ("beeps", 0.0), ("7.2 kohm", 7200.0), ("168 Ω", 168.0), ("1.5 Mohm", 1.5e6), (168, 168.0)],
    )
    def test_are_read_as_a_person_writes_them(self, given, value):
        assert read_ohms("Reading", given) == value

    @pytest.mark.parametrize(
        ("reading", "expected", "good"),
        [
            (0.4, 0.0, True),
            (6.0, 0.0, False),
            (None, None, True),
            (2e6, None, True),
            (168, None, False),
            (200, 168, True),
            (220, 168, False),
            (None, 168, False),
            (3, 168, False),
        ],
    )
    def test_agree_within_what_real_parts_allow(self, reading, expected, good):
        assert agree(reading, expected) is good
