import io
import json
import subprocess
import sys
import tarfile
from pathlib import Path
from zipfile import ZipFile

import pytest

from rungbook import LadderError
from rungbook.classroom.site.tools import (
    FROM_PYODIDE,
    PYODIDE_FILES,
    TOOLS,
    WHEELS,
    build_wheel,
    fetch_pyodide,
    find_tools,
    unpack_pyodide,
)

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module", name="wheel")
def _wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_wheel(Path(sys.executable), ROOT, tmp_path_factory.mktemp("wheel"))


class TestWheel:
    def test_is_pure_python_and_lets_import_rungbook(self, wheel: Path) -> None:
        with ZipFile(wheel) as archive:
            tops = {name.partition("/")[0] for name in archive.namelist()}
        assert tops == {"rungbook", "rungbook-0.1.0.dist-info"}
        assert wheel.name == "rungbook-0.1.0-py3-none-any.whl"

    def test_holds_the_package_and_no_source_of_a_lab(self, wheel: Path) -> None:
        with ZipFile(wheel) as archive:
            names = archive.namelist()
        assert {"rungbook/__init__.py", "rungbook/drawing/adapter.py", "rungbook/bench/front/panel.js"} <= set(names)
        assert [name for name in names if "solutions" in name or name.endswith(".ipynb")] == []

    def test_is_the_same_to_the_byte_when_built_again(self, wheel: Path, tmp_path: Path) -> None:
        assert build_wheel(Path(sys.executable), ROOT, tmp_path).read_bytes() == wheel.read_bytes()

    def test_draws_proves_and_checks_with_nothing_but_schemdraw_beside_it(self, wheel: Path) -> None:
        """In a Python without site-packages: the wheel, schemdraw, and no numpy, matplotlib or IPython."""
        import schemdraw

        code = f"""
import sys, json
from pathlib import Path
beside = Path({str(Path(schemdraw.__file__).parents[1])!r})
class Schemdraw:  # finds schemdraw there and nothing else
    def find_spec(self, name, path=None, target=None):
        from importlib.machinery import PathFinder
        return PathFinder.find_spec(name, [str(beside)]) if name == "schemdraw" else None
sys.meta_path.append(Schemdraw())
sys.path.insert(0, {str(wheel)!r})
from rungbook import NC, NO, Ladder, check, coil, draw, prove
from rungbook.proof import off_while
pump = Ladder("Wash pump")
pump.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
print(json.dumps([
    "<svg" in draw(pump).svg,
    bool(prove(pump, off_while("Q1", "S1", "pressed"))),
    bool(check(pump, ("press S2, let S2 go", {{"Q1": "in"}}))),
    [name for name in ("numpy", "matplotlib", "IPython") if name in sys.modules],
    sys.modules["rungbook"].__file__.startswith({str(wheel)!r}),
]))
"""
        done = subprocess.run([sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True, check=False)
        assert done.returncode == 0, done.stderr
        assert json.loads(done.stdout) == [True, True, True, [], True]

    def test_a_failed_build_says_why(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"building the wheel of rungbook failed \(status \d+\)"):
            build_wheel(Path(sys.executable), tmp_path, tmp_path)


class TestPins:
    def test_every_tool_and_wheel_has_one_exact_version_and_no_address(self) -> None:
        for pin in (*TOOLS, *WHEELS):
            name, mark, version = pin.partition("==")
            assert mark, pin
            assert name.replace("-", "").isalnum(), pin
            assert version.replace(".", "").isdigit(), pin
        assert len({*FROM_PYODIDE, *(pin.split("==")[0] for pin in WHEELS)}) == len(FROM_PYODIDE) + len(WHEELS)

    def test_the_course_and_the_browser_have_the_same_versions_of_what_both_use(self) -> None:
        lines = (ROOT / "constraints.txt").read_text(encoding="utf-8").splitlines()
        course = dict(line.split("==") for line in lines if "==" in line)
        for pin in (*TOOLS, *WHEELS):
            name, _, version = pin.partition("==")
            known = course.get(name, course.get(name.replace("-", "_")))
            assert known in (None, version), f"{name}: {version} in the site, {known} in constraints.txt"


class TestFindTools:
    def test_a_folder_with_something_else_in_it_is_refused_and_stays(self, tmp_path: Path) -> None:
        (tmp_path / "notes.txt").write_text("apples")
        with pytest.raises(LadderError, match="an environment for Python, or a new or empty folder"):
            find_tools(tmp_path)
        assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def package(folder: Path, version: str, *files: str) -> Path:
    """An npm package of Pyodide with these files."""
    path = folder / "pyodide.tgz"
    texts = {name: json.dumps({"packages": {}}) for name in files} | {"package.json": json.dumps({"version": version})}
    with tarfile.open(path, "w:gz") as archive:
        for name, text in texts.items():
            told = tarfile.TarInfo(f"package/{name}")
            told.size = len(text)
            archive.addfile(told, io.BytesIO(text.encode()))
    return path


class TestPyodide:
    def test_without_npm_the_way_round_it_is_told(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PATH", str(tmp_path))
        with pytest.raises(LadderError, match=r"fetch the npm package pyodide 3.1 elsewhere. Choices: --pyodide FILE"):
            fetch_pyodide("3.1", tmp_path)

    def test_only_the_files_for_running_are_taken(self, tmp_path: Path) -> None:
        (tmp_path / "to").mkdir()
        made = unpack_pyodide(package(tmp_path, "3.1", *PYODIDE_FILES, "console.html"), "3.1", tmp_path / "to")
        assert made == {"packages": {}}
        assert {path.name for path in (tmp_path / "to").iterdir()} == set(PYODIDE_FILES)

    def test_another_version_than_the_kernels_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"the kernel was made for version 3.1. Given: '3.2'"):
            unpack_pyodide(package(tmp_path, "3.2", *PYODIDE_FILES), "3.1", tmp_path)

    def test_a_package_with_a_file_missing_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"an npm package of Pyodide 3.1 .*pyodide.asm.wasm"):
            unpack_pyodide(package(tmp_path, "3.1", "pyodide.mjs", "pyodide.asm.mjs"), "3.1", tmp_path)

    def test_a_file_that_is_no_package_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "x.tgz").write_text("apples")
        with pytest.raises(LadderError, match=r"an npm package of Pyodide 3.1 "):
            unpack_pyodide(tmp_path / "x.tgz", "3.1", tmp_path)
