"""The first lesson in course/: as in the browser edition, but for where it is read and where work is kept."""

import json
from pathlib import Path

from rungbook.classroom.build import build_first_lesson, stale_first_lesson
from rungbook.classroom.site.contents import first_lesson

ROOT = Path(__file__).parents[2]


def cells(text: str, kind: str) -> list[str]:
    return ["".join(cell["source"]) for cell in json.loads(text)["cells"] if cell["cell_type"] == kind]


def test_the_tracked_one_is_as_built() -> None:
    assert stale_first_lesson(ROOT) == [], "run: rungbook build"


def test_both_editions_have_the_same_code() -> None:
    """So what the tests of the browser edition find by running it holds of this one."""
    assert cells(first_lesson(browser=False), "code") == cells(first_lesson(), "code")


def test_each_tells_where_it_is_read_and_nothing_of_the_other() -> None:
    course, browser = ("\n".join(cells(first_lesson(browser=here), "markdown")) for here in (False, True))
    assert "in this browser" in browser
    assert "browser" not in course
    assert "Save what you change with Ctrl and S" in course
    assert "Save what you change" not in browser
    for text in (course, browser):
        assert "<!--" not in text
        assert text.count("## 5 ·") == 1
        assert "To run a cell, click\ninto it and press **Shift and Enter**" in text


def test_it_is_built_in_a_checkout_alone(tmp_path: Path) -> None:
    assert build_first_lesson(tmp_path) == []
    (tmp_path / "pyproject.toml").write_text("")
    (tmp_path / "course").mkdir()
    made = tmp_path / "course" / "first-lesson.ipynb"
    assert build_first_lesson(tmp_path) == [made]
    assert build_first_lesson(tmp_path) == []
    made.write_text("{}")
    assert stale_first_lesson(tmp_path) == [made]
