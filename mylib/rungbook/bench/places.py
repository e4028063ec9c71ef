"""Where a lead of the meter can be put, as data for a front end: terminals, their wires, points on the diagram."""

from __future__ import annotations

from rungbook.drawing.live import LiveFigure
from rungbook.proof.hunt import Leads
from rungbook.proof.hunt.leads import RAILS


def places(figure: LiveFigure, leads: Leads) -> list[dict[str, object]]:
    """Return lead, wire number, and x, y in the units of the drawing [px], of every terminal; X1 and X2 first.

    figure, leads: of the same board, so a lead's place among its items is one on the drawing.
    """
    ends, rails = figure.ends, figure.rails
    points = {lead: rails[node] for lead, node in RAILS.items()}
    points |= {lead: ends[place] for lead, place in leads.names.items()}
    return [
        {"lead": lead, "wire": leads.wire(lead), "x": round(x, 2), "y": round(y, 2)} for lead, (x, y) in points.items()
    ]
