"""Only static outputs come through."""

import base64
import re

import pytest

from rungbook.classroom.marking import sanitise
from rungbook.classroom.marking.sanitise import clean_html, markdown, outputs

PNG = base64.b64encode(b"\x89PNG\r\n\x1a\n....").decode()


class TestHtml:
    @pytest.mark.parametrize(
        ("html", "left"),
        [
            ("<script>alert(1)</script><b>x</b>", "alert(1)<b>x</b>"),
            ('<b onclick="alert(1)">x</b>', "<b>x</b>"),
            ('<a href="https://example.org">x</a>', "<a>x</a>"),
            ('<img src="https://example.org/a.png" alt="x">', '<img style="max-width:100%" alt="x">'),
            ('<img src="data:text/html;base64,AAAA" onerror="alert(1)">', "<img>"),
            ('<iframe src="x"></iframe><p style="position:fixed">y</p>', "<p>y</p>"),
            ("<svg onload=alert(1)><b>x</b></svg>", "<b>x</b>"),
        ],
    )
    def test_loses_what_runs_or_loads(self, html: str, left: str) -> None:
        assert clean_html(html) == left

    def test_of_a_diagram_keeps_picture_and_description(self) -> None:
        from rungbook import NO, Ladder, coil, draw

        ladder = Ladder("Pump")
        ladder.rung(NO("S1"), coil("Q1"))
        html = draw(ladder)._repr_mimebundle_()["text/html"]
        cleaned = clean_html(html)
        assert 'alt="Ladder diagram' in cleaned
        assert html.split('src="')[1].split('"')[0] in cleaned

    def test_of_a_table_keeps_rows_and_cells(self) -> None:
        html = "<table><tbody><tr><th>S1</th><td>pressed</td></tr></tbody></table>"
        assert clean_html(html) == html


class TestClasses:
    def test_stand_for_the_styles_of_our_own_tables(self) -> None:
        from rungbook.tables import html_table

        cleaned = clean_html(html_table("T", ["a", "b"], [["1", "2"]], rule_before=1))
        assert '<caption class="rb-whole">T</caption>' in cleaned
        assert '<th scope="col">a</th><th scope="col" class="rb-rule">b</th>' in cleaned
        assert '<td>1</td><td class="rb-rule">2</td>' in cleaned

    @pytest.mark.parametrize("told", ["navbar-fixed-top", "rb-rule modal", "panel nbgrader-label"])
    def test_of_the_page_itself_are_not_a_students_to_use(self, told: str) -> None:
        assert clean_html(f'<div class="{told}">x</div>') == "<div>x</div>"

    def test_do_not_stand_for_any_other_style(self) -> None:
        assert clean_html('<p style="vertical-align:topmost;position:fixed">x</p>') == "<p>x</p>"


class TestOutputs:
    def test_that_are_none_are_dropped(self) -> None:
        assert outputs(["x", {"output_type": "stream", "name": "other", "text": "x"}, {"output_type": 7}], 1) == []

    def test_of_other_kinds_than_text_and_pictures_are_dropped(self) -> None:
        data = {"application/javascript": "alert(1)", "text/plain": "x", "text/markdown": "<script>"}
        assert outputs([{"output_type": "display_data", "data": data}], 1) == [
            {"output_type": "display_data", "data": {"text/plain": "x"}, "metadata": {}}
        ]

    def test_that_say_they_are_a_picture_must_begin_like_one(self) -> None:
        good = {"output_type": "display_data", "data": {"image/png": PNG}}
        bad = {"output_type": "display_data", "data": {"image/png": base64.b64encode(b"<script>").decode()}}
        assert outputs([good, bad], 1) == [{"output_type": "display_data", "data": {"image/png": PNG}, "metadata": {}}]

    def test_svg_becomes_an_image_which_runs_nothing(self) -> None:
        (made,) = outputs([{"output_type": "display_data", "data": {"image/svg+xml": "<svg onload='x()'/>"}}], 1)
        assert made["data"]["text/html"].startswith('<img alt="picture" src="data:image/svg+xml;base64,')

    def test_printed_lines_are_cut_at_a_thousand_over_the_whole_cell(self) -> None:
        flood = {"output_type": "stream", "name": "stdout", "text": "x\n" * 600}
        made = outputs([flood, flood, flood], 1)
        assert len(made) == 2
        assert made[1]["text"].endswith("… Output truncated …\n")
        assert sum(one["text"].count("\n") for one in made) < 1002

    def test_half_a_pair_of_a_character_can_still_be_written(self) -> None:
        (made,) = outputs([{"output_type": "stream", "name": "stdout", "text": "a\ud800b"}], 1)
        assert made["text"] == "a\ufffdb"


class TestMarkdown:
    @pytest.mark.parametrize(
        "text",
        [
            "The contact **holds**, since 3 < 4 and a<4.",
            "| a | b |\n|---|---|\n| 1 | 2 |",
            "H<sub>2</sub>O<br>x",
            "<https://example.org/a>",
            "&lt;script&gt; is a tag",
        ],
    )
    def test_of_the_usual_kind_stays(self, text: str) -> None:
        assert markdown(text) == text

    @pytest.mark.parametrize(
        "text",
        [
            "<script>alert(1)</script>",
            '<img src=x onerror="alert(1)">',
            "<b onmouseover=alert(1)>x</b>",
            "[x](javascript:alert(1))",
            "[x](java&#115;cript:alert(1))",
            "[x](Java\tScript:alert(1))",
            "[x]: data:text/html,x",
            "$\\href{x}{y}$",
            "<!-- x",
            "![x](https://example.org/x.png)",
            "![x][y]\n\n[y]: //example.org/x.png",
        ],
    )
    def test_that_may_run_something_is_shown_as_it_is_written(self, text: str) -> None:
        assert markdown(text) == f"```text\n{text}\n```"

    def test_cannot_leave_its_frame(self) -> None:
        assert markdown("````\n<script>") == "``````text\n````\n<script>\n``````"


def test_our_own_pictures_take_a_short_way_to_what_bleach_makes_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    alt, svg = "1 &amp; 2 &lt;b&gt; &quot;é&quot; &#x27;\n\tü\u2028\ufdd0", "data:image/svg+xml;base64,PHN2Zz4="
    picture = f'<img alt="{alt}" src="{svg}" style="max-width:100%">'
    others = [
        picture.replace(' style="max-width:100%"', ""),
        picture.replace("svg+xml", "png"),
        picture.replace("PHN2Zz4=", ""),
        picture.replace("<img", "<img onerror='x'"),
        picture.replace("é", "&eacute;&amp;copy &copy"),
        picture.replace("é", "a\rb\x00\x0c"),
        picture.replace("100%", "100%;position:fixed"),
        picture.replace("100%", "&quot;"),
        picture + "<script>x</script>",
        picture + picture,
        f"<b>{picture}",
    ]
    short = [sanitise.clean_html.__wrapped__(html) for html in (picture, *others)]
    assert short[0] == f'<img style="max-width:100%" alt="{alt}" src="{svg}">'
    monkeypatch.setattr(sanitise, "_DRAWN", re.compile("never"))
    assert [sanitise.clean_html.__wrapped__(html) for html in (picture, *others)] == short
