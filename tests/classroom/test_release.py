import json
import stat
import zipfile
from pathlib import Path

import nbformat
import pytest

from classroom.class_kit import SAMPLES, copied, everything, new_class, rungbook, work
from labs.harness import marks
from rungbook import LadderError
from rungbook.classroom.class_folder import ClassFolder, make_secret
from rungbook.classroom.release import variant_name
from rungbook.classroom.samples import hand_in, load_samples

NAME = "lab02-holding-circuit"


@pytest.fixture(scope="module", name="made")
def _made(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    return new_class(tmp_path_factory.mktemp("release") / "class", "02")


@pytest.fixture(scope="module", name="alike")
def _alike(made: ClassFolder) -> ClassFolder:
    place = copied(made, made.root.parent / "alike")
    status, told, problem = rungbook("class", "release", "lab02", "--class", place.root)
    assert status == 0, problem
    assert told.splitlines()[0] == f"{NAME}: released to 6 students, 6 of them new; the same for all"
    return place


@pytest.fixture(scope="module", name="varied")
def _varied(made: ClassFolder) -> ClassFolder:
    place = copied(made, made.root.parent / "varied")
    (place.root / "variants.secret").write_text("a secret of this test\n")
    (place.root / "variants.secret").chmod(0o600)
    status, _, problem = rungbook("class", "release", "lab02", "--variants", cwd=place.root)
    assert status == 0, problem
    return place


class TestAlike:
    def test_everyone_gets_the_notebook_that_nbgrader_released_and_the_bench_sheet(self, alike: ClassFolder) -> None:
        released = alike.root / "release" / NAME
        for name in (f"{NAME}.zip", "students/alder.zip", "students/larch.zip"):
            with zipfile.ZipFile(alike.root / "handouts" / NAME / name) as archive:
                assert sorted(archive.namelist()) == [f"{NAME}/bench-sheet.html", f"{NAME}/lab02.ipynb"]
                for entry in archive.namelist():
                    assert archive.read(entry) == (released / Path(entry).name).read_bytes()
        assert "HIDDEN" not in (released / "lab02.ipynb").read_text()

    def test_plain_nbgrader_marks_it(self, alike: ClassFolder, tmp_path: Path) -> None:
        place = copied(alike, tmp_path / "class")
        path = place.root / "submitted" / "cedar" / NAME / "lab02.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(work(SAMPLES["cedar"], (place.root / "release" / NAME / "lab02.ipynb").read_text()))
        api = place.api()
        assert api.autograde(NAME, "cedar")["success"]
        with api.gradebook as gradebook:
            assert gradebook.find_submission(NAME, "cedar").score == 72

    def test_a_second_run_changes_nothing(self, alike: ClassFolder) -> None:
        before = everything(alike.root)
        assert "0 of them new" in rungbook("class", "release", "lab02", cwd=alike.root)[1]
        assert everything(alike.root) == before

    def test_goes_over_to_variants_only_if_told_so(self, alike: ClassFolder) -> None:
        status, _, problem = rungbook("class", "release", "lab02", "--variants", cwd=alike.root)
        assert status == 2
        assert "--again releases it anew, in variants" in problem
        assert not alike.secret.exists()

    def test_of_a_lab_that_the_class_lacks_is_refused(self, alike: ClassFolder) -> None:
        status, _, problem = rungbook("class", "release", "lab03", cwd=alike.root)
        assert (status, problem) == (
            2,
            f"rungbook class release: Lab: no such lab in this class. Given: 'lab03'. Choices: {NAME}.\n",
        )


class TestVaried:
    def test_students_get_different_labs_and_the_record_tells_which(self, varied: ClassFolder) -> None:
        lab = varied.lab("lab02")
        variants = varied.variants(lab)
        assert set(variants) == {"alder", "birch", "cedar", "elder", "hazel", "larch"}
        assert len({variant.name for variant in variants.values()}) == 6
        for student, variant in variants.items():
            with zipfile.ZipFile(varied.root / "handouts" / NAME / "students" / f"{student}.zip") as archive:
                text = archive.read(f"{NAME}/lab02.ipynb").decode()
            assert variant_name(text) == variant.name
            assert text == (varied.root / "release" / student / NAME / "lab02.ipynb").read_text()

    def test_each_is_marked_by_the_source_in_the_same_words(self, varied: ClassFolder) -> None:
        lab = varied.lab("lab02")
        variant = varied.variants(lab)["cedar"]
        source = varied.source_notebook(lab, "cedar")
        assert source.metadata["rungbook"]["variant"] == variant.name
        sample = next(one for one in load_samples(lab, variant) if one.student == "alder")
        result = marks(hand_in(lab, sample, variant), source)
        assert sum(one.points for one in result.values()) == 85

    def test_secret_and_record_are_for_the_owner_alone(self, varied: ClassFolder) -> None:
        for path in (varied.secret, varied.record(varied.lab("lab02"))):
            assert stat.S_IMODE(path.stat().st_mode) == 0o600

    def test_one_who_joins_gets_a_variant_and_the_others_keep_theirs(self, varied: ClassFolder, tmp_path: Path) -> None:
        place = copied(varied, tmp_path / "class")
        before = everything(place.root / "release")
        (tmp_path / "late.csv").write_text("id\nyew\n")
        rungbook("class", "students", tmp_path / "late.csv", cwd=place.root)
        # what is varied of the source has changed since
        pools = place.lab("lab02").variants
        pools.write_text(pools.read_text().replace('"Q1", "Q2", "Q3"', '"Q1", "Q2"'))
        assert "1 of them new" in rungbook("class", "release", "lab02", cwd=place.root)[1]
        after = everything(place.root / "release")
        assert {name: after[name] for name in before} == before
        assert {name.split("/")[0] for name in set(after) - set(before)} == {"yew"}
        assert variant_name(after[f"yew/{NAME}/lab02.ipynb"].decode()) == place.variants(place.lab("lab02"))["yew"].name

    def test_what_is_lost_on_the_way_is_made_again_to_the_byte(self, varied: ClassFolder, tmp_path: Path) -> None:
        place = copied(varied, tmp_path / "class")
        before = everything(place.root / "handouts")
        (place.root / "handouts" / NAME / "students" / "elder.zip").unlink()
        (place.root / "handouts" / NAME / f"{NAME}.zip").unlink()
        assert rungbook("class", "release", "lab02", cwd=place.root)[0] == 0
        assert everything(place.root / "handouts") == before

    def test_a_student_without_a_variant_cannot_be_marked(self, varied: ClassFolder) -> None:
        with pytest.raises(LadderError, match="no variant of lab02-holding-circuit was released to this student"):
            varied.source_notebook(varied.lab("lab02"), "yew")


class TestSecret:
    def test_is_made_at_random(self, tmp_path: Path) -> None:
        one, other = make_secret(tmp_path / "one"), make_secret(tmp_path / "other")
        assert one != other
        assert len(one) == 64
        assert make_secret(tmp_path / "one") == one

    def test_that_others_can_read_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "secret").write_text("a secret of this test")
        (tmp_path / "secret").chmod(0o644)
        with pytest.raises(LadderError, match=r"others can read it; run: chmod 600 .*secret\. Given: '0o644'"):
            make_secret(tmp_path / "secret")


def test_a_notebook_that_says_nothing_of_a_variant_has_no_name() -> None:
    assert variant_name("[") is None
    assert variant_name(json.dumps({"metadata": {"rungbook": []}})) is None
    assert variant_name(nbformat.writes(nbformat.v4.new_notebook())) is None
