import hashlib
from pathlib import Path
from zipfile import ZipFile

import pytest

from rungbook import LadderError
from rungbook.classroom.site.lock import entry, lock


def wheel(folder: Path, file: str, name: str, *files: str) -> Path:
    """A wheel of version 1.2 with these files, all empty."""
    path = folder / file
    with ZipFile(path, "w") as archive:
        for one in files:
            archive.writestr(one, "")
        archive.writestr(f"{file.split('-')[0]}-1.2.dist-info/METADATA", f"Name: {name}\nVersion: 1.2\n\nCider.\n")
    return path


class TestEntry:
    def test_says_what_the_wheel_is_and_what_it_lets_import(self, tmp_path: Path) -> None:
        files = ("press/__init__.py", "press/sub/__init__.py", "valve.py", "press_data/x.txt", "docs/a.py")
        made = entry(wheel(tmp_path, "Cider_Press-1.2-py3-none-any.whl", "Cider_Press", *files))
        assert made == {
            "depends": [],
            "file_name": "Cider_Press-1.2-py3-none-any.whl",
            "imports": ["press", "valve"],
            "install_dir": "site",
            "name": "cider-press",
            "package_type": "package",
            "sha256": hashlib.sha256((tmp_path / "Cider_Press-1.2-py3-none-any.whl").read_bytes()).hexdigest(),
            "unvendored_tests": False,
            "version": "1.2",
        }

    def test_a_wheel_for_one_kind_of_machine_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"pure Python wheels, …-none-any.whl. Given: 'p-1.2-cp311-cp311-linux"):
            entry(wheel(tmp_path, "p-1.2-cp311-cp311-linux_x86_64.whl", "p"))

    def test_a_file_that_is_no_wheel_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "p-1.2-py3-none-any.whl").write_text("apples")
        with pytest.raises(LadderError, match=r"a zip file with one METADATA .*Given: 'p-1.2-py3-none-any.whl'"):
            entry(tmp_path / "p-1.2-py3-none-any.whl")


class TestLock:
    def test_holds_the_wheels_given_and_none_of_pyodides_own(self, tmp_path: Path) -> None:
        base = {"info": {"python": "3.14.2"}, "packages": {"numpy": {"version": "2"}}}
        two = [wheel(tmp_path, f"{name}-1.2-py3-none-any.whl", name, f"{name}.py") for name in ("pump", "mill")]
        made = lock(base, two)
        assert made["info"] == {"python": "3.14.2"}
        assert {name: one["imports"] for name, one in made["packages"].items()} == {"mill": ["mill"], "pump": ["pump"]}
        assert list(base["packages"]) == ["numpy"]

    def test_two_wheels_of_one_package_are_refused(self, tmp_path: Path) -> None:
        two = [wheel(tmp_path, f"p-{version}-py3-none-any.whl", "p") for version in ("1.2", "1.3")]
        with pytest.raises(LadderError, match=r"one wheel a package. Given: 'p-1.2-.* and p-1.3-"):
            lock({"packages": {}}, two)
