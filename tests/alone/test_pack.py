"""A sealed pack gives back the graders, and nothing of them can be read in it."""

import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

from rungbook.alone.find import find_graders, sealed_packs
from rungbook.alone.pack import seal, unseal
from rungbook.errors import LadderError

ROOT = Path(__file__).parents[2]
GRADERS = find_graders("lab02", ROOT)


class TestSeal:
    def test_gives_back_the_graders_without_their_solutions(self) -> None:
        opened = unseal(seal(GRADERS))
        assert opened.lab == "lab02-holding-circuit"
        keep = [(one.grade_id, one.points, one.test, one.names) for one in GRADERS.exercises]
        assert [(one.grade_id, one.points, one.test, one.names) for one in opened.exercises] == keep
        given = [(part.grade_id, part.released) for one in GRADERS.exercises for part in one.parts]
        assert [(part.grade_id, part.released) for one in opened.exercises for part in one.parts] == given
        assert {part.solution for one in opened.exercises for part in one.parts} == {""}
        assert all(part.solution for one in GRADERS.exercises for part in one.parts)

    def test_shows_no_word_of_them_and_no_compressed_stream_either(self) -> None:
        pack = seal(GRADERS)
        assert pack.startswith(b"rungbook graders, sealed 1\n")
        body = pack.partition(b"\n")[2]
        for word in (b"lab02", b"must", b"holding", b"Ladder", b"points", b"\x78\xda"):
            assert word not in body[:64], word
            assert word == b"\x78\xda" or word not in body, word
        counts = [body.count(value) for value in range(256)]
        assert max(counts) < 3 * len(body) / 256, "some bytes are far more frequent than others"

    def test_is_the_same_each_time(self) -> None:
        assert seal(GRADERS) == seal(GRADERS)

    @pytest.mark.parametrize(
        ("pack", "rule"),
        [
            (b"", "no pack of graders of this edition"),
            (b"rungbook graders, sealed 9\n" + seal(GRADERS)[27:], "no pack of graders of this edition"),
            (seal(GRADERS)[:-1], "not whole"),
            (seal(GRADERS)[:-1] + b"x", "not whole"),
            (b"rungbook graders, sealed 1\n", "not whole"),
        ],
    )
    def test_a_file_that_is_none_or_not_whole_is_refused(self, pack: bytes, rule: str) -> None:
        with pytest.raises(LadderError, match=rule):
            unseal(pack)


class TestPacks:
    def test_there_is_one_for_each_lab_and_none_without_sources(self, tmp_path: Path) -> None:
        packs = sealed_packs(ROOT)
        labs = sorted(path.parent.name for path in (ROOT / "solutions").glob("lab*/lab*.md"))
        assert sorted(packs) == sorted(["rungbook_graders/__init__.py", *(f"rungbook_graders/{x}.pack" for x in labs)])
        assert len(labs) == 12
        assert sealed_packs(tmp_path) == {}

    def test_an_edition_without_sources_marks_with_them(self, tmp_path: Path) -> None:
        """The package alone in a folder of its own, the packs in an archive, as in the browser."""
        with ZipFile(tmp_path / "packs.zip", "w") as archive:
            for path, content in sealed_packs(ROOT).items():
                archive.writestr(path, content)
        (tmp_path / "rungbook").symlink_to(ROOT / "mylib" / "rungbook")
        code = """
import sys
sys.path[:0] = sys.argv[1:]
from rungbook.classroom import labs
labs.Path.resolve = lambda path: path  # so that the checkout behind the link is not found
from rungbook import NC, NO, Ladder, check, coil
holding = Ladder("Wash pump")
holding.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
print(check("lab02-holding").points)
try:
    check("lab77")
except Exception as problem:
    print(problem)
print(sorted({"nbformat", "jupytext", "nbgrader"} & set(sys.modules)))
"""
        command = [sys.executable, "-I", "-c", code, str(tmp_path), str(tmp_path / "packs.zip")]
        environment = {"RUNGBOOK_DATA": str(tmp_path / "data")}
        done = subprocess.run(command, capture_output=True, text=True, cwd=tmp_path, env=environment, check=False)
        assert done.returncode == 0, done.stderr
        points, refused, loaded = done.stdout.splitlines()
        assert (points, loaded) == ("22.0", "[]")
        assert refused.startswith("Lab: no such lab. Given: 'lab77'. Choices: lab01-one-contactor, lab02-")
