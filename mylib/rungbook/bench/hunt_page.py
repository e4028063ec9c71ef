"""The page after a hunt: act by act what it showed, what it excluded, what was left, what would have divided best."""

from __future__ import annotations

from functools import cached_property
from html import escape

from rungbook.proof.hunt import Account, Case, Row, Step, account
from rungbook.tables import html_table, text_table

HEAD = ("", "done", "shown", "excluded", "left", "best reading then")
_NAMED = 3  # classes that are left and named; of more only the number is told
_LISTED = 8  # classes that the last line lists with all faults that cannot be told from them


class HuntPage:
    """What the acts `rows` on the board of `case` had shown, for the answer `claim`. Shows itself as a table.

    It is worked out from the acts alone and does not say which fault is hidden. Counted are faults that can be told
    apart; those that cannot stand together as one.
    """

    def __init__(self, case: Case, rows: tuple[Row, ...], claim: tuple[str, str]) -> None:
        self._case, self._rows, self._claim = case, rows, claim

    @cached_property
    def account(self) -> Account:
        """The acts, and what followed from each."""
        return account(self._case.evidence, self._rows)

    def rows(self) -> list[tuple[str, ...]]:
        """A row of text an act, as headed by `HEAD`. What is left is told where it changes."""
        return [self._row(step) for step in self.account.steps]

    def _row(self, step: Step) -> tuple[str, ...]:
        row, good, best = step.row, step.best, ""
        if row.costs and good is None:
            best = "none: nothing was left to divide"
        elif good is not None and step.excluded and step.after.bit_count() <= good.left:
            best = "as good as any"
        elif good is not None:
            best = f"{good.probe}: at most {good.left} left"
        shown = row.shown + (" (not proved dead)" if row.unproved and not row.live else "")
        changed = step.excluded or row.number == 1
        left = self._left(step.after) if changed else ""
        return str(row.number), row.told, shown, str(step.excluded or ""), left, best

    def _left(self, mask: int) -> str:
        """How many classes are left; a few are named, each by its first fault."""
        count = mask.bit_count()
        if not 0 < count <= _NAMED:
            return str(count)
        return f"{count}: " + "; ".join(self._case.names(group[:1]) for group in self._case.evidence.members(mask))

    def summary(self) -> tuple[str, ...]:
        """Sentences on the claim, the number of readings, and safety."""
        found, evidence = self.account, self._case.evidence
        named = {evidence.class_of(fault) for fault in self._case.claims.faults(self._claim)}
        fits = any(number is not None and found.remaining >> number & 1 for number in named)
        others = found.remaining.bit_count() - fits
        told = [f"You named {': '.join(self._claim)}."]
        if not fits:
            told.append("Your readings exclude that.")
        elif others:
            told.append(f"Your readings do not exclude it, nor {others} other fault{'s' * (others != 1)}.")
        else:
            told.append("Your readings leave nothing else.")
        if 0 < found.remaining.bit_count() <= _LISTED:
            left = "; ".join(map(self._case.names, evidence.members(found.remaining)))
            told.append(f"Left at the end: {left}.")
        groups = [part for part in evidence.symptoms if part & found.remaining]
        best = max((evidence.cost(part).worst for part in groups), default=0)
        told.append(
            f"Readings used: {found.used}. The best strategy, once everything has been operated and looked at, needs "
            f"{best} at worst."
        )
        if found.live:
            told.append(f"Resistance on a live circuit: act {', '.join(str(row.number) for row in found.live)}.")
        if found.unproved:
            acts = ", ".join(str(row.number) for row in found.unproved)
            told.append(f"Resistance before the circuit was proved dead: act {acts}.")
        return tuple(told)

    def __str__(self) -> str:
        start = f"{len(self._case.evidence.classes)} faults to tell apart at the start."
        return "\n".join([start, text_table(HEAD, self.rows()), *self.summary()])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        caption = f"{self._case.board.title}: {len(self._case.evidence.classes)} faults to tell apart at the start"
        told = "".join(f"<p>{escape(sentence)}</p>" for sentence in self.summary())
        return html_table(caption, HEAD, self.rows()) + told
