"""A file is replaced in one step, whatever its name."""

import os

import pytest

from rungbook.replacing import replace_bytes


@pytest.mark.parametrize("name", ["lab07.ipynb", "a." + "b" * 240, "\N{GRAPES}" * 60 + ".csv", "x" * 255])
def test_every_name_that_the_disk_takes_is_written(tmp_path, name):
    path = tmp_path / name
    for data in (b"first", b"second"):
        replace_bytes(path, data, 0o640)
        assert path.read_bytes() == data
    assert path.stat().st_mode & 0o777 == 0o640
    assert os.listdir(tmp_path) == [name]


def test_nothing_is_left_beside_what_cannot_be_written(tmp_path):
    (tmp_path / "held").mkdir()
    with pytest.raises(OSError, match="held"):
        replace_bytes(tmp_path / "held", b"x")
    assert os.listdir(tmp_path) == ["held"]
