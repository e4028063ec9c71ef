"""What stands in the marked notebooks: the first thing to mend of each exercise, and the answers, in common words.

A variant's designations are turned back into those of the lab as it stands, so that students with different variants
who make the same mistake stand in one line.
"""

from __future__ import annotations

import ast
import io
import json
import re
import tokenize
from collections.abc import Mapping
from dataclasses import dataclass, field

from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.labs import Lab
from rungbook.classroom.release import variant_name
from rungbook.grading import first_to_mend
from rungbook.grading.variants import Variant, renamed


@dataclass(frozen=True)
class Paper:
    """A marked notebook. first: exercise -> first thing to mend, in common words. answers: cell of code -> its text in
    common words, without blanks that make no difference. circuits: the same, with nothing but what is on the rungs.
    essays: written answer -> its text. variant: the one it says it is. words: designations as they were written."""

    student: str
    first: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, str] = field(default_factory=dict)
    circuits: Mapping[str, str] = field(default_factory=dict)
    essays: Mapping[str, str] = field(default_factory=dict)
    variant: str | None = None
    words: frozenset[str] = frozenset()


def read_paper(place: ClassFolder, lab: Lab, student: str, variant: Variant | None) -> Paper | None:
    """Return the student's marked notebook, None if there is none."""
    path = place.root / "autograded" / student / lab.name / f"{lab.short}.ipynb"
    if not path.is_file():
        return None
    text = path.read_text(encoding="utf-8")
    back = backwards(variant)
    first, answers, circuits, essays = {}, {}, {}, {}
    written: set[str] = set()
    for cell in json.loads(text)["cells"]:
        own = cell.get("metadata", {}).get("nbgrader", {})
        name, source = own.get("grade_id"), _joined(cell.get("source", ""))
        if not name:
            continue
        if own.get("solution"):
            written |= set(re.findall(r"\b[SBFQKPM]\d+\b", source))
            told = renamed(source, back)
            if cell["cell_type"] != "code":
                essays[name] = " ".join(told.split())
                continue
            answers[name] = bare(told)
            if circuit := _circuit(told):
                circuits[name] = circuit
        elif own.get("grade"):
            printed = "".join(_joined(output.get("text", "")) for output in cell.get("outputs", []))
            first[name] = renamed(first_to_mend(printed), back)
    return Paper(student, first, answers, circuits, essays, variant_name(text), frozenset(written))


def backwards(variant: Variant | None) -> Variant:
    """The renaming from the student's words to those of the lab."""
    if variant is None:
        return Variant("", {})
    return Variant(variant.name, {new: old for old, new in variant.becomes.items()})


def _joined(text: object) -> str:
    return "".join(text) if isinstance(text, list) else str(text)


def bare(text: str) -> str:
    """Code without blanks and line ends that make no difference; comments are kept."""
    try:
        parts = [token.string for token in tokenize.generate_tokens(io.StringIO(text).readline) if token.string.strip()]
    except (tokenize.TokenError, IndentationError, SyntaxError):
        return " ".join(text.split())
    return " ".join(parts)


def _circuit(text: str) -> str:
    """What is put on rungs, in order: the calls of .rung(…) as they are parsed; "" if there are none."""
    try:
        tree = ast.parse(text)
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        return ""
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    rungs = [node for node in calls if isinstance(node.func, ast.Attribute) and node.func.attr == "rung"]
    rungs.sort(key=lambda node: (node.lineno, node.col_offset))
    return "\n".join(", ".join(ast.unparse(argument) for argument in node.args) for node in rungs)
