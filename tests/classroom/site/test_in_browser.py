"""A student's hour with lab 02 in the built site, in a browser that finds no address but this machine's.

One test of many steps: each goes on from where the step before has left the page, in one process, with one site.
"""

import json
from pathlib import Path
from zipfile import ZipFile

from playwright.sync_api import Browser, Page

from jupyterlab_browser import comes_true
from rungbook.alone.find import find_graders
from rungbook.classroom.collecting.notebooks import read_notebook
from rungbook.classroom.labs import find_labs
from rungbook.classroom.site import Site
from rungbook.classroom.site.contents import FETCHED_EARLY
from site_browser import PATIENCE, ROOT, Visit, fill_in, run_all, run_new, shown, solved, sources, visiting

LAB = "lab02-holding-circuit/lab02.ipynb"
SOLVED = solved("lab02")
CONTACTOR = '.rungbook-bench [data-device="Q1"] .word'
WITHOUT_HOLDING = """holding = Ladder("Wash pump", panel)
holding.rung(NC("S1") & NO("S2") & NC("F1"), coil("Q1"))
holding.rung(NO("Q1"), lamp("P1", "green"))
draw(holding)"""


def test_lab_02_from_an_empty_profile(site: Site, base: str, browser: Browser, tmp_path: Path) -> None:
    stays_under_60_megabytes_and_has_its_bytecode(site)
    no_test_of_a_lab_can_be_read_in_a_file(site)
    with visiting(browser, base) as visit:
        page = opened_from_the_front_page(visit)
        a_wrong_answer_is_run_and_told_what_it_does(page)
        the_right_answer_is_as_expected_and_gets_all_points(page)
        the_bench_runs_under_the_mouse(page)
        the_work_is_there_when_the_page_is_loaded_again(page, visit)
        the_notebook_taken_out_can_be_handed_in(page, tmp_path)
        completion_and_errors_are_those_of_the_desk(page)
        nothing_was_asked_of_another_address(visit)


def stays_under_60_megabytes_and_has_its_bytecode(site: Site) -> None:
    assert site.size < 60e6
    assert site.compiled
    assert list(site.folder.rglob("*.map")) == []
    assert [path for path in FETCHED_EARLY if not (site.folder / path).is_file()] == []


def no_test_of_a_lab_can_be_read_in_a_file(site: Site) -> None:
    """Nor in the archive of the packages: what stands there of the graders is sealed."""
    files = {path.name: path.read_bytes() for path in site.folder.rglob("*") if path.is_file()}
    with ZipFile(site.folder / "static" / "pyodide" / "packages.zip") as archive:
        files |= {name: archive.read(name) for name in archive.namelist()}
    assert "rungbook_graders/lab02-holding-circuit.pack" in files
    tests = [one.test for lab in find_labs(ROOT) for one in find_graders(lab.short, ROOT).exercises if one.test]
    assert len(tests) > 60
    code = [[line.strip() for line in test.splitlines() if not line.startswith("#")] for test in tests]
    lines = [max(one, key=len).encode() for one in code]
    everything = b"\0".join(files.values())
    assert [line for line in lines if line in everything] == []


def opened_from_the_front_page(visit: Visit) -> Page:
    page = visit.context.new_page()
    page.goto(visit.base)
    page.get_by_role("link", name="Lab 02").click()
    visit.opened(page, LAB)
    released = sources(page)
    assert set(SOLVED) <= set(released)
    assert all("# YOUR WORK HERE" in released[name] for name in SOLVED)
    return page


def a_wrong_answer_is_run_and_told_what_it_does(page: Page) -> None:
    fill_in(page, {**SOLVED, "lab02-holding": WITHOUT_HOLDING})
    ran = run_all(page)
    assert [shown(outputs) for _, outputs in ran if any(one["output_type"] == "error" for one in outputs)] == []
    (seen,) = (json.dumps(outputs) for source, outputs in ran if "check(holding," in source)
    assert "Wash pump: not yet as expected</caption>" in seen
    told = shown(run_new(page, 'check("lab02-holding")'))
    assert "holding: 22 of 35 points\nFirst to mend: Press S2. Let S2 go. Q1 drops out." in told, told


def the_right_answer_is_as_expected_and_gets_all_points(page: Page) -> None:
    fill_in(page, SOLVED)
    ran = run_all(page)
    assert [shown(outputs) for _, outputs in ran if any(one["output_type"] == "error" for one in outputs)] == []
    checks = [json.dumps(outputs) for source, outputs in ran if "\ncheck(" in f"\n{source}" and '"lab02' not in source]
    assert len(checks) == 3
    assert all("everything here is as expected</caption>" in text for text in checks), checks
    told = shown(run_new(page, 'check("lab02")'))
    assert "lab02-holding-circuit: 85 of 85 points" in told, told


def the_bench_runs_under_the_mouse(page: Page) -> None:
    run_new(page, "from rungbook import bench\nbench(holding)")
    start = page.locator('.rungbook-bench [data-device="S2"] button')
    start.wait_for(timeout=PATIENCE * 1000)
    start.scroll_into_view_if_needed()
    for tag, word in (("S2", "in"), ("S1", "out")):
        page.locator(f'.rungbook-bench [data-device="{tag}"] button').first.hover()
        page.mouse.down()
        look = f"document.querySelector({CONTACTOR!r}).textContent.startsWith('{word}')"
        assert comes_true(page, look, 30), page.locator(CONTACTOR).text_content()
        page.mouse.up()
        assert comes_true(page, look, 30), "and stays so when the button is let go"


def the_work_is_there_when_the_page_is_loaded_again(page: Page, visit: Visit) -> None:
    page.evaluate("window.jupyterapp.commands.execute('docmanager:save')")
    page.reload()
    visit.opened(page, LAB)
    assert {name: text for name, text in sources(page).items() if name in SOLVED} == SOLVED
    assert page.locator(".jp-Notebook", has_text="everything here is as expected").count() == 1


def the_notebook_taken_out_can_be_handed_in(page: Page, folder: Path) -> None:
    """What the browser gives out is the saved notebook, work and nbgrader's metadata unharmed.

    The kernel that it names is the browser's; both ways of marking put the source's in its place.
    """
    with page.expect_download() as waiting:
        page.evaluate("window.jupyterapp.commands.execute('docmanager:download')")
    waiting.value.save_as(folder / "lab02.ipynb")
    data = (folder / "lab02.ipynb").read_bytes()
    found = read_notebook(data, "lab02", SOLVED)
    assert (found.problem, found.remark) == ("", "")
    given, released = (json.loads(text)["cells"] for text in (data, (ROOT / "course" / LAB).read_bytes()))
    given = given[: len(released)]  # what the steps before have added stands at the end
    graded = [[cell["metadata"].get("nbgrader") for cell in cells] for cells in (given, released)]
    assert graded[0] == graded[1]
    work = {told["grade_id"]: "".join(cell["source"]) for cell, told in zip(given, graded[0], strict=True) if told}
    assert {name: text for name, text in work.items() if name in SOLVED} == SOLVED


def completion_and_errors_are_those_of_the_desk(page: Page) -> None:
    (problem,) = run_new(page, "from rungbook import Ladder\nLadder('x').rung(7)")
    assert problem["evalue"].startswith("Rung 1: argument 1 is neither contact nor load. Given: 7.")
    assert "is neither contact nor load" in problem["traceback"][-2], "our own lines are shown with it"
    assert shown(run_new(page, "get_ipython().complete('Ladder.val')[1]")) == "['.validate']"
    told = shown(run_new(page, "%pip install numpy"))
    assert "this edition has its packages with it and installs no others" in told


def nothing_was_asked_of_another_address(visit: Visit) -> None:
    asked = [url for url in visit.asked if not url.startswith(("data:", "blob:"))]
    assert len(asked) > 100
    assert [url for url in asked if not url.startswith(f"{visit.base}/")] == []
