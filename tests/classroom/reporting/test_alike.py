from pathlib import Path

import nbformat

from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.labs import Lab
from rungbook.classroom.reporting.alike import Alike, find_alike, foreign_words
from rungbook.classroom.reporting.papers import Paper, read_paper
from rungbook.grading.variants import Variant

GIVEN = 'pump = Ladder ( "Pump" ) # YOUR WORK HERE'
RIGHT = 'pump = Ladder ( "Pump" ) pump . rung ( NO ( "S2" ) )'
WRONG = 'pump = Ladder ( "Pump" ) pump . rung ( NC ( "S2" ) )'


def paper(student: str, text: str, told: str = "", essay: str = "") -> Paper:
    circuits = {"lab02-a": "rungs"} if "rung" in text else {}
    return Paper(student, {"lab02-a-marks": told}, {"lab02-a": text}, circuits, {"lab02-e": essay})


def found(*papers: Paper) -> list[Alike]:
    return find_alike(papers, {"lab02-a": GIVEN}, {"lab02-a": RIGHT})


class TestAlike:
    def test_are_those_with_the_same_wrong_circuit(self) -> None:
        told = found(paper("a", WRONG, "Q1 stays out."), paper("b", WRONG, "Q1 stays out."), paper("c", RIGHT))
        assert told == [Alike(("a", "b"), ("lab02-a: the same wrong circuit, written alike",))]

    def test_are_not_those_who_are_right_or_wrote_nothing(self) -> None:
        assert found(paper("a", RIGHT), paper("b", RIGHT)) == []
        assert found(paper("a", GIVEN, "no rungs"), paper("b", GIVEN, "no rungs")) == []
        other = 'pump = Ladder ( "Pump" ) pump . rung ( NO ( "S2" ) , 1 )'
        assert found(paper("a", other), paper("b", other)) == []

    def test_are_those_with_the_same_comments_though_right(self) -> None:
        text = RIGHT + " # my idea"
        assert found(paper("a", text), paper("b", text))[0].signs == ("lab02-a: the same code with the same comments",)

    def test_are_those_with_the_same_words_unless_they_are_few(self) -> None:
        few, many = "It holds in.", "The contact of Q1 closes around the button and so the coil stays fed."
        assert found(paper("a", RIGHT, essay=few), paper("b", RIGHT, essay=few)) == []
        papers = [paper(one, RIGHT, essay=many) for one in "cab"]
        assert found(*papers) == [Alike(("a", "b", "c"), ("lab02-e: the same words",))]


class TestVariants:
    OWN = Variant("one", {"S1": "S3", "Q1": "Q1"})
    OTHER = Variant("two", {"S1": "S4", "Q1": "Q2"})

    def test_of_others_show_by_their_words(self) -> None:
        papers = [Paper("a", variant="one", words=frozenset({"S4", "Q1"})), Paper("b", variant="two")]
        told = foreign_words(papers, {"a": self.OWN, "b": self.OTHER})
        assert told == [Alike(("a", "b"), ("uses S4, which is not in the student's own lab",))]

    def test_of_others_show_by_what_the_notebook_says(self) -> None:
        told = foreign_words([Paper("a", variant="two")], {"a": self.OWN, "b": self.OTHER})
        assert told == [Alike(("a", "b"), ("the notebook is the other's variant",))]

    def test_of_ones_own_are_no_sign(self) -> None:
        assert foreign_words([Paper("a", variant="one", words=frozenset({"S3", "Q1", "F7"}))], {"a": self.OWN}) == []


def test_a_paper_is_read_in_the_words_of_the_lab(tmp_path: Path) -> None:
    variant = Variant("one", {"S1": "S2", "S2": "S1", "Q1": "Q3"})
    code, test, essay = nbformat.v4.new_code_cell, nbformat.v4.new_code_cell, nbformat.v4.new_markdown_cell
    printed = "pump: 3 of 9 points\nFirst to mend: Press S1.\n    Q3 drops out.\n  met 3/3 x\n"
    notebook = nbformat.v4.new_notebook(metadata={"rungbook": {"variant": "one"}})
    notebook.cells = [
        code('pump  =  Ladder("P")\npump.rung(NO("S1")  | NO("Q3"), coil("Q3"))'),
        test("mark()", outputs=[nbformat.v4.new_output("stream", name="stdout", text=printed)]),
        essay("S1   starts\nit."),
    ]
    for cell, name, grade, solution in zip(notebook.cells, "abc", (0, 1, 1), (1, 0, 1), strict=True):
        cell.metadata["nbgrader"] = {"grade_id": name, "grade": bool(grade), "solution": bool(solution)}
    path = tmp_path / "autograded" / "alder" / "lab02-x" / "lab02.ipynb"
    path.parent.mkdir(parents=True)
    nbformat.write(notebook, path)
    told = read_paper(ClassFolder(tmp_path), Lab(tmp_path, "lab02-x"), "alder", variant)
    assert told == Paper(
        "alder",
        {"b": "Press S2. Q1 drops out."},
        {"a": 'pump = Ladder ( "P" ) pump . rung ( NO ( "S2" ) | NO ( "Q1" ) , coil ( "Q1" ) )'},
        {"a": "NO('S2') | NO('Q1'), coil('Q1')"},
        {"c": "S2 starts it."},
        "one",
        frozenset({"S1", "Q3"}),
    )
