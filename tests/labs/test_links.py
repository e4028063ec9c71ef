"""Every link in a page that a person reads leads somewhere, and no page needs the network."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
_MARKDOWN = re.compile(r"\]\(([^)\s]+)[^)]*\)")
_CODE = re.compile(r"```.*?```|`[^`]*`", re.DOTALL)


class _Links(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found += [value for name, value in attrs if name in ("href", "src") and value]


def links_of_html(text: str) -> list[str]:
    parser = _Links()
    parser.feed(text)
    return parser.found


def text_of(path: Path) -> str:
    text = path.read_text(encoding="utf-8")
    if path.suffix != ".ipynb":
        return text
    return "\n".join("".join(cell["source"]) for cell in json.loads(text)["cells"] if cell["cell_type"] == "markdown")


def headings(path: Path) -> set[str]:
    """Where a link with # can lead in `path`, by the rule of GitHub and of JupyterLab, both in small letters."""
    names = re.findall(r"^#+ (.+)$", text_of(path), re.MULTILINE)
    plain = {re.sub(r"[^\w\s-]", "", name).strip().replace(" ", "-").lower() for name in names}
    return plain | {name.replace(" ", "-").lower() for name in names} | set(re.findall(r'id="([^"]+)"', text_of(path)))


def broken(path: Path) -> list[str]:
    """The links of `path` that lead nowhere or out into the network."""
    text = text_of(path)
    bare = text if path.suffix == ".html" else _CODE.sub(" ", text)
    found = links_of_html(bare) + ([] if path.suffix == ".html" else _MARKDOWN.findall(bare))
    bad = []
    for link in found:
        target, _, anchor = link.partition("#")
        if link.startswith("data:"):
            continue
        if re.match(r"[a-z]+:|//", link):
            bad.append(link)
            continue
        there = (path.parent / target) if target else path
        if not there.exists() or (anchor and anchor.lower() not in headings(there)):
            bad.append(link)
    return bad


PAGES = sorted(
    [
        *(ROOT / "course").rglob("*.ipynb"),
        *(ROOT / "course").rglob("*.html"),
        *(ROOT / "solutions").rglob("*.md"),
        ROOT / "README.md",
        ROOT / "DEVELOPERS.md",
    ]
)


@pytest.mark.parametrize("path", PAGES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_link_leads_somewhere(path: Path) -> None:
    assert broken(path) == []


def test_broken_links_are_found(tmp_path: Path) -> None:
    page = tmp_path / "page.md"
    page.write_text(
        "# One title\n\n[a](#one-title) [b](#two) [c](page.md#one-title) [d](gone.md) [e](http://x.example/)"
        ' <img src="gone.png"> `[f](not-a-link)`\n'
    )
    assert sorted(broken(page)) == ["#two", "gone.md", "gone.png", "http://x.example/"]
