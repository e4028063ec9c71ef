"""The tests of each part, from its record, and what readings say of it."""

import pytest

from rungbook.errors import LadderError
from rungbook.kit import AUXILIARY_BLOCK, CATALOGUE, TRAINING_KIT, fit
from rungbook.kit.function_tests import function_tests, judge_part


def contacts(fitted):
    return [(t.do, t.measure, t.shown) for t in function_tests(fitted) if t.kind == "contact"]


def entries(fitted, **seen):
    """Readings of a sound part, but for `seen`: "_11_12" -> (at rest, worked) closed."""
    found = {}
    for test in function_tests(fitted):
        if test.kind != "contact":
            continue
        closed = test.highest is not None
        given = seen.get("_" + test.measure.replace("-", "_"))
        if given is not None:
            closed = given[test.do != "at rest"]
        found[test.number] = "beeps" if closed else "OL"
    return found


def wrong(tag, fitted, **seen):
    return judge_part(tag, fitted, entries(fitted, **seen))[1]


class TestList:
    def test_of_a_push_button_has_each_contact_in_each_position(self):
        assert contacts(fit("push button")) == [
            ("at rest", "11-12", "beeps"),
            ("at rest", "23-24", "OL"),
            ("press it", "11-12", "OL"),
            ("press it", "23-24", "beeps"),
        ]

    def test_of_a_three_position_selector_follows_its_chart(self):
        assert contacts(fit("three-position selector"))[4:8] == [
            ("turn it left", "13-14", "beeps"),
            ("turn it left", "23-24", "OL"),
            ("turn it left", "31-32", "OL"),
            ("turn it left", "41-42", "beeps"),
        ]

    def test_of_a_contactor_has_coil_pull_in_drop_out_and_the_contacts_of_its_block(self):
        tests = function_tests(fit("contactor", AUXILIARY_BLOCK))
        # 120 V, 60 VA at power factor 0.7: 168 ohm, 20 % either way; 85 % of 120 V; 20 % to 75 % of it
        assert [(t.measure, t.shown) for t in tests if t.kind in ("coil", "volts")] == [
            ("A1-A2", "134 to 202 ohm"),
            ("pull-in", "at most 102 V"),
            ("drop-out", "24 to 90 V"),
        ]
        assert [m for do, m, _ in contacts(fit("contactor", AUXILIARY_BLOCK)) if do != "at rest"] == [
            "13-14",
            "21-22",
            "31-32",
            "43-44",
            "53-54",
        ]

    def test_of_an_overload_relay_asks_for_each_reset_selection(self):
        looks = [t.do for t in function_tests(fit("overload relay")) if t.kind == "look"]
        assert [words.split(":")[0] for words in looks[3:]] == [
            "reset on manual",
            "reset on manual",
            "reset on automatic",
        ]

    def test_of_a_fuse_does_not_blow_it(self):
        assert contacts(fit("control fuse 2 A")) == [("at rest", "1-2", "beeps")]

    def test_of_a_motor_and_a_transformer_ask_for_their_windings(self):
        for name in ("200 W training motor", "control transformer"):
            assert any("to the protective earth" in t.do for t in function_tests(fit(name)))

    def test_figures_have_no_exponent(self):
        (coil,) = [t for t in function_tests(fit("eight-pin control relay")) if t.kind == "coil"]
        assert coil.shown == "1970 to 2960 ohm"  # 120 V, 3.5 VA at power factor 0.6

    def test_of_a_timer_has_each_function(self):
        times = [t for t in function_tests(fit("multifunction timer")) if t.kind == "time"]
        assert len(times) == 7
        assert {t.shown for t in times} == {"4.5 to 5.5 s"}
        assert "15-18 closes after the time" in times[0].do

    @pytest.mark.parametrize("tag", TRAINING_KIT.devices)
    def test_of_every_part_of_the_kit_can_be_passed(self, tag):
        fitted = TRAINING_KIT.devices[tag]
        sound = {}
        for test in function_tests(fitted):
            sound[test.number] = {
                "look": "yes",
                "contact": "OL" if test.highest is None else "beeps",
            }.get(test.kind, (test.lowest + (test.highest or 0)) / 2)
        findings, said = judge_part(tag, fitted, sound)
        assert said == ()
        assert all(one.good for one in findings)
        assert len(findings) >= 3

    def test_there_is_a_test_of_every_contact_that_a_hand_can_move(self):
        untested = {
            name
            for name, model in CATALOGUE.items()
            if model.kind
            and model.contacts
            and not contacts(fit(name))
            and model.kind not in ("timer relay", "counter")
        }
        assert untested == {"soft starter", "drive", "small programmable relay"}  # their program moves them

    def test_of_a_name_is_refused(self):
        with pytest.raises(LadderError, match="tests a device of the kit"):
            function_tests("contactor")


class TestJudged:
    def test_a_contact_that_stays_closed(self):
        assert wrong("S1", fit("push button"), _11_12=(True, True)) == (
            "S1: contact 11-12 stayed closed with the button pressed: block fitted the wrong way round, or contact"
            " welded.",
        )

    def test_a_contact_that_never_closes(self):
        assert wrong("S1", fit("push button"), _23_24=(False, False)) == (
            "S1: contact 23-24 stayed open with the button pressed: block not latched, contact dirty or burnt, or a"
            " loose screw.",
        )

    def test_a_contact_that_is_the_wrong_way_round(self):
        assert wrong("Q1", fit("contactor", AUXILIARY_BLOCK), _21_22=(False, True)) == (
            "Q1: contact 21-22 works the wrong way round: the block is fitted the wrong way, or it is another contact.",
        )

    def test_a_part_that_does_not_move_is_one_sentence(self):
        assert wrong("S1", fit("push button"), _11_12=(True, True), _23_24=(False, False)) == (
            "S1: no contact changes: the part does not move, or the contact blocks are not coupled to it.",
        )

    @pytest.mark.parametrize(
        ("reading", "words"),
        [
            ("OL", "A1-A2 is open"),
            (60, "A1-A2 has 60 ohm, must be 134 to 202 ohm: turns are shorted"),
            ("600 ohm", "another coil"),
        ],
    )
    def test_a_coil(self, reading, words):
        fitted = fit("contactor")
        (test,) = [t for t in function_tests(fitted) if t.kind == "coil"]
        assert words in judge_part("Q1", fitted, {test.number: reading})[1][0]

    def test_a_voltage_and_a_time_out_of_limits(self):
        (pull_in,) = [t for t in function_tests(fit("contactor")) if t.measure == "pull-in"]
        assert judge_part("Q1", fit("contactor"), {pull_in.number: "108 V"})[1] == (
            "Q1: pull-in at 108 V, must be at most 102 V (with voltage: raise it slowly until the part pulls in).",
        )
        delay = next(t for t in function_tests(fit("multifunction timer")) if t.kind == "time")
        assert judge_part("K4", fit("multifunction timer"), {delay.number: 5.2})[1] == ()
        assert "time at 7 s" in judge_part("K4", fit("multifunction timer"), {delay.number: 7})[1][0]

    def test_what_was_looked_at(self):
        assert judge_part("F1", fit("overload relay"), {1: "no"})[1] == (
            "F1: not so: housing whole, no cracks, no burn marks.",
        )

    @pytest.mark.parametrize(
        ("entries_", "rule"),
        [
            ({99: "yes"}, r"Test of S1: there are tests 1 to 7. Given: 99"),
            ({1: "perhaps"}, "is answered by yes or no. Given: 'perhaps'"),
            ({4: "fine"}, r"S1, test 4: is a number in ohm, or OL. Given: 'fine'"),
            ({4: -1}, "is a number in ohm"),
            ({4: float("inf")}, "is a number in ohm"),
        ],
    )
    def test_refuses_what_is_no_reading(self, entries_, rule):
        with pytest.raises(LadderError, match=rule):
            judge_part("S1", fit("push button"), entries_)
