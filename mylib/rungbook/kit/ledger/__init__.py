"""The ledger of an instructor's kits: what each holds, who has it, in what condition it is, what must be ordered.

Enters: entries, each one thing that happened ("K03 issued to group A"), checked against the state they meet. Leaves:
the state that follows from all entries (`Books`), and tables of it. Nothing is ever changed or deleted; an entry made
by mistake is taken back by another one. `pieces` lists what a kit holds, `entries` what can happen, `books` what
follows from it, `store` keeps it in SQLite, `lists` makes tables, `files` reads and writes CSV.

Costs are decimal numbers in a currency of the instructor's choice.
"""

from rungbook.kit.ledger.books import Books, Charge, Holding, KitState
from rungbook.kit.ledger.entries import CONDITIONS, Entry, Finding
from rungbook.kit.ledger.pieces import Piece, pieces
from rungbook.kit.ledger.store import Ledger

__all__ = [
    "CONDITIONS",
    "Books",
    "Charge",
    "Entry",
    "Finding",
    "Holding",
    "KitState",
    "Ledger",
    "Piece",
    "pieces",
]
