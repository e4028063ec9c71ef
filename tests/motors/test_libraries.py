from pathlib import Path

import pytest

from rungbook.motors.libraries import library

from .absent import hide


def test_a_library_that_is_there_is_returned() -> None:
    scipy = library("scipy.integrate")
    assert scipy is not None
    assert scipy.solve_ivp.__name__ == "solve_ivp"


def test_one_that_is_not_installed_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    hide(monkeypatch, "scipy")
    assert library("scipy.integrate") is None


def test_a_finder_that_tells_of_it_in_words_alone_is_understood(monkeypatch: pytest.MonkeyPatch) -> None:
    class InWords:
        @staticmethod
        def find_spec(module: str, path: object = None, target: object = None) -> None:
            if module == "cider_curves":
                raise ModuleNotFoundError("The module 'cider_curves' is not here")

    monkeypatch.setattr("sys.meta_path", [InWords, *__import__("sys").meta_path])
    assert library("cider_curves") is None


def test_a_library_that_lacks_a_part_of_its_own_is_no_missing_library(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "cider_curves.py").write_text("import no_such_press\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(ModuleNotFoundError, match="no_such_press"):
        library("cider_curves")
