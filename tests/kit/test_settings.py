import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.errors import LadderError
from rungbook.kit import CounterSetting, Device, OverloadSetting, StarterSetting, TimerSetting, parse_setting
from rungbook.kit.settings import FORMS, TIMER_FUNCTIONS


def setting(tag, kind, text):
    return parse_setting(Device(tag, kind, setting=text))


class TestTimer:
    @pytest.mark.parametrize(
        ("text", "function", "milliseconds"),
        [
            ("on-delay 5 s", "on-delay", 5_000),
            ("off-delay 500 ms", "off-delay", 500),
            ("on-and-off delay 0.5 s", "on-and-off delay", 500),
            ("one-shot on rising edge 2 min", "one-shot on rising edge", 120_000),
            ("one-shot on falling edge 1.25 s", "one-shot on falling edge", 1_250),
            ("flash 0.001 s", "flash", 1),
            ("cumulative on-delay 100 h", "cumulative on-delay", 360_000_000),
        ],
    )
    def test_a_function_and_a_time_are_read(self, text, function, milliseconds):
        assert setting("K1", "timer relay", text) == TimerSetting(function, milliseconds)

    def test_seconds_are_milliseconds_over_1000(self):
        assert TimerSetting("flash", 250).seconds == 0.25

    @given(st.sampled_from(TIMER_FUNCTIONS), st.integers(1, 9_999_999))
    def test_a_time_in_thousandths_of_a_second_is_exact(self, function, milliseconds):
        text = f"{function} {milliseconds // 1000}.{milliseconds % 1000:03} s"
        assert setting("K1", "timer relay", text) == TimerSetting(function, milliseconds)

    @pytest.mark.parametrize(
        "text",
        [
            "on-delay",
            "on-delay 5",
            "on-delay 5s",
            "on-delay  5 s",
            "on-delay -5 s",
            "on-delay 0 s",
            "on-delay 0.5 ms",
            "on-delay 101 h",
            "on-delay 5,5 s",
            "on-delay 5 s ",
            "on-delay 5 s\n",
            "On-delay 5 s",
            "on-delay ٥ s",
            "on-delay 99999 s",
            "late 5 s",
            "up 3",
        ],
    )
    def test_any_other_form_lists_the_legal_ones(self, text):
        with pytest.raises(LadderError) as found:
            setting("K1", "timer relay", text)
        assert found.value.rule == "this is no setting of a timer relay"
        assert found.value.value == text
        assert found.value.choices[0] == "on-delay TIME"
        assert found.value.choices == FORMS["timer"]


class TestCounter:
    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            ("up 3", CounterSetting("up", 3)),
            ("down 9999", CounterSetting("down", 9999)),
            ("up-down 1", CounterSetting("up-down", 1)),
        ],
    )
    def test_a_direction_and_a_preset_are_read(self, text, expected):
        assert setting("K2", "counter", text) == expected

    @pytest.mark.parametrize("text", ["up", "up 0", "up 03", "up 10000", "up 2.5", "sideways 3", "3", "on-delay 5 s"])
    def test_any_other_form_lists_the_legal_ones(self, text):
        with pytest.raises(LadderError) as found:
            setting("K2", "counter", text)
        assert found.value.choices == ("up COUNT", "down COUNT", "up-down COUNT", "COUNT from 1 to 9999")


class TestOverload:
    @pytest.mark.parametrize(
        ("text", "expected"),
        [
            ("2.4 A class 10 manual", OverloadSetting(2.4, "10", "manual")),
            ("2.4 A class 10A automatic", OverloadSetting(2.4, "10A", "automatic")),
            ("12 A class 30 manual with test", OverloadSetting(12.0, "30", "manual", test=True)),
            ("0.25 A class 5 automatic with test", OverloadSetting(0.25, "5", "automatic", test=True)),
        ],
    )
    def test_current_class_and_one_of_four_reset_selections_are_read(self, text, expected):
        assert setting("F1", "overload relay", text) == expected

    @pytest.mark.parametrize(
        "text",
        [
            "2.4 A",
            "2.4 a class 10 manual",
            "2.4 A class 15 manual",
            "2.4 A class 10",
            "0.0 A class 10 manual",
            "2.4 A class 10 auto",
            "1e3 A class 10 manual",
            ".5 A class 10 manual",
        ],
    )
    def test_any_other_form_lists_the_legal_ones(self, text):
        with pytest.raises(LadderError) as found:
            setting("F1", "overload relay", text)
        assert found.value.choices[1:] == (
            "CLASS 5, 10A, 10, 20, 30",
            "RESET manual, automatic; 'with test' may follow",
        )


class TestStarter:
    def test_a_current_is_read(self):
        assert setting("Q9", "manual motor starter", "2.5 A") == StarterSetting(2.5)

    @pytest.mark.parametrize("text", ["2.5", "0 A", "2.5 mA", "2.4 A class 10 manual"])
    def test_any_other_form_lists_the_legal_one(self, text):
        with pytest.raises(LadderError) as found:
            setting("Q9", "manual motor starter", text)
        assert found.value.choices == ("CURRENT A, such as 2.5 A",)


class TestDevice:
    def test_nothing_set_is_none(self):
        assert parse_setting(Device("K1", "timer relay")) is None
        assert parse_setting(Device("S1")) is None

    def test_a_kind_with_nothing_to_set_lists_those_that_have(self):
        with pytest.raises(LadderError) as found:
            Device("S1", setting="up 3")
        assert str(found.value) == (
            "Device('S1'): a push button has nothing to set. Given: 'up 3'. Choices: overload relay, "
            "manual motor starter, timer relay, counter."
        )

    @pytest.mark.parametrize("value", [None, 5, 2.5, True, ["up 3"], b"up 3"])
    def test_a_setting_that_is_no_text_is_refused(self, value):
        with pytest.raises(LadderError, match="the setting must be text"):
            Device("K2", "counter", setting=value)
