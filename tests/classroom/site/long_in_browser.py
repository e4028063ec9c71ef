"""Every lab in the built site, solved and as released, and every sample answer marked there. Not collected by itself:

SITE_TOOLS=/path/of/tools python -m pytest -n 0 tests/classroom/site/long_in_browser.py
"""

import json
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from jupyterlab_browser import NOTEBOOK
from rungbook.alone import mark_notebook
from rungbook.alone.find import find_graders
from rungbook.alone.marks import Marks
from rungbook.classroom.build import notebook_text
from rungbook.classroom.labs import find_lab, find_labs
from rungbook.classroom.samples import hand_in, load_samples
from site_browser import ROOT, fill_in, run_all, solved, visiting

LABS = [lab.short for lab in find_labs(ROOT)]


def path_of(lab: str) -> str:
    found = find_lab(ROOT, lab)
    return f"{found.name}/{found.short}.ipynb"


def stops_on_the_desk(lab: str) -> list[str]:
    """The errors of the released notebook in a Python of this machine, as `stops` tells them."""
    from IPython.core.interactiveshell import InteractiveShell

    notebook = json.loads((ROOT / "course" / path_of(lab)).read_text(encoding="utf-8"))
    shell, found = InteractiveShell(), []
    for source in ("".join(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "code"):
        ran = shell.run_cell(source, silent=True)
        problem = ran.error_before_exec or ran.error_in_exec
        found += [f"{source.splitlines()[0]}\n{type(problem).__name__}: {problem}"] if problem else []
    return found


@pytest.mark.parametrize("lab", LABS)
def test_a_lab_runs_from_top_to_bottom_as_released_and_solved(lab: str, base: str, browser: Browser) -> None:
    """Released: it stops nowhere but where it does at the desk. Solved, in a new kernel: nowhere."""
    with visiting(browser, base) as visit:
        page = visit.open(path_of(lab))
        released = run_all(page)
        page.evaluate(f"{NOTEBOOK}.sessionContext.session.kernel.restart()")
        fill_in(page, solved(lab))
        done = run_all(page)
        asked = [url for url in visit.asked if not url.startswith((f"{base}/", "data:", "blob:"))]
    assert stops(done) == []
    found, known = stops(released), stops_on_the_desk(lab)
    assert [one.partition("\n")[0] for one in found] == [one.partition("\n")[0] for one in known], found
    assert asked == []
    cells = json.loads((ROOT / "course" / path_of(lab)).read_text(encoding="utf-8"))["cells"]
    assert len(released) == len(done) == sum(cell["cell_type"] == "code" for cell in cells)
    assert all("execution_count" not in one or one["execution_count"] for _, outputs in done for one in outputs)


def stops(ran: list[tuple[str, list[dict]]]) -> list[str]:
    """The errors among the outputs: first line of the cell, then the error."""
    return [
        f"{source.splitlines()[0]}\n{one['ename']}: {one['evalue']}"
        for source, outputs in ran
        for one in outputs
        if one["output_type"] == "error"
    ]


_START = """async () => {
    const at = new URL("static/pyodide/", location.href).href;
    const { loadPyodide } = await import(at + "start.mjs");
    window.python = await loadPyodide({ indexURL: at, packages: [] });
    window.python.runPython(`
import json
from rungbook.alone import mark_notebook
from rungbook.alone.find import find_graders

def marked(lab, text):
    return json.dumps(told(mark_notebook(json.loads(text), find_graders(lab))))

def told(marks):
    return [[mark.exercise.grade_id, mark.points, mark.begun, mark.printed] for mark in marks.marks]
`);
}"""


@pytest.fixture(scope="module", name="python")
def _python(base: str, browser: Browser) -> Iterator[Page]:
    """A page with the site's Python alone: the same files, start and packs, without JupyterLab."""
    with visiting(browser, base) as visit:
        page = visit.context.new_page()
        page.goto(base)
        page.evaluate(_START)
        yield page


def told(marks: Marks) -> list[list]:
    return [[mark.exercise.grade_id, mark.points, mark.begun, mark.printed] for mark in marks.marks]


@pytest.mark.parametrize("lab", LABS)
def test_every_sample_gets_the_marks_and_the_words_that_it_gets_at_the_desk(
    lab: str, python: Page, record_property: pytest.FixtureRequest
) -> None:
    """Cell by cell, by the functions that `check("lab02")` calls in a notebook."""
    found = find_lab(ROOT, lab)
    graders = find_graders(lab, ROOT)
    cells = 0
    for sample in load_samples(found):
        text = notebook_text(hand_in(found, sample))
        here = told(mark_notebook(json.loads(text), graders))
        there = json.loads(python.evaluate("([lab, text]) => python.globals.get('marked')(lab, text)", [lab, text]))
        assert there == here, sample.student
        cells += len(there)
    record_property("samples", len(load_samples(found)))
    record_property("cells", cells)
    print(f"{lab}: {len(load_samples(found))} samples, {cells} cells, no difference")
