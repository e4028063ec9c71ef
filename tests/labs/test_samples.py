"""Every sample answer of every lab gets its marks, and its first line of feedback."""

from functools import cache
from pathlib import Path

import pytest

from labs.harness import marked
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_lab, find_labs
from rungbook.classroom.samples import Sample, load_samples

ROOT = Path(__file__).parents[2]
CASES = [(lab.name, sample) for lab in find_labs(ROOT) for sample in load_samples(lab)]


@cache
def points_of(lab_name: str) -> dict[str, float]:
    """grade_id of each test cell -> its points."""
    cells = instructor_notebook(find_lab(ROOT, lab_name)).cells
    return {
        cell["id"]: cell.metadata.nbgrader.points for cell in cells if cell.metadata.get("nbgrader", {}).get("locked")
    }


@pytest.mark.parametrize(("lab_name", "sample"), CASES, ids=[f"{lab[:5]}-{sample.student}" for lab, sample in CASES])
class TestSample:
    def test_gets_its_marks_and_no_others(self, lab_name: str, sample: Sample) -> None:
        full = points_of(lab_name)
        listed = set(sample.marks) | set(sample.says)
        assert listed <= set(full), "samples.toml names a test cell that the lab does not have"
        expected = {
            cell: sample.marks.get(cell, points if sample.others == "solution" else 0) for cell, points in full.items()
        }
        results = marked(find_lab(ROOT, lab_name), sample.student)
        assert {cell: result.points for cell, result in results.items()} == expected

    def test_gets_its_first_line_of_feedback(self, lab_name: str, sample: Sample) -> None:
        results = marked(find_lab(ROOT, lab_name), sample.student)
        for cell, text in sample.says.items():
            assert text in results[cell].first

    def test_full_marks_and_nothing_to_mend_go_together(self, lab_name: str, sample: Sample) -> None:
        for cell, result in marked(find_lab(ROOT, lab_name), sample.student).items():
            assert (result.first == "") == (result.points == points_of(lab_name)[cell]), result.printed


def test_each_lab_has_right_answers_in_two_shapes_and_four_wrong_ones() -> None:
    for lab in find_labs(ROOT):
        samples = load_samples(lab)
        right = [sample for sample in samples if not sample.marks]
        assert len(right) >= 2, lab.name
        assert len(samples) - len(right) >= 4, lab.name


def test_each_exercise_has_four_wrong_answers_beside_the_blank() -> None:
    short = {}
    for lab in find_labs(ROOT):
        samples = [sample for sample in load_samples(lab) if sample.others != "blank"]
        for cell, points in points_of(lab.name).items():
            wrong = [sample.student for sample in samples if sample.marks.get(cell, points) < points]
            if len(wrong) < 4:
                short[cell] = wrong
    assert short == {}
