"""The commands that the README gives a self-learner work as printed."""

import re
import shutil
import subprocess
import sysconfig
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_self_learners_commands_work_as_printed(tmp_path: Path) -> None:
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    (block,) = re.findall(r"## For a self-learner.*?```sh\n(.*?)```", text, re.DOTALL)
    for part in ("course", "solutions"):
        shutil.copytree(ROOT / part, tmp_path / part)
    (tmp_path / ".venv").mkdir()
    (tmp_path / ".venv" / "bin").symlink_to(sysconfig.get_path("scripts"))
    environment = {"PATH": "/usr/bin:/bin", "RUNGBOOK_DATA": str(tmp_path / "data"), "PYTHONPATH": str(ROOT / "mylib")}
    done = subprocess.run(
        ["bash", "-euc", block], cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert "lab02-holding-circuit: 0 of 85 points; 15 more for a reader" in done.stdout
    assert "lab02-holding, hint 1 of 3. Where to look: where Q1 and S2 stand." in done.stdout
    assert 'holding.rung(NO("Q1", "43-44"), lamp("P1", "green"))' in done.stdout
    assert "lab02-holding: the solution was opened first, 1 hint taken" in done.stdout
    assert "lab02  0 of 0  0         1      –" in done.stdout, "a notebook as it was given out is no attempt"
