"""Parts of a box under a ladder's designations."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil
from rungbook.circuit import wire
from rungbook.circuit.arrange import arrange
from rungbook.errors import LadderError
from rungbook.kit import TRAINING_KIT, Kit, fit


def ladder_of(*rungs, devices=None):
    ladder = Ladder("Test", devices)
    for rung in rungs:
        ladder.rung(*rung)
    return ladder


class TestArrange:
    def test_takes_the_part_of_the_same_designation_first(self):
        found = arrange(ladder_of((NC("S1") & NO("S2"), coil("Q1"))), TRAINING_KIT)
        assert found.taken == {"S1": "S1", "S2": "S2", "Q1": "Q1"}
        assert found.extra == ()

    def test_takes_a_part_of_that_kind_under_another_designation(self):
        devices = [Device("S9", "emergency stop"), Device("Q7")]
        found = arrange(ladder_of((NC("S9"), coil("Q7")), devices=devices), TRAINING_KIT)
        assert found.taken == {"S9": "S6", "Q7": "Q1"}
        assert wire(ladder_of((NC("S9"), coil("Q7")), devices=devices), found.panel).wires[0].end == "S9:11"

    def test_a_part_is_taken_once(self):
        box = Kit("box", {"S1": fit("push button"), "Q1": fit("contactor")})
        found = arrange(ladder_of((NC("S1") & NO("S2"), coil("Q1"))), box)
        assert found.taken == {"S1": "S1", "Q1": "Q1"}
        assert found.extra == (("S2", "push button"),)

    def test_adds_the_accessory_that_brings_the_contact(self):
        ladder = ladder_of((NC("S1"), coil("Q1")), (NC("S1") | NO("S2"), coil("Q2")))
        found = arrange(ladder, TRAINING_KIT)
        assert found.extra == (("S1", "button block 1 NC + 1 NO"),)
        assert len(wire(ladder, found.panel).wires) == 8

    def test_shares_a_contact_before_anything_is_added(self):
        ladder = ladder_of((NC("S1") & NO("S2"), coil("Q1")), (NO("S3") & NC("S1"), coil("Q2")))
        found = arrange(ladder, TRAINING_KIT)
        assert found.extra == ()
        assert found.taken == {tag: tag for tag in ("S1", "S2", "Q1", "S3", "Q2")}
        assert [note[:9] for note in wire(ladder, found.panel).notes] == ["S1 11-12 ", "Rung 2: S"]

    def test_a_part_that_the_box_lacks_is_added_and_its_contacts_are_shared(self):
        ladder = ladder_of((NC("F1") & NC("F4"), coil("Q1")), (NC("F1") & NC("F4"), coil("Q2")))
        found = arrange(ladder, TRAINING_KIT)
        assert found.extra == (("F4", "overload relay"),)
        assert len(wire(ladder, found.panel).notes) == 2

    def test_takes_a_contactor_with_a_block_before_one_that_needs_one(self):
        box = Kit(
            "box",
            {"S1": fit("push button"), "Q1": fit("contactor"), "Q2": fit("contactor", "auxiliary block 2 NO + 2 NC")},
        )
        found = arrange(ladder_of((NO("S1") & NC("Q5"), coil("Q5"))), box)
        assert (found.taken["Q5"], found.extra) == ("Q2", ())

    def test_names_what_no_part_of_the_catalogue_has(self):
        ladder = ladder_of((NC("F1"), coil("Q1")), (NC("F1") | NO("S1"), coil("Q2")))
        with pytest.raises(LadderError, match="needs two NC contacts of F1; the kit has one; no accessory cures it"):
            arrange(ladder, TRAINING_KIT)

    def test_a_dial_that_no_part_has_is_told(self):
        devices = [Device("F1", setting="12 A class 10 manual"), Device("Q1")]
        with pytest.raises(LadderError, match=r"the dial of F1 goes from 0.8 A to 4 A"):
            arrange(ladder_of((NC("F1"), coil("Q1")), devices=devices), TRAINING_KIT)

    @pytest.mark.parametrize(("ladder", "box"), [("pump", TRAINING_KIT), (Ladder("x"), "box")])
    def test_refuses_what_is_no_ladder_or_kit(self, ladder, box):
        with pytest.raises(LadderError, match="arrange"):
            arrange(ladder, box)
