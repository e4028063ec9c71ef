"""A folder of downloads as they come, from the command to nbgrader's folders."""

import json
import os
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pytest

from classroom.class_kit import SAMPLES, copied, everything, new_class, rungbook, work
from rungbook import LadderError
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.collecting.collect import Entry, collect

NAME = "lab02-holding-circuit"
IN_TIME = datetime(2026, 9, 17, 12, 0, tzinfo=UTC)  # due 2026-09-18 23:59


@pytest.fixture(scope="module", name="ready")
def _ready(tmp_path_factory: pytest.TempPathFactory) -> ClassFolder:
    place = new_class(tmp_path_factory.mktemp("collect") / "class")
    assert rungbook("class", "release", "lab02", "--class", place.root)[0] == 0
    return place


@pytest.fixture(name="place")
def _place(ready: ClassFolder, tmp_path: Path) -> ClassFolder:
    return copied(ready, tmp_path / "class")


@pytest.fixture(name="given")
def _given(tmp_path: Path) -> Path:
    (tmp_path / "in").mkdir()
    return tmp_path / "in"


def released(place: ClassFolder) -> str:
    return (place.root / "release" / NAME / "lab02.ipynb").read_text(encoding="utf-8")


def put(path: Path, text: str | bytes, time: datetime = IN_TIME) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    os.utime(path, (time.timestamp(), time.timestamp()))


def run(place: ClassFolder, given: Path, **how: object) -> dict[str, Entry]:
    done = collect(place, place.lab("lab02"), given, **how)  # type: ignore[arg-type]
    return {one.place: one for one in done.entries}


def submitted(place: ClassFolder) -> dict[str, str]:
    """student -> text of what is submitted."""
    found = place.root.glob(f"submitted/*/{NAME}/lab02.ipynb")
    return {path.parent.parent.name: path.read_text(encoding="utf-8") for path in found}


def outcomes(entries: dict[str, Entry]) -> dict[str, tuple[str, str]]:
    return {place: (one.outcome, "; ".join(filter(None, (one.remark, one.note)))) for place, one in entries.items()}


class TestAWeeksDownloads:
    """Everything at once, as one table."""

    @pytest.fixture(name="told")
    def _told(self, place: ClassFolder, given: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[int, str]:
        plain = released(place)
        put(given / "Alder Ina_88123_file" / "lab02 [final] (1).ipynb", work(SAMPLES["alder"], plain))
        put(given / "Alder Ina_88123_file" / "lab02 [final] (2).ipynb", work(SAMPLES["birch"], plain))
        put(given / "birch_61204_lab02.ipynb", plain, datetime(2026, 9, 19, 2, 5, tzinfo=UTC))
        put(given / "unknown person_lab02.ipynb", plain)
        put(given / "alder and cedar.ipynb", plain)
        put(given / "cedar_lab02.ipynb", plain.encode()[:-200])
        put(given / "elder" / "lab03.ipynb", (place.root / "source" / "lab03-overload" / "lab03.ipynb").read_bytes())
        put(given / "elder" / "photo.jpg", b"\xff\xd8")
        put(given / "hazel" / ".DS_Store", b"1")
        with zipfile.ZipFile(given / "rest.zip", "w") as archive:
            archive.writestr(zipfile.ZipInfo("larch/lab02.ipynb", (2026, 9, 17, 9, 0, 0)), plain)
            archive.writestr("../../hazel/lab02.ipynb", plain)
        (given / "hazel" / "lab02.ipynb").symlink_to(place.root / "source" / NAME / "lab02.ipynb")
        monkeypatch.setenv("COLUMNS", "200")
        status, told, problem = rungbook("class", "collect", "lab02", given, cwd=place.root)
        assert problem == ""
        return status, told

    def test_is_told_of_file_by_file(self, told: tuple[int, str]) -> None:
        assert told[0] == 1, "files wait for a person"
        lines = [[cell.strip() for cell in line.split("  ") if cell.strip()] for line in told[1].splitlines()]
        assert lines[0] == ["file", "student", "outcome", "handed in", "by", "remark"]
        at = "2026-09-17 12:00"
        assert lines[2:14] == [
            ["Alder Ina_88123_file/lab02 [final] (1).ipynb", "alder", "older, kept", at, "file", "by its number"],
            ["Alder Ina_88123_file/lab02 [final] (2).ipynb", "alder", "taken", at, "file"],
            ["alder and cedar.ipynb", "whose of them?", at, "file", "fits alder, cedar"],
            ["birch_61204_lab02.ipynb", "birch", "taken", "2026-09-19 02:05", "file", "late by 2 h 6 min"],
            ["cedar_lab02.ipynb", "cedar", "not usable", at, "file", lines[6][-1]],
            ["elder/lab03.ipynb", "elder", "not usable", at, "file", "wrong lab: it is lab03"],
            ["elder/photo.jpg", "elder", "not usable", at, "file", "wrong file: no notebook"],
            ["hazel/.DS_Store", "left", "not a student's: left by a system"],
            ["hazel/lab02.ipynb", "hazel", "not usable", "symbolic link, not followed"],
            ["rest.zip/../../hazel/lab02.ipynb", "hazel", "not usable", "path that leads out of its zip, not taken"],
            ["rest.zip/larch/lab02.ipynb", "larch", "taken", "2026-09-17 09:00", "zip"],
            ["unknown person_lab02.ipynb", "whose?", at, "file", "no student of the class in its path"],
        ]
        assert "damaged: no JSON" in lines[6][-1]

    def test_ends_with_who_is_missing(self, told: tuple[int, str]) -> None:
        end = told[1].splitlines()[-3:]
        assert end[0] == (
            f"{NAME}: 12 files, 3 taken, 1 left by systems, 7 wait for you; "
            "3 students have handed in so far, 1 of them late"
        )
        assert end[1] == "not handed in: cedar (Mara Cedar), elder (Jon Elder), hazel (Lea Hazel)"
        assert end[2].startswith("whose is it? Copy ")

    def test_stands_where_nbgrader_looks_and_is_marked_by_it_as_late(
        self, told: tuple[int, str], place: ClassFolder
    ) -> None:
        assert set(submitted(place)) == {"alder", "birch", "larch"}
        assert submitted(place)["alder"] == work(SAMPLES["birch"], released(place))
        api = place.api()
        assert api.autograde(NAME, "birch")["success"]
        with api.gradebook as gradebook:
            assert gradebook.find_submission(NAME, "birch").total_seconds_late == 2 * 3600 + 6 * 60

    def test_is_kept_to_the_byte_and_listed(self, told: tuple[int, str], place: ClassFolder, given: Path) -> None:
        files = json.loads((place.root / "collected" / NAME / "manifest.json").read_text())["files"]
        assert len(files) == 12
        kept = {path.read_bytes() for path in (place.root / "collected" / NAME / "files").iterdir()}
        notebooks = [path for path in given.rglob("*.ipynb") if not path.is_symlink()]
        assert all(path.read_bytes() in kept for path in notebooks)
        assert (given / "elder" / "photo.jpg").read_bytes() in kept

    def test_a_second_time_changes_nothing(self, told: tuple[int, str], place: ClassFolder, given: Path) -> None:
        before, downloads = everything(place.root), everything(given)
        assert rungbook("class", "collect", "lab02", given, cwd=place.root)[1] == told[1]
        assert everything(place.root) == before
        assert everything(given) == downloads


class TestLatest:
    def test_is_by_the_time_in_the_name_before_any_number(self, place: ClassFolder, given: Path) -> None:
        put(given / "alder_2026-09-17-10-00-00_lab02 (9).ipynb", work(SAMPLES["alder"], released(place)))
        put(given / "alder_2026-09-17-11-00-00_lab02.ipynb", work(SAMPLES["birch"], released(place)))
        told = outcomes(run(place, given))
        assert told["alder_2026-09-17-10-00-00_lab02 (9).ipynb"] == ("older, kept", "by its time")
        assert told["alder_2026-09-17-11-00-00_lab02.ipynb"] == ("taken", "")
        stamp = place.root / "submitted" / "alder" / NAME / "timestamp.txt"
        assert stamp.read_text() == "2026-09-17 11:00:00 UTC\n"

    def test_is_by_the_files_time_if_names_tell_nothing(self, place: ClassFolder, given: Path) -> None:
        put(given / "a" / "alder.ipynb", work(SAMPLES["alder"], released(place)), datetime(2026, 9, 18, tzinfo=UTC))
        put(given / "b" / "alder.ipynb", work(SAMPLES["birch"], released(place)))
        assert outcomes(run(place, given))["a/alder.ipynb"] == ("taken", "")

    def test_is_not_guessed(self, place: ClassFolder, given: Path) -> None:
        put(given / "a" / "alder.ipynb", work(SAMPLES["alder"], released(place)))
        put(given / "b" / "alder.ipynb", work(SAMPLES["birch"], released(place)))
        told = outcomes(run(place, given))
        assert {one[0] for one in told.values()} == {"which is the latest?"}
        assert submitted(place) == {}
        (given.parent / "map.csv").write_text("file,student\na/alder.ipynb,\n")
        told = outcomes(run(place, given, mapping=given.parent / "map.csv"))
        assert told["a/alder.ipynb"] == ("put aside", "as the map says")
        assert submitted(place) == {"alder": work(SAMPLES["birch"], released(place))}

    def test_counts_over_several_downloads_in_any_order(self, place: ClassFolder, given: Path) -> None:
        put(given / "2" / "alder_v2.ipynb", work(SAMPLES["birch"], released(place)))
        put(given / "1" / "alder_v1.ipynb", work(SAMPLES["alder"], released(place)))
        run(place, given / "2")
        assert outcomes(run(place, given / "1"))["alder_v1.ipynb"] == ("older, kept", "by its number")
        assert submitted(place) == {"alder": work(SAMPLES["birch"], released(place))}

    def test_of_two_alike_is_the_same(self, place: ClassFolder, given: Path) -> None:
        put(given / "a" / "alder.ipynb", released(place))
        put(given / "b" / "alder.ipynb", released(place))
        assert sorted(one[0] for one in outcomes(run(place, given)).values()) == ["same as the one taken", "taken"]

    def test_what_was_put_there_by_hand_is_kept_and_in_the_running(self, place: ClassFolder, given: Path) -> None:
        by_hand = work(SAMPLES["alder"], released(place))
        put(place.root / "submitted" / "alder" / NAME / "lab02.ipynb", by_hand, datetime(2026, 9, 16, tzinfo=UTC))
        put(given / "alder.ipynb", work(SAMPLES["birch"], released(place)))
        run(place, given)
        assert submitted(place) == {"alder": work(SAMPLES["birch"], released(place))}
        kept = {path.read_bytes() for path in (place.root / "collected" / NAME / "files").iterdir()}
        assert by_hand.encode() in kept


class TestMap:
    def test_settles_what_is_not_clear_and_is_remembered(self, place: ClassFolder, given: Path) -> None:
        put(given / "x" / "who.ipynb", released(place))
        assert rungbook("class", "collect", "lab02", given, cwd=place.root)[0] == 1
        sheet = (place.root / "collected" / NAME / "settle.csv").read_text()
        assert sheet.splitlines()[1].startswith("x/who.ipynb,,whose?,")
        (given.parent / "map.csv").write_text(sheet.replace("who.ipynb,,", "who.ipynb,hazel,"))
        settled = rungbook("class", "collect", "lab02", given, "--map", given.parent / "map.csv", cwd=place.root)
        assert settled[0] == 0
        assert set(submitted(place)) == {"hazel"}
        assert rungbook("class", "collect", "lab02", given, cwd=place.root)[0] == 0
        assert set(submitted(place)) == {"hazel"}

    def test_takes_back_what_turned_out_to_be_anothers(self, place: ClassFolder, given: Path) -> None:
        put(given / "hazel.ipynb", released(place))
        run(place, given)
        (given.parent / "map.csv").write_text("file,student\nhazel.ipynb,larch\n")
        run(place, given, mapping=given.parent / "map.csv")
        assert set(submitted(place)) == {"larch"}

    @pytest.mark.parametrize(
        ("text", "told"),
        [
            ("a,b\n", "the first line names the columns file and student"),
            ("file,student\nhazel.ipynb,yew\n", "line 2: no such student in the class"),
            ("file,student\nhazel.ipynb,larch\nhazel.ipynb,elder\n", "line 3: the file has student 'larch' already"),
            ("file,student\nother.ipynb,larch\n", "no such file came in"),
        ],
    )
    def test_with_a_mistake_changes_nothing(self, place: ClassFolder, given: Path, text: str, told: str) -> None:
        put(given / "hazel.ipynb", released(place))
        (given.parent / "map.csv").write_text(text)
        with pytest.raises(LadderError, match=told):
            run(place, given, mapping=given.parent / "map.csv")
        assert submitted(place) == {}


def test_a_variant_of_another_student_is_remarked(ready: ClassFolder, given: Path, tmp_path: Path) -> None:
    place = copied(ready, tmp_path / "class")
    assert rungbook("class", "release", "lab02", "--variants", "--again", cwd=place.root)[0] == 0
    own = (place.root / "release" / "birch" / NAME / "lab02.ipynb").read_bytes()
    put(given / "birch.ipynb", own)
    put(given / "cedar.ipynb", own)
    put(given / "elder.ipynb", released(place))
    told = outcomes(run(place, given))
    assert told["birch.ipynb"] == ("taken", "")
    assert told["cedar.ipynb"] == ("taken", "has the variant of birch")
    assert told["elder.ipynb"] == ("taken", "has not the student's variant")


def test_a_notebook_in_utf16_is_handed_on_in_utf8_and_kept_as_it_came(place: ClassFolder, given: Path) -> None:
    put(given / "alder.ipynb", released(place).encode("utf-16"))
    run(place, given)
    assert submitted(place) == {"alder": released(place)}


def test_times_of_files_count_for_nothing_if_told_so(place: ClassFolder, given: Path) -> None:
    put(given / "alder.ipynb", released(place), datetime(2026, 12, 1, tzinfo=UTC))
    assert outcomes(run(place, given, file_times=False))["alder.ipynb"] == ("taken", "")
    assert not (place.root / "submitted" / "alder" / NAME / "timestamp.txt").exists()


def test_downloads_around_the_class_folder_are_refused(place: ClassFolder) -> None:
    with pytest.raises(LadderError, match="hold the class folder itself"):
        run(place, place.root.parent)
