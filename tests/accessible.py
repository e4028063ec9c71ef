"""What axe-core finds on a page in a real browser."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import axe_playwright_python
from playwright.sync_api import Page

_AXE = Path(axe_playwright_python.__file__).with_name("axe.min.js")
GRAVE = ("critical", "serious")
#: in JupyterLab and Notebook 7: what our texts and outputs become; the rest of the page is theirs
OURS = (".jp-RenderedMarkdown", ".jp-OutputArea-output")


class Found(NamedTuple):
    """One breach of a rule. impact: axe's word. places: selector and beginning of each element. why: what to do."""

    impact: str
    rule: str
    places: tuple[str, ...]
    why: str

    def __str__(self) -> str:
        return f"{self.impact}: {self.rule}, {len(self.places)} times\n  {self.places[0]}\n  {self.why}"


def found_on(page: Page, *within: str, without: Sequence[str] = ()) -> list[Found]:
    """All rules of axe-core that are broken on `page`, in what the selectors `within` match (default: all of it) less
    what `without` match. A selector of `within` that matches nothing is a mistake of the test: axe raises."""
    if not page.evaluate("() => 'axe' in window"):
        page.evaluate(f"() => {{ const module = undefined, define = undefined; {_AXE.read_text(encoding='utf-8')} }}")
    context = {"exclude": [[one] for one in without]} | ({"include": [[one] for one in within]} if within else {})
    told = page.evaluate("context => axe.run(context, {resultTypes: ['violations']})", context)
    return [
        Found(
            rule["impact"],
            rule["id"],
            tuple(f"{node['target']} {node['html'][:200]}" for node in rule["nodes"]),
            rule["nodes"][0]["failureSummary"].replace("\n", " "),
        )
        for rule in told["violations"]
    ]


def grave(found: Sequence[Found]) -> str:
    """What is critical or serious in `found`, as text; "" if nothing is."""
    return "\n".join(str(one) for one in found if one.impact in GRAVE)
