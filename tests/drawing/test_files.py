"""Files as they end: what is in them, and what is left when they cannot be made."""

from __future__ import annotations

import stat
import time
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from rungbook import LadderError, draw
from rungbook.drawing import files

from .pdf import Pdf
from .strategies import NAMED

PICTURE = draw(NAMED["holding"]())


def _browser(folder: Path, script: str) -> str:
    path = folder / "browser"
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


@pytest.mark.usefixtures("chromium")
def test_a_png_has_the_size_of_the_picture_times_the_scale(tmp_path: Path) -> None:
    path = PICTURE.save(tmp_path / "pump.PNG", scale=2)
    image = Image.open(BytesIO(path.read_bytes()))
    assert image.size == tuple(2 * side for side in PICTURE.size)
    ink = image.convert("L").point(lambda grey: 255 if grey < 128 else 0).getbbox()
    assert ink is not None
    left, top, right, bottom = (side / 2 for side in ink)
    assert left >= 13
    assert top >= 13
    assert right <= PICTURE.size[0] - 5
    assert PICTURE.size[1] - 30 <= bottom <= PICTURE.size[1] - 10  # to the last line of the legend


@pytest.mark.usefixtures("chromium")
def test_a_pdf_has_one_page_as_large_as_the_picture_and_text_to_select(tmp_path: Path) -> None:
    found = Pdf(PICTURE.save(tmp_path / "pump.pdf").read_bytes())
    assert len(found) == 1
    assert found.sizes()[0] == pytest.approx([side / 96 * 25.4 for side in PICTURE.size], abs=0.3)
    assert found.images() == 0
    assert "Startsandholdsthewashpump." in found.texts()[0]


def test_a_file_takes_the_place_of_the_old_one_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    (tmp_path / "pump.svg").write_text("old")
    PICTURE.save(tmp_path / "pump.svg")
    assert (tmp_path / "pump.svg").read_text(encoding="utf-8") == PICTURE.svg
    assert [path.name for path in tmp_path.iterdir()] == ["pump.svg"]


def test_an_old_file_stays_if_the_new_one_cannot_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    target = tmp_path / "out" / "pump.pdf"
    target.parent.mkdir()
    target.write_text("old")
    monkeypatch.setenv("CHROMIUM", _browser(tmp_path, "echo 'no screen' >&2; exit 1"))
    with pytest.raises(LadderError, match="the browser made no PDF: no screen"):
        PICTURE.save(target)
    assert target.read_text() == "old"
    assert [path.name for path in target.parent.iterdir()] == ["pump.pdf"]


def test_a_browser_that_never_ends_is_stopped_with_what_it_started(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("CHROMIUM", _browser(tmp_path, f"(sleep 3; touch {tmp_path}/late) & sleep 60"))
    monkeypatch.setattr(files, "SECONDS", 0.5)
    start = time.monotonic()
    with pytest.raises(LadderError, match=r"took longer than 0\.5 s and was stopped"):
        files.pdf("<p>")
    assert time.monotonic() - start < 3
    time.sleep(3.2)
    assert not (tmp_path / "late").exists()


def test_a_long_page_gets_more_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", _browser(tmp_path, "sleep 60"))
    monkeypatch.setattr(files, "SECONDS", 0.5)
    with pytest.raises(LadderError, match=r"took longer than 1\.5 s and was stopped"):
        files.pdf("x" * 2_000_000)


@pytest.mark.parametrize("named", ["/no/such/browser", "/tmp"])
def test_a_browser_that_is_none_is_named_with_what_to_do(named: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", named)
    with pytest.raises(LadderError, match="names a browser that can be started") as caught:
        files.find_browser()
    assert caught.value.value == named
    assert any("apt install chromium" in choice for choice in caught.value.choices)


def test_without_a_browser_it_says_how_to_get_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(files, "_DESKTOP", ())
    with pytest.raises(LadderError, match=r"none was found.*apt install chromium"):
        PICTURE.save(tmp_path / "pump.pdf")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("name", "rule"),
    [("nowhere/pump.svg", "the folder of the file does not exist"), ("folder.svg", "this is a folder, not a file")],
)
def test_a_path_that_cannot_be_written_is_refused(tmp_path: Path, name: str, rule: str) -> None:
    (tmp_path / "folder.svg").mkdir()
    with pytest.raises(LadderError, match=rule):
        PICTURE.save(tmp_path / name)


def test_what_the_system_says_of_a_full_disk_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(files.os, "replace", full)
    with pytest.raises(LadderError, match="cannot be written: No space left on device"):
        PICTURE.save(tmp_path / "pump.svg")
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("scale", [0, 0.2, 9, True, "2", float("nan")])
def test_a_scale_out_of_range_is_refused(tmp_path: Path, scale: float) -> None:
    with pytest.raises(LadderError, match=r"from 0\.25 to 8"):
        PICTURE.save(tmp_path / "pump.png", scale=scale)


def test_a_png_of_too_many_dots_is_refused() -> None:
    with pytest.raises(LadderError, match="at most 16000 dots a side") as caught:
        files.check_scale(4, (5000, 300))
    assert caught.value.choices[0] == "a scale up to 3.2"
