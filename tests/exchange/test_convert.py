"""`rungbook convert`: one file of a ladder printed in another form."""

from pathlib import Path

import pytest

from exchange.mill import everything
from rungbook import LadderError, from_json, to_json
from rungbook.cli import main
from rungbook.exchange import convert, read_ladder_xml, read_structured_text


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "agitator.json"
    path.write_text(to_json(everything()), encoding="utf-8")
    return path


def test_prints_text_and_xml_that_read_back(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    for form, read in (("st", read_structured_text), ("xml", read_ladder_xml), ("json", from_json)):
        assert main(["convert", str(file), "--to", form]) == 0
        assert read(capsys.readouterr().out) == everything()


def test_goes_from_every_form_to_every_other(tmp_path: Path, file: Path) -> None:
    for form in ("st", "xml"):
        (tmp_path / f"a.{form}").write_text(convert(file, form), encoding="utf-8")
        assert from_json(convert(tmp_path / f"a.{form}", "json")) == everything()


@pytest.mark.parametrize(
    ("name", "content", "to", "told"),
    [
        ("a.txt", b"", "st", "the ending of the file says its form. Given: 'a.txt'. Choices: .json, .st, .xml."),
        ("a.json", b"{}", "pdf", "no such form. Given: 'pdf'. Choices: json, st, xml."),
        ("a.json", b"{", "st", "from_json: no valid JSON at line 1, column 2"),
        ("a.st", b"\xff", "xml", "the file is text in UTF-8"),
        ("a.st", b"PROGRAM", "xml", "line 1: the name of the unit stands here. Given: 'the end of the text'."),
        ("a.xml", b" " * 8_000_001, "st", "at most 8000000 bytes"),
        ("a.st", None, "xml", "the file cannot be read (No such file or directory)"),
    ],
)
def test_a_bad_file_is_one_line_on_stderr_and_status_2(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, content: bytes | None, to: str, told: str
) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    assert main(["convert", str(tmp_path / name), "--to", to]) == 2
    out, err = capsys.readouterr()
    assert (out, err.count("\n")) == ("", 1)
    assert told in err
    assert err.startswith("rungbook convert: ")


def test_the_form_is_asked_for_before_the_file_is_opened(tmp_path: Path) -> None:
    with pytest.raises(LadderError, match="no such form"):
        convert(tmp_path / "none.json", "csv")
