"""Figures that are held against small images, how they are rendered, and how much an image may differ.

Browsers set letters and smooth lines a little differently, so images are not compared dot by dot: both are blurred,
and the largest mean difference of any tile counts. A missing wire or dot, or a symbol a few px off, stands out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from io import BytesIO
from pathlib import Path

from PIL import Image, ImageChops, ImageFilter
from playwright.sync_api import Browser

from rungbook import NC, NO, Ladder, coil, draw, lamp, run, wire
from rungbook.behaviour import Timeline, read_script
from rungbook.drawing import contact_chart, draw_power, sheets, trip_curve
from rungbook.drawing.picture import Picture
from rungbook.drawing.title_block import TitleBlock
from rungbook.kit import TRAINING_KIT

from .boards import BOARDS
from .power_geometry import three_motors
from .strategies import NAMED

FOLDER = Path(__file__).with_name("reference")
LEVELS = 16  # of grey in a stored image
TILE = 12  # side of a tile [px]
BLUR = 1.5  # radius [px]
MOST = 11.0  # mean difference of a tile, of 255, that is still the same figure


def _live(symbols: str, paths: str, width: float | None = None) -> Picture:
    ladder = NAMED["holding"]()
    return draw(ladder, symbols, paths, width, live=run(ladder, "press S2, let S2 go")[2])


def _live_bridge() -> Picture:
    board = BOARDS["bridge"]()
    timeline = Timeline(board)
    for step in read_script("press S1, press S5", board.devices):
        timeline.do(step)
        timeline.advance(timeline.now + 1_000_000)
    return draw(board, live=timeline)


def _panel() -> Picture:
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return draw(wire(ladder, TRAINING_KIT))


def _sheet() -> str:
    block = TitleBlock(lab="lab02", group="Tuesday, bench 4", date="2026-03-02", drawn_by="S. N.")
    return sheets(NAMED["holding"](), "A4", block).html


#: name -> a picture, or a page of HTML.
FIGURES: Mapping[str, Callable[[], Picture | str]] = {
    "ladder-nema": lambda: draw(NAMED["holding"]()),
    "ladder-iec": lambda: draw(NAMED["holding"](), "iec"),
    "ladder-nema-down": lambda: draw(NAMED["nested"](), paths="down", width=700),
    "ladder-iec-down": lambda: draw(NAMED["counting"](), "iec", "down"),
    "folded-nema": lambda: draw(NAMED["every_kind"](), width=600),
    "folded-iec": lambda: draw(NAMED["every_kind"](), "iec", width=600),
    "bridged-nema": lambda: draw(BOARDS["two_outputs"]()),
    "bridged-iec-down": lambda: draw(BOARDS["two_outputs"](), "iec", "down"),
    "live-nema": lambda: _live("nema", "across"),
    "live-iec-down-folded": lambda: _live("iec", "down", 400),
    "live-bridge": _live_bridge,
    "power-nema": lambda: draw_power(three_motors()),
    "power-iec": lambda: draw_power(three_motors(), "iec"),
    "timing": lambda: draw(run(NAMED["holding"](), "press S2, let S2 go, trip F1")),
    "contact-chart": lambda: draw(contact_chart("three-position selector")),
    "panel": _panel,
    "trip-curve": lambda: trip_curve("10", (1.5, 6.0)),
    "sheet": _sheet,
}


def rendered(browser: Browser, figure: Picture | str) -> Image.Image:
    """The figure as a browser shows it, in grey; a page of HTML as it is printed."""
    page = browser.new_page(viewport={"width": 1600, "height": 1200})
    try:
        page.emulate_media(media="print")
        page.set_content(figure if isinstance(figure, str) else f"<body style='margin:0'>{figure.svg}</body>")
        shot = page.locator("section.sheet" if isinstance(figure, str) else "svg").first.screenshot()
    finally:
        page.close()
    return Image.open(BytesIO(shot)).convert("L")


def stored(image: Image.Image) -> bytes:
    """`image` as a small PNG."""
    step = 255 / (LEVELS - 1)
    few = image.point(lambda grey: round(round(grey / step) * step)).quantize(LEVELS)
    out = BytesIO()
    few.save(out, "PNG", optimize=True)
    return out.getvalue()


def difference(one: Image.Image, other: Image.Image) -> float:
    """The largest mean difference of any tile, 0 to 255; 255 if the sizes differ by more than a px."""
    if any(abs(a - b) > 1 for a, b in zip(one.size, other.size, strict=True)):
        return 255.0
    size = (min(one.width, other.width), min(one.height, other.height))
    soft = [image.crop((0, 0, *size)).filter(ImageFilter.GaussianBlur(BLUR)) for image in (one, other)]
    apart = ImageChops.difference(*soft)
    tiles = apart.resize((-(-size[0] // TILE), -(-size[1] // TILE)), Image.Resampling.BOX)
    return float(tiles.getextrema()[1])  # type: ignore[arg-type]
