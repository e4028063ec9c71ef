"""The file: nothing is overwritten, two may write at once, and a process killed in the middle leaves it whole."""

import os
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kit.ledger.conftest import SMALL
from rungbook.errors import LadderError
from rungbook.kit.ledger import Ledger

MYLIB = Path(__file__).parents[3] / "mylib"

WRITER = """
import sys, time
from pathlib import Path
from rungbook.errors import LadderError
from rungbook.kit.ledger import Ledger
who, path, kits = sys.argv[1], Path(sys.argv[2]), sys.argv[3].split(",")
won = []
print("ready", flush=True)
sys.stdin.readline()
for kit in kits:
    time.sleep(0.01)  # else one is done before the other has waited once
    try:
        Ledger(path).issue(who, kit, f"{who} {kit}", [who])
        won.append(kit)
    except LadderError as error:
        assert "is out, with group" in str(error), error
print(",".join(won))
"""

KILLED = """
import os, signal, sys
from pathlib import Path
from rungbook.kit.ledger import Finding, Ledger, store
real = store.Ledger._insert
def insert(self, *given):
    entry = real(self, *given)
    os.kill(os.getpid(), signal.SIGKILL)  # written, not yet committed
store.Ledger._insert = insert
found = [Finding(name, "missing") for name in ("Q1", "S1", "S2")]
Ledger(Path(sys.argv[1])).check("Ines", "K01", found, ["Ada"])
"""


def start(code, *arguments):
    environment = os.environ | {"PYTHONPATH": str(MYLIB)}
    pipe = subprocess.PIPE
    return subprocess.Popen(
        [sys.executable, "-c", code, *arguments], stdin=pipe, stdout=pipe, text=True, env=environment
    )


class TestFile:
    def test_is_made_when_asked_for_and_kept_then(self, ledger):
        again = Ledger(ledger.path, new=True)
        assert [entry.told() for entry in again.books().entries] == ["added as 'small kit' with 3 pieces"]
        assert again.books().entries[0].at == "2030-09-02T08:00:00+00:00"

    def test_that_is_not_there_is_not_made_by_looking(self, tmp_path):
        with pytest.raises(LadderError, match="no such file"):
            Ledger(tmp_path / "kits.db")
        assert list(tmp_path.iterdir()) == []

    def test_of_another_program_is_left_alone(self, tmp_path):
        path = tmp_path / "other.db"
        with sqlite3.connect(path) as base:
            base.execute("CREATE TABLE grades (id)")
        base.close()
        before = path.read_bytes()
        with pytest.raises(LadderError, match="no ledger of kits"):
            Ledger(path, new=True)
        assert path.read_bytes() == before

    def test_that_is_no_database_is_told(self, tmp_path):
        path = tmp_path / "kits.db"
        path.write_text("kits\n" * 200)
        with pytest.raises(LadderError, match="cannot be read or written"):
            Ledger(path)

    def test_of_a_later_edition_is_told(self, ledger):
        with sqlite3.connect(ledger.path) as base:
            base.execute("PRAGMA user_version = 2")
        base.close()
        with pytest.raises(LadderError, match="later edition"):
            Ledger(ledger.path)

    @pytest.mark.parametrize("change", ["UPDATE entries SET by = 'Eve'", "DELETE FROM entries"])
    def test_refuses_to_change_an_entry(self, ledger, change):
        base = sqlite3.connect(ledger.path)
        with pytest.raises(sqlite3.IntegrityError, match="an entry is never"):
            base.execute(change)
        base.close()


class TestTwoWriters:
    def test_each_kit_goes_to_one_of_them_and_no_entry_is_lost(self, ledger):
        kits = [f"T{number:02d}" for number in range(30)]
        ledger.add_all("Ines", [(kit, "small kit", SMALL) for kit in kits])
        writers = [start(WRITER, who, str(ledger.path), ",".join(kits)) for who in ("Ines", "Omar")]
        for writer in writers:
            assert writer.stdout.readline() == "ready\n"
        for writer in writers:
            writer.stdin.write("go\n")
            writer.stdin.flush()
        won = [[kit for kit in writer.communicate(timeout=60)[0].strip().split(",") if kit] for writer in writers]
        assert [writer.returncode for writer in writers] == [0, 0]
        assert sorted(won[0] + won[1]) == kits
        books = ledger.books()
        assert [entry.number for entry in books.entries] == list(range(1, 62))
        for who, ones in zip(("Ines", "Omar"), won, strict=True):
            assert {books.kit(kit).holding.members for kit in ones} <= {(who,)}

    def test_adding_several_is_all_or_nothing(self, ledger):
        with pytest.raises(LadderError, match="K01: is in the ledger already"):
            ledger.add_all("Ines", [("K07", "kit", SMALL), ("K01", "kit", SMALL)])
        assert list(ledger.books().kits) == ["K01"]


class TestKilled:
    def test_in_the_middle_of_a_list_leaves_the_ledger_as_it_was_and_open_to_the_next(self, ledger):
        ledger.issue("Ines", "K01", "A", ["Ada"])
        killed = start(KILLED, str(ledger.path))
        killed.communicate(timeout=60)
        assert killed.returncode == -signal.SIGKILL
        books = ledger.books()
        assert len(books.entries) == 2
        assert set(books.kit("K01").condition.values()) == {"good"}
        begun = time.monotonic()
        ledger.withdraw("Ines", "K01") if books.kit("K01").holding is None else ledger.take_back("Ines", 2, "test")
        assert len(ledger.books().entries) == 3
        assert time.monotonic() - begun < 10
