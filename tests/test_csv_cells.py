import csv
import io

import pytest

from rungbook.tables import csv_text, harmless


@pytest.mark.parametrize(
    "cell", ["=1+1", "+1", "-2+3", "@SUM(A1)", "\t=1", "  =1", "\r=1", "\uff1dcmd", '=HYPERLINK("x")']
)
def test_what_a_spreadsheet_would_run_begins_with_an_apostrophe(cell: str) -> None:
    assert harmless(cell) == f"'{cell}"


@pytest.mark.parametrize(
    ("cell", "told"),
    [(-2.5, "-2.5"), (0, "0"), (72.0, "72"), ("a=b", "a=b"), ("", ""), (None, ""), (1234567, "1234567")],
)
def test_numbers_and_other_words_stay_as_they_are(cell: object, told: str) -> None:
    assert harmless(cell) == told


def test_commas_quotes_and_line_ends_come_back_as_they_went() -> None:
    row = ['Elm, "von"', "a\nb", "c;d", "-x"]
    (_, back) = csv.reader(io.StringIO(csv_text(["a", "b", "c", "d"], [row]), newline=""))
    assert back == [*row[:3], "'-x"]
