import pytest

from rungbook import Device, LadderError
from rungbook.behaviour import possible_steps, read_script
from rungbook.behaviour.script import read_timed

DEVICES = {tag: Device(tag) for tag in ("S1", "S2", "F1")}


def times(script):
    found, end = read_timed(script, DEVICES)
    return [(one.time / 1e6, one.order) for one in found], end / 1e6


class TestTimes:
    def test_orders_follow_one_second_apart(self):
        assert times("press S1, let S1 go") == ([(1.0, "press S1"), (2.0, "let S1 go")], 3.0)

    def test_a_wait_takes_the_place_of_the_pause(self):
        assert times("press S1, wait 250 ms, let S1 go") == (
            [(1.0, "press S1"), (1.25, ""), (1.25, "let S1 go")],
            2.25,
        )

    def test_at_gives_the_time_itself(self):
        assert times("at 12.5 s press S1; at 2 min: let S1 go") == (
            [(12.5, "press S1"), (120.0, "let S1 go")],
            121.0,
        )

    def test_a_full_stop_ends_an_order_but_not_inside_a_number(self):
        assert times("Press S1. Wait 0.5 s. Let S1 go.")[0] == [(1.0, "press S1"), (1.5, ""), (1.5, "let S1 go")]

    def test_the_supply_can_be_set(self):
        (one,), _ = read_timed("set the supply to 62.5 %", DEVICES)
        assert (one.level, one.order) == (0.625, "set the supply to 62.5 %")

    def test_nothing_is_a_script_too(self):
        assert read_timed("", DEVICES) == ((), 1_000_000)


class TestAgreement:
    def test_every_order_is_read_as_by_the_untimed_reader(self):
        for step in possible_steps(DEVICES.values()):
            (timed,), _ = read_timed(step.order.upper(), DEVICES)
            assert (timed.step,) == read_script(step.order, DEVICES)


class TestErrors:
    @pytest.mark.parametrize(
        ("script", "rule"),
        [
            ("press S7", "no such order here. Given: 'press S7'. Choices: press S1, let S1 go"),
            ("wait -3 s", "a time after 'wait' is not negative. Given: '-3 s'"),
            ("at -1 s press S1", "a time after 'at' is not negative. Given: '-1 s'"),
            ("press S1, at 0.5 s let S1 go", "this order lies before the one above it, at 1 s"),
            ("wait 31000 h, press S1", "a script ends within thirty days"),
            ("set the supply to 201 %", "0 to 200 % of its rated voltage"),
            (["press S1", 3], "orders are text. Given: 3"),
            (7, "orders are text, or a list of texts. Given: 7"),
            (["press S1", "let S1 go"] * 501, "at most 1000 orders. Given: 1001"),
            ("wait 3", "no such order here"),
        ],
    )
    def test_name_the_rule_and_the_value(self, script, rule):
        with pytest.raises(LadderError) as found:
            read_timed(script, DEVICES)
        assert str(found.value).startswith("Script: ")
        assert rule in str(found.value)
