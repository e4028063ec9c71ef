"""What a person sees: circuits, runs, charts and tables as SVG pictures with a text description.

Enters: a `Ladder` or a `PowerCircuit`, finished or not; a `Board` (what is really wired, bridges included); what `run`,
`prove`, `compare`, `truth_table` and `wire` return; a device. Leaves: a `Picture` (SVG text and a description in
words). Lengths are in px of the SVG at scale 1: x to the right, y downwards, origin at the upper left corner of the
sheet.

A drawing passes through four steps, the first three without a canvas: `symbol_sets` (shapes of symbols as data),
`layout` (where each symbol, wire, dot and text stands), `describe` (the same in words), and `symbols` on the SVG side
of schemdraw. A power circuit passes through the same steps in the files that begin with `power`: `power_iec` and
`power_nema`, `power_rows` (the grid), `power_routes` (the wires between rows), `power_layout`, `power_describe`,
`power_symbols`; so does a wire list, as a picture of the panel, in those that begin with `panel`: `panel_faces`
(devices), `panel_rows` (where they stand), `panel_ways` and `panel_tracks` (which way each wire takes, and in which
order they lie in a channel), `panel_layout`, `panel_describe`, `panel_marks`. What is no circuit becomes a `figure`:
timing diagrams (files that begin with `timing`: lanes, axis, marks, layout, describe), `contact_charts`, `trip_curves`,
`tables`, and curves over a common axis (`plot` is the data, `plot_layout` the figure). schemdraw is
loaded on the first drawing, and then without matplotlib.

A live state stands on the same figure, in the files that begin with `live`: wires in pieces, marks, words;
`live_power` for power circuits.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from rungbook.drawing.picture import Picture

if TYPE_CHECKING:
    from rungbook.behaviour import Board, Moment, Step, Timeline, Trace
    from rungbook.circuit import Ladder, Wiring
    from rungbook.circuit.power import PowerCircuit
    from rungbook.drawing.contact_charts import ContactChart
    from rungbook.drawing.live_steps import LiveSteps
    from rungbook.drawing.page import Sheets
    from rungbook.drawing.paper import Page
    from rungbook.drawing.tables import Table
    from rungbook.drawing.title_block import TitleBlock
    from rungbook.kit import Device, Fitted, OverloadSetting
    from rungbook.proof import Comparison, TruthTable, Verdict

__all__ = [
    "Picture",
    "contact_chart",
    "draw",
    "draw_power",
    "draw_sequence",
    "draw_steps",
    "draw_table",
    "draw_trace",
    "gallery",
    "pages",
    "sheets",
    "table_pages",
    "trip_curve",
]


def draw(
    circuit: Ladder | Board | PowerCircuit | Wiring | Trace | TruthTable | ContactChart,
    symbols: str = "nema",
    paths: str = "across",
    width: float | None = None,
    step: int | None = None,
    live: Moment | Timeline | None = None,
) -> Picture:
    """Return a ladder, or a board of wired items, drawn as a ladder diagram; a power circuit as `draw_power` draws it.

    What `run` returns is drawn as a timing diagram (`draw_trace`), a truth table or a contact chart as a table
    (`draw_table`); of the others only `width` is for a timing diagram, and none for a table.

    A wire list (`wire(ladder, kit)`) is drawn as the panel that is wired by it: devices with their terminals, and every
    wire from terminal to terminal. step: number of a wire in that list, from 1: the wire to be pulled now is drawn
    strong, those before it pale, those after it not yet. The devices of the kit that the circuit does not use, and the
    power circuit, are not shown.

    symbols: "nema" (NEMA ICS 19, IEEE 315) or "iec" (IEC 60617). paths: current paths run "across" between rails at
    the left and right, or "down" between rails at the top and bottom, a contact table below each coil. Wire and rung
    numbers are the same in both. width: of the picture [px], its height where paths run down; a longer rung is folded
    and goes on at an arrow with the same letter. None folds nothing.

    An unfinished ladder is drawn as far as it goes: a contact may wait for its coil, and there may be no rung yet. A
    board is drawn as it is wired, bridges, coils in series and loose ends included, in one piece (width None); what is
    wrong with its parts is not shown. Its rungs are the circuits that hang together without the rails.

    live: a moment of a run of a ladder or a board, such as `run(ladder, "press S2")[1]`. The same figure shows it: the
    path that carries current is thicker and in the accent colour, and the words tell it. On a power circuit a moment of
    the ladder that controls it shows the poles that are closed, the wires at voltage and which way each motor turns.

    Raises LadderError if `circuit` is none of these, one of the others is none of these, a board is given a width,
    `paths` or `width` is given for a power circuit, whose lines always run down, `step` is given for anything but a
    wire list or is no wire of it, anything else is given for a wire list, or `live` is no moment of this circuit.
    """
    from rungbook.behaviour.board import Board
    from rungbook.circuit import Ladder
    from rungbook.circuit.power import PowerCircuit
    from rungbook.circuit.wiring import Wiring
    from rungbook.drawing.ladder import draw_circuit
    from rungbook.drawing.panel import draw_panel
    from rungbook.errors import LadderError

    if isinstance(circuit, Wiring):
        others = (
            ("symbols", symbols, "nema"),
            ("paths", paths, "across"),
            ("width", width, None),
            ("live", live, None),
        )
        for name, given, usual in others:
            if given != usual:
                raise LadderError("draw", f"{name} is for circuit diagrams; a wire list is drawn as a panel", given)
        return draw_panel(circuit, step)
    if step is not None:
        raise LadderError("draw", "step is for a wire list", step, ("draw(wire(ladder, kit), step=1)",))
    if live is not None and isinstance(circuit, PowerCircuit):
        from rungbook.drawing.live_power import LivePower

        _only_ladders(paths, width)
        return LivePower(circuit, symbols).picture(live)
    if live is not None:
        from rungbook.drawing.live import LiveFigure

        return LiveFigure(circuit, symbols, paths, width).picture(live)
    if not isinstance(circuit, Ladder | Board | PowerCircuit):
        from rungbook.drawing.others import draw_other

        return draw_other(circuit, symbols, paths, width)
    if isinstance(circuit, PowerCircuit):
        _only_ladders(paths, width)
        return draw_power(circuit, symbols)
    return draw_circuit(circuit, symbols, paths, width)


def _only_ladders(paths: str, width: float | None) -> None:
    """Refuse for a power circuit what is for ladders."""
    from rungbook.errors import LadderError

    for name, value, usual in (("paths", paths, "across"), ("width", width, None)):
        if value != usual:
            raise LadderError("draw", f"{name} is for ladders; the lines of a power circuit run down", value)


def pages(
    ladder: Ladder, paper: str = "A4", symbols: str = "nema", paths: str = "across", wide: bool = False
) -> tuple[Page, ...]:
    """Return `ladder` over sheets of paper, at least one, each a picture with room for a title block.

    paper: "A4" or "Letter"; wide: with the longer side at the bottom. symbols, paths: as `draw`. Rungs keep their
    numbers; a cross-reference says page and rung. Raises LadderError as `draw`, and if there is no such paper.
    """
    from rungbook.drawing.paper import lay_out

    return lay_out(ladder, paper, symbols, paths, wide)


def gallery() -> str:
    """Return an HTML page, complete in itself, with the symbols of both sets side by side and when to use each."""
    from rungbook.drawing.gallery_page import gallery as page

    return page()


def draw_power(
    circuit: PowerCircuit, symbols: str = "nema", mechanical_interlock: Iterable[Sequence[str]] = ()
) -> Picture:
    """Return `circuit` drawn with the symbols of "nema" (NEMA ICS 19 / IEEE 315) or "iec" (IEC 60617).

    mechanical_interlock: pairs of contactors that hold each other out, such as (("Q1", "Q2"),). An unfinished circuit
    is drawn as far as it goes. Raises LadderError if `circuit` is no PowerCircuit, there is no such set, or a pair is
    not two contactors of the circuit.
    """
    from rungbook.drawing.power import draw_power

    return draw_power(circuit, symbols, mechanical_interlock)


def draw_trace(
    trace: Trace, since: float | None = None, until: float | None = None, width: float | None = None
) -> Picture:
    """Return the timing diagram of what `run` returned; more in `rungbook.drawing.timing.draw_trace`.

    since, until: ends of the axis [s] for a run whose script speaks of time; width [px]. Raises LadderError if `trace`
    is none, or one of the others is out of range.
    """
    from rungbook.drawing.timing import draw_trace

    return draw_trace(trace, since, until, width)


def draw_sequence(
    found: Verdict | Comparison | Iterable[Step],
    yours: Ladder,
    asked: Ladder | None = None,
    devices: Iterable[Device] | None = None,
) -> Picture:
    """Return the timing diagram of the orders of a verdict or a comparison, done on `yours` and on `asked`.

    Where the ladders differ there are two lanes. Raises LadderError if there is nothing to show, or as `run`; more in
    `rungbook.drawing.timing_sequence.draw_sequence`.
    """
    from rungbook.drawing.timing_sequence import draw_sequence

    return draw_sequence(found, yours, asked, devices)


def contact_chart(device: Device | Fitted | str) -> ContactChart:
    """Return the contact chart of a device, one of a kit, or a kind: a table, and `draw` makes a picture of it.

    Raises LadderError if it is none of these, or has no contacts whose positions are known.
    """
    from rungbook.drawing.contact_charts import contact_chart

    return contact_chart(device)


def trip_curve(
    relay: str | Device | OverloadSetting, points: Iterable[float] = (), warm_points: Iterable[float] = ()
) -> Picture:
    """Return the trip curve of an overload relay, cold and warm, with limits and operating points.

    relay: a trip class, a `Device` with its setting, or the setting. points, warm_points: multiples of the setting, 1
    to 10, from cold and after running at the setting. Raises LadderError if one of them is out of range.
    """
    from rungbook.drawing.trip_curves import trip_curve

    return trip_curve(relay, points, warm_points)


def draw_steps(
    circuit: Ladder | Board,
    trace: Trace,
    symbols: str = "nema",
    paths: str = "across",
    width: float | None = None,
) -> LiveSteps:
    """Return what `run` returned, moment by moment on the drawing: pictures, and in a notebook one with a slider.

    symbols, paths, width: as `draw`. Raises LadderError as `draw` with `live`, and if `trace` is no run.
    """
    from rungbook.drawing.live_steps import LiveSteps

    return LiveSteps(circuit, trace, symbols, paths, width)


def draw_table(table: Table) -> Picture:
    """Return a wire list, a truth table or a contact chart as one picture, with a box to tick in every row.

    Raises LadderError if it is none of these, or has more than 1024 rows.
    """
    from rungbook.drawing.tables import draw_table

    return draw_table(table)


def sheets(
    what: object,
    paper: str = "A4",
    block: TitleBlock | None = None,
    wide: bool = False,
    symbols: str = "nema",
    paths: str = "across",
) -> Sheets:
    """Return pictures, circuits or tables on sheets of paper with a title block, to `save` as PDF or HTML.

    More in `rungbook.drawing.page.sheets`. Raises LadderError as `draw`, if there is nothing to print, there is no such
    paper, or a picture is too large to be read on it.
    """
    from rungbook.drawing.page import sheets

    return sheets(what, paper, block, wide, symbols, paths)


def table_pages(table: Table, paper: str = "A4", wide: bool = False) -> tuple[Picture, ...]:
    """Return the same over sheets of paper ("A4" or "Letter"; wide: the longer side at the bottom), at least one.

    Raises LadderError as `draw_table`, and if there is no such paper.
    """
    from rungbook.drawing.tables import table_pages

    return table_pages(table, paper, wide)
