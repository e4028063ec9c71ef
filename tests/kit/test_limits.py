import pytest

from rungbook.errors import LadderError
from rungbook.kit.limits import check_text


class TestText:
    def test_printable_text_is_returned(self):
        assert check_text("Ladder", "title", "Wash pump № 2, São Tomé") == "Wash pump № 2, São Tomé"

    def test_200_characters_fit_and_201_do_not(self):
        assert len(check_text("Ladder", "title", "x" * 200)) == 200
        with pytest.raises(LadderError) as found:
            check_text("Ladder", "title", "x" * 201)
        assert str(found.value) == (
            "Ladder: the title may have at most 200 characters, this has 201. Given: 'xxxxxxxxxxxxxxxxxxxx…'."
        )

    @pytest.mark.parametrize("text", [None, 0, b"x", ["x"]])
    def test_anything_else_is_refused(self, text):
        with pytest.raises(LadderError, match="the note must be text"):
            check_text("Rung 1", "note", text)
