import pytest

from rungbook import LadderError
from rungbook.motors import CAUTION, EDITION, conductor_ampacity, full_load_current, slip, synchronous_speed, torque


class TestShowing:
    ANSWER = conductor_ampacity(full_load_current(1, 115, 1))

    def test_all_steps_stand_there_with_their_clauses(self):
        assert str(self.ANSWER).splitlines() == [
            "Ampacity of the conductors, at least: 20 A",
            "  NEC Table 430.248: 1 hp, column 115 V: 16 A",
            "  1.25 × 16 A = 20 A (NEC 430.22)",
            f"  {EDITION}.",
            f"  {CAUTION}",
        ]

    def test_a_value_from_memory_says_so_and_so_does_what_is_reckoned_from_it(self):
        assert conductor_ampacity(full_load_current(20, 460)).steps == (
            "NEC Table 430.250: 20 hp, column 460 V: 27 A (from memory)",
            "1.25 × 27 A = 33.75 A (NEC 430.22)",
        )

    def test_in_a_notebook_as_a_list(self):
        page = self.ANSWER._repr_html_()
        assert "<b>20 A</b>" in page
        assert "<li>1.25 × 16 A = 20 A (NEC 430.22)</li>" in page
        assert CAUTION in page

    def test_physics_names_no_code(self):
        assert str(synchronous_speed(60, 4)) == "Synchronous speed: 1800 rpm\n  n_s = 120 × 60 Hz ÷ 4 poles = 1800 rpm"
        assert "NEC" not in synchronous_speed(60, 4)._repr_html_()

    def test_it_is_a_number_too(self):
        assert float(self.ANSWER) == 20


class TestGiven:
    def test_a_number_a_text_and_an_answer_say_the_same(self):
        assert float(torque(7.457, 1750)) == pytest.approx(float(torque("10 hp", "1750 rpm")), rel=1e-4)
        assert float(slip(synchronous_speed(60, 4), 1750)) == float(slip("1800 rpm", 1750))

    @pytest.mark.parametrize(
        ("value", "message"),
        [
            (-1, r"^Power: a number from 0 to 10000 kW\. Given: -1\.$"),
            ("10", r"^Power: the unit is missing; a number from 0 to 10000 kW\. Given: '10'\. Choices: 10 kW\.$"),
            ("10 A", r"^Power: current was given, power \[kW\] from 0 to 10000 kW is asked for\. Given: '10 A'\.$"),
            ("1,500 kW", r"can be read in two ways\. Given: '1,500 kW'\. Choices: 1500 kW, 1\.5 kW\.$"),
            (True, r"^Power: a number from 0 to 10000 kW\. Given: True\.$"),
            (None, r"^Power: a number from 0 to 10000 kW\. Given: None\.$"),
            (float("nan"), r"^Power: a number from 0 to 10000 kW\. Given: nan\.$"),
        ],
    )
    def test_what_is_wrong_is_said_with_the_value_and_the_range(self, value, message):
        with pytest.raises(LadderError, match=message):
            torque(value, 1750)
