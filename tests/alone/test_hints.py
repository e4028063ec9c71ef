"""A hint says one thing more each time, and is noted; a solution opens after an honest attempt, or is asked for."""

from pathlib import Path

import pytest

import rungbook
from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.alone.find import find_graders
from rungbook.alone.hints import next_hint, open_solution
from rungbook.alone.progress import Note, Progress
from rungbook.alone.repeat import report, standings
from rungbook.cli import main
from rungbook.grading.handed import hand_over

ROOT = Path(__file__).parents[2]
HOLDING = find_graders("lab02", ROOT).exercise("holding")
WORDS = find_graders("lab02", ROOT).exercise("words")
ESSAY = find_graders("lab02", ROOT).exercise("essay")


@pytest.fixture(name="progress")
def _progress(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Progress:
    monkeypatch.setenv("RUNGBOOK_DATA", str(tmp_path))
    monkeypatch.delenv("NBGRADER_EXECUTION", raising=False)
    return Progress()


def answer(contacts: rungbook.circuit.Part) -> dict:
    ladder = Ladder("Wash pump")
    ladder.rung(contacts, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return {"holding": hand_over("holding", ladder)}


NOT_HELD = answer(NC("S1") & NO("S2") & NC("F1"))
NOT_STOPPED = answer((NO("S2") | NO("Q1")) & NC("F1"))
RIGHT = answer(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"))


class TestLadderOfHints:
    def test_goes_from_the_place_to_the_rule_to_the_contact_and_stays_there(self, progress: Progress) -> None:
        assert [str(next_hint(HOLDING, NOT_HELD, progress)) for _ in range(4)] == [
            "lab02-holding, hint 1 of 3. Where to look: what closes when Q1 pulls in, and where it stands.",
            "lab02-holding, hint 2 of 3. Which rule: Q1 holds in when you let S2 (start) go. Expected: Q1 holds in.",
            *[
                "lab02-holding, hint 3 of 3. Which contact: Press S2. Let S2 go. Q1 drops out. "
                "There is no closed path around S2 (wires 3–4) after it opens.\n"
                "That was the last hint for this mistake."
            ]
            * 2,
        ]
        assert [note.data["step"] for note in progress.notes()] == [1, 2, 3], "the last one is noted once"

    def test_begins_anew_with_another_mistake(self, progress: Progress) -> None:
        assert [next_hint(HOLDING, NOT_HELD, progress).step for _ in range(2)] == [1, 2]
        assert next_hint(HOLDING, NOT_STOPPED, progress).step == 1
        assert next_hint(HOLDING, NOT_HELD, progress).step == 3
        assert standings(progress.notes())["lab02-holding"].hints == 4

    def test_of_a_right_answer_is_none_and_notes_nothing(self, progress: Progress) -> None:
        assert str(next_hint(HOLDING, RIGHT, progress)) == "lab02-holding: nothing to mend."
        assert progress.notes() == []

    def test_without_a_place_named_by_the_graders_names_the_device_or_the_field(self, progress: Progress) -> None:
        red = Ladder("Wash pump")
        red.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
        red.rung(NO("Q1"), lamp("P1", "red"))
        assert next_hint(HOLDING, {"holding": hand_over("holding", red)}, progress).text == "where P1 stands."
        form = {"words": hand_over("words", {"a colour that a start button never has": "red"})}
        assert next_hint(WORDS, form, progress).text == "a colour that a stop button never has."

    def test_of_an_answer_that_is_not_there_tells_what_is_asked_first(self, progress: Progress) -> None:
        told = [next_hint(HOLDING, {}, progress).text for _ in range(3)]
        assert told[:2] == ["where Q1 and S2 stand.", "Q1 pulls in when you press S2 (start)."]
        assert told[2].startswith("Answer holding: missing")

    @pytest.mark.parametrize("lab", ["lab02", "lab04"])
    def test_says_nothing_of_the_solution(self, lab: str, progress: Progress) -> None:
        for exercise in find_graders(lab, ROOT).exercises:
            if exercise.written:
                continue
            told = " ".join(next_hint(exercise, {}, progress).text for _ in range(3))
            lines = [line.strip() for part in exercise.parts for line in part.solution.splitlines()]
            released = {line.strip() for part in exercise.parts for line in part.released.splitlines()}
            assert [line for line in lines if line and line not in released and line in told] == []

    def test_knows_nothing_of_an_answer_in_words(self, progress: Progress) -> None:
        with pytest.raises(LadderError, match="lab02-essay: is written in words"):
            next_hint(ESSAY, {}, progress)


class TestInANotebook:
    def test_hint_looks_at_the_answers_as_they_stand(self, progress: Progress) -> None:
        ladder = Ladder("Wash pump")
        ladder.rung(NC("S1") & NO("S2") & NC("F1"), coil("Q1"))
        made = eval('hint("lab02-holding")', {"hint": rungbook.hint, "holding": ladder})
        assert made.text == "what closes when Q1 pulls in, and where it stands."
        assert made._repr_html_().startswith("<p>lab02-holding, hint 1 of 3.")
        assert [note.exercise for note in progress.notes()] == ["lab02-holding"]

    def test_while_the_notebook_is_marked_it_is_not_at_hand(
        self, progress: Progress, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setenv("NBGRADER_EXECUTION", "autograde")
        with pytest.raises(LadderError, match="not at hand while the notebook is being marked"):
            rungbook.hint("lab02-holding")


class TestSolution:
    def attempt(self, points: float, digest: str, most: float = 35, name: str = "lab02-holding") -> Note:
        return Note("attempt", name, {"points": points, "most": most, "first": "", "digest": digest})

    def test_opens_after_a_run_with_some_points(self, progress: Progress) -> None:
        progress.add([self.attempt(4, "a")])
        assert 'NO("Q1", "13-14")' in open_solution(HOLDING, False, progress)
        assert progress.notes()[-1] == Note("solution", "lab02-holding", {"asked": False}, progress.notes()[-1].at)

    def test_opens_after_three_different_answers_and_not_after_one_tried_thrice(self, progress: Progress) -> None:
        progress.add([self.attempt(0, "a")] * 3 + [self.attempt(0, "b")])
        with pytest.raises(LadderError, match=r"with 3 different answers \(so far: 2\); or now, with --show"):
            open_solution(HOLDING, False, progress)
        progress.add([self.attempt(0, "c")])
        assert open_solution(HOLDING, False, progress)

    def test_opens_when_asked_for_and_that_is_told_by_progress(self, progress: Progress) -> None:
        assert open_solution(HOLDING, True, progress)
        progress.add([self.attempt(35, "a")])
        notes = progress.notes()
        assert "lab02-holding: the solution was opened first" in report(notes, notes[-1].at)

    def test_of_an_answer_in_words_opens_once_something_is_written(self, progress: Progress) -> None:
        with pytest.raises(LadderError):
            open_solution(ESSAY, False, progress)
        progress.add([self.attempt(0, "a", 0, "lab02-essay")])
        assert "*Marking guide.*" in open_solution(ESSAY, False, progress)


class TestCommands:
    def test_hint_and_solution_from_the_file(self, progress: Progress, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["hint", "lab02", "holding"]) == 0
        assert capsys.readouterr().out.startswith("lab02-holding, hint 1 of 3. Where to look: ")
        assert main(["solution", "lab02", "holding"]) == 2
        assert "opens after a run of rungbook check with some points" in capsys.readouterr().err
        assert main(["solution", "lab02", "holding", "--show"]) == 0
        assert capsys.readouterr().out.startswith('holding = Ladder("Wash pump", panel)')
        assert [note.kind for note in progress.notes()] == ["hint", "solution"]
