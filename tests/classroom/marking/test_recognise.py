"""Notebooks that another program saved without nbgrader's metadata."""

import json

import nbformat
import pytest

from classroom.conftest import ROOT
from rungbook.classroom.build import instructor_notebook, released_notebook
from rungbook.classroom.labs import find_lab, find_labs
from rungbook.classroom.marking.paper import Paper, make_paper
from rungbook.classroom.marking.recognise import recognise
from rungbook.classroom.marking.sheet import put_together, read_notebook
from rungbook.classroom.samples import hand_in, load_samples

LAB2 = find_lab(ROOT, "lab02")


@pytest.fixture(scope="module", name="paper")
def _paper() -> Paper:
    return make_paper(LAB2.name, "lab02", instructor_notebook(LAB2))


def solved() -> nbformat.NotebookNode:
    return hand_in(LAB2, load_samples(LAB2)[0])


def cells(notebook: nbformat.NotebookNode, ids: bool, meta: bool = False) -> list[dict]:
    """The notebook's cells as they come back, without what another program drops."""
    notebook = json.loads(json.dumps(notebook))
    for cell in notebook["cells"]:
        if not meta:
            cell["metadata"] = {}
        if not ids:
            del cell["id"]
    return read_notebook(json.dumps(notebook | {"nbformat_minor": 5 if ids else 4}).encode())


def names(found: list[dict]) -> list[tuple[object, str]]:
    return [(cell["grade_id"], cell["source"]) for cell in found if cell["grade_id"]]


def test_nothing_is_done_to_a_notebook_that_has_its_names(paper: Paper) -> None:
    there = cells(solved(), True, True)
    before = json.dumps(there)
    assert recognise(paper, there) == []
    assert json.dumps(there) == before


@pytest.mark.parametrize("ids", [True, False], ids=["by id", "by place"])
@pytest.mark.parametrize("lab", find_labs(ROOT), ids=lambda lab: lab.short)
def test_every_cell_of_every_lab_is_found_again_in_every_sample(lab, ids: bool) -> None:
    source = instructor_notebook(lab)
    paper = make_paper(lab.name, lab.short, source)
    for sample in load_samples(lab)[::3]:
        notebook = hand_in(lab, sample)
        stripped = cells(notebook, ids)
        (note,) = recognise(paper, stripped)
        assert names(stripped) == names(cells(notebook, True, True)), sample.student
        how = "by their ids" if ids else "by the unchanged cells around them"
        assert note.startswith(f"nbgrader's metadata was lost; recognised {how}: {lab.short}-")


class TestByPlace:
    def test_cells_that_the_student_added_or_threw_away_are_passed_over(self, paper: Paper) -> None:
        there = cells(solved(), False)
        (answer,) = [n for n, cell in enumerate(there) if cell["source"].startswith('holding = Ladder("Wash pump"')]
        more = {"cell_type": "code", "source": "1 + 1", "id": None, "grade_id": None}
        without = [cell for cell in there if "A button does not stay" not in cell["source"]]
        changed = [*without[: answer - 1], dict(more), without[answer - 1], dict(more), *without[answer:]]
        recognise(paper, changed)
        assert names(changed) == names(cells(solved(), True, True))

    def test_a_test_cell_that_was_written_over_is_put_back_and_not_taken_for_one(self, paper: Paper) -> None:
        notebook = solved()
        for cell in notebook.cells:
            if cell["id"] == "lab02-holding-marks":
                cell.source = "print(35)"
        sheet = put_together(paper, cells(notebook, False))
        assert "cell lab02-holding-marks was missing and is put back" in sheet.notes
        places = {known.grade_id: place for place, known in sheet.papers.items()}
        assert places["lab02-holding-marks"] == places["lab02-holding"] + 1

    def test_an_answer_written_into_a_new_cell_is_the_answer(self, paper: Paper) -> None:
        there = cells(solved(), True, True)
        (one,) = [cell for cell in there if cell["grade_id"] == "lab02-holding"]
        one["grade_id"], one["id"] = None, "fresh"
        (note,) = recognise(paper, there)
        assert note.endswith("by the unchanged cells around them: lab02-holding")
        assert one["grade_id"] == "lab02-holding"

    def test_another_notebook_is_not_taken_for_the_lab(self, paper: Paper) -> None:
        other = [{"cell_type": "code", "source": f"x = {n}", "id": None, "grade_id": None} for n in range(30)]
        assert recognise(paper, other) == []
        assert names(other) == []


class TestById:
    def test_an_id_that_stands_twice_says_nothing(self, paper: Paper) -> None:
        there = cells(solved(), True)
        essay = next(cell for cell in there if cell["id"] == "lab02-essay")
        there.append(dict(essay))
        notes = recognise(paper, there)
        assert "lab02-essay" not in notes[0]
        assert "by the unchanged cells around them: lab02-essay" in notes[1]


def test_the_student_and_the_log_are_told(paper: Paper) -> None:
    sheet = put_together(paper, cells(solved(), True))
    assert sheet.notes[0].startswith("nbgrader's metadata was lost; recognised by their ids: lab02-reading, ")
    assert sheet.cells[0]["source"].startswith("**A note on this notebook.** Cells of it had lost the names")
    assert "lab02-essay" in sheet.cells[0]["source"]


def test_the_text_that_students_got_is_that_of_the_release() -> None:
    for lab in find_labs(ROOT):
        source = instructor_notebook(lab)
        paper = make_paper(lab.name, lab.short, source)
        released = released_notebook(source).cells
        assert [(cell.id, cell.given.strip()) for cell in paper.cells] == [
            (c["id"], c.source.strip()) for c in released
        ]
