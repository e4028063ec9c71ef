"""How hard a circuit is, and which circuits are alike."""

from hypothesis import given
from hypothesis import strategies as st

from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.alone.practice.measure import Measure, canonical, measure, smallest, without


def pump(way=None) -> Ladder:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1") if way is None else way, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


class TestMeasure:
    def test_counts_contacts_and_states_that_can_be_reached(self) -> None:
        # supply off: 8 positions, Q1 out. Supply on: 8, in each of which Q1 can be out but where S2 alone closes the
        # way (1 of 8), and in where the way can be closed (2 of 8): 8 + 7 + 2
        assert measure(pump()) == Measure(5, 17)

    def test_contacts_that_can_be_left_out_do_not_count(self) -> None:
        doubled = pump(NC("S1") & (NO("S2") | NO("S2") & NO("Q1") | NO("Q1")) & NC("F1") & NC("S1"))
        assert measure(doubled) == Measure(5, 17)
        assert measure(smallest(doubled)) == Measure(5, 17)

    def test_each_contact_and_each_doubling_of_the_states_is_one_more(self) -> None:
        assert Measure(5, 16).hardness == 9
        assert [Measure(contacts, 16).level for contacts in (5, 6, 8, 9, 11, 12, 15, 16)] == [1, 2, 2, 3, 3, 4, 4, 5]

    def test_a_contact_left_out_is_the_one_in_that_place(self) -> None:
        ways = [without(pump(), 0, place).rungs[0].contacts for place in range(4)]
        assert ways == [
            (NO("S2") | NO("Q1")) & NC("F1"),
            NC("S1") & NO("Q1") & NC("F1"),
            NC("S1") & NO("S2") & NC("F1"),
            NC("S1") & (NO("S2") | NO("Q1")),
        ]
        assert without(pump(), 1, 0).rungs[1].contacts is None


class TestCanonical:
    def test_designations_and_order_do_not_matter(self) -> None:
        other = Ladder("Mill")
        other.rung(NO("Q3"), lamp("P2", "green"))
        other.rung(NC("F2") & (NO("Q3") | NO("S2")) & NC("S4"), coil("Q3"))
        assert canonical(other) == canonical(pump())

    def test_a_contact_at_another_place_or_of_another_kind_matters(self) -> None:
        ways = [
            NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"),
            (NC("S1") & NO("S2") | NO("Q1")) & NC("F1"),
            NC("S1") & (NO("S2") | NC("Q1")) & NC("F1"),
            NC("S1") & (NO("S2") | NO("S1")) & NC("F1"),
            NC("S1") & NO("S2") & NO("Q1") & NC("F1"),
        ]
        assert len({canonical(pump(way)) for way in ways}) == 5

    def test_sentences_are_renamed_along(self) -> None:
        other = Ladder("Mill")
        other.rung(NC("S4") & (NO("S7") | NO("Q3")) & NC("F2"), coil("Q3"))
        other.rung(NO("Q3"), lamp("P2", "green"))
        assert canonical(other, texts=["press S7"]) == canonical(pump(), texts=["press S2"])
        assert canonical(other, texts=["press S7"]) != canonical(pump(), texts=["press S1"])

    @given(st.permutations(["S1", "S2", "S3", "S4"]), st.permutations([0, 1, 2]))
    def test_any_renaming_and_order_of_a_series_is_the_same(self, tags, order) -> None:
        members = [NC(tags[0]), NO(tags[1]) | NO("Q1"), NC(tags[2]) & NC(tags[3])]
        first, second, third = (members[k] for k in order)
        ladder = Ladder("x")
        ladder.rung(first & second & third, coil("Q1"))
        asked = Ladder("y")
        asked.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("S3") & NC("S4"), coil("Q1"))
        assert canonical(ladder) == canonical(asked)
