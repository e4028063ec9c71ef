"""The command run by an ordinary user of the machine, as an instructor is, while the other tests may run as root."""

import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from classroom.hostile.cases import AMOUNT, ENDS, READS, TIME, Case
from classroom.small_class import FULL, NAME, Class, notebook
from rungbook.classroom.marking.cage import _python_folders
from rungbook.classroom.marking.journal import Journal

USER = 12345
CASES = {
    case.name: case
    for case in (*TIME, *AMOUNT, *ENDS, *READS)
    if case.name in ("endless-loop", "fork-bomb", "kills-all-it-may", "reads-sources-and-gradebook", "writes-outside")
    or case.name == "leaves-word-for-the-next"
}


def as_user(home: Path) -> list[str]:
    """The beginning of a command that runs the rest as an ordinary user without any privilege, who can enter the
    folders that hold Python though they may lie in root's home or in another place of root's alone."""
    command = ["bwrap", "--dev-bind", "/", "/"]
    folders = _python_folders()
    shut = {home} | {one for folder in folders for one in folder.parents if not one.stat().st_mode & 0o001}
    outermost = [place for place in sorted(shut) if not shut & set(place.parents)]
    for place in outermost:
        command += ["--perms", "0755", "--tmpfs", str(place)]
        for folder in (one for one in folders if one.is_relative_to(place)):
            for above in reversed(folder.relative_to(place).parents[:-1]):
                command += ["--perms", "0755", "--dir", str(place / above)]
            command += ["--ro-bind", str(folder), str(folder)]
    command += ["--cap-add", "CAP_SETUID", "--cap-add", "CAP_SETGID", "setpriv", f"--reuid={USER}", f"--regid={USER}"]
    return [*command, "--clear-groups", "--inh-caps=-all", "--ambient-caps=-all", "--bounding-set=-all"]


@pytest.fixture(scope="module", name="ran")
def _ran(walls: None) -> Iterator[tuple[Class, subprocess.CompletedProcess]]:
    """A small class of the user's own, marked by the user; not in pytest's folder, which root alone may enter."""
    if os.getuid() == 0 and shutil.which("setpriv") is None:
        pytest.skip("no program setpriv to become an ordinary user with")
    root = Path(tempfile.mkdtemp(prefix="rungbook-user-"))
    made = Class(root / "place")
    with (made.folder / "nbgrader_config.py").open("a", encoding="utf-8") as settings:
        settings.write("\nc.Execute.timeout = 2\n")
    made.hand_in("right", notebook(made.lab))
    for case in CASES.values():
        changed = notebook(made.lab)
        code = case.code.replace("CLASS", str(made.folder)).replace("OUTSIDE", str(root / "outside"))
        new = {"cell_type": "code", "id": "hostile", "metadata": {}, "source": code, "outputs": []}
        changed.cells.insert(4, type(changed)(new | {"execution_count": None}))
        made.hand_in(case.name, changed)
    start = []
    if os.getuid() == 0:
        root.chmod(0o755)
        for path in (root, *root.rglob("*")):
            os.chown(path, USER, USER)
        start = as_user(Path.home())
    command = [sys.executable, "-m", "rungbook.cli", "class", "mark", NAME, "--class", str(made.folder)]
    done = subprocess.run(
        [*start, *command, "--workers", "2"], cwd=root, capture_output=True, text=True, timeout=200, check=False
    )
    yield made, done
    shutil.rmtree(root)


def test_ends_well_and_the_files_are_the_users(ran) -> None:
    made, done = ran
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(f"{len(CASES) + 1} marked, 0 unchanged, 0 not handed in"), done.stdout
    owner = made.folder.stat().st_uid
    marked = made.folder / "autograded" / "right" / NAME / "lab07.ipynb"
    assert {path.stat().st_uid for path in (marked, made.folder / "gradebook.db")} == {owner}
    assert owner != 0 or os.getuid() != 0
    assert not (made.folder.parents[1] / "outside").exists()


def test_right_work_has_its_marks(ran) -> None:
    made, _ = ran
    assert made.grades("right") == FULL


@pytest.mark.parametrize("case", CASES.values(), ids=lambda case: case.name)
def test_hostile_work_earns_what_is_right_and_is_told_with_its_reason(ran, case: Case) -> None:
    made, _ = ran
    grades = made.grades(case.name)
    assert (grades["pump-marks"][0], grades["word-marks"][0]) == case.points
    log = Journal(made.folder / "marking" / f"{NAME}.jsonl").done()
    reasons = (case.why, "the notebook took longer than 10 s") if case.why else ("",)  # on a busy machine
    assert log[case.name]["problem"].startswith(reasons)
    outputs = [output for cell in made.marked(case.name).cells for output in cell.get("outputs", ())]
    shown = "\n".join(f"{one.get('text', '')} {one.get('ename', '')} {one.get('evalue', '')}" for one in outputs)
    assert case.said in shown
