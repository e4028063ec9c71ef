"""Whether a circuit can be wired on a kit: the student's own look (`on_kit`) and the requirement (`fits`)."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from html import escape

from rungbook.circuit import Ladder, Wiring, wire
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding, not_decided
from rungbook.grading.panel import on_panel
from rungbook.grading.requirement import Requirement
from rungbook.kit import TRAINING_KIT, Device, Kit
from rungbook.proof import MAX_STATES, compare


@dataclass(frozen=True)
class OnKit:
    """What came of wiring a ladder: its wire list, or None and what is short. True if it can be wired.

    Shows itself as the wire list or as the sentence. Carries no marks.
    """

    wiring: Wiring | None
    problem: str = ""

    def __bool__(self) -> bool:
        return self.wiring is not None

    def __str__(self) -> str:
        return f"Not yet: {self.problem}" if self.wiring is None else str(self.wiring)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        return f"<p>{escape(str(self))}</p>" if self.wiring is None else self.wiring._repr_html_()


def on_kit(ladder: Ladder, kit: Kit = TRAINING_KIT) -> OnKit:
    """Wire `ladder` on `kit` as it is drawn, and return the wire list, or what the kit lacks.

    A circuit that is not finished or does not fit is no error here. Raises LadderError if either is none.
    """
    for value, kind in ((ladder, Ladder), (kit, Kit)):
        if not isinstance(value, kind):
            raise LadderError("on_kit", f"takes a {kind.__name__}", value, ("on_kit(ladder, TRAINING_KIT)",))
    try:
        return OnKit(wire(ladder, kit, as_drawn=True))
    except LadderError as problem:
        return OnKit(None, str(problem))


def fits(
    kit: Kit,
    points: float,
    look: str = "",
    *,
    asked: Ladder,
    outputs: Iterable[str] | None = None,
    limit: int = MAX_STATES,
) -> Requirement:
    """Ask that the answer can be wired on `kit` and does the same as `asked`: a circuit that does nothing always fits.

    outputs: loads of `asked` that count, left out all; helping relays may differ. limit: pairs of states, as in
    `same_as`. Raises LadderError, when the exercise is written, if `asked` does not fit or as `same_as`.
    """
    wire(asked, kit, as_drawn=True)
    watched = tuple(outputs) if outputs is not None else (*asked.coils(), *asked.lamps())
    compare(asked, asked, watched)

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        tried = on_kit(on_panel(ladder, devices), kit)
        if not tried:
            return Finding(0, because=f"It cannot be wired on the {kit.name}. {tried.problem}", look=look)
        found = compare(ladder, asked, watched, limit)
        if found:
            return MET
        if found.outcome == "different":
            return Finding(0, because="It can be wired, but it does not yet do what is asked.", look=look)
        return not_decided(found.why)

    return Requirement(f"It can be wired on the {kit.name}, and does what is asked.", points, Ladder, judge)
