from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.labs import find_lab, find_labs, find_root

ROOT = Path(__file__).parents[2]


def write_lab(root: Path, folder: str, name: str) -> None:
    path = root / "solutions" / folder / name
    path.parent.mkdir(parents=True)
    path.write_text("# Lab\n", encoding="utf-8")


class TestFindRoot:
    def test_looks_upwards_from_the_folder_given(self, tmp_path: Path) -> None:
        write_lab(tmp_path, "lab07-timers", "lab07.md")
        deep = tmp_path / "a" / "b"
        deep.mkdir(parents=True)
        assert find_root(deep) == tmp_path

    def test_falls_back_on_the_checkout_of_the_package(self, tmp_path: Path) -> None:
        assert find_root(tmp_path) == ROOT

    def test_finds_the_students_side_by_its_notebooks(self) -> None:
        assert find_root(ROOT / "tests", students=True) == ROOT


class TestFindLabs:
    def test_gives_the_labs_by_number(self) -> None:
        names = [lab.name for lab in find_labs(ROOT)]
        assert names[:2] == ["lab01-one-contactor", "lab02-holding-circuit"]
        assert names == sorted(names)

    @pytest.mark.parametrize(
        ("folder", "name"), [("lab7-timers", "lab07.md"), ("lab07-Timers", "lab07.md"), ("lab07-timers", "lab08.md")]
    )
    def test_refuses_a_source_in_a_folder_of_another_name(self, tmp_path: Path, folder: str, name: str) -> None:
        write_lab(tmp_path, folder, name)
        with pytest.raises(LadderError, match="a lab is solutions/labNN-name"):
            find_labs(tmp_path)

    def test_names_the_labs_there_are_when_one_is_unknown(self) -> None:
        with pytest.raises(LadderError) as caught:
            find_lab(ROOT, "lab99")
        assert "lab02-holding-circuit" in caught.value.choices
        assert caught.value.value == "lab99"

    def test_finds_a_lab_by_its_short_name(self) -> None:
        assert find_lab(ROOT, "lab02").name == "lab02-holding-circuit"
