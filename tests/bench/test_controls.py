"""What a hand can do to each kind of device on the bench."""

import pytest

from rungbook import Device
from rungbook.bench.controls import Control, parts_of


def controls(*devices, heated=()):
    parts = parts_of({device.tag: device for device in devices}, heated=heated)
    return [(c.mode, c.text, c.to, c.back, c.usable) for part in parts[: len(devices)] for c in part.controls]


class TestOperators:
    def test_a_push_button_acts_while_it_is_held(self):
        (part, _) = parts_of({"S1": Device("S1", colour="red", label="stop")})
        both = ("released", "pressed")
        assert part.controls == (Control("hold", "", "pressed", "released", ("pressed",), both, "1"),)
        assert (part.name, part.look, part.letter) == ("S1 (stop)", "button", "R")

    def test_an_emergency_stop_latches_and_has_its_release_apart(self):
        assert controls(Device("S1", "emergency stop")) == [
            ("push", "Strike", "latched", "", ("reset",)),
            ("push", "Unlatch", "reset", "", ("latched",)),
        ]

    def test_a_selector_of_three_positions_is_a_choice_from_left_to_right(self):
        found = controls(Device("S1", "three-position selector"))
        assert [(mode, to) for mode, _, to, _, _ in found] == [
            ("choice", "left"),
            ("choice", "off"),
            ("choice", "right"),
        ]

    def test_a_limit_switch_and_a_selector_of_two_positions_stay_where_they_are_put(self):
        found = controls(Device("B1"), Device("S1", "two-position selector"))
        assert [(mode, text, to, back) for mode, text, to, back, _ in found] == [
            ("switch", "Reached", "reached", "free"),
            ("switch", "On", "on", "off"),
        ]

    def test_the_supply_is_switched_on_and_off_and_comes_last_of_the_operators(self):
        parts = parts_of({"P1": Device("P1"), "S1": Device("S1")}, motors=("M1",))
        assert [part.tag for part in parts] == ["S1", "supply", "P1", "M1"]
        assert [(c.mode, c.to, c.back, c.usable) for c in parts[1].controls] == [
            ("switch", "on", "off", ("on", "off", "on, fuse blown", "off, fuse blown")),
            ("push", "fuse replaced", "", ("off, fuse blown",)),
        ]

    def test_each_held_button_has_a_key_of_its_own_up_to_nine(self):
        parts = parts_of({f"S{k}": Device(f"S{k}") for k in range(1, 11)})
        assert [part.controls[0].key for part in parts[:10]] == [*"123456789", ""]

    def test_lamps_coils_timers_counters_only_show(self):
        devices = [
            Device("P1"),
            Device("Q1"),
            Device("K1"),
            Device("K2", "timer relay", setting="on-delay 1 s"),
            Device("K3", "counter", setting="up 2"),
        ]
        parts = parts_of({device.tag: device for device in devices})
        assert [(part.look, part.controls) for part in parts[1:]] == [
            ("lamp", ()),
            ("coil", ()),
            ("coil", ()),
            ("timer", ()),
            ("counter", ()),
        ]


class TestOverloadRelay:
    @pytest.mark.parametrize(
        ("setting", "heated", "expected"),
        [
            ("", False, [("push", "Trip"), ("push", "Reset")]),
            ("1 A class 10 manual", False, [("push", "Trip"), ("push", "Reset")]),
            ("1 A class 10 manual with test", False, [("push", "Test"), ("push", "Reset")]),
            ("1 A class 10 automatic", False, [("hold", "Trip")]),
            ("1 A class 10 automatic with test", True, [("hold", "Test")]),
            ("1 A class 10 manual", True, [("push", "Reset")]),
            ("1 A class 10 automatic", True, []),
        ],
    )
    def test_trip_test_and_reset_are_there_as_its_dial_allows(self, setting, heated, expected):
        found = controls(Device("F1", setting=setting), heated=("F1",) if heated else ())
        assert [one[:2] for one in found] == expected
