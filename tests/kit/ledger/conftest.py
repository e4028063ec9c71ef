"""A ledger with one kit of three pieces, and a clock that stands."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from rungbook.kit.ledger import Ledger, Piece

SMALL = (Piece("Q1", "contactor"), Piece("S1", "push button"), Piece("S2", "push button"))


@pytest.fixture
def ledger(tmp_path: Path) -> Ledger:
    made = Ledger(tmp_path / "kits.db", new=True, clock=lambda: datetime(2030, 9, 2, 8, 0, tzinfo=UTC))
    made.add("Ines", "K01", "small kit", SMALL)
    return made
