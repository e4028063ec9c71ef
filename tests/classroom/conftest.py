"""One demonstration for all tests that look at what it leaves behind; where student work cannot be isolated, tests of
that are left out and say so."""

import os
import shutil
import subprocess
import sysconfig
from dataclasses import dataclass
from pathlib import Path

import pytest

from classroom.once import once
from classroom.small_class import Class, released
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

    def make(place: Path) -> tuple[str, str]:
        # the scripts folder is not on PATH, as after the README's first command
        done = subprocess.run(
            [SCRIPTS / "rungbook", "demo", place / "my-class"],
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout, done.stderr

    place, (printed, errors) = once(tmp_path_factory, "demo", make)
    return Demo(place / "my-class", printed, errors)


@pytest.fixture(name="new")
def _new(tmp_path_factory: pytest.TempPathFactory) -> Class:
    """A class with the small lab released, in which nothing was handed in yet."""
    template, _ = once(tmp_path_factory, "small-class", released)
    return Class(shutil.copytree(template, tmp_path_factory.mktemp("new") / "place"))


@pytest.fixture(scope="session", name="walls")
def _walls() -> None:
    """Where student work cannot be isolated, tests of it are left out and say so."""
    why = missing_walls()
    if why and os.environ.get("CI"):
        pytest.fail(why)
    if why:
        pytest.skip(why)
