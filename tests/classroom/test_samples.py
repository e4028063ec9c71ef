from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.labs import Lab, find_lab
from rungbook.classroom.samples import Sample, hand_in, load_samples

ROOT = Path(__file__).parents[2]
HOLDING = find_lab(ROOT, "lab02")


def lab_with(tmp_path: Path, text: str) -> Lab:
    lab = Lab(tmp_path, "lab07-small")
    lab.samples.parent.mkdir(parents=True)
    lab.samples.write_text(text, encoding="utf-8")
    return lab


class TestLoadSamples:
    def test_the_demonstration_has_its_eight(self) -> None:
        assert [sample.work.split(",")[0] for sample in load_samples(HOLDING) if sample.demo] == [
            "right",
            "right",
            "no holding contact",
            "stop wired normally open",
            "start and stop exchanged",
            "overload contact missing",
            "a syntax error in the holding circuit",
            "nothing handed in but the empty notebook",
        ]

    @pytest.mark.parametrize(
        ("text", "rule"),
        [
            ('[[sample]]\nstudent = "a"\nname = "A"\n', "unknown or missing key.*work"),
            ('[[sample]]\nstudent = "a"\nname = "A"\nwork = "w"\nmark = 3\n', "unknown or missing key.*mark"),
            ('[[sample]]\nstudent = "a"\nname = "A"\nwork = "w"\nothers = "half"\n', "half"),
            ('[[sample]]\nstudent = "a"\nname = "A"\nwork = "w"\n' * 2, "one student, one sample"),
        ],
    )
    def test_refuses_a_faulty_file(self, tmp_path: Path, text: str, rule: str) -> None:
        with pytest.raises(LadderError, match=rule):
            load_samples(lab_with(tmp_path, text))


class TestHandIn:
    def test_fills_the_cells_listed_and_leaves_the_others_blank(self) -> None:
        sample = Sample("a", "A B", "w", others="blank", answers={"lab02-holding": "holding = 1\n"})
        cells = {cell["id"]: cell.source for cell in hand_in(HOLDING, sample).cells}
        assert cells["lab02-holding"] == "holding = 1"
        assert "# YOUR WORK HERE" in cells["lab02-emergency"]

    def test_carries_no_mark_of_the_instructor(self) -> None:
        sample = Sample("a", "A B", "w")
        assert not any("### " in cell.source and "SOLUTION" in cell.source for cell in hand_in(HOLDING, sample).cells)

    def test_refuses_an_answer_to_a_cell_that_is_not_there(self) -> None:
        with pytest.raises(LadderError, match="no such answer cell") as caught:
            hand_in(HOLDING, Sample("a", "A B", "w", answers={"lab02-hodling": ""}))
        assert "lab02-holding" in caught.value.choices
