"""Each released lab, opened in JupyterLab in a real browser and run from top to bottom, as a student does."""

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser

from accessible import OURS, found_on, grave
from jupyterlab_browser import NOTEBOOK, comes_true, jupyterlab, open_notebook
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import Lab, find_labs

ROOT = Path(__file__).parents[2]
LABS = find_labs(ROOT)
_ALL_RUN = f"{NOTEBOOK}.content.widgets.every(cell => cell.model.type !== 'code' || cell.model.executionCount)"
_ALL_THERE = f"{NOTEBOOK}.content.widgets.every(cell => cell.node.isConnected)"  # it draws far cells when it is idle
_SAVED = f"!{NOTEBOOK}.context.model.dirty"

FIRST_WORDS = r"(Ladder diagram|Power circuit|Timing diagram|Trip curve|Contact chart|Speed, torque and line current) "


@pytest.fixture(scope="module", name="server")
def _server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Path]]:
    """JupyterLab on a copy of course/: its address and the copy."""
    home = tmp_path_factory.mktemp("lab")
    course = home / "course"
    shutil.copytree(ROOT / "course", course)
    with jupyterlab(home, course) as address:
        yield address, course


#: looked at in every run; the cells of all labs are run in every run without a browser
ALWAYS = ("lab01", "lab06", "lab10", "lab12")


@pytest.mark.parametrize(
    "lab",
    [pytest.param(lab, id=lab.short, marks=[] if lab.short in ALWAYS else [pytest.mark.long]) for lab in LABS],
)
def test_lab_runs_and_shows_its_diagrams(browser: Browser, server: tuple[str, Path], lab: Lab) -> None:
    address, course = server
    page = open_notebook(browser, address, f"{lab.name}/{lab.short}.ipynb")
    try:
        # not awaited: a dialogue would hold the promise back for ever
        page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
        assert comes_true(page, _ALL_RUN, 60)
        page.evaluate("() => void window.jupyterapp.commands.execute('docmanager:save')")
        assert comes_true(page, _SAVED, 30)
        picture = page.locator(".jp-OutputArea-output img").first
        picture.scroll_into_view_if_needed()
        assert re.match(
            r"(Ladder diagram|Power circuit|Timing diagram|Trip curve|Contact chart|Speed, torque and line current) ",
            picture.get_attribute("alt"),
        )
        assert picture.evaluate("image => image.naturalWidth") > 200
        assert comes_true(page, _ALL_THERE, 60)
        assert grave(found_on(page, *OURS)) == ""
    finally:
        page.close()
    saved = nbformat.read(course / lab.name / f"{lab.short}.ipynb", as_version=4)
    code = [cell for cell in saved.cells if cell.cell_type == "code"]
    assert all(cell.execution_count for cell in code)
    outputs = [(cell["id"], output) for cell in code for output in cell.outputs]
    bad = [where for where, output in outputs if output.output_type == "error" or output.get("name") == "stderr"]
    assert bad == []
    drawn = {where for where, output in outputs if "image/svg+xml" in output.get("data", {})}
    last = {cell["id"]: cell.source.rstrip().split("\n")[-1] for cell in code}
    # a picture "if" something is finished is not there yet
    draws = {where for where, line in last.items() if re.match(r"(draw|trip_curve)\(", line) and " if " not in line}
    assert len(draws) >= 2
    assert draws <= drawn


def test_a_solved_notebook_has_no_serious_finding_of_axe(browser: Browser, server: tuple[str, Path]) -> None:
    """Lab 06: ladders, power circuits, tables, faults, feedback of every exercise. (All twelve were looked at once.)"""
    address, course = server
    (lab,) = (lab for lab in LABS if lab.short == "lab06")
    nbformat.write(instructor_notebook(lab), course / "solved.ipynb")
    page = open_notebook(browser, address, "solved.ipynb")
    try:
        page.evaluate("() => void window.jupyterapp.commands.execute('notebook:run-all-cells')")
        assert comes_true(page, _ALL_RUN, 120)
        assert comes_true(page, _ALL_THERE, 60)
        assert page.locator(OURS[1]).count() > 40
        assert grave(found_on(page, *OURS)) == ""
    finally:
        page.close()
