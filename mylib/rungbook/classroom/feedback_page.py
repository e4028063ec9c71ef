"""A feedback page of nbgrader's, as it is handed back: it fetches nothing, and everybody can read it.

nbgrader's template sets no language, has links that differ from the text around them by their colour alone, some
colours too pale for WCAG 2.2, 1.4.3 (4.5 : 1), and blocks that scroll sideways but cannot be reached by a key (2.1.1).
Tables have room between columns whatever became of their style on the way.
"""

from __future__ import annotations

import re

_REMOTE = re.compile(r'<script src="https?://[^"]*">\s*</script>')
_STYLE = """<style>
.output_html td, .output_html th { padding: 0.1em 0.8em 0.1em 0.3em; text-align: left }
a { color: #1d5f94; text-decoration: underline }
.panel-primary > .panel-heading .pull-right a { color: #fff !important }
.rendered_html caption, caption { color: #444 }
.highlight .ow { color: #7a00c8 }
.highlight .c1, .highlight .c { color: #2e6060 }
.highlight .kt { color: #96002f }
</style>"""


def readable(page: str) -> str:
    """Return `page` without scripts from elsewhere, in a language, with colours to tell apart and blocks to reach."""
    page = _REMOTE.sub("", page)
    page = re.sub(r"<html(?![^>]*\slang=)", '<html lang="en"', page, count=1)
    page = page.replace("<pre>", '<pre tabindex="0">')
    return page.replace("</head>", f"{_STYLE}</head>", 1)
