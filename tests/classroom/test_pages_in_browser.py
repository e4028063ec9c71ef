"""A student's live HTML in a real browser, on the page that is handed back and on the report: nothing runs or loads.

Each piece stands in the output of a cell, in a text cell, in the written answer and in words that the feedback quotes.
The pages are looked at as they are, and once more without the policy by which they forbid a browser to run and fetch:
what the marker lets through must be harmless by itself.
"""

from __future__ import annotations

import contextlib
import functools
import itertools
import re
import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import nbformat
import pytest
from playwright.sync_api import Browser, Error

from classroom.once import once
from classroom.small_class import NAME, Class, notebook
from rungbook.classroom.class_folder import ClassFolder
from rungbook.classroom.feedback import hand_back
from rungbook.classroom.feedback_page import GUARD
from rungbook.classroom.reporting.report import report_lab, report_term

ELSEWHERE = "http://127.0.0.1:9"  # where a student would have it load from; nobody listens there
PIECES = {
    "script": "<script>window.ALIVE = 1; fetch('URL/script')</script>",
    "script-from-elsewhere": "<script src='URL/x.js'></script>",
    "onerror": "<img src='none' onerror=\"window.ALIVE = 1\">",
    "picture": "<img src='URL/picture.png' srcset='URL/set.png 2x'>",
    "iframe": "<iframe src='URL/frame'></iframe><iframe srcdoc='<script>parent.ALIVE = 1</script>'></iframe>",
    "javascript-link": "<a class='bait' href='javascript:window.ALIVE=1'>bait</a>",
    "style": "<style>@import 'URL/import.css'; body { background: url('URL/body.png') } p { display: none }</style>",
    "inline-style": "<p style=\"background:url('URL/inline.png');position:fixed;inset:0\">cover</p>",
    "stylesheet": "<link rel='stylesheet' href='URL/sheet.css'>",
    "svg-script": "<svg onload='window.ALIVE = 1'><script>window.ALIVE = 1</script><image href='URL/svg.png'/></svg>",
    "svg-use": "<svg><use href='URL/use.svg#x'/><a xlink:href='javascript:window.ALIVE=1'><text>bait</text></a></svg>",
    "refresh": "<meta http-equiv='refresh' content='0;url=URL/refresh'>",
    "base": "<base href='URL/'>",
    "form": "<form action='URL/form'><input autofocus onfocus='window.ALIVE = 1'><button>bait</button></form>",
    "object": "<object data='URL/object'></object><embed src='URL/embed'>",
    "film": "<video autoplay poster='URL/poster.png' src='URL/film' onerror='window.ALIVE = 1'></video>",
    "details": "<details open ontoggle='window.ALIVE = 1'><summary>x</summary>y</details>",
    "class-of-the-page": "<div class='navbar navbar-fixed-top modal in' id='site'>Score: 80 / 80</div>",
    "cut-off": "<img src='none' onerror='window.ALIVE = 1' title=\"",
    "comment": "<!--><script>window.ALIVE = 1</script>-->",
    "noscript": "<noscript><p title=\"</noscript><img src=none onerror='window.ALIVE = 1'>\"></noscript>",
    "mathml": "<math><mtext><table><mglyph><style><img src=none onerror='window.ALIVE = 1'></style></table></math>",
}
MARKDOWN = {
    "markdown-picture": "![x](URL/markdown.png)",
    "markdown-picture-by-name": "![x][far]\n\n[far]: URL/named.png",
    "markdown-link": "[bait](javascript:window.ALIVE=1)",
    "markdown-link-by-name": "[bait][near]\n\n[near]: <javascript:window.ALIVE=1>",
    "mathematics": "$\\href{javascript:window.ALIVE=1}{bait}$ $\\require{html}\\style{background:url(URL/tex.png)}{x}$",
}
# student -> what is handed in together: few pages, for nbgrader takes a second for each
GROUPS = {f"html-{n}": dict(list(PIECES.items())[n::3]) for n in range(3)} | {"markdown": MARKDOWN}
WAYS = """from IPython.display import HTML, SVG, Javascript, Markdown, Latex, display
piece = PIECE
display(HTML(piece)); print(piece)
display(Markdown(piece)); display(Javascript("window.ALIVE = 1")); display(Latex(piece))
display({"image/svg+xml": "<svg xmlns='http://www.w3.org/2000/svg' onload='top.ALIVE=1'>" + piece + "</svg>",
         "text/html": piece, "application/javascript": "window.ALIVE = 1"}, raw=True)
display({"image/svg+xml": "<svg xmlns='http://www.w3.org/2000/svg' onload='top.ALIVE=1'>" + piece + "</svg>"}, raw=True)
raise type(piece.replace("\\0", ""), (Exception,), {})(piece)"""


@dataclass
class Seen:
    """What a page did. asked: addresses but its own. alive: a script of the student's ran. left: where it went."""

    asked: list[str] = field(default_factory=list)
    alive: bool = False
    left: str = ""
    words: str = ""


class Quiet(SimpleHTTPRequestHandler):
    """A static server that writes no log."""

    def log_message(self, format: str, *args: object) -> None:
        pass


def _made(root: Path) -> list[str]:
    """A class in which each piece is handed in, marked, handed back and reported; the paths of its pages."""
    place = Class(root)
    for name, pieces in GROUPS.items():
        texts = [piece.replace("URL", ELSEWHERE) for piece in pieces.values()]
        made = notebook(
            place.lab, word=f'word = {{"relay": {texts[0]!r}, {texts[1]!r}: "x"}}', essay="\n\n".join(texts)
        )
        for number, text in enumerate(texts):
            made.cells.insert(1, nbformat.v4.new_markdown_cell(f"A student's. {text}", id=f"text{number}"))
            made.cells.insert(-1, nbformat.v4.new_code_cell(WAYS.replace("PIECE", repr(text)), id=f"shown{number}"))
        place.hand_in(name, made)
    place.mark()
    folder = ClassFolder(place.folder)
    lab = folder.lab(NAME)
    done = hand_back(folder, lab, unread=True, progress=False)
    assert done.withheld == {}
    pages = [place.folder / "feedback" / name / NAME / "lab07.html" for name in done.students]
    pages += [path for path in (*report_lab(folder, lab), *report_term(folder)) if path.suffix == ".html"]
    return [str(path.relative_to(root)) for path in pages]


@pytest.fixture(scope="module", name="pages")
def _pages(walls: None, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Name of a student, or of a report -> its page."""
    root, pages = once(tmp_path_factory, "pages-in-browser", _made)
    found = {(path.split("/")[2] if "/feedback/" in path else Path(path).stem): root / path for path in pages}
    assert set(found) == {*GROUPS, NAME, "term"}
    return found


@pytest.fixture(scope="module", name="look")
def _look(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[object]:
    """A function that opens the text of a page, uses all that can be clicked in it, and says what came of it."""
    folder = tmp_path_factory.mktemp("served")
    server = ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    base = f"http://127.0.0.1:{server.server_port}"
    context = browser.new_context()
    numbers = itertools.count()

    def look(text: str) -> Seen:
        name = f"page{next(numbers)}.html"  # of its own: a browser may keep a page for a second
        (folder / name).write_text(text, encoding="utf-8")
        seen, page = Seen(), context.new_page()
        page.on("request", lambda request: seen.asked.append(request.url))
        page.goto(f"{base}/{name}")
        page.wait_for_timeout(150)
        with contextlib.suppress(Error):  # the page was left while a hand was on it
            for bait in page.query_selector_all("a:not([href^='#']), button, form"):
                bait.evaluate("it => it.submit ? it.submit() : it.dispatchEvent(new MouseEvent('click'))")
        page.wait_for_timeout(50)
        seen.left = "" if page.url.startswith(base) else page.url
        seen.alive = bool(page.evaluate("window.ALIVE"))
        seen.words = page.inner_text("body")
        seen.asked = [one for one in seen.asked if one != f"{base}/{name}" and not one.startswith("data:")]
        page.close()
        return seen

    yield look
    context.close()
    server.shutdown()
    server.server_close()


@pytest.mark.parametrize("guarded", [True, False], ids=["as it is", "without its policy"])
@pytest.mark.parametrize("name", [*GROUPS, NAME, "term"])
def test_nothing_of_a_students_runs_or_loads(pages: dict[str, Path], look, name: str, guarded: bool) -> None:
    text = pages[name].read_text(encoding="utf-8")
    assert text.count(GUARD) == 1
    assert re.search(r"<head>\s*(?:<meta charset=[^>]*>\s*)?<meta http-equiv=\"Content-Security-Policy\"", text)
    seen = look(text if guarded else text.replace(GUARD, ""))
    assert (seen.alive, seen.left) == (False, "")
    assert [one for one in seen.asked if "favicon" not in one] == []
    told = "pump: 50 of 50 points" if name not in (NAME, "term") else "Aims"
    assert told in seen.words, "the page itself is whole"


@pytest.mark.parametrize("name", ["script", "onerror", "refresh", "form"])
def test_the_test_itself_would_see_it(look, name: str) -> None:
    piece = PIECES[name].replace("URL", ELSEWHERE)
    seen = look(f"<!DOCTYPE html><html><head></head><body><p>page</p>{piece}</body></html>")
    assert seen.alive or seen.left or seen.asked


def test_our_tables_and_pictures_are_whole_and_apart(pages: dict[str, Path], browser: Browser) -> None:
    """As a browser lays them out: columns and the text below do not touch, the caption is one line."""
    from rungbook import NC, NO, Ladder, coil
    from rungbook.classroom.feedback_page import readable
    from rungbook.classroom.marking.sanitise import clean_html
    from rungbook.proof import truth_table

    pump = Ladder("Pump with a name so long that its caption is wider than all the columns of its table")
    pump.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    html = clean_html(truth_table(pump)._repr_html_())
    body = f'<div class="output_html"><div id="t">{html}</div><p id="below">Below.</p></div>'
    page = browser.new_page(viewport={"width": 1000, "height": 600})
    page.set_content(readable(f"<!DOCTYPE html><html><head></head><body>{body}</body></html>"))
    assert page.evaluate("getComputedStyle(document.querySelector('td')).paddingRight") == "12.8px"
    gap = page.evaluate(
        "document.querySelector('#below').getBoundingClientRect().top"
        " - document.querySelector('table').getBoundingClientRect().bottom"
    )
    assert gap >= 16
    line = page.evaluate("document.querySelector('caption').getBoundingClientRect().height")
    assert line < 30
    assert page.evaluate("document.querySelectorAll('.rb-rule').length") > 0
    assert page.evaluate("getComputedStyle(document.querySelector('.rb-rule')).borderLeftWidth") == "1px"
    page.close()
