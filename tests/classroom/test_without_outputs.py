"""The outputs are left out, and nothing else is."""

import copy
import json
import mmap
from pathlib import Path

import pytest

from classroom.conftest import ROOT
from rungbook.classroom.labs import find_labs
from rungbook.classroom.without_outputs import without_outputs
from rungbook.errors import LadderError

LABS = find_labs(ROOT)
PRINTED = {"output_type": "stream", "name": "stdout", "text": ['a "b\\', "]}", "\n"]}
SHOWN = {"output_type": "display_data", "metadata": {}, "data": {"application/x": {"a": [{"b": [[1], {}]}, "]"]}}}


def emptied(notebook: dict) -> dict:
    """The same by reading it whole."""
    made = copy.deepcopy(notebook)
    for cell in made["cells"]:
        if "outputs" in cell:
            cell["outputs"] = []
    return made


@pytest.mark.parametrize("indent", [None, 1], ids=["one line", "many lines"])
@pytest.mark.parametrize(
    "outputs",
    [[], [PRINTED], [PRINTED, SHOWN] * 3, [SHOWN], 7, "a]", None, {"a": ["}"]}],
    ids=["none", "text", "both", "display", "number", "string", "null", "object"],
)
def test_what_is_left_is_the_notebook_with_empty_outputs(outputs: object, indent: int | None) -> None:
    notebook = json.loads(LABS[1].released.read_text(encoding="utf-8"))
    for cell in notebook["cells"][::2]:
        cell["outputs"] = outputs
    assert json.loads(without_outputs(json.dumps(notebook, indent=indent).encode())) == emptied(notebook)


@pytest.mark.parametrize("lab", LABS, ids=lambda lab: lab.short)
def test_a_notebook_without_outputs_stays_to_the_byte(lab) -> None:
    data = lab.released.read_bytes()
    assert without_outputs(data).replace(b'"outputs": []', b"") == data.replace(b'"outputs": []', b"")


def test_outputs_are_looked_for_in_cells_only() -> None:
    cells = [{"source": '"outputs": [1]', "metadata": {"outputs": [1], "cells": {"outputs": [2]}}}]
    notebook = {"outputs": [3], "cells": cells, "metadata": {"cells": 1, "outputs": {"a": 4}}}
    assert json.loads(without_outputs(json.dumps(notebook).encode())) == notebook


def test_cells_of_the_older_format_are_found_too() -> None:
    old = {"worksheets": [{"cells": [{"outputs": [PRINTED], "input": "x"}]}]}
    emptied_ = {"worksheets": [{"cells": [{"outputs": [], "input": "x"}]}]}
    assert json.loads(without_outputs(json.dumps(old).encode())) == emptied_


def test_the_state_of_widgets_goes_with_them() -> None:
    notebook = {"metadata": {"widgets": {"state": {"a": [1]}}, "kernelspec": {"widgets": 1}}, "cells": []}
    left = json.loads(without_outputs(json.dumps(notebook).encode()))
    assert left == {"metadata": {"widgets": {}, "kernelspec": {"widgets": 1}}, "cells": []}


@pytest.mark.parametrize(
    "damaged",
    [
        b'{"cells": [{"outputs": [',
        b'{"cells": [{"outputs": ["x',
        b'{"cells": [{"outputs": [' + b"[" * 1000,
        b'{"cells": [',
        b'{"cells": []}]',
        b'{"cells": "x',
        b"::",
        b"[" * 1000,
    ],
)
def test_what_ends_too_soon_or_is_no_json_is_said_to_be_damaged(damaged: bytes) -> None:
    with pytest.raises(LadderError, match="Notebook: is damaged: it ends too soon"):
        without_outputs(damaged)


def test_a_file_is_read_in_the_same_way(tmp_path: Path) -> None:
    path = tmp_path / "x.ipynb"
    path.write_text(json.dumps({"cells": [{"outputs": [PRINTED], "source": "x"}]}))
    with path.open("rb") as file, mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ) as data:
        assert json.loads(without_outputs(data)) == {"cells": [{"outputs": [], "source": "x"}]}
