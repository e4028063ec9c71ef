from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.folder import make_class, open_class
from rungbook.classroom.labs import find_lab

ROOT = Path(__file__).parents[2]


class TestMakeClass:
    def test_puts_each_labs_source_where_nbgrader_looks(self, tmp_path: Path) -> None:
        make_class(tmp_path / "new", [find_lab(ROOT, "lab01"), find_lab(ROOT, "lab02")])
        found = sorted(str(path.relative_to(tmp_path)) for path in (tmp_path / "new").rglob("*.*") if path.is_file())
        assert found == [
            "new/nbgrader_config.py",
            "new/source/lab01-one-contactor/lab01.ipynb",
            "new/source/lab02-holding-circuit/lab02.ipynb",
        ]

    def test_touches_nothing_in_a_folder_that_holds_something(self, tmp_path: Path) -> None:
        (tmp_path / "gradebook.db").write_text("marks")
        with pytest.raises(LadderError, match="must be new or empty"):
            make_class(tmp_path, [find_lab(ROOT, "lab01")])
        assert [path.name for path in tmp_path.iterdir()] == ["gradebook.db"]


class TestOpenClass:
    def test_reads_the_settings_of_the_folder(self, tmp_path: Path) -> None:
        make_class(tmp_path / "new", [find_lab(ROOT, "lab01")])
        api = open_class(tmp_path / "new")
        assert api.config.OverwriteCells.add_missing_cells is True
        assert api.get_source_assignments() == {"lab01-one-contactor"}

    def test_refuses_a_folder_that_is_no_class(self, tmp_path: Path) -> None:
        with pytest.raises(LadderError, match=r"no nbgrader_config\.py"):
            open_class(tmp_path)
