"""What the README says is true. Its self-learner commands run in tests/alone, its set-up commands in .ci/run."""

import re
import shlex
from pathlib import Path

from rungbook import Ladder
from rungbook.cli import _parser

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_opens_with_the_job_in_one_paragraph() -> None:
    title, paragraph = README.split("\n\n")[:2]
    assert title == "# Rungbook"
    for words in ("Jupyter course workbook", "electrically controlled motor systems", "auto-graded exercises"):
        assert words in " ".join(paragraph.split())


def test_set_up_is_two_commands_and_ci_runs_them_as_printed() -> None:
    commands = re.findall(r"^python3\.11 -m venv .*$", README, re.MULTILINE)
    assert [command.split(" && ")[-1] for command in commands] == [
        ".venv/bin/rungbook demo",
        ".venv/bin/python -m pytest",
    ]
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "grep -E '^python3\\.11 -m venv ' README.md" in ci
    assert 'eval "${commands[0]}"' in ci
    assert 'eval "${commands[1]}"' in ci


def test_example_runs_and_shows_what_it_says() -> None:
    (example,) = re.findall(r"```python\n(.*?)```", README, re.DOTALL)
    names: dict = {}
    exec(example, names)
    pump = names["pump"]
    assert isinstance(pump, Ladder)
    assert [moment.positions["Q1"] for moment in names["run"](pump, "press S2, let S2 go, trip F1").moments] == [
        "out",
        "in",
        "in",
        "out",
    ]


def test_pictures_and_files_it_names_are_there() -> None:
    for path in re.findall(r"\]\(([^)#]+)\)", README):
        assert (ROOT / path).is_file(), path


def test_picture_is_what_the_code_draws_today() -> None:
    from make_readme_picture import PICTURE, picture

    assert PICTURE.read_text(encoding="utf-8") == picture().svg, "run: python tests/make_readme_picture.py"


def test_lab_table_lists_every_lab() -> None:
    labs = sorted(path.name[3:5] for path in (ROOT / "course").glob("lab*"))
    assert re.findall(r"^\| (\d\d) \|", README, re.MULTILINE) == labs


def test_top_level_holds_what_the_design_allows_and_no_more() -> None:
    allowed = {"README.md", "DEVELOPERS.md", "pyproject.toml", "constraints.txt", "LICENSE"}
    allowed |= {"course", "mylib", "solutions", "tests"}
    found = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert found - {"build", "dist"} == allowed


def test_constraints_are_plain_pins_without_addresses() -> None:
    lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
    pins = [line for line in lines if not line.startswith("#")]
    assert all(re.fullmatch(r"[A-Za-z0-9._-]+==[0-9][A-Za-z0-9.+]*", pin) for pin in pins)
    assert {"schemdraw==0.23"} <= set(pins)


def test_the_commands_of_the_instructors_week_are_commands() -> None:
    (block,) = re.findall(r"## For instructors.*?```sh\n(.*?)```", README, re.DOTALL)
    lines = [shlex.split(line, comments=True) for line in block.splitlines() if line.startswith("rungbook")]
    told = [_parser().parse_args(line[1:]).part for line in lines]
    week = ["new", "release", "collect", "mark", "open", "feedback", "report", "export", "remark"]
    assert told == week
