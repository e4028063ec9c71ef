import json

import nbformat
import pytest

from rungbook.classroom.collecting.notebooks import read_notebook

ANSWERS = ("lab02-holding", "lab02-place")


def notebook(*ids: str, **more: object) -> dict[str, object]:
    cells = [
        {"cell_type": "code", "metadata": {"nbgrader": {"grade_id": one}}, "source": "", "outputs": []} for one in ids
    ]
    return {"nbformat": 4, "nbformat_minor": 4, "metadata": {}, "cells": cells, **more}


def dumped(*ids: str, **more: object) -> bytes:
    return json.dumps(notebook(*ids, **more)).encode()


def problem(data: bytes) -> str:
    reading = read_notebook(data, "lab02", ANSWERS)
    assert reading.text is None
    return reading.problem


class TestTakes:
    @pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16"])
    def test_a_notebook_of_the_lab_in_any_encoding_that_says_what_it_is(self, encoding: str) -> None:
        text = json.dumps(notebook(*ANSWERS))
        assert read_notebook(text.encode(encoding), "lab02", ANSWERS).text == text

    def test_one_with_cells_missing_or_twice_and_says_so(self) -> None:
        reading = read_notebook(dumped("lab02-holding", "lab02-holding"), "lab02", ANSWERS)
        assert reading.text is not None
        assert reading.remark == "without lab02-place; twice lab02-holding"

    def test_the_variant_that_it_says_it_is(self) -> None:
        data = dumped(*ANSWERS, metadata={"rungbook": {"variant": "0a1b"}})
        assert read_notebook(data, "lab02", ANSWERS).variant == "0a1b"

    def test_format_3_upgraded_with_its_answers(self) -> None:
        cell = {
            "cell_type": "code",
            "language": "python",
            "input": 'pump.rung(NC("S1"), coil("Q1"))',
            "outputs": [],
            "metadata": {"nbgrader": {"grade_id": "lab02-holding"}},
        }
        old = {"nbformat": 3, "nbformat_minor": 0, "metadata": {"name": ""}, "worksheets": [{"cells": [cell]}]}
        reading = read_notebook(json.dumps(old).encode(), "lab02", ("lab02-holding",))
        assert reading.remark == "upgraded from an older notebook format"
        made = nbformat.reads(reading.text, as_version=4)
        assert made.nbformat == 4
        assert made.cells[0].source == 'pump.rung(NC("S1"), coil("Q1"))'
        assert made.cells[0].metadata.nbgrader.grade_id == "lab02-holding"

    def test_a_large_one_without_its_outputs(self) -> None:
        great = notebook(*ANSWERS)
        great["cells"][0]["outputs"] = [{"output_type": "stream", "name": "stdout", "text": "x" * 30_000_000}]
        for encoding in ("utf-8", "utf-8-sig", "utf-16"):
            data = json.dumps(great).encode(encoding)
            reading = read_notebook(data, "lab02", ANSWERS)
            assert json.loads(reading.text.removeprefix("\ufeff")) == notebook(*ANSWERS)
            assert reading.remark == f"{len(data) / 1e6:.0f} MB, taken without its outputs"

    def test_one_whose_metadata_is_lost_by_the_ids_of_its_cells(self) -> None:
        stripped = notebook(*ANSWERS)
        for name, cell in zip(("lab02-cell-000", "lab02-place"), stripped["cells"], strict=True):
            cell |= {"metadata": {}, "id": name}
        reading = read_notebook(json.dumps(stripped).encode(), "lab02", ANSWERS)
        assert (
            reading.remark == "without nbgrader's metadata; its exercises are known by their ids; without lab02-holding"
        )

    def test_one_whose_metadata_and_ids_are_lost_by_three_cells_that_nobody_changes(self) -> None:
        stripped = notebook(*"abcd")
        for text, cell in zip(("One.", "Two.\n", ["Three", "."], "changed"), stripped["cells"], strict=True):
            cell |= {"metadata": {}, "source": text}
        texts = ("One.", "Two.", "Three.", "Four.", "Five.")
        reading = read_notebook(json.dumps(stripped).encode(), "lab02", ANSWERS, texts)
        assert reading.remark == "without nbgrader's metadata; its exercises are known by the cells around them"
        stripped["cells"][0]["source"] = "changed"
        reading = read_notebook(json.dumps(stripped).encode(), "lab02", ANSWERS, texts)
        assert reading.problem == "wrong notebook: it has no exercise of lab02"


class TestRefuses:
    def test_another_lab_and_says_which(self) -> None:
        assert problem(dumped("lab03-plate", "lab03-trip")) == "wrong lab: it is lab03"

    def test_a_notebook_without_exercises(self) -> None:
        assert problem(dumped()) == "wrong notebook: it has no exercise of lab02"

    @pytest.mark.parametrize(
        ("data", "told"),
        [
            (b"", "empty file"),
            (b"\xff\x00a", "not UTF-8 (byte 0 of 3); another program has changed it"),
            (
                dumped(*ANSWERS)[:-20],
                "(it ends too soon: not all of it was uploaded)",
            ),
            (b'{"cells": [}', "damaged: no JSON at line 1, expecting value"),
            (b"[" * 100_000, "damaged: nested too deeply"),
            (b"[1]", "JSON, but no notebook"),
            (b'{"nbformat": 5}', "notebook of format 5; the newest that is read is 4"),
            (b'{"nbformat": 4, "cells": 3}', "damaged: a notebook without cells"),
            (b'{"nbformat": 4, "cells": [3]}', "damaged: a notebook without cells"),
            (b'{"nbformat": 3, "worksheets": 3}', "cannot be upgraded"),
            (b"PK\3\4", "damaged: no JSON at line 1"),
        ],
    )
    def test_damaged_files_with_the_reason(self, data: bytes, told: str) -> None:
        assert told in problem(data)

    def test_no_odd_metadata_whatever_it_is(self) -> None:
        data = json.loads(dumped(*ANSWERS))
        data["metadata"] = []
        data["cells"] += [
            {"metadata": {"nbgrader": 3}},
            {"metadata": None},
            {"metadata": {"nbgrader": {"grade_id": []}}},
        ]
        assert read_notebook(json.dumps(data).encode(), "lab02", ANSWERS).text is not None
