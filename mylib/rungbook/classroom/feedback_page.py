"""A feedback page of nbgrader's, as it is handed back: it fetches nothing, and everybody can read it.

nbgrader's template sets no language, has links that differ from the text around them by their colour alone, some
colours too pale for WCAG 2.2, 1.4.3 (4.5 : 1), and blocks that scroll sideways but cannot be reached by a key (2.1.1).
The marker takes every style out of a student's outputs; the page has its own for the classes that stand for those of
our tables (`marking/sanitise.py`, OUR_CLASSES).

The marker lets no live HTML of a student's onto a page either. The page forbids a browser to run or fetch anything all
the same, so that one mistake there does no harm.
"""

from __future__ import annotations

import re

_REMOTE = re.compile(r'<script src="https?://[^"]*">\s*</script>')
_FONT = re.compile(r"@font-face\s*\{[^}]*url\(['\"]?(?!['\"]?data:)[^}]*\}")  # of icons, in a file that is not there
#: what a page with students' words in it allows a browser: styles and pictures that stand in it, nothing else
GUARD = (
    "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
    "img-src data:; font-src data:; form-action 'none'; base-uri 'none'\">"
)
_STYLE = """<style>
.output_html table { border-collapse: collapse; margin: 0.6em 0 1.4em }
.output_html caption { caption-side: top; padding: 0 0 0.3em; text-align: left }
.output_html td, .output_html th { padding: 0.1em 0.8em 0.1em 0.3em; text-align: left }
.output_html .rb-whole { white-space: nowrap }
.output_html .rb-rule { border-left: 1px solid currentColor }
.output_html .rb-line { border-top: 1px solid currentColor; padding: 0.3em 0.8em 0.3em 0.3em }
.output_html .rb-top { vertical-align: top }
.output_html .rb-hanging { padding-left: 1em; text-indent: -1em }
@media print { .output_html tr, .output_html img { break-inside: avoid } }
a { color: #1d5f94; text-decoration: underline }
.panel-primary > .panel-heading .pull-right a { color: #fff !important }
.rendered_html caption, caption { color: #444 }
.highlight .ow { color: #7a00c8 }
.highlight .c1, .highlight .c { color: #2e6060 }
.highlight .kt { color: #96002f }
</style>"""


def readable(page: str) -> str:
    """Return `page` as one on which nothing runs or is fetched, in a language, with styles for our tables, colours to
    tell apart and blocks to reach."""
    page = _FONT.sub("", _REMOTE.sub("", page)).replace("<head>", f"<head>\n{GUARD}", 1)
    page = re.sub(r"<html(?![^>]*\slang=)", '<html lang="en"', page, count=1)
    page = page.replace("<pre>", '<pre tabindex="0">')
    return page.replace("</head>", f"{_STYLE}</head>", 1)
