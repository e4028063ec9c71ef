from pathlib import Path

import pytest

from classroom.class_kit import copied, everything, new_class, rungbook
from rungbook.classroom.class_folder import ClassFolder


@pytest.fixture(scope="module", name="made")
def _made(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    return new_class(tmp_path_factory.mktemp("new") / "class")


class TestNewClass:
    def test_has_the_labs_with_their_sources_and_nbgraders_settings(self, made: ClassFolder) -> None:
        assert [lab.short for lab in made.labs()] == ["lab01", "lab02", "lab03"]
        assert all(lab.source.is_file() and lab.variants.is_file() for lab in made.labs())
        assert sorted(path.name for path in made.root.iterdir()) == [
            "class.json",
            "gradebook.db",
            "nbgrader_config.py",
            "solutions",
            "source",
        ]

    def test_has_students_and_due_dates_in_nbgraders_gradebook(self, made: ClassFolder) -> None:
        with made.api().gradebook as gradebook:
            students = [(one.id, one.first_name, one.last_name, one.email) for one in gradebook.students]
            dates = [made.due(lab, gradebook) for lab in made.labs()]
        assert sorted(students)[:2] == [("alder", "Ina", "Alder", "ina@cider.example"), ("birch", "Tom", "Birch", None)]
        assert len(students) == 6
        assert [date.isoformat() for date in dates if date] == [
            "2026-09-11T23:59:00+00:00",
            "2026-09-18T23:59:00+00:00",
            "2026-09-25T23:59:00+00:00",
        ]

    def test_a_second_time_is_refused_and_changes_nothing(self, made: ClassFolder) -> None:
        before = everything(made.root.parent)
        roster = made.root.parent / "students.csv"
        again = rungbook("class", "new", made.root, "--roster", roster, "--labs", "01", "--term", "2026-09-07")
        assert again[0] == 2
        assert "must be new or empty; nothing in it is touched" in again[2]
        assert everything(made.root.parent) == before

    def test_a_bad_roster_leaves_nothing_behind(self, tmp_path: Path) -> None:
        (tmp_path / "bad.csv").write_text("id\na\na\n")
        asked = ("class", "new", tmp_path / "class", "--roster", tmp_path / "bad.csv", "--labs", "01")
        status, told, problem = rungbook(*asked, "--term", "2026-09-07")
        assert (status, told) == (2, "")
        assert problem.startswith("rungbook class new: Roster: 1 bad row\n  line 3: id 'a' stands in line 2 already")
        assert [path.name for path in tmp_path.iterdir()] == ["bad.csv"]


def test_students_who_join_are_added_and_names_corrected(made: ClassFolder, tmp_path: Path) -> None:
    place = copied(made, tmp_path / "class")
    (tmp_path / "late.csv").write_text("id,first_name,last_name\nalder,Ina,Alder-Elm\nyew,Ann,Yew\n")
    assert rungbook("class", "students", tmp_path / "late.csv", cwd=place.root / "source")[1] == "1 new, 1 corrected\n"
    with place.api().gradebook as gradebook:
        found = {one.id: (one.last_name, one.email) for one in gradebook.students}
    assert (len(found), found["yew"]) == (7, ("Yew", None))
    assert found["alder"] == ("Alder-Elm", "ina@cider.example"), "no column of addresses, so they stay"


def test_a_command_outside_of_any_class_says_where_to_go(tmp_path: Path) -> None:
    (tmp_path / "late.csv").write_text("id\nyew\n")
    status, _, problem = rungbook("class", "students", tmp_path / "late.csv", cwd=tmp_path)
    assert status == 2
    assert "go to the class folder, or name it with --class" in problem
