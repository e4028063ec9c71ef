"""`rungbook class mark LAB`: the command, and what it prints."""

from __future__ import annotations

import argparse
import sys
from typing import Any

from rungbook.classroom.marking.engine import How, Marking, mark_lab, protections_missing
from rungbook.classroom.marking.handed_in import printable


def mark(options: argparse.Namespace) -> int:
    """Run the command; return its exit status: 0, or 130 after an interrupt from the keyboard."""
    from rungbook.classroom.class_folder import find_class

    folder = find_class(options.place)
    lab = folder.lab(options.lab)
    if options.trust_submissions:
        print("Student work is run as you, since you said --trust-submissions:", file=sys.stderr)
        print(protections_missing(), file=sys.stderr)
    how = How(options.workers, options.again, options.trust_submissions, options.cluster)
    marking = mark_lab(folder, lab, how)
    print(report(marking))
    return 130 if marking.interrupted else 0


def report(marking: Marking) -> str:
    """What a run did, as lines: counts, then each submission that needs somebody's eye."""
    entries = sorted(marking.entries, key=lambda entry: str(entry["student"]))
    lines = [f"{len(entries)} marked, {marking.kept} unchanged, {len(marking.missing)} not handed in"]
    if entries:
        lines[0] += f"; {marking.seconds:.0f} s"
    if marking.interrupted:
        lines.append("Interrupted. What is marked is kept; run the same command again to go on.")
    troubled = [entry for entry in entries if entry["problem"] or entry["notes"] or entry["waiting"]]
    lines += [_line(entry) for entry in troubled]
    if marking.missing:
        lines.append(f"not handed in: {', '.join(marking.missing)}")
    return "\n".join([*lines, f"log: {marking.log}"])


def _line(entry: dict[str, Any]) -> str:
    said = [entry["problem"], *entry["notes"]]
    said += [f"{', '.join(entry['waiting'])} waits for a person"] if entry["waiting"] else []
    text = f"{entry['student']}: {entry['points']:g} of {entry['most']:g}. {'; '.join(part for part in said if part)}"
    return printable(text)
