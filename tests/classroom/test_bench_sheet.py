from pathlib import Path

import pytest

from rungbook import LadderError
from rungbook.classroom.bench_sheet import bench_sheet
from rungbook.classroom.build import build, stale
from rungbook.classroom.labs import Lab
from rungbook.drawing.forms import CAUTIONS
from rungbook.grading.variants import Variant

TEXT = """# Lab 07 · At the bench

## Dead tests

| from | to | expected | measured |
|---|---|---|---|
| S1:21 | S1:22 | 0 ohm | |

- [ ] Supply locked out

<!-- energise -->

## Live tests

| do | see | seen |
|---|---|---|
| press S2 | Q1 pulls in | |
"""


@pytest.fixture
def lab(tmp_path: Path) -> Lab:
    lab = Lab(tmp_path, "lab07-small")
    lab.bench_source.parent.mkdir(parents=True)
    lab.bench_source.write_text(TEXT, encoding="utf-8")
    return lab


class TestBenchSheet:
    def test_a_lab_without_one_has_none(self, tmp_path: Path) -> None:
        assert bench_sheet(Lab(tmp_path, "lab08-none")) is None

    def test_the_sign_off_stands_between_the_dead_tests_and_the_steps_with_voltage(self, lab: Lab) -> None:
        page = bench_sheet(lab)
        assert page is not None
        places = [page.index(words) for words in ("Dead tests</h2>", "Sign-off before energising", "Live tests</h2>")]
        assert places == sorted(places)

    def test_the_cautions_stand_before_each_part(self, lab: Lab) -> None:
        page = bench_sheet(lab) or ""
        for caution in CAUTIONS:
            first, second = page.index(caution), page.rindex(caution)
            assert first < page.index("Dead tests</h2>") < page.index("Sign-off before") < second
            assert second < page.index("Live tests</h2>")

    def test_a_pair_of_brackets_is_a_box_to_tick_and_an_empty_cell_a_place_to_write_in(self, lab: Lab) -> None:
        page = bench_sheet(lab) or ""
        assert page.count('class="box"') == 1 + 0
        assert "<td></td>" in page

    def test_follows_a_variant(self, lab: Lab) -> None:
        page = bench_sheet(lab, Variant("ab12", {"S2": "S5"})) or ""
        assert "press S5" in page
        assert "S2" not in page

    @pytest.mark.parametrize(
        ("old", "new", "says"),
        [
            ("# Lab 07 · At the bench", "Lab 07", "begins with a heading"),
            ("<!-- energise -->", "", "a line <!-- energise --> stands between"),
            ("## Live tests", "## Sign-off", "the sign-off is added to every sheet"),
        ],
    )
    def test_a_text_of_another_form_is_refused(self, lab: Lab, old: str, new: str, says: str) -> None:
        lab.bench_source.write_text(TEXT.replace(old, new), encoding="utf-8")
        with pytest.raises(LadderError, match=says):
            bench_sheet(lab)

    def test_no_html_of_the_text_gets_through(self, lab: Lab) -> None:
        lab.bench_source.write_text(TEXT + "\n<script>x</script>\n", encoding="utf-8")
        assert "<script>" not in (bench_sheet(lab) or "")


class TestBuild:
    SOURCE = (
        '<!-- #region nbgrader={"grade_id": "lab07-words", "points": 100} -->\n'
        "### BEGIN SOLUTION\nx\n### END SOLUTION\n<!-- #endregion -->\n"
    )

    def test_the_sheet_is_built_beside_the_notebook_and_a_stale_one_is_found(self, lab: Lab) -> None:
        lab.source.write_text(self.SOURCE, encoding="utf-8")
        assert lab.bench_sheet in build([lab])
        assert stale([lab]) == []
        lab.bench_source.write_text(TEXT.replace("press S2", "press S3"), encoding="utf-8")
        assert stale([lab]) == [lab.bench_sheet]
