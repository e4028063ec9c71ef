"""Drawing: a ladder as an SVG picture, from the ladder on each time. Fonts, schemdraw and the symbols are loaded."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.benchmarks import Run, measure

from rungbook import NC, NO, Device, Ladder, coil, draw, lamp, run, wire
from rungbook.drawing import pages
from rungbook.drawing.layout import layout
from rungbook.drawing.live import LiveFigure
from rungbook.kit import TRAINING_KIT


def ladder(rungs: int) -> Ladder:
    """`rungs` rungs of five contacts with two levels of branches, terminals, plates and a note each."""
    plate = "press pump of the second line"
    tags = [f"{letter}{n}" for n in range(1, rungs + 1) for letter in "SB"]
    coils = [f"{'QK'[n % 2]}{n}" for n in range(1, rungs + 1)]
    found = Ladder("Filling line", [Device(tag, label=plate) for tag in (*tags, *coils)])
    for n, end in enumerate(coils, 1):
        branch = NO(end, "13-14") & (NO(f"B{n}", "23-24") | NC(f"B{n}", "21-22"))
        way = NC(f"S{n}", "11-12") & (NO(f"S{n % rungs + 1}", "13-14") | branch)
        found.rung(way, coil(end, "A1-A2"), note="The machine before it in the line must run first.")
    return found


def _timed(work: Callable[[], object]) -> Run:
    work()

    def run() -> float:
        start = perf_counter()
        work()
        return 1000 * (perf_counter() - start)

    return run


@measure("drawing: 6 rungs of 5 contacts as SVG, warm", "ms", at_most=20)
def six() -> Run:
    """A ladder of a lab."""
    six_rungs = ladder(6)
    return _timed(lambda: draw(six_rungs))


@measure("drawing: 60 rungs of 5 contacts as SVG, warm", "ms", at_most=300)
def sixty() -> Run:
    """A ladder of a machine."""
    sixty_rungs = ladder(60)
    return _timed(lambda: draw(sixty_rungs))


@measure("drawing: 6 rungs, paths down, as SVG, warm", "ms", at_most=20)
def six_down() -> Run:
    """The same, turned."""
    six_rungs = ladder(6)
    return _timed(lambda: draw(six_rungs, paths="down"))


@measure("drawing: 60 rungs, where everything stands", "ms")
def sixty_planned() -> Run:
    """The plan alone, without a canvas."""
    sixty_rungs = ladder(60)
    return _timed(lambda: layout(sixty_rungs))


@measure("drawing: 60 rungs on sheets of A4 paper as SVG, warm", "ms")
def sixty_on_paper() -> Run:
    """Sorted onto sheets, and drawn."""
    sixty_rungs = ladder(60)
    return _timed(lambda: pages(sixty_rungs))


@measure("drawing: panel with 10 wires as SVG, warm", "ms", at_most=50)
def panel() -> Run:
    """The holding circuit with a lamp, on the training kit."""
    pump = Ladder("Wash pump")
    pump.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    pump.rung(NO("Q1"), lamp("P1", "green"))
    wired = wire(pump, TRAINING_KIT)
    return _timed(lambda: draw(wired))


@measure("drawing: live state of 12 rungs of 5 contacts, classes and words", "ms", at_most=5)
def twelve_live() -> Run:
    """What a widget asks for after each order, the drawing being made already."""
    twelve = ladder(12)
    figure = LiveFigure(twelve)
    moment = run(twelve, "press S2, let S2 go")[2]
    return _timed(lambda: figure.look(moment))


@measure("drawing: 12 rungs of 5 contacts with their live state as SVG, warm", "ms")
def twelve_live_whole() -> Run:
    """From the ladder on, as `draw(ladder, live=…)`."""
    twelve = ladder(12)
    moment = run(twelve, "press S2, let S2 go")[2]
    return _timed(lambda: draw(twelve, live=moment))
