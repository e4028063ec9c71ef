"""Which answers a test cell asks for, and what a test cell must not lean on."""

import pytest

from classroom.conftest import ROOT
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from rungbook.classroom.marking.paper import asked_names, make_paper
from rungbook.errors import LadderError


class TestAskedNames:
    def test_are_the_first_words_of_mark(self) -> None:
        source = "from g import grading, mark\nx = grading.mark('a', globals())\nmark('b', globals())"
        assert asked_names("t", source) == ("a", "b")

    @pytest.mark.parametrize(
        ("source", "message"),
        [
            ("assert 1", "Test cell t: has no call of mark"),
            ("mark(", "Test cell t: is no Python"),
            ("from g import mark\nn = 'a'\nmark(n, globals())", "names the answer as a text"),
            ("from g import mark\nmark('a', globals(), must(1))", "these it does not. Given: 'must'"),
            ("from g import mark\ndef f():\n    return site\nmark('a', globals(), f())", "Given: 'site'"),
        ],
    )
    def test_are_refused_with_the_reason(self, source: str, message: str) -> None:
        with pytest.raises(LadderError) as problem:
            asked_names("t", source)
        assert message in str(problem.value)

    def test_names_bound_inside_functions_and_comprehensions_are_the_cells_own(self) -> None:
        source = "from g import mark\ndef f(x):\n    y = x\n    return [z for z in y]\nmark('a', globals(), f([1]))"
        assert asked_names("t", source) == ("a",)


@pytest.mark.parametrize("lab", find_labs(ROOT), ids=lambda lab: lab.short)
def test_every_lab_can_be_marked_apart(lab) -> None:
    paper = make_paper(lab.name, lab.short, instructor_notebook(lab))
    assert all(cell.names for cell in paper.cells if cell.test)
    text = "".join(cell.source for cell in paper.cells if not cell.locked)
    assert "BEGIN SOLUTION" not in text
