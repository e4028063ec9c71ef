"""A ladder over sheets of paper."""

from __future__ import annotations

import pytest

from rungbook import NC, NO, Ladder, LadderError, coil, lamp
from rungbook.drawing import pages
from rungbook.drawing.paper import Page

from .checker import check_ladder
from .geometry import box_of, overlap
from .strategies import NAMED

WAYS = [(paper, paths, wide) for paper in ("A4", "Letter") for paths in ("across", "down") for wide in (False, True)]


def forty() -> Ladder:
    """Forty rungs of the filling line, each relay after the one before."""
    ladder = Ladder("Filling line of the cider mill")
    ladder.rung(NC("S1") & (NO("S2") | NO("K1")), coil("K1"), note="Release of the line.")
    for n in range(2, 41):
        if n % 5:
            ladder.rung(NO(f"K{n - 1}") & NC("F1"), coil(f"K{n}"))
        else:
            way = NO(f"K{n - 1}") & NC(f"K{n - 2}") & (NO(f"S{n}") | NO(f"K{n - 2}"))
            ladder.rung(way, coil(f"K{n}"), lamp(f"P{n}", "green"), note="A lamp shows how far it is. " * 3)
    return ladder


def _all_is_on_paper(page: Page) -> None:
    plan = page.plan
    boxes = [text.box for text in plan.texts] + [symbol.box for symbol in plan.symbols]
    boxes += [box_of(wire) for wire in plan.wires] + [line.box for line in plan.lines]
    for box in boxes:
        assert not overlap(box, page.block), (box, page.block)
        assert 0 <= box[0] <= box[2] <= plan.width
        assert 0 <= box[1] <= box[3] <= plan.height
    legend = [text.box[1] for text in plan.texts if text.role == "legend"]
    drawn = [text.box[3] for text in plan.texts if text.role != "legend"] + [box_of(wire)[3] for wire in plan.wires]
    assert max(drawn) < min(legend, default=plan.height)


@pytest.mark.parametrize(("paper", "paths", "wide"), WAYS)
def test_forty_rungs_stand_once_each_and_every_page_is_as_a_checker_wants(paper: str, paths: str, wide: bool) -> None:
    ladder = forty()
    done = pages(ladder, paper, paths=paths, wide=wide)
    assert len(done) > 1
    assert [rung for page in done for rung in page.rungs] == list(range(1, 41))
    for page in done:
        check_ladder(page.plan, ladder, page.rungs)
        _all_is_on_paper(page)


@pytest.mark.parametrize("name", NAMED)
@pytest.mark.parametrize(("paper", "paths", "wide"), WAYS[::3])
def test_named_ladders_fit_their_pages(name: str, paper: str, paths: str, wide: bool) -> None:
    ladder = NAMED[name]()
    for page in pages(ladder, paper, paths=paths, wide=wide):
        check_ladder(page.plan, ladder, page.rungs)
        _all_is_on_paper(page)


@pytest.mark.parametrize(
    ("paper", "wide", "size"),
    [
        ("A4", False, (793, 1122)),  # ISO 216: 210 mm by 297 mm, at 96 px an inch
        ("A4", True, (1122, 793)),
        ("Letter", False, (816, 1056)),  # ANSI size A: 8.5 in by 11 in
    ],
)
def test_a_page_has_the_size_of_its_paper(paper: str, wide: bool, size: tuple[int, int]) -> None:
    for page in pages(forty(), paper, wide=wide):
        assert f'width="{size[0]}" height="{size[1]}"' in page.svg


def test_a_cross_reference_says_page_and_rung() -> None:
    ladder = forty()
    first, *_, last = pages(ladder)
    place = {rung: page.number for page in pages(ladder) for rung in page.rungs}
    named = {text.device: text.words for page in pages(ladder) for text in page.plan.texts if text.role == "reference"}
    assert named["K1"] == f"{place[1]}.1, {place[2]}.2"
    assert named["K39"] == f"{place[40]}.40"
    assert "page and rung, such as 2.7," in " ".join(text.words for text in first.plan.texts if text.role == "legend")
    assert [text.words for text in last.plan.texts if text.role == "page"] == [f"page {last.number} of {last.count}"]


def test_one_page_has_plain_references_and_no_page_number() -> None:
    (page,) = pages(NAMED["holding"]())
    assert [text.words for text in page.plan.texts if text.role == "reference"] == ["1, 2"]
    assert not [text for text in page.plan.texts if text.role == "page"]
    assert page.description.startswith("Ladder diagram 'Wash pump': 2 rungs between")


def test_a_page_tells_its_own_rungs_and_where_the_contacts_of_its_coils_are() -> None:
    second = pages(forty())[1]
    first_rung, last_rung = second.rungs[0], second.rungs[-1]
    lines = second.description.splitlines()
    assert lines[0].startswith("Page 2 of ")
    assert f"40 rungs, of which {first_rung}, " in lines[0]
    told = [line.split(":")[0] for line in lines if line.startswith("Rung ")]
    assert told == [f"Rung {n}" for n in second.rungs]
    assert any(line.startswith(f"Contacts of K{last_rung}: ") for line in lines)
    assert not any(line.startswith("Contacts of K1:") for line in lines)


def test_a_rung_larger_than_the_paper_makes_the_drawing_smaller_not_shorter() -> None:
    ladder = Ladder("Many ways in")
    part = NO("S1")
    wide = part
    for n in range(2, 41):
        wide = wide | NO(f"S{n}")  # type: ignore[assignment]
    ladder.rung(wide, coil("Q1"))
    (page,) = pages(ladder)
    assert page.scale < 1
    assert f'width="{793}"' in page.svg
    check_ladder(page.plan, ladder, page.rungs)
    _all_is_on_paper(page)


def test_a_ladder_without_rungs_is_one_page() -> None:
    (page,) = pages(Ladder("Cellar fan"))
    assert (page.number, page.count, page.rungs) == (1, 1, ())


def test_a_page_is_a_picture_with_what_a_title_block_says() -> None:
    page = pages(forty())[0]
    assert (page.title, page.number) == ("Filling line of the cider mill", 1)
    assert page._repr_mimebundle_()["image/svg+xml"] == page.svg
    left, top, right, bottom = page.block
    assert (right - left, bottom - top) == (340, 84)


def test_only_a_ladder_on_a_known_paper_is_laid_out() -> None:
    with pytest.raises(LadderError, match="draws a Ladder"):
        pages(NO("S1"))  # type: ignore[arg-type]
    with pytest.raises(LadderError, match="no such paper") as caught:
        pages(Ladder(), "A5")
    assert caught.value.choices == ("A4", "Letter")
