import pytest

from rungbook.errors import LadderError


class TestLadderError:
    def test_the_message_joins_thing_rule_value_and_choices(self):
        error = LadderError("Rung 1", "has no load", 5, ("coil('Q1')", "lamp('P1')"))
        assert str(error) == "Rung 1: has no load. Given: 5. Choices: coil('Q1'), lamp('P1')."

    def test_the_four_are_attributes(self):
        error = LadderError("Rung 1", "has no load", 5, ("coil('Q1')",))
        assert (error.thing, error.rule, error.value, error.choices) == ("Rung 1", "has no load", 5, ("coil('Q1')",))

    def test_without_value_and_choices_only_thing_and_rule_are_told(self):
        assert str(LadderError("Rung 1", "has no load")) == "Rung 1: has no load."

    def test_an_empty_text_is_still_a_value(self):
        assert str(LadderError("Device", "unknown", "")) == "Device: unknown. Given: ''."

    def test_a_long_value_is_cut_in_the_message_and_whole_in_the_attribute(self):
        error = LadderError("Rung", "too long", "x" * 500)
        assert str(error) == f"Rung: too long. Given: '{'x' * 59}…."
        assert error.value == "x" * 500

    def test_it_is_a_value_error(self):
        with pytest.raises(ValueError, match="Rung: bad"):
            raise LadderError("Rung", "bad")
