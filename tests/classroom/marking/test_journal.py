"""The log is read as far as it was written."""

from pathlib import Path

from rungbook.classroom.marking.journal import Journal, fingerprint


def test_the_last_line_of_a_student_counts(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "marking" / "lab.jsonl")
    journal.add([{"student": "a", "fingerprint": "1"}, {"student": "b", "fingerprint": "2"}])
    journal.add([{"student": "a", "fingerprint": "3"}])
    assert {student: entry["fingerprint"] for student, entry in journal.done().items()} == {"a": "3", "b": "2"}


def test_a_line_that_was_cut_off_is_passed_over_and_does_not_spoil_the_next(tmp_path: Path) -> None:
    journal = Journal(tmp_path / "lab.jsonl")
    journal.add([{"student": "a", "fingerprint": "1"}])
    with journal.path.open("a", encoding="utf-8") as file:
        file.write('{"student": "b", "finge')
    journal.add([{"student": "c", "fingerprint": "3"}])
    assert sorted(journal.done()) == ["a", "c"]


def test_the_fingerprint_changes_with_everything_that_a_mark_hangs_on() -> None:
    first = fingerprint("lab", b"work", {"a.txt": b"1"})
    assert first == fingerprint("lab", b"work", {"a.txt": b"1"})
    others = [
        fingerprint("lab 2", b"work", {"a.txt": b"1"}),
        fingerprint("lab", b"work 2", {"a.txt": b"1"}),
        fingerprint("lab", None, {"a.txt": b"1"}),
        fingerprint("lab", b"work", {"a.txt": b"2"}),
        fingerprint("lab", b"work", {}),
    ]
    assert len({first, *others}) == 6
