import sys
from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.motors import Load, Nameplate, direct, run_up
from rungbook.motors.figures import volts_per_hertz_figure
from rungbook.motors.libraries import library


def hide(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Have `name` and what is in it not be found, as in the browser."""
    for module in [one for one in sys.modules if one == name or one.startswith(f"{name}.")]:
        monkeypatch.delitem(sys.modules, module)

    class Hidden:
        @staticmethod
        def find_spec(module: str, path: object = None, target: object = None) -> None:
            if module.partition(".")[0] == name:
                raise ModuleNotFoundError(f"No module named {module!r}", name=module)

    monkeypatch.setattr(sys, "meta_path", [Hidden, *sys.meta_path])


def test_a_library_that_is_there_is_returned() -> None:
    assert library("scipy.integrate", "A start").solve_ivp.__name__ == "solve_ivp"


def test_without_scipy_a_start_says_what_is_missing_and_where_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    hide(monkeypatch, "scipy")
    with pytest.raises(LadderError, match=r"^run_up: needs scipy, which is not here; the edition for the browser"):
        run_up(Nameplate("10 hp", 460, 13.2, 1740), Load(30, "square", 1.5), direct())


def test_without_matplotlib_a_figure_says_what_is_missing(monkeypatch: pytest.MonkeyPatch) -> None:
    hide(monkeypatch, "matplotlib")
    with pytest.raises(LadderError, match=r"^This figure: needs matplotlib, which is not here"):
        volts_per_hertz_figure(461, 59)


def test_a_library_that_lacks_a_part_of_its_own_is_no_missing_library(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    (tmp_path / "cider_curves.py").write_text("import no_such_press\n")
    monkeypatch.syspath_prepend(str(tmp_path))
    with pytest.raises(ModuleNotFoundError, match="no_such_press"):
        library("cider_curves", "A start")
