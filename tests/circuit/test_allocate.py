from itertools import combinations, permutations

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.circuit import Wired
from rungbook.circuit.allocate import allocate, choose
from rungbook.kit import AUXILIARY_BLOCK, TRAINING_KIT, Fitted, Kit, Model, fit
from rungbook.kit.models import blocks


def ladder_of(*rungs, devices=None):
    ladder = Ladder("Mill", devices)
    for parts in rungs:
        ladder.rung(*parts)
    return ladder


def placed(ladder, kit=TRAINING_KIT):
    """(device, left terminal, right terminal) in reading order."""
    return [(one.wired.item.device, one.left, one.right) for one in allocate(ladder, kit)]


def kit_with(**devices):
    """A small kit: S1, S2, K1 to K3, Q1 to Q3 without accessories, and what is named here."""
    usual = {"S1": "push button", "S2": "push button"}
    usual |= {f"K{n}": "eight-pin control relay" for n in (1, 2, 3)} | {f"Q{n}": "contactor" for n in (1, 2, 3)}
    return Kit("small box", {tag: fit(name) for tag, name in usual.items()} | devices)


class TestChoice:
    def test_the_first_free_contact_in_the_order_of_the_catalogue_is_taken(self):
        ladder = ladder_of((NO("S1") | NO("Q1"), coil("Q1")), (NO("Q1"), coil("Q2")), (NC("Q1"), lamp("P1")))
        assert placed(ladder) == [
            ("S1", "23", "24"),
            ("Q1", "13", "14"),
            ("Q1", "A1", "A2"),
            ("Q1", "43", "44"),
            ("Q2", "A1", "A2"),
            ("Q1", "21", "22"),
            ("P1", "X1", "X2"),
        ]

    def test_named_terminals_are_kept_and_the_others_go_round_them(self):
        ladder = ladder_of((NO("Q1"), coil("Q1")), (NO("Q1", "13-14"), coil("Q2")))
        assert [entry for entry in placed(ladder) if entry[1] != "A1"] == [("Q1", "43", "44"), ("Q1", "13", "14")]

    def test_the_same_ladder_gives_the_same_contacts(self):
        make = lambda: ladder_of((NO("K1") & NC("K1"), coil("K1")))  # noqa: E731
        assert allocate(make(), TRAINING_KIT) == allocate(make(), TRAINING_KIT)

    def test_a_fuse_has_main_terminals_and_no_pair_of_an_auxiliary(self):
        ladder = ladder_of((NC("F2"), coil("Q1")), devices=[Device("F2", "fuse"), Device("Q1")])
        (fuse, _) = allocate(ladder, TRAINING_KIT)
        assert (fuse.left, fuse.right, fuse.wired.item) == ("1", "2", NC("F2"))

    def test_a_selector_contact_is_told_by_its_terminals(self):
        panel = [Device("S5", "three-position selector"), Device("Q1"), Device("Q2")]
        ladder = ladder_of((NO("S5", "23-24"), coil("Q1")), (NO("S5", "13-14"), coil("Q2")), devices=panel)
        assert placed(ladder)[::2] == [("S5", "23", "24"), ("S5", "13", "14")]

    def test_an_instantaneous_and_a_timed_contact_of_a_timer_are_told_by_their_terminals(self):
        panel = [Device("K4", "timer relay", setting="on-delay 5 s"), Device("Q1"), Device("Q2")]
        ladder = ladder_of(
            (NO("K4", "21-24"), coil("K4")),
            (NO("K4", "15-18"), coil("Q1")),
            (NC("K4", "15-16"), coil("Q2")),
            devices=panel,
        )
        assert ("K4", "15", "18") in placed(ladder)
        assert ("K4", "21", "24") in placed(ladder)


class TestChangeover:
    def test_both_contacts_are_used_where_they_meet_and_the_common_terminal_lies_there(self):
        # K1's two contacts meet between S1 and their own ends
        ladder = ladder_of((NO("S1") & (NO("K1") | NC("K1")) & NC("S2"), coil("K1")))
        places = dict.fromkeys(entry[1:] for entry in placed(ladder) if entry[0] == "K1")
        assert list(places) == [("11", "14"), ("11", "12"), ("A1", "A2")]

    def test_the_common_terminal_may_lie_on_the_right(self):
        panel = {"K1": fit("eight-pin control relay")}
        ladder = ladder_of(
            (((NO("S1") & NO("K1", "11-14")) | (NO("S2") & NC("K1", "11-12"))), coil("K1")),
        )
        assert [entry for entry in placed(ladder, kit_with(**panel)) if entry[0] == "K1"] == [
            ("K1", "14", "11"),
            ("K1", "12", "11"),
            ("K1", "A1", "A2"),
        ]

    def test_two_that_do_not_meet_take_two_changeovers(self):
        ladder = ladder_of((NO("S1") & NO("K1"), coil("K1")), (NO("S2") & NC("K1"), coil("K2")))
        assert [entry for entry in placed(ladder) if entry[0] == "K1" and entry[1] != "A1"] == [
            ("K1", "11", "14"),
            ("K1", "21", "22"),
        ]

    def test_an_early_choice_is_taken_back_if_the_rest_would_not_work_out(self):
        # NC of rung 1 meets only the NO of rung 1; NC of rung 2 only the NO of rung 2
        ladder = ladder_of(
            (NO("S1") & (NO("K1") | NC("K1")), coil("K1")),
            (NO("S2") & (NC("K1") | NO("K1")), coil("K2")),
        )
        assert [entry for entry in placed(ladder) if entry[0] == "K1" and entry[1] != "A1"] == [
            ("K1", "11", "14"),
            ("K1", "11", "12"),
            ("K1", "21", "22"),
            ("K1", "21", "24"),
        ]

    def test_three_apart_are_one_too_many_for_two_changeovers(self):
        ladder = ladder_of(
            (NO("S1") & NO("K1") | NO("S3"), coil("K1")),
            (NO("S2") & NC("K1") | NO("S4"), coil("K2")),
            (NC("S1") & NC("K1") | NC("S2"), coil("K3")),
        )
        with pytest.raises(LadderError) as found:
            allocate(ladder, TRAINING_KIT)
        assert found.value.rule == (
            "needs one NO and two NC contacts of K1; the two contacts of a changeover have their first terminal in "
            "common, so both are of use only where they meet at one node; no accessory cures it; a control relay with "
            "its coil beside this one gives further contacts; no rungs can share one, for it stands beside others in "
            "rungs 1, 2 and 3"
        )

    def test_named_halves_that_do_not_meet_are_refused(self):
        ladder = ladder_of(
            (NO("S1") & NO("K1", "11-14") | NO("S3"), coil("K1")),
            (NO("S2") & NC("K1", "11-12") | NO("S4"), coil("K2")),
        )
        with pytest.raises(LadderError, match="only where they meet at one node"):
            allocate(ladder, TRAINING_KIT)


class TestShortage:
    def test_the_accessory_that_cures_it_is_named(self):
        ladder = ladder_of((NC("Q1"), coil("Q1")), (NC("Q1"), coil("Q2")))
        with pytest.raises(LadderError) as found:
            allocate(ladder, kit_with())
        assert str(found.value) == (
            "wire Q1: needs two NC contacts of Q1; the kit has none; fit an auxiliary block 2 NO + 2 NC."
        )
        cured = kit_with(Q1=fit("contactor", AUXILIARY_BLOCK))
        assert [entry[1:] for entry in placed(ladder, cured)[::2]] == [("21", "22"), ("31", "32")]

    def test_an_accessory_that_is_not_enough_is_not_named(self):
        others = (NO("S1"), NC("S1"), NO("S2"))
        ladder = ladder_of(*((NC("Q1") | other, coil(f"Q{n}")) for n, other in enumerate(others, 1)))
        with pytest.raises(LadderError) as found:
            allocate(ladder, kit_with(Q1=fit("contactor", AUXILIARY_BLOCK)))
        assert found.value.rule == (
            "needs three NC contacts of Q1; the kit has two; no accessory cures it; a control relay with its coil "
            "beside this one gives further contacts; no rungs can share one, for it stands beside others in rungs 1, 2 "
            "and 3"
        )

    def test_a_button_short_of_contacts_can_take_a_block_or_move_a_relay(self):
        two = ladder_of((NO("S1") | NO("S2"), coil("Q1")), (NO("S1") | NC("S2"), coil("Q2")))
        with pytest.raises(LadderError, match=r"fit a button block 1 NC \+ 1 NO"):
            allocate(two, kit_with())
        others = (NO("S2"), NC("S2"), NO("Q1"))
        three = ladder_of(*((NO("S1") | other, coil(f"Q{n}")) for n, other in enumerate(others, 1)))
        with pytest.raises(LadderError, match="no accessory cures it; let it move a control relay"):
            allocate(three, kit_with())

    def test_a_contact_that_closes_in_another_position_does_not_count(self):
        trip = fit("manual motor starter", "starter auxiliary 1 NO + 1 NC", "starter trip contact 1 NO")
        panel = [Device("Q9", "manual motor starter"), *map(Device, ("S1", "S2", "Q1", "Q2"))]
        ladder = ladder_of((NO("Q9") | NO("S1"), coil("Q1")), (NO("Q9") | NO("S2"), coil("Q2")), devices=panel)
        with pytest.raises(LadderError, match="needs two NO contacts of Q9; the kit has one"):
            allocate(ladder, kit_with(Q9=trip))

    def test_a_hundred_contacts_of_one_relay_are_told_at_once(self):
        way = NO("K1") | NC("K1")
        for _ in range(49):
            way = way & (NO("K1") | NC("K1"))
        with pytest.raises(LadderError, match="needs 50 NO contacts of K1; the kit has two"):
            allocate(ladder_of((way, coil("K1"))), TRAINING_KIT)

    def test_named_terminals_that_an_accessory_would_bring(self):
        with pytest.raises(LadderError) as found:
            allocate(ladder_of((NC("Q1", "21-22"), coil("Q1"))), kit_with())
        assert str(found.value) == (
            "Contact NC('Q1', '21-22'): the contactor Q1 of the kit has no contact 21-22; fit an auxiliary block "
            "2 NO + 2 NC. Given: '21-22'. Choices: 13-14."
        )


TIMER = Device("K4", "timer relay")


class TestTimers:
    def test_a_contact_without_terminals_is_the_timed_one(self):
        ladder = ladder_of((NO("K4"), coil("K4")), (NC("K4"), coil("Q1")), devices=[*map(Device, ("Q1",)), TIMER])
        assert [one.wired.item.terminals for one in allocate(ladder, TRAINING_KIT)] == [
            "15-18",
            "A1-A2",
            "15-16",
            "A1-A2",
        ]

    def test_the_contacts_that_change_at_once_are_asked_for_by_their_terminals(self):
        ladder = ladder_of((NO("K4", "21-24"), coil("K4")), devices=[TIMER])
        assert allocate(ladder, TRAINING_KIT)[0].wired.item.terminals == "21-24"

    def test_there_is_one_timed_contact_of_a_kind(self):
        panel = [Device("S1"), Device("Q1"), TIMER]
        ladder = ladder_of((NO("K4"), coil("K4")), (NO("K4") | NO("S1"), coil("Q1")), devices=panel)
        with pytest.raises(LadderError, match="needs two NO contacts of K4; the kit has one"):
            allocate(ladder, TRAINING_KIT)


class TestRefusals:
    def test_a_device_that_the_kit_lacks(self):
        with pytest.raises(LadderError, match="no device S9 in the kit 'training kit'"):
            allocate(ladder_of((NO("S9"), coil("Q1"))), TRAINING_KIT)

    def test_a_device_of_another_kind(self):
        with pytest.raises(LadderError) as found:
            allocate(ladder_of((NC("S6"), coil("Q1"))), TRAINING_KIT)
        assert found.value.rule == ("S6 is an emergency stop in the kit 'training kit' and a push button in the ladder")
        assert found.value.choices == ("Device('S6', 'emergency stop')",)

    def test_a_contact_of_a_selector_must_say_in_which_position_it_is_closed(self):
        ladder = ladder_of((NC("S5"), coil("Q1")), devices=[Device("S5", "three-position selector"), Device("Q1")])
        with pytest.raises(LadderError) as found:
            allocate(ladder, TRAINING_KIT)
        assert found.value.choices == ("31-32 (closed in off or right)", "41-42 (closed in left or off)")

    def test_a_setting_beyond_the_dial(self):
        panel = [Device("F1", setting="12 A class 10 manual"), Device("Q1")]
        with pytest.raises(LadderError) as found:
            allocate(ladder_of((NC("F1"), coil("Q1")), devices=panel), TRAINING_KIT)
        assert str(found.value) == "Setting of F1: the dial of F1 goes from 0.8 A to 4 A. Given: '12 A'."

    def test_a_ladder_that_is_not_finished(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            allocate(Ladder("Mill"), TRAINING_KIT)


SMALL = Fitted(Model("relay", "control relay", blocks("control relay", "11-12", "11-14", "21-22", "21-24", "33-34")))


def works(wanted, chosen):
    """Kinds fit, and contacts with one terminal in common end at one node."""
    return all(w.item.kind == block.kind for w, block in zip(wanted, chosen, strict=True)) and all(
        one.ends[0] != other.ends[0] or {a.left, a.right} & {b.left, b.right}
        for (a, one), (b, other) in combinations(list(zip(wanted, chosen, strict=True)), 2)
    )


class TestSearch:
    @example([Wired(NO("K1"), 1, 2), Wired(NC("K1"), 3, 4), Wired(NC("K1"), 3, 5)])  # the single NO, not the first
    @given(
        st.lists(
            st.builds(
                lambda make, ends: Wired(make("K1"), *ends),
                st.sampled_from((NO, NC)),
                st.tuples(st.integers(1, 7), st.integers(1, 7)).filter(lambda ends: ends[0] != ends[1]),
            ),
            min_size=1,
            max_size=5,
        )
    )
    def test_it_finds_contacts_exactly_if_some_order_of_all_contacts_works(self, wanted):
        possible = any(works(wanted, order) for order in permutations(SMALL.contacts, len(wanted)))
        found = choose(wanted, SMALL)
        assert (found is not None) == possible
        if found is not None:
            assert works(wanted, found)
            assert len({block.terminals for block in found}) == len(wanted)
