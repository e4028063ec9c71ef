"""Print the table of all measures, or of those whose name contains one of the given words; write it as JSON."""

from __future__ import annotations

import argparse
import json
import os
import sys
from pathlib import Path

from tests import benchmarks

from rungbook.tables import text_table

HEAD = ("measure", "value", "unit", "peer's value", "ratio", "goal", "held")


def _cell(value: object) -> str:
    if value is None:
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "NO"
    return f"{value:.3g}" if isinstance(value, float) else str(value)


def _load() -> str:
    """What else the machine does: processes that run or wait to run, over the last minute."""
    return f"{os.getloadavg()[0]:.2f}" if hasattr(os, "getloadavg") else "–"


def main(words: list[str] | None = None) -> int:
    """Run the measures; return 1 if a goal is not held, 2 if no measure has such a name."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks", description=__doc__)
    parser.add_argument("name", nargs="*", help="part of a measure's name; left out: all")
    parser.add_argument("--json", metavar="FILE", type=Path, help="write the rows as a JSON list as well")
    given = parser.parse_args(words)
    benchmarks.load()
    chosen = [m for m in benchmarks.MEASURES.values() if not given.name or any(n in m.name for n in given.name)]
    if not chosen:
        print("No such measure. There are:", *benchmarks.MEASURES, sep="\n  ", file=sys.stderr)
        return 2
    rows, before = [], _load()
    for what in chosen:
        print(f"… {what.name}", file=sys.stderr, flush=True)
        rows.append(benchmarks.take(what))
    print(text_table(HEAD, [[_cell(row[name]) for name in HEAD] for row in rows]))
    print("Medians. ratio = value / peer's value: for times, below 1 is quicker than the peer.")
    print(f"Load average over a minute {before} before, {_load()} after, on {os.cpu_count()} processors.")
    if given.json:
        given.json.write_text(json.dumps(rows, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return 1 if any(row["held"] is False for row in rows) else 0


sys.exit(main())
