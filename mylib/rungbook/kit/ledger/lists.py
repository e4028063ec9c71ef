"""Tables of the ledger: the store at a glance, one kit, its history, what groups owe, what must be ordered."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from rungbook.kit.ledger.books import Books
from rungbook.kit.ledger.entries import TO_ORDER
from rungbook.tables import html_table, text_table


@dataclass(frozen=True)
class Listing:
    """A table with its caption; shows itself as text and as HTML. rows: texts, as wide as `head`."""

    caption: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def __str__(self) -> str:
        if not self.rows:
            return f"{self.caption}: nothing"
        return f"{self.caption}\n{text_table(self.head, self.rows)}"

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return html_table(self.caption, self.head, self.rows)


def overview(books: Books) -> Listing:
    """Every kit: where it is, and how many of its pieces are not good."""
    rows = []
    for state in books.kits.values():
        where = "withdrawn" if state.withdrawn else "store" if state.holding is None else f"group {state.holding.group}"
        if state.holding is not None and not state.holding.checked:
            where += ", check-in list not handed in"
        bad = [condition for condition in state.condition.values() if condition != "good"]
        told = ", ".join(f"{bad.count(word)} {word}" for word in dict.fromkeys(sorted(bad))) or "all good"
        rows.append((state.kit, state.name, where, str(len(state.pieces)), told))
    return Listing("Kits", ("kit", "name", "where", "pieces", "condition"), tuple(rows))


def contents(books: Books, kit: str) -> Listing:
    """The pieces of one kit with their condition. Raises LadderError if there is no such kit."""
    state = books.kit(kit)
    rows = tuple((one.name, one.model, state.condition[one.name], state.remark[one.name]) for one in state.pieces)
    return Listing(f"Kit {kit}, {state.name}", ("piece", "model", "condition", "remark"), rows)


def history(books: Books, kit: str = "") -> Listing:
    """Every entry, or every entry of one kit, in order; those taken back are marked. Raises LadderError for no kit."""
    if kit:
        books.kit(kit)
    rows = []
    for entry in books.entries:
        of = entry.kit
        if entry.kind == "taken back":
            of = books.entries[entry.data["entry"] - 1].kit
        if kit in ("", of):
            told = entry.told() + (" [taken back]" if entry.number in books.taken_back else "")
            rows.append((str(entry.number), entry.at, entry.by, of, told))
    return Listing(f"History of kit {kit}" if kit else "History", ("entry", "at", "by", "kit", "what"), tuple(rows))


def charges(books: Books) -> Listing:
    """What came back damaged or not at all, by group, with the cost of a new piece."""
    rows = [
        (one.group, one.kit, one.piece, one.model, f"{one.before} → {one.after}", _cost(one.cost, books))
        for one in sorted(books.charges, key=lambda one: (one.group, one.entry))
    ]
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for one in books.charges:
        sums[one.group] += one.cost or 0
    rows += [(group, "", "", "", "sum", _cost(total, books)) for group, total in sorted(sums.items())]
    head = ("group", "kit", "piece", "model", "condition", "cost")
    return Listing("Loss and damage", head, tuple(rows))


def order(books: Books) -> Listing:
    """What must be ordered before the next term: every damaged or missing piece of a kit in use, by model."""
    needed: dict[str, list[str]] = defaultdict(list)
    for state in books.kits.values():
        if not state.withdrawn:
            for piece in state.pieces:
                if state.condition[piece.name] in TO_ORDER:
                    needed[piece.model].append(f"{state.kit} {piece.name}")
    rows = []
    total = Decimal()
    for model, where in sorted(needed.items()):
        each = books.prices.get(model)
        if each is not None:
            total += each * len(where)
        sum_ = None if each is None else each * len(where)
        rows.append((model, str(len(where)), _cost(each, books), _cost(sum_, books), ", ".join(where)))
    if rows:
        unknown = [model for model in needed if model not in books.prices]
        rows.append(("sum", "", "", _cost(total, books), f"without {', '.join(unknown)}" if unknown else ""))
    return Listing("To order", ("model", "pieces", "each", "cost", "for"), tuple(rows))


def _cost(cost: Decimal | None, books: Books) -> str:
    return "no price" if cost is None else f"{cost:.2f} {books.currency}".strip()
