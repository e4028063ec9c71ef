import json
import shutil
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

from rungbook import LadderError
from rungbook.classroom.site.bundle import bundle, put_bytecode


def wheel(folder: Path, name: str, *files: str) -> Path:
    """A wheel with these files, each holding its own path."""
    path = folder / name
    with ZipFile(path, "w") as archive:
        for one in files:
            archive.writestr(one, f"# {one}\n")
    return path


def read(path: Path) -> dict[str, str]:
    with ZipFile(path) as archive:
        return {name: archive.read(name).decode() for name in archive.namelist()}


class TestBundle:
    def test_holds_the_files_of_all_wheels_and_what_is_given_besides_but_no_tests(self, tmp_path: Path) -> None:
        press = wheel(tmp_path, "press-1.2-py3-none-any.whl", "press/__init__.py", "press/tests/test_press.py")
        pump = wheel(tmp_path, "pump-3-py2.py3-none-any.whl", "pump.py", "pump-3.dist-info/METADATA")
        bundle([pump, press], {"vat/lid.txt": b"oak"}, tmp_path / "all.zip")
        assert read(tmp_path / "all.zip") == {
            "vat/lid.txt": "oak",
            "press/__init__.py": "# press/__init__.py\n",
            "pump.py": "# pump.py\n",
            "pump-3.dist-info/METADATA": "# pump-3.dist-info/METADATA\n",
        }

    def test_is_the_same_to_the_byte_for_the_same_files(self, tmp_path: Path) -> None:
        wheels = [wheel(tmp_path, f"{name}-1-py3-none-any.whl", f"{name}.py") for name in ("press", "pump")]
        bundle(wheels, {"b": b"1", "a": b"2"}, tmp_path / "one.zip")
        bundle(reversed(wheels), {"a": b"2", "b": b"1"}, tmp_path / "two.zip")
        assert (tmp_path / "one.zip").read_bytes() == (tmp_path / "two.zip").read_bytes()

    def test_a_wheel_for_one_kind_of_machine_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"pure Python wheels, …-none-any.whl. Given: 'p-1.2-cp311-cp311-linux"):
            bundle([wheel(tmp_path, "p-1.2-cp311-cp311-linux_x86_64.whl", "p.py")], {}, tmp_path / "all.zip")

    def test_a_file_that_is_no_wheel_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "p-1.2-py3-none-any.whl").write_text("apples")
        with pytest.raises(LadderError, match=r"a zip file .*Given: 'p-1.2-py3-none-any.whl'"):
            bundle([tmp_path / "p-1.2-py3-none-any.whl"], {}, tmp_path / "all.zip")

    def test_one_file_from_two_wheels_is_refused(self, tmp_path: Path) -> None:
        two = [wheel(tmp_path, f"p-{version}-py3-none-any.whl", "p.py") for version in ("1.2", "1.3")]
        with pytest.raises(LadderError, match=r"p.py is in p-1.2-py3-none-any.whl too. Given: 'p-1.3-"):
            bundle(two, {}, tmp_path / "all.zip")


# stands for Pyodide: this test's own Python runs what it is given
_PYODIDE = """
import {{ execFileSync }} from "node:child_process";
import fs from "node:fs";
export async function loadPyodide() {{
  let code = "";
  const at = (path) => {folder!r} + path;
  return {{
    FS: {{
      writeFile: (path, data) => fs.writeFileSync(at(path), data),
      readFile: (path) => fs.readFileSync(at(path)),
    }},
    globals: {{ get: (name) => (...words) => {{
      const given = words.map((word) => JSON.stringify(word.startsWith("/tmp/") ? at(word) : word)).join(", ");
      execFileSync({python!r}, ["-c", code + name + "(" + given + ")"]);
    }} }},
    runPython: (text) => {{ code += text + "\\n"; }},
  }};
}}
"""


@pytest.mark.skipif(shutil.which("node") is None, reason="node is not installed")
class TestBytecode:
    @pytest.fixture(name="runtime")
    def _runtime(self, tmp_path: Path) -> Path:
        (tmp_path / "pyodide.mjs").write_text(_PYODIDE.format(folder=str(tmp_path), python=sys.executable))
        (tmp_path / "tmp").mkdir()
        return tmp_path

    def test_stands_in_the_place_of_a_source_and_beside_ours(self, runtime: Path, tmp_path: Path) -> None:
        where = b"import sys\nflow = sys._getframe().f_code.co_filename\n"
        files = {"pump.py": where, "rungbook/__init__.py": b"x = 7\n"}
        bundle([], files | {"old.py": b"print 7\n", "vat.txt": b"oak"}, tmp_path / "all.zip")
        assert put_bytecode(runtime, {tmp_path / "all.zip": "/lib/all.zip"})
        with ZipFile(tmp_path / "all.zip") as archive:
            names = archive.namelist()
        assert sorted(names) == ["old.py", "pump.pyc", "rungbook/__init__.py", "rungbook/__init__.pyc", "vat.txt"]
        code = "import sys, json; sys.path.insert(0, sys.argv[1]); import pump, rungbook as ours"
        code += "; print(json.dumps([pump.flow, pump.__cached__, ours.x]))"
        command = [sys.executable, "-I", "-S", "-c", code, str(tmp_path / "all.zip")]
        done = subprocess.run(command, capture_output=True, text=True, check=True)
        assert json.loads(done.stdout) == ["/lib/all.zip/pump.py", f"{tmp_path}/all.zip/pump.pyc", 7]

    def test_a_failure_says_why(self, runtime: Path, tmp_path: Path) -> None:
        (tmp_path / "all.zip").write_text("apples")
        with pytest.raises(LadderError, match=r"making bytecode failed \(status 1\)"):
            put_bytecode(runtime, {tmp_path / "all.zip": "/lib/all.zip"})

    def test_without_node_nothing_is_done(self, runtime: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setenv("PATH", str(runtime))
        assert not put_bytecode(runtime, {runtime / "none.zip": "/lib/all.zip"})
