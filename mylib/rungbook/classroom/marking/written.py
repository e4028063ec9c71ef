"""The marked notebook as the text of a file: what nbformat's own writer writes, letter by letter.

Most cells of a lab are the same in every notebook, so each cell is written by itself and the text kept.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Any

import nbformat
from nbformat.v4.rwbase import split_lines

_KEPT = 30_000  # letters of a cell that is worth keeping
_FORM: dict[str, Any] = {"indent": 1, "sort_keys": True, "separators": (",", ": "), "ensure_ascii": False}


def written(cells: Sequence[Mapping[str, Any]], metadata: Mapping[str, Any]) -> str:
    """Return the notebook with these cells, which must be valid ones of nbformat 4.5, as JSON."""
    texts = []
    for cell in cells:
        data = json.dumps(cell, sort_keys=True, ensure_ascii=False)
        texts.append(_kept_cell(data) if len(data) <= _KEPT else _cell(data))
    head = '"cells": [\n  ' + ",\n  ".join(texts) + "\n ]" if texts else '"cells": []'
    about = _deeper(json.dumps(metadata, **_FORM), 1)
    return f'{{\n {head},\n "metadata": {about},\n "nbformat": 4,\n "nbformat_minor": 5\n}}\n'


def _cell(data: str) -> str:
    """A cell as it stands in a file; `data`: the cell as JSON on one line."""
    notebook = nbformat.from_dict({"cells": [json.loads(data)]})
    return _deeper(json.dumps(split_lines(notebook).cells[0], **_FORM), 2)


_kept_cell = lru_cache(maxsize=2000)(_cell)


def _deeper(text: str, by: int) -> str:
    return text.replace("\n", "\n" + " " * by)  # no line ends within a text of JSON
