import pytest

from rungbook.errors import LadderError
from rungbook.kit import ContactBlock, Model
from rungbook.kit.models import INVENTED, accessory, blocks


class TestBlocks:
    def test_a_pair_is_what_its_digits_say_and_closed_as_its_kind(self):
        assert blocks("contactor", "13-14", "21-22") == (
            ContactBlock("13-14", "NO", frozenset({"in"})),
            ContactBlock("21-22", "NC", frozenset({"out"})),
        )

    def test_a_selector_goes_by_its_chart(self):
        assert [block.closed for block in blocks("three-position selector", "13-14", "23-24", "41-42")] == [
            {"left"},
            {"right"},
            {"off", "left"},
        ]

    def test_the_contacts_of_a_timer_with_digits_5_to_8_are_timed(self):
        found = {block.terminals: block.timed for block in blocks("timer relay", "15-16", "15-18", "21-22", "21-24")}
        assert found == {"15-16": True, "15-18": True, "21-22": False, "21-24": False}

    def test_the_same_digits_on_an_overload_relay_are_not_timed(self):
        assert [block.timed for block in blocks("overload relay", "95-96", "97-98")] == [False, False]

    def test_the_ends_are_its_two_terminals_the_common_one_first(self):
        assert blocks("control relay", "21-24")[0].ends == ("21", "24")


class TestModel:
    def test_terminals_come_in_wiring_order_and_a_common_one_once(self):
        model = Model(
            "relay",
            "control relay",
            blocks("control relay", "11-12", "11-14"),
            poles=(("1", "2"),),
            supply=("A1", "A2"),
            more=("PE",),
        )
        assert model.terminals == ("A1", "A2", "11", "12", "14", "1", "2", "PE")

    def test_ratings_are_marked_as_invented(self):
        assert Model("relay", "control relay").source == INVENTED

    @pytest.mark.parametrize(
        ("fields", "rule"),
        [
            ({"kind": "lever"}, "unknown kind of device"),
            ({}, "is a device of some kind, or an accessory that fits some kind"),
            ({"kind": "motor", "fits": ("motor",)}, "is a device of some kind, or an accessory that fits some kind"),
            ({"kind": "motor", "more": ("U1", "U1")}, "terminal U1 stands there twice"),
            (
                {"kind": "contactor", "contacts": blocks("contactor", "13-14"), "more": ("13",)},
                "terminal 13 stands there twice",
            ),
            (
                {"kind": "contactor", "contacts": (ContactBlock("13-14", "NC", frozenset({"out"})),)},
                "terminals 13-14 are not those of an NC contact (EN 50005)",
            ),
            (
                {"kind": "contactor", "contacts": blocks("contactor", "13-14", "13-14")},
                "contacts 13-14 and 13-14 share a terminal",
            ),
            (
                {"kind": "contactor", "contacts": blocks("contactor", "11-14", "13-14")},
                "contacts 11-14 and 13-14 share a terminal",
            ),
            ({"kind": "control relay", "supply": ("A1", "A2"), "pins": {1: "11"}}, "pin 1 leads to no terminal of it"),
        ],
    )
    def test_a_record_that_cannot_be_a_device_is_refused(self, fields, rule):
        with pytest.raises(LadderError) as found:
            Model("box", **fields)
        assert found.value.rule == rule

    def test_the_two_contacts_of_a_changeover_share_their_first_terminal(self):
        assert Model("relay", "control relay", blocks("control relay", "11-12", "11-14")).terminals == (
            "11",
            "12",
            "14",
        )

    def test_an_accessory_closes_as_what_carries_it(self):
        block = accessory("signal", ("manual motor starter", "contactor"), "13-14", slot="front")
        assert block.contacts_on("contactor")[0].closed == {"in"}
        assert block.contacts_on("manual motor starter")[0].closed == {"on"}
