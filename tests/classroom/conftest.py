"""One demonstration for all tests that look at what it leaves behind; where student work cannot be isolated, tests of
that are left out and say so."""

import os
import subprocess
import sysconfig
from dataclasses import dataclass
from pathlib import Path

import pytest

from rungbook.classroom.marking.cage import missing_walls

ROOT = Path(__file__).parents[2]
SCRIPTS = Path(sysconfig.get_path("scripts"))


@dataclass(frozen=True)
class Demo:
    folder: Path
    printed: str
    errors: str


@pytest.fixture(scope="session", name="demo")
def _demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    """`rungbook demo my-class`, run from the course's top folder as the README says, in a named new folder."""
    folder = tmp_path_factory.mktemp("demo") / "my-class"
    # the scripts folder is not on PATH, as after the README's first command
    done = subprocess.run(
        [SCRIPTS / "rungbook", "demo", folder], cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, done.stderr
    return Demo(folder, done.stdout, done.stderr)


@pytest.fixture(scope="session", name="walls")
def _walls() -> None:
    why = missing_walls()
    if why and os.environ.get("CI"):
        pytest.fail(why)
    if why:
        pytest.skip(why)
