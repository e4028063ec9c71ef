"""The room in a Python that has neither numpy nor SciPy nor matplotlib, as the browser's."""

import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from rungbook.motors import (
    Load,
    Nameplate,
    autotransformer,
    compare_starting,
    control_drop_figure,
    direct,
    drive,
    heating_figure,
    run_up,
    run_up_figure,
    soft_starter,
    star_delta,
    start_heating,
    starting_figure,
    torque_speed_figure,
    volts_per_hertz_figure,
)
from rungbook.motors.figures.sheet import kept

from .absent import hide

ROOT = Path(__file__).parents[2]
SVG = "{http://www.w3.org/2000/svg}"
MILL = Nameplate("10 hp", 460, 13.2, 1740)
LOADS = {
    "fan": Load(30, "square", 1.5),
    "elevator": Load(30, "constant", 1.0),
    "too much for star": Load(40, "square", 1.0),
    "slow": Load(30, "square", 50),
    "breakaway": Load(5, "square", 0.5, breakaway=80),
}
WAYS = (
    direct(),
    star_delta(),
    star_delta(3),
    star_delta(30),
    autotransformer(0.5),
    soft_starter(),
    soft_starter(0.2, 10, limit=2),
    drive(2, limit=1.5),
)


@pytest.fixture(autouse=True)
def fresh():
    kept.cache_clear()
    yield
    kept.cache_clear()


@pytest.mark.parametrize("load", LOADS)
def test_a_start_is_the_same_with_scipy_and_without(load, monkeypatch):
    with_it = [run_up(MILL, LOADS[load], way) for way in WAYS]
    hide(monkeypatch, "numpy", "scipy")
    for one, way in zip(with_it, WAYS, strict=True):
        other = run_up(MILL, LOADS[load], way)
        assert (other.why, other.changeover is None) == (one.why, one.changeover is None), way.name
        assert other.seconds == (None if one.seconds is None else pytest.approx(one.seconds, rel=1e-7)), way.name
        assert len(other.samples) == len(one.samples)
        for a, b in zip(one.samples, other.samples, strict=True):
            assert tuple(vars(b).values()) == pytest.approx(tuple(vars(a).values()), rel=1e-6, abs=1e-4), way.name


def test_ways_side_by_side_print_the_same_table(monkeypatch):
    table = str(compare_starting(MILL, LOADS["fan"]))
    hide(monkeypatch, "numpy", "scipy")
    assert str(compare_starting(MILL, LOADS["fan"])) == table


def figures():
    starts = [run_up(MILL, LOADS["fan"], way) for way in (direct(), star_delta(), autotransformer(), drive())]
    heavy = run_up(MILL, Load(38, "square", 9.0), direct())
    return {
        "torque": torque_speed_figure(MILL, LOADS["fan"]),
        "ways": starting_figure(MILL, direct(), star_delta(), soft_starter(), load=LOADS["fan"]),
        "in time": run_up_figure(*starts),
        "heat": heating_figure(start_heating(heavy, 13.2, "10"), start_heating(heavy, 13.2, "30")),
        "drive": volts_per_hertz_figure(460, 60, 10),
        "control": control_drop_figure(0.5, 1.0, 1.5),
    }


def test_every_figure_shows_the_same_words_as_with_matplotlib(monkeypatch):
    with_it = figures()
    kept.cache_clear()
    hide(monkeypatch, "numpy", "scipy", "matplotlib")
    for name, picture in figures().items():
        assert picture.description == with_it[name].description, name
        root, other = ET.fromstring(picture.svg), ET.fromstring(with_it[name].svg)
        assert root.find(f"{SVG}desc").text == picture.description, name
        here, there = (
            {text.strip() for text in map("".join, (node.itertext() for node in tree.iter(f"{SVG}text")))}
            for tree in (root, other)
        )
        named = {text for text in there if not text.replace(".", "").isdigit()}
        assert named - here == set(), name  # ticks aside: axes, legend, names of points


def test_every_cell_of_the_labs_that_plot_runs_and_no_such_library_is_asked_for():
    code = """
import ast, json, sys
from importlib.machinery import PathFinder
gone, found = ("numpy", "scipy", "matplotlib"), PathFinder.find_spec
def without(module, path=None, target=None):
    if module.partition(".")[0] in gone:
        return None
    return found(module, path, target)
PathFinder.find_spec = without
plots, pictures = 0, 0
for path in sys.argv[1:]:
    space = {}
    for cell in json.load(open(path, encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            tree = ast.parse("".join(cell["source"]))
            last = tree.body.pop() if tree.body and isinstance(tree.body[-1], ast.Expr) else None
            exec(compile(tree, path, "exec"), space)
            shown = last and eval(compile(ast.Expression(last.value), path, "eval"), space)
            if "_figure(" in "".join(cell["source"]):
                plots += 1
                pictures += "<svg" in str(getattr(shown, "svg", ""))
print(f"{pictures} pictures of {plots}", [name for name in gone if name in sys.modules])
"""
    books = sorted(str(path) for lab in ("09", "10", "11") for path in (ROOT / "course").glob(f"lab{lab}-*/*.ipynb"))
    assert len(books) == 3
    done = subprocess.run(
        [sys.executable, "-c", code, *books], capture_output=True, text=True, check=False, timeout=120, cwd=ROOT
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[-1] == "3 pictures of 3 []"
