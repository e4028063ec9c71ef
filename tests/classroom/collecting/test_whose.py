from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest

from rungbook import LadderError
from rungbook.classroom.collecting.whose import Roll, read_number, read_time
from rungbook.classroom.roster import Student

STUDENTS = [
    Student("alder", "Ina", "Alder"),
    Student("1204", "Tom", "Birch"),
    Student("1204.b", "Zoë", "Birch"),
    Student("c3", "Mara Lea", "von Cedar"),
    Student("x9", "שרה", "ברוש"),
    Student("20260911", "Ann", "Elm"),
    Student("e1", "Max", "Elm"),
]
ROLL = Roll(STUDENTS, ("lab02-holding-circuit", "lab02"), UTC)


@pytest.mark.parametrize(
    ("path", "students", "by"),
    [
        ("alder/lab02.ipynb", ("alder",), "id"),
        ("LAB02_ALDER.ipynb", ("alder",), "id"),
        ("1204_lab02.ipynb", ("1204",), "id"),
        ("1204.b_lab02.ipynb", ("1204.b",), "id"),  # not that of 1204, which begins alike
        ("Alder Ina_88123_assignsubmission_file/lab02.ipynb", ("alder",), "id"),
        ("20260911_lab02.ipynb", ("20260911",), "id"),  # looks like a day, is a student
        ("birch_61204_lab02.ipynb", ("1204", "1204.b"), "name"),  # 61204 is not 1204
        ("Birch, Zoe_lab02.ipynb", ("1204.b",), "name"),
        ("tombirch_lab02.ipynb", ("1204",), "name"),
        ("mara-lea VON CEDAR (3).ipynb", ("c3",), "name"),
        ("cedar.ipynb", (), "name"),
        ("\u200fברוש שרה/lab02.ipynb", ("x9",), "name"),
        ("all.zip/Elm/lab02.ipynb", ("20260911", "e1"), "name"),
        ("Ann Elm/Max/lab02.ipynb", ("20260911", "e1"), "name"),
        ("alder/c3.ipynb", ("alder", "c3"), "id"),
        ("holding-circuit.ipynb", (), "name"),
        ("lab02.ipynb", (), "name"),
    ],
)
def test_a_path_tells_whose_it_is(path: str, students: tuple[str, ...], by: str) -> None:
    told = ROLL.whose(path.split("/"))
    assert (told.students, told.by) == (tuple(sorted(students)), by)


def test_the_number_of_a_copy_is_no_student() -> None:
    roll = Roll([Student("2", "Ina", "Alder"), Student("3", "Tom", "Birch")], ("lab02",), UTC)
    assert roll.whose(["alder_lab02 (3).ipynb"]).students == ("2",)
    assert roll.whose(["3_lab02 (2).ipynb"]).students == ("3",)


@pytest.mark.parametrize(
    ("name", "time"),
    [
        ("ps_alder_attempt_2026-09-11-23-05-07_lab02.ipynb", datetime(2026, 9, 11, 21, 5, 7, tzinfo=UTC)),
        ("alder_20260911_2305.ipynb", datetime(2026, 9, 11, 21, 5, tzinfo=UTC)),
        ("alder 2026-09-11T23.05.ipynb", datetime(2026, 9, 11, 21, 5, tzinfo=UTC)),
        ("alder_2026-12-11 at 23h05.ipynb", datetime(2026, 12, 11, 22, 5, tzinfo=UTC)),
        ("alder_2026-09-11.ipynb", None),
        ("alder_2026-02-30-10-00.ipynb", None),
        ("alder_1202609112305.ipynb", None),
    ],
)
def test_a_name_tells_when_in_the_time_of_the_class(name: str, time: datetime | None) -> None:
    assert read_time(name, ZoneInfo("Europe/Berlin")) == time


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("lab (12).ipynb", 12),
        ("lab-2.ipynb", 2),
        ("alder attempt 3 lab.ipynb", 3),
        ("alder_v4.ipynb", 4),
        ("alder_88123_lab.ipynb", None),
    ],
)
def test_a_name_tells_which_attempt(name: str, number: int | None) -> None:
    assert read_number(name) == number


class TestPattern:
    def test_takes_the_groups_it_names(self) -> None:
        roll = Roll(STUDENTS, ("lab02",), UTC, r"^(?P<id>\w+)-try(?P<number>\d+)-(?P<time>\S+)\.ipynb")
        told = roll.whose(["C3-try7-2026-09-11_10-00.ipynb"])
        assert (told.students, told.number, told.time) == (("c3",), 7, datetime(2026, 9, 11, 10, 0, tzinfo=UTC))

    def test_looks_for_names_only_where_it_says(self) -> None:
        roll = Roll(STUDENTS, ("lab02",), UTC, r"(?P<last>[^/]+)_(?P<first>[^/]+)/alder")
        assert roll.whose(["Birch_Tom", "alder.ipynb"]).students == ("1204",)
        assert roll.whose(["alder.ipynb"]).by == "pattern"

    @pytest.mark.parametrize(
        ("pattern", "told"), [("(", "a regular expression"), (r"(\w+)", "named groups"), ("(?P<i>x)", "named groups")]
    )
    def test_that_tells_nothing_is_refused(self, pattern: str, told: str) -> None:
        with pytest.raises(LadderError, match=told):
            Roll(STUDENTS, ("lab02",), UTC, pattern)
