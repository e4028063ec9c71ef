import json
from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.site.assemble import MARK, _put, _remember_path, _start_with, build_site, settings
from rungbook.cli import main

ROOT = Path(__file__).parents[3]


class TestSettings:
    def test_the_kernel_is_told_to_install_nothing_and_to_ask_no_index(self) -> None:
        kernel = settings()["jupyter-config-data"]["litePluginSettings"]
        there = ["micropip", "piplite", "ipykernel", "comm", "pyodide-kernel", "jedi", "ipython"]
        assert kernel == {
            "@jupyterlite/pyodide-kernel-extension:kernel": {
                "disablePyPIFallback": True,
                "loadPyodideOptions": {"packages": there},
            }
        }

    def test_its_python_starts_with_our_module_and_all_else_stays(self, tmp_path: Path) -> None:
        path = tmp_path / "jupyter-lite.json"
        path.write_text(json.dumps(settings()))
        _start_with(path, "./static/pyodide/start.mjs")
        told = json.loads(path.read_text())
        (kernel,) = told["jupyter-config-data"]["litePluginSettings"].values()
        assert kernel.pop("pyodideUrl") == "./static/pyodide/start.mjs"
        assert told == settings()

    def test_keep_work_in_the_browser_under_a_name_of_their_own_but_not_what_was_open(self) -> None:
        told = settings()["jupyter-config-data"]
        assert [told[name] for name in ("contentsStorageName", "settingsStorageName")] == [
            "Rungbook work",
            "Rungbook settings",
        ]
        assert told["contentsStorageDrivers"] == ["asyncStorage", "localStorageWrapper"]
        assert told["workspacesStorageDrivers"] == ["memoryStorageDriver"]


class TestRememberPath:
    def test_a_script_stands_before_all_else_in_the_head(self, tmp_path: Path) -> None:
        page = tmp_path / "index.html"
        page.write_text("<html><head>\n<title>x</title></head><body></body></html>")
        _remember_path(page)
        text = page.read_text()
        assert text.startswith("<html><head>\n<script>\n// JupyterLite takes the notebook out of the address")
        assert text.endswith("</script>\n<title>x</title></head><body></body></html>")

    def test_a_page_without_a_head_is_refused_and_stays(self, tmp_path: Path) -> None:
        (tmp_path / "index.html").write_text("<html></html>")
        with pytest.raises(LadderError, match="begins otherwise than this edition knows"):
            _remember_path(tmp_path / "index.html")
        assert (tmp_path / "index.html").read_text() == "<html></html>"


class TestRefusals:
    def test_a_folder_that_holds_anything_else_is_refused_and_stays(
        self, tmp_path: Path, capsys: pytest.CaptureFixture[str]
    ) -> None:
        (tmp_path / "site").mkdir()
        (tmp_path / "site" / "thesis.txt").write_text("apples")
        assert main(["site", str(tmp_path / "site")]) == 2
        assert (
            "rungbook site: Site: goes to a new or empty folder, or replaces an older site" in capsys.readouterr().err
        )
        assert [path.relative_to(tmp_path).as_posix() for path in sorted(tmp_path.rglob("*"))] == [
            "site",
            "site/thesis.txt",
        ]

    def test_a_folder_in_no_folder_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match="the folder around it does not exist"):
            build_site(tmp_path / "no" / "site", ROOT)

    def test_a_course_that_is_no_checkout_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"in a checkout of the course, where pyproject.toml is"):
            build_site(tmp_path / "site", tmp_path)

    def test_tools_that_fail_leave_no_trace(self, tmp_path: Path) -> None:
        broken = tmp_path / "tools" / "bin" / "python"
        broken.parent.mkdir(parents=True)
        broken.write_text("#!/bin/sh\necho no press today >&2\nexit 3\n")
        broken.chmod(0o755)
        with pytest.raises(LadderError, match=r"installing the tools failed \(status 3\): no press today"):
            build_site(tmp_path / "site", ROOT, tmp_path / "tools")
        assert [path.name for path in tmp_path.iterdir()] == ["tools"]


class TestPut:
    def test_an_older_site_gives_way_to_the_new_one(self, tmp_path: Path) -> None:
        for name in ("made", "site"):
            (tmp_path / name).mkdir()
            (tmp_path / name / MARK).write_text(name)
        _put(tmp_path / "made", tmp_path / "site", tmp_path / "old")
        assert (tmp_path / "site" / MARK).read_text() == "made"

    def test_an_older_site_comes_back_if_the_move_fails(self, tmp_path: Path) -> None:
        (tmp_path / "site").mkdir()
        (tmp_path / "site" / MARK).write_text("site")
        with pytest.raises(OSError, match="made"):
            _put(tmp_path / "made", tmp_path / "site", tmp_path / "old")
        assert (tmp_path / "site" / MARK).read_text() == "site"
