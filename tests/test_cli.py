"""The commands as a person types them: statuses, messages, and nothing on the wrong stream."""

import re
import subprocess
import sysconfig
from pathlib import Path

import pytest

from rungbook import __version__
from rungbook.cli import main

ROOT = Path(__file__).parents[1]
RUNGBOOK = Path(sysconfig.get_path("scripts")) / "rungbook"


def rungbook(*arguments: str, cwd: Path = ROOT) -> tuple[int, str, str]:
    done = subprocess.run([RUNGBOOK, *arguments], cwd=cwd, capture_output=True, text=True, timeout=120, check=False)
    return done.returncode, done.stdout, done.stderr


def test_version_is_the_packages() -> None:
    assert rungbook("--version") == (0, f"rungbook {__version__}\n", "")


def test_no_command_lists_the_commands() -> None:
    status, _, told = rungbook()
    assert status == 2
    assert "COMMAND" in told


def test_start_opens_jupyterlab_on_the_course_with_the_arguments_given() -> None:
    status, told, _ = rungbook("start", "--", "--show-config-json", cwd=ROOT / "tests")
    assert status == 0
    assert str(ROOT / "course") in told


def test_build_check_is_quiet_when_all_is_fresh() -> None:
    assert rungbook("build", "--check") == (0, "", "")


class TestVariant:
    def test_makes_a_students_own_lab_and_says_what_changed(self, tmp_path: Path) -> None:
        (tmp_path / "secret").write_text("a secret of this test\n")
        asked = ("variant", "lab02", "--student", "alder", "--secret-file", str(tmp_path / "secret"))
        status, told, _ = rungbook(*asked, "--to", str(tmp_path / "alder"))
        assert status == 0
        lines = told.splitlines()
        assert lines[:3] == [
            f"written: {tmp_path}/alder/solutions/lab02-holding-circuit/lab02.ipynb",
            f"written: {tmp_path}/alder/course/lab02-holding-circuit/lab02.ipynb",
            f"written: {tmp_path}/alder/course/lab02-holding-circuit/bench-sheet.html",
        ]
        assert re.fullmatch(r"variant [0-9a-f]{12} of lab02-holding-circuit: (\w+ is \w+, )*\w+ is \w+", lines[3])
        assert rungbook(*asked, "--to", str(tmp_path / "again"))[1].splitlines()[3] == lines[3]

    def test_a_secret_that_can_be_guessed_is_refused_and_nothing_written(self, tmp_path: Path) -> None:
        (tmp_path / "secret").write_text("short\n")
        asked = ("variant", "lab02", "--student", "alder", "--secret-file", str(tmp_path / "secret"))
        status, told, problem = rungbook(*asked, "--to", str(tmp_path / "alder"))
        assert (status, told) == (2, "")
        assert problem == "rungbook variant: Secret: has at least 16 bytes, or it can be guessed. Given: 5.\n"
        assert not (tmp_path / "alder").exists()


class TestOtherCourse:
    @pytest.fixture
    def course(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
        source = tmp_path / "solutions" / "lab07-small" / "lab07.md"
        source.parent.mkdir(parents=True)
        source.write_text(
            '# Lab\n\n<!-- #region nbgrader={"grade_id": "a", "points": 100} -->\nx\n<!-- #endregion -->\n'
        )
        monkeypatch.chdir(tmp_path)
        return tmp_path

    def test_build_writes_and_says_what(self, course: Path, capsys: pytest.CaptureFixture[str]) -> None:
        assert main(["build"]) == 0
        assert capsys.readouterr().out.splitlines() == [
            "written: solutions/lab07-small/lab07.ipynb",
            "written: course/lab07-small/lab07.ipynb",
            "1 lab, 2 files changed",
        ]

    def test_build_check_fails_and_names_the_stale_notebook(
        self, course: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        assert main(["build", "--check"]) == 1
        assert capsys.readouterr().out.splitlines() == [
            "not up to date: course/lab07-small/lab07.ipynb",
            "run: rungbook build",
        ]
        assert not (course / "course").exists()

    def test_a_faulty_source_is_one_line_on_stderr_and_status_2(
        self, course: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        source = course / "solutions" / "lab07-small" / "lab07.md"
        source.write_text(source.read_text().replace("100", "99"))
        assert main(["build"]) == 2
        told = capsys.readouterr()
        assert told.out == ""
        assert told.err == "rungbook build: lab07-small: the points of a lab add up to 100. Given: 99.\n"


def test_symbols_writes_the_page_and_says_so(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = tmp_path / "symbols.html"
    assert main(["symbols", str(page)]) == 0
    assert capsys.readouterr() == (f"written: {page}\n", "")
    text = page.read_text(encoding="utf-8")
    assert text.startswith("<!doctype html>")
    assert "Push button" in text


@pytest.mark.parametrize(
    ("name", "told"),
    [("symbols.svg", "the page is HTML"), ("none/symbols.html", "the folder of the page does not exist")],
)
def test_symbols_refuses_what_it_cannot_write(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, told: str
) -> None:
    assert main(["symbols", str(tmp_path / name)]) == 2
    assert told in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
