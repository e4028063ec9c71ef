import base64
import re

import pytest

from rungbook import LadderError
from rungbook.proof.hunt import lab_key, seal, unseal
from rungbook.proof.hunt.seal import MAX_NUMBER

KEY = lab_key("lab07")


class TestRoundTrip:
    @pytest.mark.parametrize("number", [0, 1, 273022572, MAX_NUMBER])
    @pytest.mark.parametrize("salt", ["", "a1b2c3"])
    def test_a_token_opens_to_the_number_sealed(self, number, salt):
        assert unseal(seal(number, KEY, salt), KEY) == number

    def test_it_is_the_same_each_time_and_on_every_machine(self):
        assert seal(273022572, KEY, "a1b2c3") == "huyiuzem3pzy7yndoo7odlskf"

    def test_capitals_do_not_matter(self):
        token = seal(5, KEY)
        assert unseal("h" + token[1:].upper(), KEY) == 5


class TestHidden:
    def test_it_is_one_word_of_letters_and_digits_and_no_designation(self):
        tokens = [seal(number, KEY) for number in range(300)]
        assert all(re.fullmatch(r"h[a-z2-7]{24}", token) for token in tokens)
        assert len(set(tokens)) == 300

    def test_salts_make_tokens_of_one_fault_differ_in_every_part(self):
        one, other = (base64.b32decode(seal(7, KEY, salt)[1:].upper()) for salt in ("a", "b"))
        assert one[:5] != other[:5]
        assert one[5:11] != other[5:11]
        assert one[11:] != other[11:]

    def test_numbers_beside_each_other_look_nothing_alike(self):
        one, other = (base64.b32decode(seal(n, KEY)[1:].upper()) for n in (8, 9))
        assert one[5:] != other[5:]
        assert bin(int.from_bytes(one[5:], "big") ^ int.from_bytes(other[5:], "big")).count("1") > 16


class TestRefused:
    @pytest.mark.parametrize("token", ["", "hello", None, 7, "h" * 25, "h" + "a" * 24, "S1", "hé"])
    def test_what_is_no_token(self, token):
        with pytest.raises(LadderError, match="Token: is the text given in the exercise"):
            unseal(token, KEY)

    def test_a_token_of_another_lab(self):
        with pytest.raises(LadderError, match="none of this lab"):
            unseal(seal(5, lab_key("lab08")), KEY)

    def test_a_token_with_any_letter_changed(self):
        token = seal(5, KEY)
        for place in range(1, len(token)):
            changed = token[:place] + ("b" if token[place] == "a" else "a") + token[place + 1 :]
            with pytest.raises(LadderError, match="Token"):
                unseal(changed, KEY)

    @pytest.mark.parametrize("number", [-1, MAX_NUMBER + 1, True, "5", 1.0])
    def test_what_is_no_number_of_a_fault(self, number):
        with pytest.raises(LadderError, match="a fault has a number from 0 to 4294967295"):
            seal(number, KEY)
