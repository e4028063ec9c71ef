"""Downloads as they come, and as somebody with bad intentions makes them."""

import io
import os
import stat
import zipfile
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from rungbook import LadderError
from rungbook.classroom.collecting import finds
from rungbook.classroom.collecting.finds import Found, find_files, is_fragment, shown


def zipped(files: dict[str, bytes], **how: object) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name, (2026, 9, 11, 20, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return buffer.getvalue()


def found(given: Path) -> dict[str, Found]:
    return {one.place: one for one in find_files(given, UTC)}


class TestFolder:
    def test_gives_each_file_with_its_path_content_and_time(self, tmp_path: Path) -> None:
        (tmp_path / "Alder Ina_123").mkdir()
        path = tmp_path / "Alder Ina_123" / "lab02 [final] (2).ipynb"
        path.write_bytes(b"{}")
        os.utime(path, (1789000000, 1789000000))
        time = datetime(2026, 9, 10, 0, 26, 40, tzinfo=UTC)
        assert list(find_files(tmp_path, UTC)) == [
            Found(("Alder Ina_123", "lab02 [final] (2).ipynb"), b"{}", "", time, "file")
        ]

    def test_links_and_pipes_are_told_and_not_followed(self, tmp_path: Path) -> None:
        (tmp_path / "secret").mkdir()
        (tmp_path / "secret" / "lab02.ipynb").write_text("not to be read")
        given = tmp_path / "in"
        given.mkdir()
        (given / "a.ipynb").symlink_to(tmp_path / "secret" / "lab02.ipynb")
        (given / "b").symlink_to(tmp_path / "secret")
        os.mkfifo(given / "c.ipynb")
        told = found(given)
        assert {place: (one.data, one.problem) for place, one in told.items()} == {
            "a.ipynb": (None, "symbolic link, not followed"),
            "b": (None, "symbolic link, not followed"),
            "c.ipynb": (None, "no regular file, not opened"),
        }

    def test_a_large_file_is_not_read(self, tmp_path: Path) -> None:
        with (tmp_path / "a.ipynb").open("wb") as file:
            file.truncate(finds.MOST_FILE + 1)
        assert found(tmp_path)["a.ipynb"].problem == "larger than 190 MiB, not read"

    def test_names_of_255_bytes_of_any_script_and_no_utf8_at_all(self, tmp_path: Path) -> None:
        names = ["x" * 249 + ".ipynb", "ברוש שרה.ipynb", "a\u202ebpyni.ipynb"]
        for name in names:
            (tmp_path / name).write_bytes(b"1")
        Path(os.fsdecode(os.fsencode(tmp_path) + b"/\xff.ipynb")).write_bytes(b"1")
        assert set(found(tmp_path)) == {names[0], names[1], "a\\u202ebpyni.ipynb", "\\udcff.ipynb"}

    def test_a_link_or_nothing_at_all_is_refused(self, tmp_path: Path) -> None:
        (tmp_path / "link").symlink_to(tmp_path)
        with pytest.raises(LadderError, match="a symbolic link is not followed"):
            list(find_files(tmp_path / "link", UTC))
        with pytest.raises(LadderError, match="no such folder or file"):
            list(find_files(tmp_path / "none", UTC))


class TestZip:
    def test_stands_as_a_folder_and_so_does_one_in_it(self, tmp_path: Path) -> None:
        (tmp_path / "all.zip").write_bytes(zipped({"alder.zip": zipped({"w/lab02.ipynb": b"{}"}), "b.txt": b"b"}))
        told = list(find_files(tmp_path / "all.zip", ZoneInfo("Europe/Berlin")))
        time = datetime(2026, 9, 11, 18, 0, tzinfo=UTC)  # 20:00 in the class's zone, in summer
        assert told == [
            Found(("all.zip", "alder.zip", "w", "lab02.ipynb"), b"{}", "", time, "zip"),
            Found(("all.zip", "b.txt"), b"b", "", time, "zip"),
        ]

    def test_paths_that_lead_out_are_told_and_write_nothing(self, tmp_path: Path) -> None:
        given = tmp_path / "in"
        given.mkdir()
        names = ["../../out.ipynb", "/etc/out.ipynb", "a\\..\\..\\out.ipynb", "C:/out.ipynb"]
        (given / "z.zip").write_bytes(zipped(dict.fromkeys(names, b"{}")))
        told = list(find_files(given, UTC))
        assert {one.problem for one in told} == {"path that leads out of its zip, not taken"}
        assert len(told) == 4
        assert [path.name for path in tmp_path.iterdir()] == ["in"]

    def test_a_link_in_it_is_not_followed(self, tmp_path: Path) -> None:
        with zipfile.ZipFile(tmp_path / "z.zip", "w") as archive:
            entry = zipfile.ZipInfo("lab02.ipynb")
            entry.external_attr = (stat.S_IFLNK | 0o777) << 16
            archive.writestr(entry, "/etc/passwd")
        assert found(tmp_path)["z.zip/lab02.ipynb"].problem == "symbolic link in a zip, not followed"

    def test_a_bomb_is_stopped_at_the_limit_whatever_it_says_of_its_size(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(finds, "MOST_FILE", 1 << 20)
        data = bytearray(zipped({"a.ipynb": bytes(50 << 20), "b.ipynb": b"{}"}))
        (tmp_path / "z.zip").write_bytes(data)
        told = found(tmp_path)
        assert told["z.zip/a.ipynb"].data is None
        assert told["z.zip/a.ipynb"].problem == "more than 1 MiB when unpacked, not taken"
        assert told["z.zip/b.ipynb"].data == b"{}"

    def test_what_is_unpacked_is_bounded_in_all(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(finds._Budget.__init__, "__defaults__", (2500, 9))
        (tmp_path / "z.zip").write_bytes(zipped({f"{n}.ipynb": bytes(1000) for n in range(6)}))
        told = found(tmp_path)
        assert [place for place, one in told.items() if one.data is not None] == ["z.zip/0.ipynb", "z.zip/1.ipynb"]
        assert told["z.zip/2.ipynb"].problem == "more than is left of 2 GiB for all when unpacked, not taken"
        assert told["z.zip"].problem == "more than 2 GiB in zips; 3.ipynb and later ones not read"

    def test_zips_in_zips_end_somewhere(self, tmp_path: Path) -> None:
        data = zipped({"lab02.ipynb": b"{}"})
        for _ in range(10):
            data = zipped({"a.zip": data})
        (tmp_path / "z.zip").write_bytes(data)
        (one,) = find_files(tmp_path, UTC)
        assert one.problem == "zip in zip in zip, more than 4 deep, not opened"

    def test_damaged_and_encrypted_ones_are_told(self, tmp_path: Path) -> None:
        whole = zipped({"lab02.ipynb": b"[1, 2, 3, 4, 5, 6, 7, 8]" * 40})
        (tmp_path / "a.zip").write_bytes(whole[:100])
        spoilt = bytearray(whole)
        spoilt[50:60] = b"\xff" * 10
        (tmp_path / "b.zip").write_bytes(spoilt)
        locked = bytearray(zipped({"lab02.ipynb": b"{}"}))
        locked[6] |= 1
        locked[locked.index(b"PK\1\2") + 8] |= 1
        (tmp_path / "c.zip").write_bytes(locked)
        told = found(tmp_path)
        assert told["a.zip"].problem.startswith("damaged zip: ")
        assert told["b.zip/lab02.ipynb"].problem.startswith("damaged in its zip: ")
        assert told["c.zip/lab02.ipynb"].problem == "encrypted in its zip, cannot be read"

    def test_names_not_marked_as_utf8_are_read_as_such_if_they_are(self, tmp_path: Path) -> None:
        data = bytearray(zipped({"Elé.ipynb": b"{}"}))
        for start in (data.index(b"PK\3\4") + 6, data.index(b"PK\1\2") + 8):
            data[start + 1] &= ~0x08
        (tmp_path / "z.zip").write_bytes(data)
        assert set(found(tmp_path)) == {"z.zip/Elé.ipynb"}


def test_what_systems_leave_behind_is_known() -> None:
    assert is_fragment(("a.zip", "__MACOSX", "lab02.ipynb"))
    assert is_fragment(("._lab02.ipynb",))
    assert is_fragment((".DS_Store",))
    assert not is_fragment(("lab02.ipynb",))


def test_a_backslash_is_shown_as_its_number_so_that_no_two_names_look_alike() -> None:
    assert shown("a\\u0007") != shown("a\u0007") == "a\\u0007"
