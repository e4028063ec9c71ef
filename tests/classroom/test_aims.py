"""Which exercises show which aim, stated beside every lab and checked against its source."""

from pathlib import Path

import pytest

from classroom.conftest import ROOT
from rungbook import LadderError
from rungbook.classroom.aims import Aim, load_aims
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import Lab, find_labs

HEAD = """# Lab 07 · Small

After this lab you can

1. draw a *pump*,
2. say why
   it `stops`.

> Before you touch it.

```python
x = 1
```
"""
ASKED = ("lab07-pump-marks", "lab07-essay", "lab07-number-marks")
RIGHT = """[shown]
1 = ["lab07-pump-marks", "lab07-essay"]

[unmarked]
2 = "seen at the bench"

[beside]
exercises = ["lab07-number-marks"]
"""


def lab(root: Path, aims: str | None) -> Lab:
    made = Lab(root, "lab07-small")
    made.source.parent.mkdir(parents=True)
    made.source.write_text(HEAD, encoding="utf-8")
    if aims is not None:
        made.aims.write_text(aims, encoding="utf-8")
    return made


@pytest.mark.parametrize("one", find_labs(ROOT), ids=lambda one: one.short)
def test_every_lab_says_for_each_aim_what_shows_it(one: Lab) -> None:
    cells = instructor_notebook(one).cells
    asked = [cell["id"] for cell in cells if cell.metadata.get("nbgrader", {}).get("grade")]
    aims = load_aims(one, asked)
    assert [aim.number for aim in aims] == list(range(1, len(aims) + 1))
    assert len(aims) >= 5
    assert all(aim.shown or aim.unmarked for aim in aims)
    assert all(len(aim.text) > 15 and not set("*`\n") & set(aim.text) for aim in aims)


def test_an_aim_is_told_without_markup_on_one_line(tmp_path: Path) -> None:
    assert load_aims(lab(tmp_path, RIGHT), ASKED) == (
        Aim(1, "draw a pump", ("lab07-pump-marks", "lab07-essay")),
        Aim(2, "say why it stops", unmarked="seen at the bench"),
    )


def test_a_class_from_before_has_aims_and_nothing_that_shows_them(tmp_path: Path) -> None:
    assert load_aims(lab(tmp_path, None), ASKED) == (Aim(1, "draw a pump"), Aim(2, "say why it stops"))
    assert load_aims(Lab(tmp_path / "none", "lab07-small"), ASKED) == ()


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        (
            "2 =",
            "3 =",
            "each aim of the list at the head of the lab stands once, under shown or unmarked. Given: '1, 3'",
        ),
        ('2 = "seen at the bench"', "", "Given: '1'. Choices: 1, 2"),
        ('2 = "seen', '1 = "seen', "Given: '1, 1'"),
        (', "lab07-essay"', "", "each exercise of the lab stands under an aim or beside them, and no other name does"),
        ("lab07-essay", "lab07-esay", "Given: 'lab07-esay, lab07-essay'"),
        ("[beside]", "[besides]", "unknown key. Given: 'besides'"),
        ("exercises =", "exercise =", "unknown key. Given: 'beside.exercise'"),
        ("[beside]", "[beside", "is no TOML: "),
    ],
)
def test_what_does_not_fit_the_lab_is_named(tmp_path: Path, old: str, new: str, message: str) -> None:
    assert RIGHT.count(old) == 1
    with pytest.raises(LadderError) as problem:
        load_aims(lab(tmp_path, RIGHT.replace(old, new)), ASKED)
    assert str(problem.value).startswith("lab07-small, aims.toml: ")
    assert message in str(problem.value)
