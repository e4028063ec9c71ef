"""`draw` for what is no circuit: runs, truth tables, contact charts."""

from __future__ import annotations

from rungbook.behaviour import Trace
from rungbook.drawing.contact_charts import ContactChart
from rungbook.drawing.picture import Picture
from rungbook.drawing.tables import draw_table
from rungbook.drawing.timing import draw_trace
from rungbook.errors import LadderError
from rungbook.proof import Comparison, TruthTable, Verdict

_CHOICES = (
    "Ladder('title')",
    "PowerCircuit('title')",
    "run(ladder, …)",
    "wire(ladder, kit)",
    "truth_table(ladder)",
    "contact_chart(device)",
)


def draw_other(thing: object, symbols: str, paths: str, width: float | None) -> Picture:
    """Return the picture of `thing`. Raises LadderError as `rungbook.draw`."""
    if isinstance(thing, Verdict | Comparison):
        rule = "a finding is drawn with the ladders it is about, by draw_sequence(found, yours, asked)"
        raise LadderError("draw", rule, thing)
    if not isinstance(thing, Trace | TruthTable | ContactChart):
        raise LadderError(
            "draw",
            "draws a Ladder, a Board, a power circuit, a run, a wire list, a truth table or a contact chart",
            thing,
            _CHOICES,
        )
    for name, value, usual in (("symbols", symbols, "nema"), ("paths", paths, "across")):
        if value != usual:
            raise LadderError("draw", f"{name} is for circuits", value)
    if isinstance(thing, Trace):
        return draw_trace(thing, width=width)
    if width is not None:
        raise LadderError("draw", "a table is as wide as its words; width is for ladders and timing diagrams", width)
    return draw_table(thing)
