import pytest

from rungbook.kit import COLOURS, LAMP_MEANINGS, START_COLOURS, STOP_COLOURS


class TestColours:
    def test_every_colour_has_its_own_letter_so_that_nothing_rests_on_colour_alone(self):
        assert len(set(COLOURS.values())) == len(COLOURS) == 7

    def test_every_named_colour_is_a_colour(self):
        assert {*LAMP_MEANINGS, *START_COLOURS, *STOP_COLOURS} <= set(COLOURS)

    @pytest.mark.parametrize("table", [COLOURS, LAMP_MEANINGS])
    def test_the_tables_cannot_be_changed(self, table):
        with pytest.raises(TypeError):
            table["red"] = "x"
