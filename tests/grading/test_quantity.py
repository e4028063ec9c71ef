import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook import LadderError
from rungbook.grading import mark, quantity
from rungbook.motors import conductor_ampacity, full_load_current, overload_setting, torque

# 10 hp, 460 V: nameplate 13.2 A, table 14 A, service factor 1.15
OVERLOAD = quantity(
    "overload",
    overload_setting(13.2, 1.15),
    "A",
    0.1,
    10,
    {
        1.25 * float(full_load_current(10, 460)): (
            "You used the table current; the overload is set from the nameplate (430.6(A))."
        ),
        1.15 * 13.2: "You took 115 %; a service factor of 1.15 allows 125 % (430.32(A)(1)).",
    },
    wrong_unit=0.5,
    because="Look at 430.32(A)(1).",
    look="the nameplate",
)


def found(text, ask=OVERLOAD, field="overload"):
    return ask.judge({field: text}, ())


class TestRight:
    @pytest.mark.parametrize(
        "text", ["16.5 A", "16,5 A", "16.5A", "16.5 amps", "16500 mA", "0,0165 kA", "16.4 A", "16.6 A", " 16.5  a "]
    )
    def test_any_way_to_write_it(self, text):
        assert found(text).met

    def test_units_that_measure_the_same_are_converted(self):
        ask = quantity("torque", torque("10 hp", 1750, "lb·ft"), "lb·ft", "1 %", 5)
        for text in ("30 lb·ft", "30 ft-lb", "40.7 Nm", "40,7 N·m", "360 lb·in"):
            assert found(text, ask, "torque").met, text
        power = quantity("power", 7.457, "kW", "0.5 %", 5)
        for text in ("10 hp", "7457 W", "7,457 W", "7 457 W", "7.457 kW"):
            assert found(text, power, "power").met, text

    def test_a_comma_that_may_part_thousands_is_read_in_favour(self):
        ask = quantity("speed", 1500, "rpm", 1, 5)
        assert found("1,500 rpm", ask, "speed").met
        assert found("1500 r/min", ask, "speed").met

    def test_a_share_in_per_cent_or_plain(self):
        slip, factor = quantity("slip", 2.78, "%", 0.01, 5), quantity("pf", 0.85, "", 0.005, 5)
        assert found("2.78 %", slip, "slip").met
        assert found("0.0278", slip, "slip").met
        assert found("0.85", factor, "pf").met
        assert found("85 %", factor, "pf").met
        assert found(0.85, factor, "pf").met

    @pytest.mark.parametrize(
        ("text", "met"), [("16.399 A", False), ("16.4 A", True), ("16.6 A", True), ("16.601 A", False)]
    )
    def test_the_ends_of_the_tolerance(self, text, met):
        assert found(text).met is met

    def test_a_relative_tolerance_is_of_the_value(self):
        ask = quantity("x", 200, "V", "2 %", 1)
        assert [found(f"{volts} V", ask, "x").met for volts in (195.9, 196, 204, 204.1)] == [False, True, True, False]
        assert ask.sentence == "x is right, in V, within 2 %."

    @given(st.floats(0.01, 1e5), st.sampled_from(["A", "kW", "hp", "N·m", "lb·ft", "rpm", "V", "Hz", "s", "%"]))
    def test_the_value_itself_is_always_right(self, value, unit):
        ask = quantity("x", value, unit, "0.1 %", 1)
        assert found(f"{value:.6g} {unit}", ask, "x").met
        assert not found(f"{value * 1.01:.6g} {unit}", ask, "x").met


class TestWrong:
    def test_a_usual_mistake_is_told(self):
        wrong = found("17,5 A")
        assert (wrong.earned, wrong.look) == (0, "the nameplate")
        assert wrong.parts() == (
            "overload: you wrote '17,5 A'.",
            "You used the table current; the overload is set from the nameplate (430.6(A)).",
        )
        assert found("15.2 A").because.startswith("You took 115 %")

    def test_of_two_mistakes_side_by_side_the_nearer_one_is_told(self):
        ask = quantity("x", 5, "A", 0.1, 1, {7.0: "seven", 7.1: "seven and more"})
        assert [found(text, ask, "x").because for text in ("7.02 A", "7.08 A")] == ["seven", "seven and more"]

    def test_a_mistake_without_a_unit_is_told_with_the_unit(self):
        assert found("17.5").because == (
            "The unit is missing: asked for is current, in A. "
            "You used the table current; the overload is set from the nameplate (430.6(A))."
        )

    def test_a_number_that_nothing_explains(self):
        assert found("20 A").because == "Look at 430.32(A)(1)."

    @pytest.mark.parametrize(
        ("text", "because"),
        [
            ("16.5", "The number is right. The unit is missing: asked for is current, in A."),
            (16.5, "The number is right. The unit is missing: asked for is current, in A."),
            ("16.5 V", "The number is right. V measures voltage; asked for is current, in A."),
            (
                "16.5 mA",
                "The number is right. The unit is not: mA is another size of the same; asked for is current, in A.",
            ),
        ],
    )
    def test_the_right_number_with_a_wrong_unit_earns_the_share_of_the_exercise(self, text, because):
        assert (found(text).earned, found(text).because) == (0.5, because)

    def test_and_nothing_if_the_exercise_gives_no_share(self):
        assert found("5", quantity("x", 5, "A", 0.1, 1), "x").earned == 0

    def test_per_cent_forgotten_is_a_missing_unit(self):
        wrong = found("2.78", quantity("slip", 2.78, "%", 0.01, 5, wrong_unit=0.5), "slip")
        assert (wrong.earned, wrong.because) == (
            0.5,
            "The number is right. The unit is missing: asked for is share, in %.",
        )

    def test_another_measure_with_another_number(self):
        wrong = found("460 V")
        assert (wrong.earned, wrong.because) == (0, "V measures voltage; asked for is current, in A.")

    @pytest.mark.parametrize(
        ("text", "because"),
        [("165 A", "It is 10 times too large"), ("16.5 kA", None), ("0.0165 A", "It is 1000 times too small")],
    )
    def test_a_slip_of_the_decimal_point_is_seen(self, text, because):
        wrong = found(text)
        assert wrong.because.startswith(because or "The number is right. The unit is not: kA")

    @pytest.mark.parametrize(
        ("given", "seen", "because"),
        [
            (None, "overload: you wrote nothing", ""),
            ("", "overload: you wrote nothing", ""),
            ("about 16 A", "overload: you wrote 'about 16 A'", "A number and a unit, such as 4 A, is asked for."),
            (
                "16.5 furlongs",
                "overload: you wrote '16.5 furlongs'",
                "There is no unit 'furlongs' here; write a number and A.",
            ),
            ([16.5], "overload: you wrote '[16.5]'", "A number and a unit, such as 4 A, is asked for."),
            ("9" * 500, f"overload: you wrote '{'9' * 40}'", "A number and a unit, such as 4 A, is asked for."),
            (float("nan"), "overload: you wrote 'nan'", "A number and a unit, such as 4 A, is asked for."),
        ],
    )
    def test_what_is_no_quantity_earns_nothing_and_says_so(self, given, seen, because):
        wrong = found(given)
        assert (wrong.earned, wrong.seen, wrong.because) == (0, seen, because)

    def test_the_right_value_is_never_told(self):
        for text in ("17.5 A", "17.5", "20 A", "460 V", "16.5", "", "x", "165 A"):
            said = " ".join(found(text).parts()).replace(str(text), "")
            assert "16.5" not in said, text

    @given(st.text(max_size=30) | st.integers() | st.lists(st.integers()) | st.none() | st.booleans())
    def test_no_answer_makes_it_fail(self, answer):
        assert 0 <= found(answer).earned <= 1


def test_marked_in_a_form_with_others(capsys):
    table = full_load_current(10, 460)
    points = mark(
        "plate",
        {"plate": {"overload": "17.5 A", "conductor": "17,5 A"}},
        OVERLOAD,
        quantity("conductor", conductor_ampacity(table), "A", 0.1, 5),
    )
    assert points == 5
    assert capsys.readouterr().out.splitlines() == [
        "plate: 5 of 15 points",
        "First to mend: overload: you wrote '17.5 A'.",
        "    You used the table current; the overload is set from the nameplate (430.6(A)).",
        "Look at: the nameplate",
        "  not met         0/10    overload is right, in A, within 0.1 A.",
        "  met             5/5     conductor is right, in A, within 0.1 A.",
    ]


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"unit": "furlong"}, "no such unit"),
        ({"value": None}, "a number in A, or an answer"),
        ({"value": float("inf")}, "a number in A, or an answer"),
        ({"value": torque(1, 1750)}, "measures torque, asked for is current"),
        ({"tolerance": 0}, "the tolerance is a number above 0"),
        ({"tolerance": "2 A"}, "the tolerance is a number above 0"),
        ({"tolerance": "-2 %"}, "the tolerance is a number above 0"),
        ({"value": 0, "tolerance": "2 %"}, "the tolerance is a number above 0"),
        ({"mistakes": {16.55: "x"}}, r"a mistake is within the tolerance of 16\.5 A\. Given: '16\.55 A'"),
        ({"mistakes": {17.5: " "}}, "each mistake has a sentence"),
        ({"mistakes": {"17.5 A": "x"}}, "a number in A, or an answer"),
        ({"wrong_unit": 1}, "a number from 0 to below 1"),
        ({"points": 0}, "points are a number above 0"),
    ],
)
def test_an_exercise_that_is_wrong_is_the_instructors_mistake(change, message):
    plain = {"value": 16.5, "unit": "A", "tolerance": 0.1, "points": 10}
    with pytest.raises(LadderError, match=message):
        quantity("overload", **{**plain, **change})
