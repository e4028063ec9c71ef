"""What follows from the entries: where each kit is, in what condition each piece, who owes what.

A pure fold over the entries; the store calls it before it writes (may this happen now?), the lists after it reads.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from rungbook.errors import LadderError
from rungbook.kit.ledger.entries import CONDITIONS, TO_ORDER, Entry, Finding, findings_of, line, money, names
from rungbook.kit.ledger.pieces import Piece


@dataclass
class Holding:
    """A kit in the hands of a group. since: number of the entry. checked: condition of each piece at check-in."""

    group: str
    members: tuple[str, ...]
    since: int
    checked: dict[str, str] = field(default_factory=dict)


@dataclass
class KitState:
    """One kit. condition, remark: of each piece. holding: who has it, or None: it is in the store."""

    kit: str
    name: str
    pieces: tuple[Piece, ...]
    condition: dict[str, str]
    remark: dict[str, str]
    holding: Holding | None = None
    withdrawn: bool = False


@dataclass(frozen=True)
class Charge:
    """A piece that came back worse than it was at check-in. cost: of a new one, None if its model has no price."""

    entry: int
    kit: str
    group: str
    piece: str
    model: str
    before: str
    after: str
    cost: Decimal | None


class Books:
    """The state after some entries. kits: number -> `KitState`. prices: model -> cost. currency: a word, or ""."""

    def __init__(self, entries: Iterable[Entry]) -> None:
        self.entries = tuple(entries)
        self.kits: dict[str, KitState] = {}
        self.prices: dict[str, Decimal] = {}
        self.currency = ""
        self.charges: list[Charge] = []
        self.taken_back = frozenset(entry.data["entry"] for entry in self.entries if entry.kind == "taken back")
        for entry in self.entries:
            if entry.number not in self.taken_back:
                self._take(entry)

    def _take(self, entry: Entry) -> None:
        data = entry.data
        if entry.kind == "priced":
            self.prices.update({model: Decimal(cost) for model, cost in data["prices"].items()})
            self.currency = data["currency"]
        elif entry.kind == "added":
            have = tuple(Piece(piece["name"], piece["model"]) for piece in data["pieces"])
            names_of = [piece.name for piece in have]
            self.kits[entry.kit] = KitState(
                entry.kit, data["name"], have, dict.fromkeys(names_of, "good"), dict.fromkeys(names_of, "")
            )
        elif entry.kind != "taken back":
            self._take_of_kit(entry, self.kits[entry.kit])

    def _take_of_kit(self, entry: Entry, kit: KitState) -> None:
        data = entry.data
        if entry.kind == "issued":
            kit.holding = Holding(data["group"], tuple(data["members"]), entry.number)
        elif entry.kind == "withdrawn":
            kit.withdrawn = True
        elif entry.kind == "replaced":
            kit.condition[data["piece"]], kit.remark[data["piece"]] = "good", ""
        else:
            found = {finding["piece"]: finding["condition"] for finding in data["findings"]}
            if entry.kind == "checked" and kit.holding is not None:
                kit.holding.checked = found
            if entry.kind == "returned" and kit.holding is not None:
                self._charge(entry, kit, kit.holding, found)
                kit.holding = None
            kit.condition.update(found)
            kit.remark.update({finding["piece"]: finding["remark"] for finding in data["findings"]})

    def _charge(self, entry: Entry, kit: KitState, holding: Holding, found: dict[str, str]) -> None:
        """A piece is charged if it must be ordered now and did not have to be at check-in (or, unchecked, before)."""
        for piece in kit.pieces:
            before = holding.checked.get(piece.name, kit.condition[piece.name])
            after = found[piece.name]
            if after in TO_ORDER and before not in TO_ORDER:
                cost = self.prices.get(piece.model)
                charge = Charge(entry.number, entry.kit, holding.group, piece.name, piece.model, before, after, cost)
                self.charges.append(charge)

    def kit(self, kit: object) -> KitState:
        """The kit of that number. Raises LadderError if there is none; those there are are listed."""
        if not isinstance(kit, str) or kit not in self.kits:
            raise LadderError("Ledger", "has no such kit", kit, tuple(self.kits) or ("none yet: rungbook kit add",))
        return self.kits[kit]

    def _in_use(self, kit: object) -> KitState:
        state = self.kit(kit)
        if state.withdrawn:
            raise LadderError(f"Kit {kit}", "has been withdrawn")
        return state

    def may_add(self, kit: object, name: object, have: Iterable[Piece]) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if the number is taken or no word, or two pieces have one name."""
        number = line("Kit", kit, most=20)
        if not number.replace("-", "").isalnum():
            raise LadderError("Kit", "its number is letters, digits and hyphens", kit, ("K01",))
        if number in self.kits:
            raise LadderError(f"Kit {number}", "is in the ledger already, and a number is given once")
        listed = tuple(have)
        if not listed:
            raise LadderError(f"Kit {number}", "holds at least one piece")
        seen: set[str] = set()
        for piece in listed:
            if piece.name in seen:
                raise LadderError(f"Kit {number}", "two pieces have one name", piece.name)
            seen.add(piece.name)
        data = [{"name": piece.name, "model": piece.model} for piece in listed]
        return {"name": line(f"Kit {number}, name", name, most=100), "pieces": data}

    def may_issue(self, kit: object, group: object, members: object) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if the kit is out or withdrawn, or the group has another one."""
        state = self._in_use(kit)
        named = line("Group", group, most=60)
        if state.holding is not None:
            raise LadderError(f"Kit {kit}", f"is out, with group {state.holding.group}, and must come back first")
        for other in self.kits.values():
            if other.holding is not None and other.holding.group == named:
                raise LadderError(f"Group {named}", f"has kit {other.kit}, and must bring it back first")
        return {"group": named, "members": names(f"Group {named}, members", members)}

    def may_check(self, kit: object, findings: Iterable[Finding], signed: object, *, back: bool) -> dict[str, Any]:
        """The data of a check, or of a return. Raises LadderError if the kit is not out, or as `findings_of`.

        A check-in list is signed by people of the group that has the kit.
        """
        state = self._in_use(kit)
        if state.holding is None:
            raise LadderError(f"Kit {kit}", "is in the store; a check is signed by the group that has the kit")
        people = names(f"Kit {kit}, signed by", signed)
        for person in people:
            if not back and person not in state.holding.members:
                rule = f"is signed by members of group {state.holding.group}"
                raise LadderError(f"Kit {kit}, check-in list", rule, person, state.holding.members)
        return {"findings": findings_of(state.kit, state.pieces, findings), "signed": people}

    def may_replace(self, kit: object, piece: object, remark: object) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if the kit has no such piece, or the piece is good."""
        state = self._in_use(kit)
        if piece not in state.condition:
            raise LadderError(f"Kit {kit}", "has no such piece", piece, tuple(state.condition))
        if state.condition[str(piece)] == CONDITIONS[0]:
            raise LadderError(f"Kit {kit}, {piece}", "is good; there is nothing to replace")
        return {"piece": piece, "remark": line("Remark", remark, empty=True)}

    def may_withdraw(self, kit: object, remark: object) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if the kit is out, or withdrawn already."""
        if (holding := self._in_use(kit).holding) is not None:
            raise LadderError(f"Kit {kit}", f"is out, with group {holding.group}, and must come back first")
        return {"remark": line("Remark", remark, empty=True)}

    def may_price(self, prices: dict[str, object], currency: object) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if there is no such model, or a cost is no number from 0."""
        from rungbook.kit.catalogue import CATALOGUE

        if not prices:
            raise LadderError("Prices", "at least one model has a price")
        for model in prices:
            if model not in CATALOGUE:
                raise LadderError("Prices", "no such model in the catalogue", model, tuple(CATALOGUE))
        costs = {model: money(f"Model {model!r}", cost) for model, cost in prices.items()}
        return {"prices": costs, "currency": line("Currency", currency, most=10)}

    def may_take_back(self, number: object, remark: object) -> dict[str, Any]:
        """The data of the entry. Raises LadderError if there is no such entry, it is taken back already, or a later one
        of the same kit builds on it: take that one back first."""
        entry = next((one for one in self.entries if one.number == number), None)
        if entry is None or isinstance(number, bool):
            raise LadderError("Ledger", f"has no such entry; it has 1 to {len(self.entries)}", number)
        if entry.kind == "taken back":
            raise LadderError(f"Entry {number}", "takes back another; make that entry again instead")
        if number in self.taken_back:
            raise LadderError(f"Entry {number}", "has been taken back already")
        for later in self.entries[entry.number :]:
            if later.kit == entry.kit and entry.kit and later.number not in self.taken_back:
                raise LadderError(
                    f"Entry {number}", f"entry {later.number} of kit {entry.kit} came after it; first that"
                )
        data = {"entry": number, "remark": line("Reason", remark)}
        after = Books((*self.entries, Entry(len(self.entries) + 1, "", "", "taken back", "", data)))
        groups = [state.holding.group for state in after.kits.values() if state.holding is not None]
        if twice := {group for group in groups if groups.count(group) > 1}:
            raise LadderError(
                f"Entry {number}", f"group {min(twice)} would then have two kits; it has another one by now"
            )
        return data
