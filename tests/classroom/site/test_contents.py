import json
import re
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import nbformat
import pytest
from nbclient import NotebookClient

from rungbook import LadderError
from rungbook.classroom.labs import find_labs
from rungbook.classroom.site.contents import FETCHED_EARLY, FIRST_LESSON, contents, first_lesson, front_page, title

ROOT = Path(__file__).parents[3]
COURSE = contents(ROOT)


class Links(HTMLParser):
    """Every address that a page names, and its headings and texts of links."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.addresses: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.addresses += [value or "" for name, value in attrs if name in ("href", "src", "action")]


class TestContents:
    def test_are_the_first_lesson_every_lab_with_its_bench_sheet_and_the_glossary(self) -> None:
        labs = find_labs(ROOT)
        released = {f"{lab.name}/{lab.short}.ipynb" for lab in labs} | {f"{lab.name}/bench-sheet.html" for lab in labs}
        assert set(COURSE) == released | {"first-lesson.ipynb", "glossary.ipynb"}

    def test_are_the_released_files_to_the_letter(self) -> None:
        for path, text in COURSE.items():
            if path != FIRST_LESSON:
                assert text == (ROOT / "course" / path).read_text(encoding="utf-8"), path

    def test_hold_no_solution_and_no_hidden_test(self) -> None:
        for path, text in COURSE.items():
            assert "BEGIN SOLUTION" not in text, path
            assert "HIDDEN TESTS" not in text, path

    def test_a_course_without_labs_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match="no labs; run rungbook build"):
            contents(tmp_path)


class TestFirstLesson:
    def test_is_the_same_whenever_it_is_made(self) -> None:
        assert first_lesson() == first_lesson()

    def test_asks_for_a_holding_contact_and_the_check_tells_with_and_without(self) -> None:
        for contact, words in (('NO("S2")', "not yet as expected"), ('(NO("S2") | NO("Q1"))', "everything here is as")):
            notebook = nbformat.reads(first_lesson(), as_version=4)
            code = [cell for cell in notebook.cells if cell.cell_type == "code"]
            mine = next(cell for cell in code if cell.source.startswith("mine ="))
            assert 'NO("S2")' in mine.source
            mine.source = mine.source.replace('NO("S2")', contact)
            NotebookClient(notebook, timeout=60).execute()
            shown = code[-1].outputs[0]["data"]["text/html"]
            assert words in shown

    def test_shows_the_cautions_before_the_first_cell(self) -> None:
        cells = json.loads(first_lesson())["cells"]
        before = "".join("".join(cell["source"]) for cell in cells[: [c["cell_type"] for c in cells].index("code")])
        for words in ("switch off, lock out and tag", "prove the\n> circuit dead", "qualified person"):
            assert words in before


class TestFrontPage:
    page = front_page(COURSE)

    def test_names_every_lab_by_its_heading(self) -> None:
        for path, text in COURSE.items():
            if path.startswith("lab") and path.endswith(".ipynb"):
                assert f">{title(text)}</a>" in self.page
        assert ">Lab 02 · The holding circuit</a>" in self.page

    def test_every_link_leads_to_a_file_of_the_site_and_none_outside(self) -> None:
        for address in Links(self.page).addresses:
            parts = urlsplit(address)
            assert (parts.scheme, parts.netloc) == ("", ""), address
            if parts.path == "lab/index.html":
                assert parse_qs(parts.query)["path"][0] in COURSE, address
            elif parts.path not in ("lab/favicon.ico", *FETCHED_EARLY):
                assert parts.path.removeprefix("files/") in COURSE, address
        assert "first-lesson.ipynb" in "".join(Links(self.page).addresses)
        assert "glossary.ipynb" in "".join(Links(self.page).addresses)

    def test_shows_the_cautions(self) -> None:
        words = " ".join(re.sub("<[^>]+>", "", self.page).split())
        assert "de-energise, lock out and tag, verify the absence of voltage" in words
        assert "Local codes and the judgement of a licensed person come before" in words


class TestTitle:
    @pytest.mark.parametrize(
        ("source", "told"),
        [(["# Lab 02 · The\n", "more"], "Lab 02 · The"), (["No heading"], "Notebook"), ([], "Notebook")],
    )
    def test_is_the_heading_of_the_first_cell(self, source: list[str], told: str) -> None:
        assert title(json.dumps({"cells": [{"source": source}]})) == told

    def test_of_a_notebook_without_cells_is_notebook(self) -> None:
        assert title('{"cells": []}') == "Notebook"
