import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.grading import mark, table


def either(way=None):
    ladder = Ladder("Either place")
    ladder.rung((NO("S1") | NO("S2")) & NC("F1") if way is None else way, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    return ladder


class TestLadder:
    ASK = table(either(), 5, "series or parallel")

    def test_the_same_table_drawn_otherwise_is_met(self):
        assert self.ASK.judge(either(NC("F1") & NO("S2") | NO("S1") & NC("F1")), ()).met

    def test_the_row_with_the_fewest_devices_away_from_rest_is_told(self):
        found = self.ASK.judge(either(NO("S1") & NO("S2") & NC("F1")), ())
        assert found.earned == 0
        assert found.parts() == (
            "In the row S1 released, S2 pressed, F1 set, Q1 out: Q1 becomes out.",
            "Expected: Q1 becomes in.",
        )

    def test_a_lamp_is_what_it_is_and_does_not_become(self):
        wrong = either()
        other = Ladder("x")
        other.rung(wrong.rungs[0].contacts, coil("Q1"))
        other.rung(NC("Q1"), lamp("P1"))
        assert self.ASK.judge(other, ()).parts()[0] == (
            "In the row S1 released, S2 released, F1 set, Q1 out: P1 is lit."
        )

    def test_a_device_that_one_of_the_two_does_not_use_counts_as_a_column(self):
        found = self.ASK.judge(either((NO("S1") | NO("S2")) & NC("F1") & NC("S3")), ())
        assert found.done == "In the row S1 released, S2 pressed, F1 set, Q1 out, S3 pressed:"
        assert self.ASK.judge(either(NO("S1") & NC("F1")), ()).done == (
            "In the row S1 released, S2 pressed, F1 set, Q1 out:"
        )

    def test_outputs_can_be_chosen(self):
        lonely = Ladder()
        lonely.rung((NO("S1") | NO("S2")) & NC("F1"), coil("Q1"))
        assert table(either(), 5, outputs=("Q1",)).judge(lonely, ()).met
        assert self.ASK.judge(lonely, ()).because == "No rung ends in P1."

    def test_the_panel_of_the_exercise_decides_the_words(self):
        selector = (Device("S1", "two-position selector"),)
        found = table(either(), 5).judge(either(NO("S2") & NC("F1")), selector)
        assert found.done.startswith("In the row S1")

    def test_more_rows_than_can_be_compared_wait_for_a_person(self):
        many = NO("S1") | NO("S2")
        for n in range(3, 16):
            many = many | NO(f"S{n}") & NC(f"S{n}")
        found = self.ASK.judge(either(many & NC("F1")), ())
        assert found.undecided

    def test_mark_prints_the_row(self, capsys):
        assert mark("mine", {"mine": either(NO("S1") & NC("F1"))}, self.ASK) == 0
        out = capsys.readouterr().out
        assert "First to mend: In the row S1 released, S2 pressed, F1 set, Q1 out: Q1 becomes out." in out


def two():
    ladder = Ladder("Two")
    ladder.rung(NO("S1") & NC("S2"), coil("Q1"))
    return ladder


RIGHT = {
    "S1 released, S2 released": "out",
    "S1 released, S2 pressed": "out",
    "S1 pressed, S2 released": "in",
    "S1 pressed, S2 pressed": "out",
}


class TestForm:
    @staticmethod
    def asked():
        return table(two(), 6, form=True)

    @pytest.mark.parametrize(
        ("changes", "share"),
        [
            ({}, 1),
            ({"S1 pressed, S2 pressed": "in"}, 2 / 3),
            ({"S1 pressed, S2 released": "out"}, 0),  # "out" in every row
            (dict.fromkeys(RIGHT, "in"), 0),
            (dict.fromkeys(RIGHT, ""), 0),
            ({row: ["in"] for row in RIGHT}, 0),
        ],
    )
    def test_the_same_word_in_every_row_earns_nothing(self, changes, share):
        assert self.asked().judge(RIGHT | changes, ()).earned == pytest.approx(share)

    def test_order_of_inputs_blanks_and_capitals_do_not_matter(self):
        form = {"S2 released ,S1  released": " OUT", "S2 pressed,S1 released": "out"}
        form |= {"S2 released, S1 pressed": "In", "S2 pressed, S1 pressed": "out"}
        assert self.asked().judge(form, ()).met

    def test_the_first_wrong_row_is_told(self):
        found = self.asked().judge(RIGHT | {"S1 pressed, S2 pressed": "in"}, ())
        assert found.parts() == (
            "In the row S1 pressed, S2 pressed: you wrote 'in'.",
            "Expected: Q1 is out.",
        )

    def test_another_word_lists_the_words_and_a_missing_row_is_nothing_written(self):
        assert self.asked().judge(RIGHT | {"S1 pressed, S2 released": "1"}, ()).seen == (
            "you wrote '1'; the words are out and in"
        )
        assert self.asked().judge({"S1": "in", "": "x"}, ()).seen == "you wrote nothing"


class TestInstructorMistakes:
    def test_a_form_is_about_one_output_that_changes(self):
        with pytest.raises(LadderError, match="a form is about one output"):
            table(either(), 5, form=True)
        never = Ladder()
        never.rung(NO("S1") & NC("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="Q1 is the same in every row"):
            table(never, 5, form=True)

    def test_an_output_that_is_not_there_and_too_many_rows(self):
        with pytest.raises(LadderError, match="the asked ladder has no load Q9"):
            table(either(), 5, outputs=("Q9",))
        wide = Ladder()
        way = NO("S1")
        for n in range(2, 16):
            way = way & NO(f"S{n}")
        wide.rung(way, coil("Q1"))
        with pytest.raises(LadderError, match="at most 16,384 rows"):
            table(wide, 5)
