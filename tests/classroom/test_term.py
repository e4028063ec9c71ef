from datetime import UTC, date, datetime, time
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from rungbook import LadderError
from rungbook.classroom.labs import Lab
from rungbook.classroom.term import choose_labs, due_dates, read_date, read_due, read_numbers

LABS = [Lab(Path(), f"lab{number:02d}-x") for number in (1, 2, 3, 5)]
FRIDAY = (4, time(23, 59))


class TestNumbers:
    def test_come_from_ranges_and_single_ones(self) -> None:
        assert read_numbers("--labs", "05-07, 1,lab03") == (1, 3, 5, 6, 7)

    @pytest.mark.parametrize("text", ["", "a", "3-1", "0", "1,1", "1-3,2", "1..3", "-2"])
    def test_are_nothing_else(self, text: str) -> None:
        with pytest.raises(LadderError, match=r"^--labs: "):
            read_numbers("--labs", text)


class TestLabs:
    def test_are_those_of_the_numbers(self) -> None:
        assert [lab.short for lab in choose_labs(LABS, "02-03,5")] == ["lab02", "lab03", "lab05"]
        assert choose_labs(LABS, "all") == tuple(LABS)

    def test_that_the_course_lacks_are_named(self) -> None:
        with pytest.raises(LadderError, match=r"no lab 04, 06\. Given: '03-06'\. Choices: 01, 02, 03, 05\."):
            choose_labs(LABS, "03-06")


class TestDueDates:
    def test_are_a_week_apart_at_the_same_time_of_the_clock_over_the_end_of_summer_time(self) -> None:
        dates = due_dates(LABS[:2], date(2026, 10, 21), None, FRIDAY, ZoneInfo("Europe/Berlin"))
        assert list(dates.values()) == [
            datetime(2026, 10, 23, 21, 59, tzinfo=UTC),
            datetime(2026, 10, 30, 22, 59, tzinfo=UTC),
        ]

    def test_pass_over_weeks_without_a_lab(self) -> None:
        dates = due_dates(LABS[:3], date(2026, 9, 7), (1, 3, 4, 9), FRIDAY, UTC)
        assert [day.day for day in dates.values()] == [11, 25, 2]

    def test_are_refused_for_fewer_weeks_than_labs_and_before_the_term(self) -> None:
        with pytest.raises(LadderError, match=r"at least one week for each of 4 labs\. Given: 2"):
            due_dates(LABS, date(2026, 9, 7), (1, 2), FRIDAY, UTC)
        with pytest.raises(LadderError, match="lab01 would be due on 2026-09-11, before the term begins"):
            due_dates(LABS, date(2026, 9, 12), None, FRIDAY, UTC)


def test_words_of_the_command_line_are_read() -> None:
    assert read_due("friday 8:05") == (4, time(8, 5))
    assert read_date("--term", "2026-09-07") == date(2026, 9, 7)


@pytest.mark.parametrize("text", ["Fri", "Fry 10:00", "Fri 24:00", "Fri 10:60", "10:00"])
def test_other_words_are_refused(text: str) -> None:
    with pytest.raises(LadderError, match="a day of the week and a time"):
        read_due(text)


@pytest.mark.parametrize("text", ["7.9.2026", "2026-02-30", "20260907"])
def test_other_days_are_refused(text: str) -> None:
    with pytest.raises(LadderError, match="a day, year-month-day"):
        read_date("--term", text)
