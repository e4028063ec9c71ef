"""Every lab in the built site, solved and as released, and every sample answer marked there. Not collected by itself:

SITE_TOOLS=/path/of/tools python -m pytest -n 0 tests/classroom/site/long_in_browser.py
"""

import json
from collections.abc import Iterator
from functools import cache

import pytest
from playwright.sync_api import Browser, Page

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


@cache
def stops_on_the_desk(lab: str) -> list[str]:
    """The errors of the released notebook in a Python of this machine: name of the class, source of the cell."""
    from IPython.core.interactiveshell import InteractiveShell

    notebook = json.loads((ROOT / "course" / path_of(lab)).read_text(encoding="utf-8"))
    shell, found = InteractiveShell(), []
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            ran = shell.run_cell("".join(cell["source"]), silent=True)
            problem = ran.error_before_exec or ran.error_in_exec
            found += [f"{type(problem).__name__} in {''.join(cell['source'])}"] if problem else []
    return found


@pytest.mark.parametrize("lab", LABS)
@pytest.mark.parametrize("kind", ["released", "solved"])
def test_a_lab_runs_from_top_to_bottom(lab: str, kind: str, base: str, browser: Browser) -> None:
    """Released: it stops nowhere but where it does at the desk. Solved: nowhere."""
    with visiting(browser, base) as visit:
        page = visit.open(path_of(lab))
        if kind == "solved":
            fill_in(page, solved(lab))
        ran = run_all(page)
        problems = [
            f"{one['ename']} in {source}\n{one['evalue']}"
            for source, outputs in ran
            for one in outputs
            if one["output_type"] == "error"
        ]
        asked = [url for url in visit.asked if not url.startswith((f"{base}/", "data:", "blob:"))]
    assert asked == []
    expected = stops_on_the_desk(lab) if kind == "released" else []
    assert len(problems) == len(expected), "\n\n".join(problems)
    assert all(told.startswith(known) for told, known in zip(problems, expected, strict=True)), problems
    assert len(ran) == sum(cell["cell_type"] == "code" for cell in json.loads(text_of(lab))["cells"])


def text_of(lab: str) -> str:
    return (ROOT / "course" / path_of(lab)).read_text(encoding="utf-8")


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
