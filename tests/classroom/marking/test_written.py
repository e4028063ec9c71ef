"""The marked notebook as text: nothing may tell it from nbformat's own file."""

from __future__ import annotations

import nbformat
import pytest

from rungbook.classroom.marking.written import written

METADATA = {"kernelspec": {"name": "python3", "display_name": "Python 3"}, "language_info": {"name": "python"}}
PNG = "iVBORw0KGgo=" * 4000


@pytest.mark.parametrize(
    "cells",
    [
        [],
        [{"cell_type": "markdown", "id": "a", "metadata": {}, "source": ""}],
        [
            {
                "cell_type": "markdown",
                "id": "a",
                "metadata": {"nbgrader": {"points": 5.0, "a": None}},
                "source": "# é\n\n|",
            },
            {
                "cell_type": "code",
                "id": "b",
                "metadata": {},
                "source": 'x = "\\n"\r\ny = "\u2028\x1c"\n',
                "execution_count": 3,
                "outputs": [
                    {"output_type": "stream", "name": "stdout", "text": "one\ntwo"},
                    {
                        "output_type": "execute_result",
                        "execution_count": 3,
                        "metadata": {},
                        "data": {"text/html": "<b>\n</b>", "text/plain": "a\nb\n", "image/png": PNG},
                    },
                    {"output_type": "error", "ename": "E", "evalue": "v\nw", "traceback": ["one\n", "two"]},
                ],
            },
            {
                "cell_type": "raw",
                "id": "c",
                "metadata": {},
                "source": "a\n",
                "attachments": {"p": {"text/plain": "a\nb"}},
            },
        ],
    ],
)
def test_it_is_what_nbformat_writes(cells: list[dict[str, object]]) -> None:
    whole = {"nbformat": 4, "nbformat_minor": 5, "metadata": METADATA, "cells": cells}
    notebook = nbformat.from_dict(whole)
    nbformat.validate(notebook)
    for _ in range(2):  # the second time from what was kept
        assert written(cells, METADATA) == nbformat.v4.writes(notebook) + "\n"
