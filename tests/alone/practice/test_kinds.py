"""Each exercise has a solution, is of its level, unlike the others of its run, and the same for ever."""

import json
import re
from pathlib import Path

import pytest

from rungbook import LadderError, practice, run
from rungbook.alone.practice import KINDS, tasks
from rungbook.alone.practice.measure import canonical, measure
from rungbook.alone.practice.notebook import notebook_of
from rungbook.alone.progress import Progress
from rungbook.alone.repeat import report
from rungbook.bench import FaultHunt
from rungbook.cli import main
from rungbook.proof import compare
from rungbook.proof.hunt import Case

RUNS = [(kind, level) for kind in ("read", "complete", "build") for level in (1, 2, 3, 4)] + [
    ("fault", 1),
    ("fault", 2),
]


@pytest.fixture(autouse=True)
def _own_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)


def right_answer(task):
    """The answer that earns all points, found without the judge."""
    if task.kind in ("build", "complete"):
        return task.solution
    if task.kind == "read":
        output = re.search(r"Where is (Q\d+)", task.text[0])[1]
        return {line: run(task.given, line)[-1].positions[output] for line in task.form}
    raise AssertionError(task.kind)


@pytest.mark.parametrize(("kind", "level"), [run_ for run_ in RUNS if run_[0] != "fault"])
def test_a_solution_earns_all_points_and_what_is_given_does_not(kind: str, level: int, capsys) -> None:
    for task in tasks(kind, level, 11, 3):
        assert task.mark(right_answer(task)) == task.most, str(task)
        given = task.start() if task.given is None or kind == "read" else task.given
        assert task.mark(given) < task.most, str(task)
        assert "First to mend: " in capsys.readouterr().out


@pytest.mark.parametrize(("kind", "level"), RUNS)
def test_an_exercise_is_of_the_level_that_was_asked_for_by_measure(kind: str, level: int) -> None:
    for task in tasks(kind, level, 11, 3):
        assert task.measure.level == level
        circuit = task.given if kind == "fault" else task.solution
        assert measure(circuit) == task.measure


@pytest.mark.parametrize("kind", ["read", "complete", "build"])
def test_no_two_of_a_run_are_alike(kind: str) -> None:
    made = tasks(kind, 1, 3, 40)
    assert len({task.key for task in made}) == 40
    if kind == "complete":
        assert all(not compare(task.given, task.solution) for task in made)


def test_questions_on_the_same_circuit_are_not_alike_either(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("rungbook.alone.practice.kinds._OTHERS", 0)
    made = tasks("complete", 1, 44, 20)
    assert len({task.key for task in made}) == 20
    assert len({canonical(task.solution) for task in made}) < 20


def test_the_same_seed_gives_the_same_exercise_and_another_one_others() -> None:
    told = str(practice("build", 2, 5, 4))
    assert told.splitlines()[1:5] == [
        "Build the control of the wash pump.",
        "Q2 (wash pump) is in while S1 is pressed, and holds in when let go. Once out, it waits for the next start.",
        "S2 or S3, pressed, makes it drop out, start or no start.",
        "F2, tripped, makes Q2 drop out, start or no start.",
    ]
    assert practice("build", 2, 5, 4) is tasks("build", 2, 5, 6)[3]
    assert practice("build", 2, 6, 4).key != practice("build", 2, 5, 4).key


class TestFault:
    def test_the_fault_is_found_with_the_meter_and_judged_like_in_the_labs(self, capsys) -> None:
        task = practice("fault", 1, 2)
        hunt = task.start()
        assert isinstance(hunt, FaultHunt)
        assert task.mark(hunt) == 0
        assert "Name device and fault with hunt.claim." in capsys.readouterr().out

    def test_the_right_name_is_the_fault(self, capsys) -> None:
        task = practice("fault", 1, 2)
        case = Case(task.given, "practice")
        device, words = case.claims.names(case.hidden(task.token))[0]
        hunt = task.start()
        hunt.claim(device, words)
        assert 0 < task.mark(hunt) < 10, "a guess earns a part"
        assert "That is the fault." in capsys.readouterr().out

    def test_the_sealed_fault_is_in_no_text_of_the_exercise(self) -> None:
        task = practice("fault", 1, 2)
        case = Case(task.given, "practice")
        sentence = str(case.hidden(task.token))
        assert sentence not in str(task) + task._repr_html_()

    def test_another_answer_than_the_hunt_is_refused(self) -> None:
        with pytest.raises(LadderError, match="this answer is the hunt, as start"):
            practice("fault", 1, 2).mark("S1")


class TestNotes:
    def test_points_are_noted_and_told_by_progress_the_last_answer_counting(self) -> None:
        task = practice("read", 1, 4)
        task.mark(task.start())
        task.mark(right_answer(task))
        notes = Progress().notes()
        assert [(note.kind, note.exercise, note.data["points"]) for note in notes] == [
            ("practice", "read-1", 0),
            ("practice", "read-1", 4),
        ]
        assert [line.split() for line in report(notes, notes[-1].at).splitlines()[2:]] == [
            ["read,", "level", "1", "1", "4", "of", "4"]
        ]

    def test_nothing_is_noted_while_a_notebook_is_marked(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
        task = practice("read", 1, 4)
        with pytest.raises(LadderError, match="not at hand while the notebook is being marked"):
            task.mark(task.start())
        assert Progress().notes() == []


class TestBadInput:
    @pytest.mark.parametrize(
        ("arguments", "says"),
        [
            (("guess", 1, 1), "Choices: read, complete, build, fault"),
            (("build", 6, 1), "a level is a whole number"),
            (("build", True, 1), "a level is a whole number"),
            (("build", 1, -1), "a seed is a whole number from 0"),
            (("build", 1, 1.5), "a seed is a whole number from 0"),
            (("build", 1, 1, 0), "a number is a whole number from 1"),
        ],
    )
    def test_names_the_rule_and_the_choices(self, arguments: tuple, says: str) -> None:
        with pytest.raises(LadderError, match=says):
            practice(*arguments)

    def test_a_run_that_is_at_its_end_says_so(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr("rungbook.alone.practice.kinds._TRIES", 3)
        with pytest.raises(LadderError, match=r"this run has \d+ different exercises and no more"):
            tasks("build", 1, 987, 200)


class TestShown:
    def test_in_a_notebook_the_given_ladder_is_drawn(self) -> None:
        page = practice("read", 1, 4)._repr_html_()
        assert "<svg" in page
        assert "Where is Q" in page

    def test_every_cell_of_the_practice_notebook_runs(self, tmp_path: Path, capsys) -> None:
        for kind in KINDS:
            names: dict = {}
            for cell in notebook_of(tasks(kind, 1, 2, 1))["cells"]:
                exec(cell["source"], names)
            assert f"answer: 0 of {names['task1'].most:g} points" in capsys.readouterr().out

    def test_the_command_prints_or_writes_a_new_notebook_and_overwrites_none(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert main(["practice", "read", "--level", "1", "--seed", "4", "--count", "2"]) == 0
        assert capsys.readouterr().out == "\n\n".join(map(str, tasks("read", 1, 4, 2))) + "\n"
        path = tmp_path / "mine.ipynb"
        command = ["practice", "build", "--seed", "4", "--to", str(path)]
        assert main(command) == 0
        assert capsys.readouterr().out == f"written: {path} (1 exercise, seed 4)\n"
        before = path.read_text(encoding="utf-8")
        assert json.loads(before)["cells"][1]["source"] == 'task1 = practice("build", 1, 4, 1)\ntask1'
        assert main(command) == 2
        assert "is there already, and is left as it is" in capsys.readouterr().err
        assert path.read_text(encoding="utf-8") == before
