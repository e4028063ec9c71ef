"""Downloads that lead out of their place, fill the disk or hide whose they are; then the marks of what was taken."""

import json
import stat
import zipfile
from pathlib import Path

import pytest

from classroom.small_class import NAME, Class, notebook
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.collecting.collect import Entry, collect
from rungbook.classroom.folder import open_class
from rungbook.classroom.marking.engine import How

STUDENTS = ("alder", "birch", "cedar", "elder", "hazel", "larch", "maple", "o'neil", "rowan")
LONG = f"maple_{'n' * 243}.ipynb"  # 255 characters
TURNED = "hazel_\u202ebynpi.70bal.ipynb"
WHERE = "path that leads out of its zip, not taken"


def entry(name: str, mode: int = 0o100644) -> zipfile.ZipInfo:
    made = zipfile.ZipInfo(name, (2026, 9, 17, 9, 0, 0))
    made.external_attr = mode << 16
    made.compress_type = zipfile.ZIP_DEFLATED
    return made


def pack(path: Path, files: dict[zipfile.ZipInfo, bytes]) -> bytes:
    with zipfile.ZipFile(path, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return path.read_bytes()


def downloads(folder: Path, right: bytes) -> None:
    """All of it, in one folder."""
    folder.mkdir()
    paths = (
        "../../alder/lab07.ipynb",
        "/tmp/alder/lab07.ipynb",
        "C:\\alder\\lab07.ipynb",
        "..\\..\\alder\\lab07.ipynb",
    )
    out = {entry(path): right for path in paths}
    pack(folder / "leads-out.zip", out | {entry("alder/link.ipynb", stat.S_IFLNK | 0o777): b"/etc/passwd"})
    pack(folder / "bomb.zip", {entry("birch/lab07.ipynb"): b" " * (191 << 20), entry("rowan/lab07.ipynb"): right})
    nested = right
    for depth in range(6):
        nested = pack(folder / "nested.zip", {entry("birch/lab07.ipynb" if depth == 0 else "birch/more.zip"): nested})
    whole = pack(folder / "cut-off.zip", {entry("birch/lab07.ipynb"): right})
    (folder / "cut-off.zip").write_bytes(whole[: len(whole) // 2])
    pack(
        folder / "names.zip",
        {entry("cedar/my lab 07 (final) $(id) '; --.ipynb"): right, entry('o\'neil/"lab07".ipynb'): right},
    )
    (folder / TURNED).write_bytes(right)
    (folder / LONG).write_bytes(right)
    (folder / "elder_lab07.ipynb").write_bytes(right[:-40])
    (folder / "larch_lab07.ipynb").symlink_to("/etc/passwd")


@pytest.fixture(scope="module", name="made")
def _made(walls: None, tmp_path_factory: pytest.TempPathFactory) -> tuple[Class, dict[str, Entry], Path]:
    root = tmp_path_factory.mktemp("downloads")
    place = Class(root)
    with open_class(place.folder).gradebook as gradebook:
        for student in STUDENTS:
            gradebook.add_student(student)
    downloads(root / "in", json.dumps(notebook(place.lab)).encode())
    folder = ClassFolder(place.folder)
    done = collect(folder, folder.lab(NAME), root / "in")
    place.mark(How(workers=1, progress=False))
    return place, {f"{one.place} {n}": one for n, one in enumerate(done.entries)}, root


def outcome(entries: dict[str, Entry], start: str) -> list[tuple[str, str]]:
    return [(one.outcome, one.remark) for place, one in entries.items() if place.startswith(start)]


class TestOutcomes:
    def test_no_path_leads_out_of_its_zip(self, made) -> None:
        _, entries, root = made
        assert sorted(outcome(entries, "leads-out.zip/")) == [
            ("not usable", WHERE),
            ("not usable", WHERE),
            ("not usable", WHERE),
            ("not usable", "symbolic link in a zip, not followed"),
        ]
        assert sorted(path.name for path in root.iterdir()) == ["class", "course", "in"]

    def test_a_file_that_unpacks_to_too_much_is_not_taken_and_its_neighbour_is(self, made) -> None:
        _, entries, _ = made
        assert outcome(entries, "bomb.zip/birch") == [("not usable", "more than 190 MiB when unpacked, not taken")]
        assert outcome(entries, "bomb.zip/rowan") == [("taken", "")]

    def test_zips_in_zips_end(self, made) -> None:
        _, entries, _ = made
        assert outcome(entries, "nested.zip/") == [("not usable", "zip in zip in zip, more than 4 deep, not opened")]

    def test_what_is_damaged_says_so(self, made) -> None:
        _, entries, _ = made
        assert outcome(entries, "cut-off.zip")[0][1].startswith("damaged zip")
        assert "it ends too soon" in outcome(entries, "elder_lab07.ipynb")[0][1]
        assert outcome(entries, "larch_lab07.ipynb") == [("not usable", "symbolic link, not followed")]

    def test_names_of_every_kind_are_read_and_shown_so_that_they_hide_nothing(self, made) -> None:
        _, entries, _ = made
        assert outcome(entries, "names.zip/") == [("taken", ""), ("taken", "")]
        assert outcome(entries, "hazel_\\u202ebynpi.70bal.ipynb") == [("taken", "")]
        assert outcome(entries, LONG) == [("taken", "")]


def test_who_was_taken_has_the_marks_and_nobody_else_has_any(made) -> None:
    place, _, _ = made
    taken = ["cedar", "hazel", "maple", "o'neil", "rowan"]
    assert sorted(path.name for path in (place.folder / "submitted").iterdir()) == taken
    with open_class(place.folder).gradebook as gradebook:
        assert {one.student.id: one.score for one in gradebook.assignment_submissions(NAME)} == dict.fromkeys(taken, 80)
        assert sorted(one.id for one in gradebook.students) == sorted(STUDENTS)
