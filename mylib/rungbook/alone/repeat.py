"""From the notes: points and attempts of each lab, and what to repeat, with the reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from rungbook.alone.progress import Note
from rungbook.tables import text_table

LONG = 28  # days after which an exercise is worth doing again
HONEST = 3  # different attempts after which the solution opens without any points


@dataclass
class Standing:
    """How one exercise stands. best, most: points. attempts: how many runs. tried: digests of different answers.
    hints: how many were taken. shown: the solution was opened before an honest attempt. last: the last attempt."""

    exercise: str
    best: float = 0
    most: float = 0
    attempts: int = 0
    tried: set[str] = field(default_factory=set)
    hints: int = 0
    shown: bool = False
    last: datetime | None = None

    @property
    def honest(self) -> bool:
        """True once the learner has tried: some points, or three different answers; in words, any answer."""
        return self.best > 0 or len(self.tried) >= (HONEST if self.most else 1)

    def why_again(self, now: datetime) -> list[str]:
        """Why the exercise should be done again, as clauses; empty if it need not."""
        reasons = []
        if self.best < self.most:
            reasons.append(f"{self.most - self.best:g} of {self.most:g} points lost")
        if self.shown:
            reasons.append("the solution was opened first")
        if self.hints:
            reasons.append(f"{self.hints} hint{'s' * (self.hints != 1)} taken")
        if self.last is not None and (now - self.last).days >= LONG:
            reasons.append(f"{(now - self.last).days} days ago")
        return reasons


def standings(notes: Iterable[Note]) -> dict[str, Standing]:
    """Return exercise -> standing, in the order of the exercises' names' first notes."""
    found: dict[str, Standing] = {}
    for note in notes:
        if note.kind == "practice":
            continue
        one = found.setdefault(note.exercise, Standing(note.exercise))
        if note.kind == "hint":
            one.hints += 1
        elif note.kind == "solution":
            one.shown = one.shown or bool(note.data.get("asked"))
        elif note.kind == "attempt":
            one.attempts += 1
            one.tried.add(str(note.data["digest"]))
            one.best = max(one.best, note.data["points"])
            one.most = note.data["most"]
            one.last = note.at
    return found


def report(notes: Sequence[Note], now: datetime) -> str:
    """What `rungbook progress` prints: a row a lab, then what to repeat and why, most points lost first."""
    found = standings(notes)
    practised = _practised(notes)
    if not found and practised:
        return practised
    if not found:
        return "Nothing is noted yet. Work on a notebook under course/, then: rungbook check LAB"
    labs: dict[str, list[Standing]] = {}
    for one in found.values():
        labs.setdefault(one.exercise[:5], []).append(one)
    rows = []
    for lab, ones in sorted(labs.items()):
        last = max((one.last for one in ones if one.last is not None), default=None)
        points = f"{sum(one.best for one in ones):g} of {sum(one.most for one in ones):g}"
        day = last.date().isoformat() if last else "–"
        rows.append((lab, points, str(sum(o.attempts for o in ones)), str(sum(o.hints for o in ones)), day))
    again = [(one, reasons) for one in found.values() if (reasons := one.why_again(now))]
    again.sort(key=lambda pair: (pair[0].best - pair[0].most, pair[0].exercise))
    lines = [text_table(("lab", "points", "attempts", "hints", "last"), rows), ""]
    lines += ["To repeat:", *(f"  {one.exercise}: {', '.join(why)}" for one, why in again)] if again else []
    lines += [] if again else ["Nothing to repeat."]
    return "\n".join([*lines, *(["", practised] if practised else [])])


def _practised(notes: Sequence[Note]) -> str:
    """A row for each kind and level of practice: the last answer to each exercise counts; "" if there was none."""
    last: dict[str, dict[tuple[int, int], Note]] = {}
    for note in notes:
        if note.kind == "practice":
            last.setdefault(note.exercise, {})[note.data["seed"], note.data["number"]] = note
    if not last:
        return ""
    rows = []
    for name, done in sorted(last.items()):
        points = f"{sum(n.data['points'] for n in done.values()):g} of {sum(n.data['most'] for n in done.values()):g}"
        rows.append((name.replace("-", ", level "), str(len(done)), points))
    return text_table(("practice", "exercises", "points"), rows)
