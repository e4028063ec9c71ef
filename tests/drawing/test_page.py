"""Printed sheets: how many, how large, what stands in the title block, and nothing outside the frame."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import Browser

from rungbook import NO, Ladder, LadderError, coil, draw, run, truth_table
from rungbook.circuit import to_json
from rungbook.cli import main
from rungbook.drawing import contact_chart, draw_steps, sheets, trip_curve
from rungbook.drawing.page import EDGE, SAFETY
from rungbook.drawing.title_block import TitleBlock

from .pdf import Pdf
from .strategies import NAMED

MM = 96 / 25.4
BLOCK = TitleBlock(lab="lab02", group="Tuesday, bench 4", date="2026-03-02", drawn_by="S. N.", checked_by="")


@pytest.mark.usefixtures("chromium")
@pytest.mark.parametrize(
    ("paper", "wide", "size"),
    [
        ("A4", False, (210, 297)),  # ISO 216
        ("A4", True, (297, 210)),
        ("Letter", False, (215.9, 279.4)),  # ANSI/ASME Y14.1, size A: 8.5 by 11 in
        ("Letter", True, (279.4, 215.9)),
    ],
)
def test_a_pdf_has_a_page_a_sheet_of_the_size_of_the_paper(
    tmp_path: Path, paper: str, wide: bool, size: tuple[float, float]
) -> None:
    made = sheets([NAMED["nested"](), draw(NAMED["holding"]())], paper, BLOCK, wide)
    found = Pdf(made.save(tmp_path / "sheets.pdf").read_bytes())
    assert len(found) == made.count >= 3
    for page in found.sizes():
        assert page == pytest.approx(size, abs=0.3)
    assert found.images() == 0
    for n, text in enumerate(found.texts(), 1):
        assert f"Sheet{n}of{made.count}" in text
        assert "Laboratorylab02" in text
        assert "GroupTuesday,bench4" in text
        assert "DrawnbyS.N." in text
        assert SAFETY.replace(" ", "") in text
    assert "TitleWashpumpSheet" in found.texts()[-1]


def _ink(browser: Browser, html: str, count: int, size: tuple[float, float]) -> list[tuple[float, ...]]:
    """Where the ink of each sheet begins and ends [mm], as printed."""
    width, height = (side * MM for side in size)
    page = browser.new_page(viewport={"width": round(width), "height": round(height)})
    page.emulate_media(media="print")
    page.set_content(html)
    found = []
    for sheet in page.locator("section.sheet").all():
        image = Image.open(BytesIO(sheet.screenshot())).convert("L").point(lambda grey: 255 if grey < 200 else 0)
        box = image.getbbox()
        assert box is not None
        found.append((box[0] / MM, box[1] / MM, size[0] - box[2] / MM, size[1] - box[3] / MM))
    page.close()
    assert len(found) == count
    return found


@pytest.mark.parametrize("wide", [False, True])
def test_no_ink_comes_near_the_edge_of_the_paper(browser: Browser, wide: bool) -> None:
    ladder = NAMED["holding"]()
    trace = run(ladder, "press S2, let S2 go")
    what = [NAMED["six_by_five"](), draw(ladder, live=trace[1]), trace, truth_table(ladder), trip_curve("10")]
    made = sheets(what, "A4", BLOCK, wide, symbols="iec", paths="down")
    for left, top, right, bottom in _ink(browser, made.html, made.count, (297, 210) if wide else (210, 297)):
        assert left == pytest.approx(EDGE, abs=0.6)  # the frame
        assert top == pytest.approx(EDGE, abs=0.6)
        assert right == pytest.approx(EDGE, abs=0.6)
        assert EDGE - 0.5 <= bottom <= EDGE + 2.5  # the safety line


@pytest.mark.parametrize(("paper", "wide"), [("A4", False), ("A4", True), ("Letter", False), ("Letter", True)])
def test_nothing_of_a_picture_lies_under_the_title_block(browser: Browser, paper: str, wide: bool) -> None:
    ladder = NAMED["six_by_five"]()
    what = [
        ladder,
        NAMED["odd_letters"](),
        NAMED["nested"](),
        truth_table(NAMED["holding"]()),
        contact_chart("counter"),
    ]
    made = sheets([*what, draw(NAMED["holding"](), paths="down")], paper, BLOCK, wide)
    page = browser.new_page(viewport={"width": 1200, "height": 900})
    page.emulate_media(media="print")
    page.set_content(made.html)
    under = page.evaluate(
        """() => [...document.querySelectorAll('section.sheet')].flatMap((sheet, n) => {
          const block = sheet.querySelector('.block').getBoundingClientRect();
          const frame = sheet.querySelector('.frame').getBoundingClientRect();
          const apart = Math.abs(block.right - frame.right) + Math.abs(block.bottom - frame.bottom);
          if (apart > 1) return [[n + 1, `title block ${apart} px from the corner of the frame`]];
          return [...sheet.querySelectorAll('.picture path, .picture circle, .picture text')].filter(one => {
            const box = one.getBoundingClientRect();
            return (box.right > block.left && box.bottom > block.top && box.left < block.right) ||
              box.left < frame.left || box.right > frame.right || box.top < frame.top || box.bottom > frame.bottom;
          }).map(one => [n + 1, one.textContent]) })"""
    )
    page.close()
    assert under == []


def test_a_small_picture_keeps_its_size_and_a_large_one_gets_smaller() -> None:
    small = sheets(draw(NAMED["holding"]())).html
    wide, _ = draw(NAMED["holding"]()).size
    assert f"width:{wide / MM:.2f}mm" in small
    assert "width:188.00mm" in sheets(draw(NAMED["every_kind"]())).html  # A4 less margins: 210 - 16 - 6


def test_a_picture_that_could_not_be_read_is_refused() -> None:
    ladder = Ladder("Long")
    way = NO("K1")
    for n in range(2, 30):
        way = way & NO(f"K{n}")
    ladder.rung(way, coil("Q1"))
    with pytest.raises(LadderError, match="too small to read") as caught:
        sheets(draw(ladder))
    assert "draw(ladder, width=700)" in caught.value.choices
    assert sheets(ladder).count == 1


def test_steps_of_a_run_are_a_sheet_each() -> None:
    ladder = NAMED["holding"]()
    assert sheets(draw_steps(ladder, run(ladder, "press S2, let S2 go"))).count == 3


def test_two_sheets_with_the_same_picture_share_no_id() -> None:
    ladder = NAMED["holding"]()
    picture = draw(ladder, live=run(ladder, "press S2")[1])
    html = sheets([picture, picture]).html
    names = [part.split('"', 1)[0] for part in html.split(' id="')[1:]]
    assert len(names) == len(set(names)) == 6  # svg, title, desc
    for name in names[::3]:
        assert html.count(f"#{name} ") >= 10  # its style sheet


def test_a_long_title_takes_two_lines_and_then_ends_in_dots() -> None:
    words = "Apple elevator, mill, press pump, vat agitator, filling line and cellar fan of the mill at the river, " * 2
    html = sheets(draw(NAMED["holding"]()), block=TitleBlock(title=words[:180])).html
    block = html.split('aria-label="Title block"', 1)[1]
    assert block.count('font-weight="bold"') == 2
    assert "…</text>" in block


@pytest.mark.parametrize("field", ["lab", "group", "date", "drawn_by", "checked_by"])
def test_a_field_that_does_not_fit_its_box_is_refused(field: str) -> None:
    with pytest.raises(LadderError, match=f"the words for {field} do not fit"):
        TitleBlock(**{field: "W" * 60})
    with pytest.raises(LadderError, match=f"the {field} must be text"):
        TitleBlock(**{field: 3})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("arguments", "rule"),
    [
        ({"paper": "A3"}, "no such paper"),
        ({"paper": None}, "no such paper"),
        ({"block": {"lab": "lab02"}}, "block is a TitleBlock"),
        ({"what": []}, "prints 1 to 200 sheets"),
        ({"what": "pump"}, "draws a Ladder"),
    ],
)
def test_what_cannot_be_printed_is_refused(arguments: dict[str, object], rule: str) -> None:
    given = {"what": NAMED["holding"](), **arguments}
    with pytest.raises(LadderError, match=rule):
        sheets(**given)  # type: ignore[arg-type]


def test_sheets_are_saved_as_pdf_or_html_only(tmp_path: Path) -> None:
    made = sheets(NAMED["holding"]())
    assert made.save(tmp_path / "sheets.html").read_text(encoding="utf-8") == made.html
    with pytest.raises(LadderError, match="writes PDF or HTML") as caught:
        made.save(tmp_path / "sheets.png")
    assert caught.value.choices == ("sheets.pdf", "sheets.html")


@pytest.mark.usefixtures("chromium")
def test_the_command_prints_ladders(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "pump.json").write_text(to_json(NAMED["holding"]()), encoding="utf-8")
    out = tmp_path / "sheets.pdf"
    words = ["print", str(tmp_path / "pump.json"), "-o", str(out), "--paper", "Letter", "--drawn-by", "S. N."]
    assert main(words) == 0
    assert capsys.readouterr().out == f"written: {out} (1 sheet of Letter)\n"
    found = Pdf(out.read_bytes())
    assert found.sizes()[0] == pytest.approx((215.9, 279.4), abs=0.3)
    assert "DrawnbyS.N." in found.texts()[0]


def test_the_command_refuses_what_it_cannot_print(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "pump.json").write_text("[]")
    assert main(["print", str(tmp_path / "pump.json"), "-o", str(tmp_path / "a.pdf")]) == 2
    assert main(["print", str(tmp_path / "none.json"), "-o", str(tmp_path / "a.pdf")]) == 2
    assert capsys.readouterr().err.startswith("rungbook print: ")
    assert not (tmp_path / "a.pdf").exists()
