"""The glossary: its entries in order, each with the lab in which a student first meets the word."""

from pathlib import Path

import nbformat
import pytest

from labs.harness import run_notebook
from rungbook.classroom.build import build_glossary, stale_glossary
from rungbook.classroom.glossary import built_at, entries, first_lab, glossary, source_of, told_to_students
from rungbook.classroom.labs import Lab, find_labs
from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS

ROOT = Path(__file__).parents[2]
TEXT = "# Glossary\n\n## C\n\n**coil**: Pulls.\n\n**contactor**: A switch\nfor motors.\n"


class TestEntries:
    def test_are_read_in_order(self) -> None:
        assert entries(TEXT) == ["coil", "contactor"]

    @pytest.mark.parametrize(
        ("text", "rule"),
        [
            ("## C\n\n**contactor**: B.\n\n**coil**: A.\n", "alphabetical order, once each; after 'contactor'"),
            ("## C\n\n**coil**: A.\n\n**coil**: B.\n", "alphabetical order, once each"),
            ("## D\n\n**coil**: A.\n", "stands under its first letter, not under 'D'"),
        ],
    )
    def test_out_of_order_are_refused(self, text: str, rule: str) -> None:
        with pytest.raises(LadderError, match=rule):
            entries(text)


TOLD = {"lab02": "Two overload relays and break-before-make.", "lab01": "A contactor, Normally Closed."}


class TestFirstLab:
    def test_is_the_first_that_has_the_word_in_any_case_and_in_the_plural(self) -> None:
        assert first_lab("contactor", TOLD) == "lab01"
        assert first_lab("overload relay", TOLD) == "lab02"
        assert first_lab("NC, normally closed", TOLD) == "lab01"
        assert first_lab("break before make", TOLD) == "lab02"

    @pytest.mark.parametrize("told", ["Prove it dead.", "prove dead", "prove the whole circuit dead"])
    def test_lets_other_words_stand_where_the_entry_has_brackets(self, told: str) -> None:
        assert first_lab("prove (a circuit) dead", {"lab01": "Prove it.", "lab02": told}) == "lab02"

    def test_is_none_for_a_part_of_a_word(self) -> None:
        with pytest.raises(LadderError, match=r"a word that a student meets.*'contact'"):
            first_lab("contact", TOLD)

    def test_does_not_read_code_solutions_or_marking_guides(self, tmp_path: Path) -> None:
        lab = Lab(tmp_path, "lab07-test")
        lab.source.parent.mkdir(parents=True)
        written = "<!-- #region nbgrader={} -->\nguide\n<!-- #endregion -->\n"
        lab.source.write_text(f"One word.\n\n```python\ncode = 1\n```\n\n{written}\nEnd.\n")
        assert told_to_students(lab) == "One word. End."


class TestNotebook:
    def test_names_the_lab_behind_each_entry(self, tmp_path: Path) -> None:
        lab = Lab(tmp_path, "lab07-test")
        lab.source.parent.mkdir(parents=True)
        lab.source.write_text("A coil in a contactor.\n")
        source_of(tmp_path).parent.mkdir()
        source_of(tmp_path).write_text(TEXT)
        notebook = glossary(tmp_path, [lab])
        assert notebook is not None
        assert notebook.cells[0].source == (
            "# Glossary\n\n## C\n\n**coil**: Pulls. *(Lab 07)*\n\n**contactor**: A switch\nfor motors. *(Lab 07)*"
        )
        assert build_glossary(tmp_path) == [tmp_path / "course" / "glossary.ipynb"]
        assert build_glossary(tmp_path) == []
        source_of(tmp_path).write_text(TEXT.replace("Pulls", "It pulls"))
        assert stale_glossary(tmp_path) == [tmp_path / "course" / "glossary.ipynb"]

    def test_a_course_without_one_is_fine(self, tmp_path: Path) -> None:
        assert glossary(tmp_path, []) is None
        assert build_glossary(tmp_path) == []

    def test_tracked_one_is_that_of_a_fresh_build(self) -> None:
        assert stale_glossary(ROOT) == [], "run: rungbook build"

    def test_runs_from_top_to_bottom(self) -> None:
        notebook = nbformat.read(built_at(ROOT), as_version=4)
        ran = [error for _, _, _, error in run_notebook(notebook)]
        assert len(ran) >= 4
        assert set(ran) == {None}

    def test_has_the_kinds_of_device_that_the_labs_speak_of(self) -> None:
        names = {
            word.strip() for name in entries(source_of(ROOT).read_text(encoding="utf-8")) for word in name.split(",")
        }
        told = " ".join(told_to_students(lab) for lab in find_labs(ROOT)).lower()
        spoken_of = {kind for kind in ALL_KINDS if kind in told}
        assert len(spoken_of) >= 10
        assert spoken_of - names == set()
