import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.grading import how_read

UNITS = {"overload": "A", "torque": "N·m", "slip": "%", "pf": ""}


def test_each_field_in_the_unit_asked_for():
    found = how_read({"overload": "4600 mA", "torque": "30 lb·ft", "slip": "0,0278", "pf": 0.85}, UNITS)
    assert found.rows == (
        ("overload", "4600 mA", "4.6 A", "a number and its unit"),
        ("torque", "30 lb·ft", "40.67 N·m", "a number and its unit"),
        ("slip", "0,0278", "2.78 %", "a number and its unit"),
        ("pf", "0.85", "0.85", "a number and its unit"),
    )
    assert found
    assert "every field can be read; whether it is right, the marker says" in found._repr_html_()


def test_what_is_missing_is_said():
    found = how_read({"overload": "4.6", "torque": "40 W", "slip": "about 3 %"}, UNITS)
    assert [row[2:] for row in found.rows] == [
        ("4.6", "the unit is missing: A, or another unit of current"),
        ("40 W", "W measures power, asked for is torque"),
        ("", "begins with a number"),
        ("", "nothing written yet"),
    ]
    assert not found
    assert "<b>nothing written yet</b>" in found._repr_html_()


def test_one_field_that_cannot_be_read_is_enough():
    assert not how_read({"overload": "4.6 A", "torque": "40"}, {"overload": "A", "torque": "N·m"})


def test_a_comma_that_can_be_read_in_two_ways_shows_both():
    assert how_read({"speed": "1,500 rpm"}, {"speed": "rpm"}).rows[0][2] == "1500 rpm or 1.5 rpm"


@given(st.text(max_size=80) | st.integers(-(10**9), 10**9) | st.lists(st.integers()) | st.booleans() | st.none())
def test_no_answer_makes_it_fail(answer):
    assert len(how_read({"overload": answer}, {"overload": "A"}).rows) == 1


def test_what_the_exercise_must_not_do():
    with pytest.raises(LadderError, match="no such unit"):
        how_read({}, {"x": "furlong"})
    with pytest.raises(LadderError, match="works on a form"):
        how_read("4.6 A", UNITS)
