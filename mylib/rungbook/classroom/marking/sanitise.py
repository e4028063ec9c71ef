"""Outputs of a student's cells, for the autograded notebook: text and static pictures only.

What comes from the cage is claimed to be nbformat's outputs. Only what is listed here is let through: printed text,
errors, plain text of results, PNG and JPEG pictures, SVG as an <img> (which runs no script), and HTML cleaned by
bleach's list of tags. Everything is bounded.
"""

from __future__ import annotations

import base64
import binascii
import html as html_entities
import re
import threading
from functools import lru_cache
from typing import Any

from bleach.sanitizer import Cleaner

MAX_LINES = 1000  # of printed text of one cell, as nbgrader's own limit
MAX_TEXT = 200_000
MAX_PICTURE = 3_000_000
CUT = "… Output truncated …\n"
# fmt: off
_TAGS = frozenset(
    (
        "a", "abbr", "b", "blockquote", "br", "caption", "code", "col", "colgroup", "dd", "del", "details",
        "div", "dl", "dt", "em", "figcaption", "figure", "h1", "h2", "h3", "h4", "h5", "h6", "hr", "i", "img",
        "ins", "kbd", "li", "ol", "p", "pre", "q", "s", "samp", "small", "span", "strong", "sub", "summary",
        "sup", "table", "tbody", "td", "tfoot", "th", "thead", "tr", "u", "ul",
    )
)
# fmt: on
_ATTRIBUTES = ("alt", "title", "class", "colspan", "rowspan", "scope", "width", "height", "lang", "dir", "role")
_STYLE = re.compile(r'style="([^"<>]*)"')
#: what our own tables say in their style -> the class that stands for it on the pages, which have a stylesheet for them
OUR_CLASSES = {
    "border-left:1px solid currentColor": "rb-rule",
    "border-top:1px solid currentColor": "rb-line",
    "vertical-align:top": "rb-top",
    "text-indent:-1em": "rb-hanging",
    "white-space:nowrap": "rb-whole",
}
_PICTURE = re.compile(r"data:image/(?:png|jpeg|gif|svg\+xml);base64,[A-Za-z0-9+/=\s]*\Z")
_this_thread = threading.local()  # its cleaner: bleach's must not be shared, and takes long to make
# our own pictures, one element with nothing round it: bleach leaves of them what stands in the brackets
_DRAWN = re.compile(
    r'<img( alt="(?:[^"<>&\x00-\x08\x0b-\x1f\x7f-\x9f]|&(?:amp|lt|gt|quot|#x27);)*"'
    r' src="data:image/svg\+xml;base64,[A-Za-z0-9+/=]*")(?: style="[^"<>&]*")?>\Z'
)
_PAIR = re.compile(r"[\ud800-\udfff]")


_BARE = "b|i|u|s|em|strong|sub|sup|br|hr|p|code|kbd|pre|ul|ol|li|table|thead|tbody|tr|td|th|div|span|details|summary"
_TAG = re.compile(rf"<(?!(?:/?(?:{_BARE})\s*/?|https?://[^<>\s\"'`]*)>)(?=[A-Za-z/!?])", re.IGNORECASE)
_RUNS = re.compile(
    r"(?:java|vb|live)script:|data:(?!image/(?:png|jpeg|gif)[;,])|\\href|\\require|\\html|\\unicode", re.I
)


def outputs(claimed: list[Any], count: int | None) -> list[dict[str, Any]]:
    """Return what may be kept of a cell's outputs, in nbformat's form."""
    kept: list[dict[str, Any]] = []
    lines = MAX_LINES
    for output in claimed[:400]:
        if not isinstance(output, dict):
            continue
        kind = output.get("output_type")
        if kind == "stream" and output.get("name") in ("stdout", "stderr"):
            if lines > 0:
                text, lines = _text(output.get("text"), lines)
                kept.append({"output_type": "stream", "name": output["name"], "text": text})
        elif kind == "error":
            kept.append(_error(output))
        elif kind in ("display_data", "execute_result") and isinstance(output.get("data"), dict):
            data = _bundle(output["data"])
            if data:
                one = {"output_type": kind, "data": data, "metadata": {}}
                kept.append(one | ({"execution_count": count} if kind == "execute_result" else {}))
    return kept


def markdown(source: str) -> str:
    """Return a student's text for the pages that show it: as it is, or, if there is HTML in it other than plain tags
    without attributes, a link that may run something, or a picture from elsewhere, as preformatted text."""
    read = source
    for _ in range(3):
        read = html_entities.unescape(read)
    squeezed = "".join(one for one in read if one.isprintable() and not one.isspace())
    fetches = "![" in squeezed and "//" in squeezed
    if not _TAG.search(source) and not _RUNS.search(squeezed) and not fetches:
        return source
    fence = "`" * (2 + max((len(run) for run in re.findall("`+", source)), default=1))
    return f"{fence}text\n{source}\n{fence}"


def _text(claimed: object, lines: int = MAX_LINES) -> tuple[str, int]:
    """The text, cut to its first `lines` lines and MAX_TEXT characters; and how many lines are left."""
    text = _PAIR.sub("\ufffd", claimed if isinstance(claimed, str) else "")
    if len(text) > MAX_TEXT:
        text = f"{text[:MAX_TEXT]}\n{CUT}"
    parts = text.split("\n")
    if len(parts) > lines:
        return "\n".join([*parts[: lines - 1], CUT]), 0
    return text, lines - len(parts)


def _error(output: dict[str, Any]) -> dict[str, Any]:
    traceback = output.get("traceback")
    lines = [_text(line)[0][:4000] for line in traceback[:100]] if isinstance(traceback, list) else []
    name, value = _text(output.get("ename"))[0][:300], _text(output.get("evalue"))[0][:300]
    return {"output_type": "error", "ename": name or "Error", "evalue": value, "traceback": lines}


def _bundle(data: dict[Any, Any]) -> dict[str, str]:
    kept = {}
    plain, html = data.get("text/plain"), data.get("text/html")
    if isinstance(plain, str):
        kept["text/plain"] = _text(plain)[0]
    if isinstance(html, str) and len(html) <= MAX_PICTURE:
        kept["text/html"] = clean_html(_PAIR.sub("\ufffd", html))
    elif isinstance(data.get("image/svg+xml"), str) and len(data["image/svg+xml"]) <= MAX_PICTURE:
        code = base64.b64encode(data["image/svg+xml"].encode("utf-8", "replace")).decode()
        kept["text/html"] = f'<img alt="picture" src="data:image/svg+xml;base64,{code}" style="max-width:100%">'
    for mime, start in (("image/png", b"\x89PNG\r\n\x1a\n"), ("image/jpeg", b"\xff\xd8\xff")):
        picture = data.get(mime)
        if isinstance(picture, str) and len(picture) <= MAX_PICTURE and _starts(picture, start):
            kept[mime] = picture
    return kept


def _starts(picture: str, start: bytes) -> bool:
    try:
        return base64.b64decode("".join(picture.split()), validate=True).startswith(start)
    except (binascii.Error, ValueError):
        return False


@lru_cache(maxsize=512)
def clean_html(html: str) -> str:
    """Return `html` with nothing in it that runs, loads from elsewhere, or covers the page."""
    if drawn := _DRAWN.match(html):  # most of all HTML, and bleach goes through it letter by letter
        return f'<img style="max-width:100%"{drawn[1]}>'
    if not hasattr(_this_thread, "cleaner"):
        _this_thread.cleaner = Cleaner(tags=_TAGS, attributes=_allowed, protocols=["data"], strip=True)
    cleaned = _this_thread.cleaner.clean(_STYLE.sub(_as_class, html))
    return cleaned.replace("<img ", '<img style="max-width:100%" ')


def _as_class(style: re.Match[str]) -> str:
    """Our own classes in the place of the style of our own tables; any other style is left for bleach to take away."""
    told = [name for declaration, name in OUR_CLASSES.items() if declaration in style[1].split(";")]
    return f'class="{" ".join(told)}"' if told else style[0]


def _allowed(tag: str, name: str, value: str) -> bool:
    if tag == "img" and name == "src":
        return bool(_PICTURE.match(value))
    if name == "class":  # any other of the page's classes could move a student's words to where the marks stand
        return set(value.split()) <= set(OUR_CLASSES.values())
    return name in _ATTRIBUTES
