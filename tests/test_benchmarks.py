"""The benchmarks' own book-keeping. No time is tested here."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

import benchmarks
from benchmarks import MissingPeerError, measure, take

ROOT = Path(__file__).parents[1]
KEYS = ["measure", "value", "unit", "peer's value", "ratio", "goal", "held"]


@pytest.fixture(autouse=True)
def _own_measures(monkeypatch):
    monkeypatch.setattr(benchmarks, "MEASURES", {})


def row(stage, **goal):
    measure("thing", "ms", **goal)(stage)
    return take(benchmarks.MEASURES["thing"])


class TestTake:
    def test_it_alternates_and_takes_medians(self):
        order = []

        def run(who, values):
            def one():
                order.append(who)
                return values.pop(0)

            return one

        found = row(lambda: (run("a", [9.0, 1, 2, 3, 8]), run("b", [6.0, 6, 60, 1, 6])), at_most=3, runs=5)
        assert order == ["a", "b"] * 5
        assert list(found) == KEYS
        assert list(found.values()) == ["thing", 3, "ms", 6, 0.5, "≤ 3", True]

    def test_a_goal_from_below_is_held_from_it_upwards(self):
        assert row(lambda: lambda: 4.0, at_least=5)["held"] is False
        assert take(benchmarks.Measure("x", "", lambda: lambda: 5.0, 5, True, 5))["held"] is True
        assert take(benchmarks.Measure("x", "", lambda: lambda: 5.1, 5, False, 5))["held"] is False

    def test_without_goal_or_peer_there_is_no_verdict_and_no_ratio(self):
        found = row(lambda: lambda: 4.0)
        assert (found["peer's value"], found["ratio"], found["goal"], found["held"]) == (None, None, None, None)

    def test_a_peer_that_is_not_installed_leaves_our_value(self):
        def missing():
            raise MissingPeerError("peer")

        found = row(lambda: (lambda: 4.0, missing))
        assert (found["value"], found["peer's value"]) == (4, None)


class TestMeasure:
    def test_fewer_than_five_runs_two_goals_or_a_name_twice_are_refused(self):
        with pytest.raises(ValueError, match="a median of at least five runs, not 4"):
            measure("x", "s", runs=4)
        with pytest.raises(ValueError, match="one goal, not two"):
            measure("x", "s", at_most=1, at_least=1)
        measure("x", "s")(lambda: lambda: 1.0)
        with pytest.raises(ValueError, match="the name stands twice"):
            measure("x", "s")


class TestCommand:
    def call(self, *words):
        command = [sys.executable, "-m", "tests.benchmarks", *words]
        return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=100, check=False)

    def test_table_and_json_hold_the_measures_asked_for(self, tmp_path):
        done = self.call("network: cached", "--json", str(tmp_path / "rows.json"))
        rows = json.loads((tmp_path / "rows.json").read_text(encoding="utf-8"))
        assert [list(one) for one in rows] == [KEYS]
        assert rows[0]["measure"] == "network: cached state, 8 relays"
        assert done.stdout.splitlines()[0].split("  ")[0] == "measure"
        assert done.returncode == (0 if rows[0]["held"] else 1)

    def test_an_unknown_name_is_told_with_the_known_ones(self):
        done = self.call("no such thing")
        assert done.returncode == 2
        assert "No such measure" in done.stderr
        assert "network: new state, 8 relays" in done.stderr
