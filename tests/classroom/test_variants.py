from pathlib import Path

import nbformat
import pytest

from rungbook import LadderError
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import Lab, find_lab
from rungbook.classroom.samples import load_samples
from rungbook.classroom.variants import build_variant, load_pools, read_secret, variant_of
from rungbook.grading.variants import Variant

ROOT = Path(__file__).parents[2]
HOLDING = find_lab(ROOT, "lab02")
SECRET = b"a secret of this test"
SWAPPED = Variant("0123456789ab", {"S1": "S2", "S2": "S1", "Q1": "Q3"})


def lab_with(tmp_path: Path, variants: str | None) -> Lab:
    lab = Lab(tmp_path, "lab07-small")
    lab.source.parent.mkdir(parents=True)
    lab.source.write_text("S1 and S2", encoding="utf-8")
    if variants is not None:
        lab.variants.write_text(variants, encoding="utf-8")
    return lab


class TestLoadPools:
    @pytest.mark.parametrize(
        ("text", "rule"),
        [
            (None, r"has no variants\.toml beside its source"),
            ("[[pool]\n", "is no TOML"),
            ('[[pool]]\nwords = ["S1"]\nbecome = ["S1", "S2"]\n', "stands in the lab for something else. Given: 'S2'"),
            ('[[pool]]\nwords = ["S5"]\nbecome = ["S5", "S6"]\n', "no such whole word in the lab. Given: 'S5'"),
        ],
    )
    def test_a_faulty_file_is_refused(self, tmp_path: Path, text: str | None, rule: str) -> None:
        with pytest.raises(LadderError, match=f"lab07-small.*{rule}"):
            load_pools(lab_with(tmp_path, text))

    def test_sample_answers_are_looked_at_too(self, tmp_path: Path) -> None:
        lab = lab_with(tmp_path, '[[pool]]\nwords = ["S1"]\nbecome = ["S1", "S3"]\n')
        assert len(load_pools(lab)) == 1
        lab.samples.write_text("# S3\n", encoding="utf-8")
        with pytest.raises(LadderError, match=r"something else\. Given: 'S3'"):
            load_pools(lab)


class TestBuildVariant:
    def test_both_notebooks_have_the_new_words_and_the_variants_name(self, tmp_path: Path) -> None:
        instructor, released, sheet = build_variant(HOLDING, SWAPPED, tmp_path / "alder")
        assert [str(path.relative_to(tmp_path)) for path in (instructor, released)] == [
            "alder/solutions/lab02-holding-circuit/lab02.ipynb",
            "alder/course/lab02-holding-circuit/lab02.ipynb",
        ]
        books = [nbformat.read(path, as_version=4) for path in (instructor, released)]
        for book in books:
            assert book.metadata.rungbook == {"lab": "lab02-holding-circuit", "variant": "0123456789ab"}
        whole, given = ("\n".join(cell.source for cell in book.cells) for book in books)
        assert 'NC("S2") & (NO("S1") | NO("Q3", "13-14"))' in whole
        assert "* **S1** (start, normally open) makes **Q3** pull in." in given
        assert "HIDDEN TESTS" not in given
        assert "<td>S1 start</td>" in sheet.read_text(encoding="utf-8")
        assert [cell["id"] for cell in books[1].cells] == [cell["id"] for cell in instructor_notebook(HOLDING).cells]

    def test_nothing_in_a_folder_that_holds_something_is_touched(self, tmp_path: Path) -> None:
        (tmp_path / "mine").write_text("x")
        with pytest.raises(LadderError, match="must be new or empty"):
            build_variant(HOLDING, SWAPPED, tmp_path)
        assert [path.name for path in tmp_path.iterdir()] == ["mine"]

    def test_samples_follow(self) -> None:
        (hazel,) = [sample for sample in load_samples(HOLDING, SWAPPED) if sample.student == "hazel"]
        assert 'NC("S1") & (NO("S2") | NO("Q3"))' in hazel.answers["lab02-holding"]
        assert hazel.says["lab02-holding-marks"].startswith("Press S1. Q3 stays out. Expected: Q3 pulls in.")


class TestVariantOf:
    def test_the_same_student_gets_the_same_variant_and_others_get_others(self) -> None:
        assert variant_of(HOLDING, "alder", SECRET) == variant_of(HOLDING, "alder", SECRET)
        assert len({variant_of(HOLDING, f"student {n}", SECRET).name for n in range(10)}) > 5


def test_a_secret_is_read_without_its_line_end(tmp_path: Path) -> None:
    (tmp_path / "secret").write_bytes(b"a secret of this test\n")
    assert read_secret(tmp_path / "secret") == SECRET
    with pytest.raises(LadderError, match="cannot be read: No such file"):
        read_secret(tmp_path / "missing")
