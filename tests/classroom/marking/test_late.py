"""Work that came late costs what nbgrader's own plug-in for that says; without one set, nothing."""

import shutil
from pathlib import Path

import pytest

from classroom.small_class import NAME, Class, notebook
from rungbook.classroom.folder import open_class

HOURLY = """
from nbgrader.plugins import LateSubmissionPlugin


class Hourly(LateSubmissionPlugin):
    def late_submission_penalty(self, student_id, score, total_seconds_late):
        return None if student_id == "ill" else 7.5 * total_seconds_late / 3600


c.AssignLatePenalties.plugin_class = Hourly
"""
ZERO = '\nc.LateSubmissionPlugin.penalty_method = "zero"\n'
TIMES = {"early": "2026-09-18 23:00:00 UTC", "late": "2026-09-19 02:00:00 UTC", "ill": "2026-09-19 02:00:00 UTC"}


def handed_in(made: Class, settings: str) -> Class:
    """The lab is due at midnight; everybody is right, two are two hours late."""
    with (made.folder / "nbgrader_config.py").open("a", encoding="utf-8") as file:
        file.write(settings)
    with open_class(made.folder).gradebook as gradebook:
        gradebook.update_or_create_assignment(NAME, duedate="2026-09-19T00:00:00+00:00")
    for student, time in TIMES.items():
        made.hand_in(student, notebook(made.lab))
        made.hand_in(student, f"{time}\n", "timestamp.txt")
    return made


def told(folder: Path) -> dict[str, tuple[float, float, object]]:
    """student -> seconds late, points, penalty."""
    with open_class(folder).gradebook as gradebook:
        found = gradebook.assignment_submissions(NAME)
        return {one.student.id: (one.total_seconds_late, one.score, one.late_submission_penalty) for one in found}


@pytest.mark.parametrize(
    ("settings", "expected"),
    [
        ("", {"early": (0, 80, 0), "late": (7200, 80, 0), "ill": (7200, 80, 0)}),
        (ZERO, {"early": (0, 80, 0), "late": (7200, 80, 80), "ill": (7200, 80, 80)}),
        (HOURLY, {"early": (0, 80, 0), "late": (7200, 80, 15), "ill": (7200, 80, 0)}),
    ],
    ids=["no penalty set", "all points", "a plug-in of the class's own"],
)
def test_penalties_are_those_of_the_class_settings(walls: None, new: Class, settings: str, expected: dict) -> None:
    handed_in(new, settings).mark()
    assert told(new.folder) == expected


@pytest.mark.long
def test_nbgrader_itself_takes_the_same(walls: None, new: Class, tmp_path: Path) -> None:
    handed_in(new, HOURLY)
    plain = Path(shutil.copytree(new.folder, tmp_path / "plain"))
    new.mark()
    api = open_class(plain)
    for student in TIMES:
        result = api.autograde(NAME, student)
        assert result["success"], result["log"]
    assert told(plain) == told(new.folder)
