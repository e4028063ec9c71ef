"""The glossary: Markdown text -> `course/glossary.ipynb`, each entry with the lab that first uses its word.

An entry is a paragraph that begins with its words in bold, such as "**normally closed, NC**: Closed at rest; …". The
commas part names of the same thing; "prove (a circuit) dead" stands for those words with up to three others between.
Which lab comes first is looked up in the labs' texts, so it is never kept by hand.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from pathlib import Path

import nbformat
from nbformat.notebooknode import NotebookNode

from rungbook.classroom.labs import Lab
from rungbook.errors import LadderError

_ENTRY = re.compile(r"^\*\*([^*]+)\*\*: (?=\S)", re.MULTILINE)
_NOT_SHOWN = re.compile(r"^```.*?^```|<!-- #region.*?<!-- #endregion -->", re.DOTALL | re.MULTILINE)
_KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}


def source_of(root: Path) -> Path:
    """Where the glossary is written by hand; a course may have none."""
    return root / "solutions" / "glossary" / "glossary.md"


def built_at(root: Path) -> Path:
    """The notebook that a student opens; tracked."""
    return root / "course" / "glossary.ipynb"


def glossary(root: Path, labs: Iterable[Lab]) -> NotebookNode | None:
    """Return the glossary as a notebook without outputs, or None if the course has none.

    Raises LadderError if an entry is out of the alphabet's order, stands twice, or is met in no lab.
    """
    import jupytext

    source = source_of(root)
    if not source.is_file():
        return None
    text = source.read_text(encoding="utf-8")
    told = {lab.short: told_to_students(lab) for lab in labs}
    names = entries(text)
    firsts = {name: first_lab(name, told) for name in names}
    with_labs = re.sub(
        _ENTRY.pattern + r"(.*?)(?=\n\n|\Z)",
        lambda found: f"{found[0].rstrip()} *(Lab {firsts[found[1]][3:]})*",
        text,
        flags=re.DOTALL | re.MULTILINE,
    )
    notebook = jupytext.reads(with_labs, fmt="md")
    notebook.metadata = NotebookNode(kernelspec=_KERNEL, language_info={"name": "python"})
    for number, cell in enumerate(notebook.cells):
        cell.metadata = nbformat.from_dict({})
        cell["id"] = f"glossary-{number:03d}"
    return notebook


def entries(text: str) -> list[str]:
    """The words in bold that head the entries of a glossary's text, in order.

    Raises LadderError if one is out of the alphabet's order, stands twice, or stands under another letter.
    """
    names: list[str] = []
    letter = ""
    for found in re.finditer(rf"{_ENTRY.pattern}|^## (?P<letter>.+)$", text, re.MULTILINE):
        if found["letter"]:
            letter = found["letter"]
            continue
        name = found[1]
        if name[0].upper() != letter:
            raise LadderError("Glossary", f"an entry stands under its first letter, not under {letter!r}", name)
        if names and name.lower() <= names[-1].lower():
            raise LadderError("Glossary", f"entries stand in alphabetical order, once each; after {names[-1]!r}", name)
        names.append(name)
    return names


def told_to_students(lab: Lab) -> str:
    """The running text of `lab`: its Markdown without code cells and written answers."""
    return " ".join(_NOT_SHOWN.sub("", lab.source.read_text(encoding="utf-8")).split())


def first_lab(name: str, told: Mapping[str, str]) -> str:
    """Return the first lab, such as "lab03", whose text has one of the words of `name`; plurals count.

    Raises LadderError if none has.
    """
    words = "|".join(_as_pattern(word.strip()) for word in name.split(","))
    pattern = re.compile(rf"(?<![A-Za-z-])(?:{words})(?:s|es)?(?![A-Za-z])", re.IGNORECASE)
    for lab in sorted(told):
        if pattern.search(told[lab]):
            return lab
    raise LadderError("Glossary", "an entry is a word that a student meets in a lab's text", name)


def _as_pattern(word: str) -> str:
    parts = re.split(r" *\([^)]*\) *", word)
    return r"(?: [A-Za-z]+){0,3} ".join(re.escape(part).replace(r"\ ", "[ -]") for part in parts)
