import pytest

from rungbook import NC, NO, Ladder, LadderError, check, coil


@pytest.fixture
def pump():
    ladder = Ladder("Wash <b>pump</b>")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    return ladder


class TestCheck:
    def test_orders_add_up_and_all_as_expected_is_true(self, pump):
        found = check(pump, ("press S2", {"Q1": "in"}), ("let S2 go", {"Q1": "in", "S2": "released"}))
        assert found.rows == (
            ("press S2", "Q1", "in", "in"),
            ("let S2 go", "Q1", "in", "in"),
            ("let S2 go", "S2", "released", "released"),
        )
        assert found

    def test_one_difference_is_false_and_told(self, pump):
        found = check(pump, ("press S2", {"Q1": "in"}), ("press S1", {"Q1": "in"}))
        assert not found
        assert [line.split("  ")[-1].strip() for line in str(found).splitlines()[2:]] == [
            "as expected",
            "NOT as expected",
        ]

    def test_html_has_the_same_words_and_escapes_the_title(self, pump):
        html = check(pump, ("press S1", {"Q1": "in"}))._repr_html_()
        assert "NOT as expected" in html
        assert "Wash <b>pump" not in html
        assert "Wash &lt;b&gt;pump" in html

    def test_an_unfinished_ladder_says_what_is_missing_and_is_false(self):
        found = check(Ladder("Mill"), ("press S1", {"Q1": "in"}))
        assert not found
        assert str(found) == "Not yet: Ladder 'Mill': has no rungs yet; add one with .rung(contacts, load)."
        assert "has no rungs yet" in found._repr_html_()

    def test_a_device_that_is_not_there_lists_the_devices(self, pump):
        with pytest.raises(LadderError) as found:
            check(pump, ("press S2", {"P1": "lit"}))
        assert str(found.value) == ("check: no device P1 in this ladder. Given: 'P1'. Choices: S1, S2, Q1.")

    def test_an_order_that_is_none_is_refused_as_by_run(self, pump):
        with pytest.raises(LadderError, match="Script: no such order here"):
            check(pump, ("press S9", {"Q1": "in"}))
