"""The bench sheet of a lab: Markdown text with empty tables -> one page of HTML to print on A4 or Letter.

What is the same on every sheet stands here and not in the labs: the block for names and date, the cautions, and the
sign-off before energising. In the text, `[ ]` is a box to tick, and an empty cell of a table a place to write in.
"""

from __future__ import annotations

import re
from html import escape

from rungbook.classroom.labs import Lab
from rungbook.drawing.forms import BOX, Form, block, cautions, page_of, sign_off
from rungbook.errors import LadderError
from rungbook.grading.variants import Variant, renamed


def bench_sheet(lab: Lab, variant: Variant | None = None) -> str | None:
    """Return the lab's bench sheet as a page of HTML, or None if the lab has none. Same text, same bytes.

    variant: a renaming of words, as in the student's notebook.
    Raises LadderError if the text does not begin with a heading ("# Lab 02 · …"), or repeats the sign-off.
    """
    if not lab.bench_source.is_file():
        return None
    text = lab.bench_source.read_text(encoding="utf-8")
    if variant is not None:
        text = renamed(text, variant)
    head, _, rest = text.lstrip().partition("\n")
    if not head.startswith("# "):
        raise LadderError(f"{lab.name}, bench sheet", "begins with a heading", head[:60], ("# Lab 02 · At the bench",))
    if re.search(r"^#+ .*sign-off", rest, re.IGNORECASE | re.MULTILINE):
        raise LadderError(f"{lab.name}, bench sheet", "the sign-off is added to every sheet; leave its heading out")
    title = head[2:].strip()
    before, mark, after = rest.partition("<!-- energise -->")
    if not mark:
        rule = "a line <!-- energise --> stands between the dead tests and the steps with voltage"
        raise LadderError(f"{lab.name}, bench sheet", rule)
    body = "\n".join(
        [
            f"<h1>{escape(title)}</h1>",
            block(),
            cautions("Before you begin"),
            _html(before),
            sign_off(),
            cautions("With voltage: once more"),
            _html(after),
        ]
    )
    return page_of([Form(title, body)], extra=False)


def _html(text: str) -> str:
    from markdown_it import MarkdownIt  # what jupytext reads Markdown with

    page = MarkdownIt("commonmark", {"html": False}).enable("table").render(text).strip()
    return page.replace("[ ]", BOX)
