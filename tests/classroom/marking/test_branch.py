"""Notebooks that are forked from where a lab's first cells lead must not differ from those that run them."""

from __future__ import annotations

import json
import os

import nbformat
import pytest

from classroom.conftest import ROOT
from rungbook.classroom.build import instructor_notebook, released_notebook
from rungbook.classroom.labs import find_labs
from rungbook.classroom.marking.cage import Cage, Limits, Ran
from rungbook.classroom.marking.paper import make_paper
from rungbook.classroom.marking.sheet import put_together, read_notebook

QUICK = Limits(cell=2, wall=20, seconds=20)


@pytest.fixture(name="cage")
def _cage(walls: None):
    cage = Cage("cage")
    yield cage
    cage.close()


def run(cage: Cage, opening: list[str], *cells: str, files: dict[str, bytes] | None = None) -> Ran:
    """Run opening and cells, then ask for `told`."""
    steps = [{"code": code, "place": 0} for code in (*opening, *cells)]
    return cage.run([*steps, {"cell": "t", "names": ["told"]}], files or {}, QUICK, len(opening))


def told(ran: Ran) -> object:
    return json.loads(str(ran.answers["t", "told"].text))


def test_of_a_lab_that_many_have_they_are_run_once_at_all(cage: Cage) -> None:
    steps = [
        {"code": NOW, "place": 0},
        {"code": "told = {'began': began}", "place": 1},
        {"cell": "t", "names": ["told"]},
    ]
    times = [told(cage.run(steps, {}, QUICK, 1, often=True))["began"] for _ in range(3)]
    assert times[0] == times[1] == times[2]


NOW = "import time, os\nbegan = time.monotonic_ns()"


def test_the_first_cells_are_run_once_from_the_second_notebook_on(cage: Cage) -> None:
    times = [told(run(cage, [NOW, "began"], "told = {'began': began}"))["began"] for _ in range(4)]
    assert times[0] != times[1], "the first notebook runs them itself"
    assert times[1] == times[2] == times[3], "they were run again"


def test_outputs_and_numbers_are_those_of_a_notebook_that_runs_them(cage: Cage) -> None:
    opening = ["x = 1\nprint('one')\nx", "1 / 0", "import warnings\nx + 1"]
    ran = [run(cage, opening, "x, _, Out[1], In[1], len(In)", "told = {'x': x}") for _ in range(3)]
    assert ran[0].outputs == ran[1].outputs == ran[2].outputs
    assert [count for _, count in ran[2].outputs.values()] == [1, 2, 3, 4, 5]
    assert ran[2].outputs[3][0][0]["data"]["text/plain"] == "(1, 2, 1, \"x = 1\\nprint('one')\\nx\", 5)"


def test_notebooks_do_not_meet_in_what_the_first_cells_made(cage: Cage) -> None:
    for number in range(4):
        ran = run(cage, ["seen = []"], f"seen.append({number})\nopen('/tmp/n', 'a').write('x')", "told = {'n': seen}")
        assert told(ran) == {"n": [number]}


@pytest.mark.parametrize(
    "code",
    [
        "open('here', 'w').write('x')",
        "file = open('/dev/null')",
        "import os\nos.chdir('/')",
        "import threading\nthreading.Thread(target=threading.Event().wait, daemon=True).start()",
        "import subprocess\nchild = subprocess.Popen(['sleep', '9'])",
        "import time\ntime.sleep(3)",  # longer than a cell may take
        "import os\nos._exit(0)",
        "import os\nos.kill(os.getpid(), 9)",
    ],
)
def test_cells_that_leave_more_than_memory_are_run_by_each_notebook(cage: Cage, code: str) -> None:
    ran = [run(cage, [NOW, code], "told = {'began': began}") for _ in range(3)]
    assert ran[0].why == ran[1].why == ran[2].why
    if not ran[0].why:
        assert len({told(one)["began"] for one in ran}) == 3, "an opening was taken from a branch"
    assert not any(one.failed for one in ran)


def test_files_beside_a_notebook_may_change_what_the_first_cells_do(cage: Cage) -> None:
    opening = ["try:\n    word = open('word').read()\nexcept OSError:\n    word = 'none'"]
    for _ in range(3):
        assert told(run(cage, opening, "told = {'word': word}")) == {"word": "none"}
    ran = run(cage, opening, "told = {'word': word}", files={"word": b"mine"})
    assert told(ran) == {"word": "mine"}


def test_more_openings_than_are_kept_ready_still_give_their_own(cage: Cage) -> None:
    for _ in range(2):
        for number in range(7):
            for _ in range(2):
                assert told(run(cage, [f"n = {number}"], "told = {'n': n}")) == {"n": number}
    assert len(cage._branches) == 4


def test_a_forked_process_uses_the_cage_that_was_begun_before(walls: None) -> None:
    cage = Cage("cage")
    cage.begin()
    read, write = os.pipe()
    if os.fork() == 0:
        try:
            cage.start()
            os.write(write, json.dumps(told(run(cage, [], "told = {'n': 1}"))).encode())
            cage.close()
        finally:
            os._exit(0)
    os.wait()
    assert json.loads(os.read(read, 1000)) == {"n": 1}
    assert told(run(cage, [], "told = {'n': 2}")) == {"n": 2}, "closed by one, it still serves the other"
    cage.close()


@pytest.mark.parametrize("lab", find_labs(ROOT), ids=lambda lab: lab.short)
def test_what_is_released_of_every_lab_begins_with_its_opening(lab) -> None:
    source = instructor_notebook(lab)
    paper = make_paper(lab.name, lab.short, source)
    steps = put_together(paper, read_notebook(nbformat.writes(released_notebook(source)).encode())).steps()
    opening = paper.opening()
    assert opening
    assert [step.get("code") for step in steps[: len(opening)]] == opening
