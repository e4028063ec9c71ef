import pytest

from rungbook.errors import LadderError
from rungbook.kit import check_terminals, contact_kind


class TestDecoding:
    @pytest.mark.parametrize(
        "text", ["", "13", "13-", "13-24", "14-13", "1-2", "3-4", "5-6", "13-15", "11-13", "A1-A2"]
    )
    def test_what_is_no_pair_of_a_control_contact_is_none(self, text):
        assert contact_kind(text) is None

    @pytest.mark.parametrize("text", ["03-04", "19-10", "13-14 ", " 13-14", "13-14\n", "13–14", "113-114", "13_14"])
    def test_a_pair_written_in_another_way_is_none(self, text):
        assert contact_kind(text) is None

    def test_every_position_digit_decodes_alike(self):
        for tens in "123456789":
            assert contact_kind(f"{tens}1-{tens}2") == "NC"
            assert contact_kind(f"{tens}3-{tens}4") == "NO"

    def test_of_all_pairs_with_one_tens_digit_six_are_contacts(self):
        found = {f"1{a}-1{b}": contact_kind(f"1{a}-1{b}") for a in range(10) for b in range(10)}
        assert {pair: kind for pair, kind in found.items() if kind} == {
            "11-12": "NC",
            "13-14": "NO",
            "11-14": "NO",
            "15-16": "NC",
            "17-18": "NO",
            "15-18": "NO",
        }


class TestCheck:
    def test_none_given_is_allowed(self):
        assert check_terminals("x", "NO", "") == ""

    def test_a_fitting_pair_is_returned(self):
        assert check_terminals("x", "NO", "13-14") == "13-14"
        assert check_terminals("x", "NC", "95-96") == "95-96"

    def test_a_pair_of_the_other_kind_says_which_kind_it_is(self):
        with pytest.raises(LadderError) as found:
            check_terminals("Contact NO('Q1')", "NO", "21-22")
        assert str(found.value) == (
            "Contact NO('Q1'): terminals 21-22 are those of a normally closed contact (EN 50005), the contact is "
            "normally open. Given: '21-22'. Choices: 13-14, 23-24, 11-14 (changeover), 97-98 (overload)."
        )

    @pytest.mark.parametrize("terminals", ["1-2", "13/14", None, 13, ("13", "14"), True])
    def test_what_is_no_pair_says_what_a_pair_is(self, terminals):
        with pytest.raises(LadderError) as found:
            check_terminals("x", "NC", terminals)
        assert found.value.rule.startswith("terminals are a pair such as 13-14")
        assert found.value.choices == ("11-12", "21-22", "95-96 (overload)")
