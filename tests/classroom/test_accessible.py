"""Pages that leave the course as HTML have no finding of axe-core (WCAG 2.2 and good practice) that is serious."""

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from accessible import found_on, grave
from classroom.class_kit import LAB2, rungbook
from classroom.conftest import Demo
from rungbook import NC, NO, Ladder, coil, draw, lamp, run, truth_table
from rungbook.classroom.kit_sheets import lab_sheets, test_sheets
from rungbook.classroom.labs import find_lab
from rungbook.classroom.site.contents import contents, front_page
from rungbook.drawing import sheets
from rungbook.drawing.forms import save_forms
from rungbook.kit import TRAINING_KIT

test_sheets.__test__ = False  # a name of the trade, no test

ROOT = Path(__file__).parents[2]


def _printed(path: Path) -> Path:
    pump = Ladder("Wash pump")
    pump.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    pump.rung(NO("Q1"), lamp("P1", "green"))
    return sheets([pump, draw(run(pump, "press S2, let S2 go")), draw(truth_table(pump))], "A4").save(path)


def _wiring(path: Path) -> Path:
    return save_forms(lab_sheets(find_lab(ROOT, "lab02"), ("A",))[:2], path)


def _function(path: Path) -> Path:
    return save_forms(test_sheets({"kit 1": (TRAINING_KIT, "2026-09-07")})[:2], path)


def _front(path: Path) -> Path:
    path.write_text(front_page(contents(ROOT)), encoding="utf-8")
    return path


def _bench_sheet(path: Path) -> Path:
    return ROOT / "course" / "lab06-reversing" / "bench-sheet.html"


@pytest.mark.parametrize("make", [_printed, _wiring, _function, _front, _bench_sheet])
def test_what_is_printed_or_served(browser: Browser, tmp_path: Path, make: Callable[[Path], Path]) -> None:
    assert serious(browser, make(tmp_path / "page.html")) == ""


@pytest.mark.long
def test_a_feedback_page(browser: Browser, demo: Demo) -> None:
    """Birch's: a failed requirement, a diagram of what was done, tables, code."""
    assert serious(browser, demo.folder / "feedback" / "birch" / LAB2.name / "lab02.html") == ""


def test_the_reports_of_a_class(browser: Browser, demo: Demo, tmp_path: Path) -> None:

    shutil.copytree(demo.folder, tmp_path / "class")
    status, _, problem = rungbook("class", "report", "--all", cwd=tmp_path / "class")
    assert status == 0, problem
    pages = sorted((tmp_path / "class" / "reports").glob("*.html"))
    assert [page.name for page in pages] == [f"{LAB2.name}.html", "term.html"]
    assert [serious(browser, page) for page in pages] == ["", ""]


@pytest.mark.parametrize(
    ("body", "rule"),
    [
        ('<main><h1>a</h1><p style="color:#bbb;background:#fff">pale</p></main>', "color-contrast"),
        ('<main><h1>a</h1><svg role="img" width="9" height="9"><path d="M0 0L9 9"/></svg></main>', "svg-img-alt"),
        ("<main><h1>a</h1><button></button></main>", "button-name"),
    ],
)
def test_a_page_that_is_not_fit_is_found(browser: Browser, tmp_path: Path, body: str, rule: str) -> None:
    path = tmp_path / "page.html"
    path.write_text(f'<!doctype html><html lang="en"><title>a</title><body>{body}', encoding="utf-8")
    assert rule in serious(browser, path)


def serious(browser: Browser, path: Path) -> str:
    """What axe finds on the page at `path` that is critical or serious, as text."""
    page = browser.new_page(viewport={"width": 1200, "height": 900})
    try:
        page.goto(path.resolve().as_uri(), wait_until="domcontentloaded")
        return grave(found_on(page))
    finally:
        page.close()
