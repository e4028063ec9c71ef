from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from rungbook.drawing.metrics import text_width, wrap

from .strategies import words


def test_bold_is_wider_than_regular() -> None:
    assert text_width("Wash pump", 12, True) > text_width("Wash pump", 12)


def test_width_grows_with_the_size() -> None:
    assert text_width("S1", 26) == 2 * text_width("S1", 13)


def test_an_accent_adds_no_width() -> None:
    assert text_width("ü", 10) == text_width("u", 10) == text_width("u\u0308", 10)


def test_a_letter_of_no_table_counts_as_a_wide_one() -> None:
    assert text_width("漢", 10) >= text_width("W", 10)


def test_text_breaks_at_spaces() -> None:
    assert wrap("wash pump", 11, 40, 3) == ("wash", "pump")


def test_text_that_fits_is_one_line_and_nothing_is_none() -> None:
    assert wrap("stop", 11, 80, 2) == ("stop",)
    assert wrap("  ", 11, 80, 2) == ()


def test_text_that_does_not_fit_ends_in_an_ellipsis() -> None:
    assert wrap("one two three four", 11, 40, 2)[-1].endswith("…")


@given(words, st.integers(1, 4))
def test_no_line_is_wider_than_asked(text: str, lines: int) -> None:
    done = wrap(text, 11, 60, lines)
    assert len(done) <= lines
    assert all(text_width(line, 11) <= 60 for line in done)


@given(words)
def test_wrapping_loses_no_letter(text: str) -> None:
    assert "".join(wrap(text, 11, 60, 1000)).replace(" ", "") == "".join(text.split())
