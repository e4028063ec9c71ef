"""Rooms import one way, the core needs the standard library alone, and `import rungbook` stays light."""

import ast
import json
import subprocess
import sys
from pathlib import Path

import pytest

import rungbook

PACKAGE = Path(rungbook.__file__).parent

# room -> what it may import of the others
MAY = {
    "errors": set(),
    "tables": set(),
    "replacing": set(),
    "kit": {"errors", "tables", "replacing"},
    "circuit": {"errors", "tables", "kit"},
    "behaviour": {"errors", "tables", "kit", "circuit"},
    "proof": {"errors", "tables", "kit", "circuit", "behaviour"},
    "drawing": {"errors", "tables", "replacing", "kit", "circuit", "behaviour", "proof"},
    "motors": {"errors", "tables", "kit", "behaviour", "drawing"},
    "bench": {"errors", "tables", "kit", "circuit", "behaviour", "proof", "drawing"},
    "exchange": {"errors", "tables", "kit", "circuit", "behaviour", "proof"},
    "grading": {"errors", "tables", "kit", "circuit", "behaviour", "proof", "motors", "exchange"},
}
MAY["alone"] = {*MAY, "classroom"}
CORE = ("kit", "circuit", "behaviour", "proof", "motors", "bench", "grading", "exchange", "alone")
HEAVY = (
    "numpy",
    "scipy",
    "matplotlib",
    "IPython",
    "nbgrader",
    "schemdraw",
    "ipywidgets",
    "anywidget",
    "tqdm",
    "jupytext",
)


def fresh(code):
    """What `code` prints as JSON in a new interpreter."""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def imported(path):
    """(line, dotted name) of everything of rungbook that the file imports, wherever in it."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: a relative import hides which way the arrow points"
            if node.module == "rungbook":
                yield from ((node.lineno, f"rungbook.{alias.name}") for alias in node.names)
            elif (node.module or "").startswith("rungbook."):
                yield node.lineno, node.module
        elif isinstance(node, ast.Import):
            yield from ((node.lineno, alias.name) for alias in node.names if alias.name.split(".")[0] == "rungbook")


FILES = [path for room in MAY for path in (*PACKAGE.glob(f"{room}.py"), *(PACKAGE / room).rglob("*.py"))]


class TestArrows:
    @pytest.mark.parametrize("path", FILES, ids=lambda path: str(path.relative_to(PACKAGE)))
    def test_a_room_imports_only_rooms_before_it(self, path):
        room = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
        for line, name in imported(path):
            other = name.partition(".")[2].partition(".")[0]
            assert other in MAY[room] | {room}, f"{path}:{line}: {room} may not import {name}"

    @pytest.mark.parametrize("path", sorted((PACKAGE / "classroom").rglob("*.py")), ids=lambda path: path.name)
    def test_the_class_does_not_know_who_learns_alone(self, path):
        assert [name for _, name in imported(path) if name.startswith("rungbook.alone")] == []

    def test_every_room_of_the_core_was_looked_at(self):
        assert {path.parent.name for path in FILES} >= set(CORE)
        assert len(FILES) > 25


class TestLight:
    def test_import_rungbook_loads_nothing_heavy(self):
        loaded = fresh("import rungbook, sys, json; print(json.dumps(sorted(sys.modules)))")
        assert [name for name in HEAVY if name in loaded] == []
        assert [name for name in ("rungbook.behaviour", "rungbook.proof", "rungbook.drawing") if name in loaded] == []

    @pytest.mark.parametrize("room", CORE)
    def test_a_room_of_the_core_loads_the_standard_library_alone(self, room):
        code = f"""
import sys, json
before = set(sys.modules)
import rungbook.{room}
loaded = {{name for name, module in sys.modules.items() if module is not None}}  # None: kept from being loaded
print(json.dumps(sorted({{name.split(".")[0] for name in loaded - before}})))
"""
        other = [name for name in fresh(code) if name not in sys.stdlib_module_names and name != "rungbook"]
        assert other == []

    def test_import_rungbook_is_quick(self, record_property):
        code = "import time; t = time.perf_counter(); import rungbook; print(time.perf_counter() - t)"
        seconds = min(fresh(code) for _ in range(3))
        record_property("import rungbook [s]", round(seconds, 4))
        assert seconds < 2  # about 0.03 s; the bound only tells a heavy import apart from none


class TestNames:
    def test_every_promised_name_is_there(self):
        code = """
import rungbook, json
print(json.dumps([name for name in rungbook.__all__ if not hasattr(rungbook, name)]))
"""
        assert fresh(code) == []

    def test_a_late_name_is_the_one_of_its_room(self):
        from rungbook.behaviour import run
        from rungbook.proof import compare, truth_table

        assert (rungbook.run, rungbook.compare, rungbook.truth_table) == (run, compare, truth_table)

    def test_the_verbs_show_up_in_completion(self):
        assert {"run", "compare", "truth_table", "draw", "check", "NO", "NC", "Ladder"} <= set(dir(rungbook))

    def test_bench_is_the_verb_whatever_of_its_room_is_imported_later(self):
        code = """
import json, rungbook
import rungbook.bench.controls
from rungbook.bench import FaultHunt
from rungbook import bench
print(json.dumps([callable(bench), callable(rungbook.bench), FaultHunt.__name__]))
"""
        assert fresh(code) == [True, True, "FaultHunt"]

    def test_an_unknown_name_is_an_attribute_error(self):
        with pytest.raises(AttributeError, match="module 'rungbook' has no attribute 'simulate'"):
            _ = rungbook.simulate
