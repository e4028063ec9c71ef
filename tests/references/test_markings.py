"""Terminal numbers, colours and class letters against the standards that set them."""

import pytest

from rungbook import NC, NO, Device, LadderError, coil, lamp
from rungbook.kit import (
    ALL_KINDS,
    AUXILIARY_BLOCK,
    CATALOGUE,
    KIND_OF_LETTER,
    LAMP_MEANINGS,
    START_COLOURS,
    STOP_COLOURS,
    TRAINING_KIT,
    contact_kind,
    fit,
)
from rungbook.kit.settings import TRIP_CLASSES


class TestAuxiliaryTerminals:
    """EN 50005: function digits 1-2 break, 3-4 make, 1-2-4 changeover; 5-6 and 7-8 the same with a special function."""

    @pytest.mark.parametrize(
        ("pair", "kind"),
        [
            ("13-14", "NO"),
            ("21-22", "NC"),
            ("31-32", "NC"),
            ("43-44", "NO"),
            ("55-56", "NC"),  # timed
            ("67-68", "NO"),  # timed
            ("11-12", "NC"),  # changeover, breaking side
            ("11-14", "NO"),  # changeover, making side
        ],
    )
    def test_the_function_digits_say_what_the_contact_does(self, pair, kind):
        assert contact_kind(pair) == kind

    # EN 50005, overload relay, from memory
    @pytest.mark.parametrize(("pair", "kind"), [("95-96", "NC"), ("97-98", "NO")])
    def test_the_overload_relay_opens_95_96_and_closes_97_98(self, pair, kind):
        assert contact_kind(pair) == kind

    def test_main_poles_are_no_control_contacts(self):  # EN 50005: main poles 1-2, 3-4, 5-6
        assert [contact_kind(pair) for pair in ("1-2", "3-4", "5-6")] == [None, None, None]

    def test_a_contact_cannot_be_given_terminals_of_the_other_kind(self):
        assert NO("Q1", "13-14").terminals == "13-14"
        with pytest.raises(LadderError):
            NC("Q1", "13-14")

    def test_a_coil_has_the_terminals_a1_and_a2(self):  # EN 50005, from memory
        assert coil("Q1", "A1-A2").terminals == "A1-A2"
        with pytest.raises(LadderError, match="the terminals of a coil are A1-A2"):
            coil("Q1", "13-14")


class TestKit:
    """The terminals printed on the devices of the kit."""

    def test_every_auxiliary_contact_of_the_kit_carries_the_digits_of_its_function(self):  # EN 50005
        found = [
            (block.terminals, block.kind)
            for fitted in TRAINING_KIT.devices.values()
            for block in fitted.contacts
            if fitted.model.kind != "fuse"
        ]
        assert len(found) > 40
        assert [(pair, kind) for pair, kind in found if contact_kind(pair) != kind] == []

    def test_no_two_contacts_of_a_device_have_one_position_digit_but_for_a_changeover(self):  # EN 50005
        for tag, fitted in TRAINING_KIT.devices.items():
            for digit in "123456789":
                here = {block.ends[0] for block in fitted.contacts if block.terminals[0] == digit}
                assert len(here) <= (2 if fitted.model.kind == "overload relay" else 1), (tag, digit)  # 95-96 and 97-98

    def test_a_contactor_with_its_block_reads_13_21_31_43_53(self):  # EN 50012, three NO and two NC, from memory
        pairs = [block.terminals for block in fit("contactor", AUXILIARY_BLOCK).contacts]
        assert pairs == ["13-14", "21-22", "31-32", "43-44", "53-54"]

    def test_main_poles_are_1_to_6_from_l1_to_t3(self):  # EN 50005: 1-2, 3-4, 5-6 (L1-T1 …)
        assert CATALOGUE["contactor"].poles == (("1/L1", "2/T1"), ("3/L2", "4/T2"), ("5/L3", "6/T3"))

    def test_the_contacts_of_a_timer_that_come_late_have_the_digits_5_6_8(self):  # EN 50005, special function
        timer = CATALOGUE["multifunction timer"].contacts
        assert [block.terminals for block in timer if block.timed] == ["15-16", "15-18"]

    def test_trip_classes_are_5_10a_10_20_and_30(self):  # IEC 60947-4-1, from memory
        assert TRIP_CLASSES == ("5", "10A", "10", "20", "30")


class TestButtonColours:
    """EN 60204-1, actuators."""

    def test_start_is_white_first_then_grey_or_black_green_is_allowed_and_red_never(self):
        assert START_COLOURS == ("white", "grey", "black", "green")

    def test_stop_is_black_first_then_grey_or_white_red_is_allowed_and_green_never(self):
        assert STOP_COLOURS == ("black", "grey", "white", "red")


class TestLampColours:
    """IEC 60073."""

    def test_each_colour_of_a_lamp_has_its_meaning(self):
        assert dict(LAMP_MEANINGS) == {
            "red": "danger or fault",
            "yellow": "abnormal",
            "green": "normal",
            "blue": "mandatory action",
            "white": "neutral",
        }

    @pytest.mark.parametrize("colour", ["grey", "black", "orange"])
    def test_a_lamp_comes_in_no_other_colour(self, colour):
        with pytest.raises(LadderError, match="unknown colour of a lamp"):
            lamp("P1", colour)


class TestClassLetters:
    """IEC 81346-2."""

    def test_f_protects_k_processes_signals_and_q_switches_power(self):
        assert {letter: KIND_OF_LETTER[letter] for letter in "FKQ"} == {
            "F": "overload relay",
            "K": "control relay",
            "Q": "contactor",
        }

    def test_s_is_worked_by_hand_b_senses_m_drives_and_p_indicates(self):  # meanings from memory
        assert {letter: Device(f"{letter}1").kind for letter in "SBMP"} == {
            "S": "push button",
            "B": "limit switch",
            "M": "motor",
            "P": "pilot lamp",
        }

    def test_t_converts_q_varies_power_and_k_processes_signals(self):  # meanings of T, and Q for starters, from memory
        assert {name: kind.letter for name, kind in ALL_KINDS.items() if kind.letter in "TQKF"} == {
            "overload relay": "F",
            "fuse": "F",
            "contactor": "Q",
            "manual motor starter": "Q",
            "soft starter": "Q",
            "control relay": "K",
            "timer relay": "K",
            "counter": "K",
            "programmable relay": "K",
            "control transformer": "T",
            "drive": "T",
        }
