"""What a student finds in the browser edition: front page, first lesson, labs with their bench sheets, glossary.

Everything is taken from `course/` as it is released, never from the sources, so no solution can come along.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from html import escape
from importlib.resources import files
from pathlib import Path
from urllib.parse import quote

from rungbook.errors import LadderError

FIRST_LESSON = "first-lesson.ipynb"
_KERNEL = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
_FOLDER = re.compile(r"lab[0-9]{2}-[a-z0-9-]+\Z")
_ONLY = re.compile(
    r"<!-- in the browser edition -->\n(.*?)<!-- in the course folder -->\n(.*?)<!-- in both -->\n", re.S
)
_STYLE = """
body { font: 1rem/1.5 "DejaVu Sans", Arial, sans-serif; color: #1a1a1a; background: #fff; max-width: 46rem;
  margin: 0 auto; padding: 1.5rem 1rem }
h1 { font-size: 1.8rem; margin: 0 } h2 { font-size: 1.2rem; margin: 2rem 0 .5rem }
a { color: #8a4500 } a:focus-visible { outline: 3px solid #b85c00; outline-offset: 2px }
.start { display: inline-block; border: 2px solid #b85c00; padding: .5rem 1rem; font-weight: bold; margin: .5rem 0 }
table { border-collapse: collapse; width: 100% } td, th { border-bottom: 1px solid #999; padding: .35rem .5rem .35rem 0;
  text-align: left; vertical-align: top } td:last-child { white-space: nowrap }
.cautions { border: 3px solid #1a1a1a; padding: .25rem 1rem; margin: 1.5rem 0 }
"""


def contents(root: Path) -> dict[str, str]:
    """Return the files of the browser edition's course: path with slashes -> text.

    root: the course's top folder; what it has under `course/` is taken: notebooks and bench sheets of the labs, the
    glossary. The first lesson is added.
    Raises LadderError if there is no lab.
    """
    course = root / "course"
    found = [path for folder in _lab_folders(course) for path in sorted(folder.iterdir()) if path.suffix in _KINDS]
    if not found:
        raise LadderError("Site", "the course has no labs; run rungbook build", str(course))
    found += [path for path in (course / "glossary.ipynb",) if path.is_file()]
    made = {path.relative_to(course).as_posix(): path.read_text(encoding="utf-8") for path in found}
    return {FIRST_LESSON: first_lesson()} | made


# what the browser's Python begins with; the front page has it fetched while somebody reads
FETCHED_EARLY = tuple(
    f"static/pyodide/{name}"
    for name in ("pyodide.asm.wasm", "packages.zip", "python_stdlib.zip", "pyodide.asm.mjs", "pyodide.mjs", "start.mjs")
)
_KINDS = (".ipynb", ".html")


def _lab_folders(course: Path) -> list[Path]:
    return [path for path in sorted(course.glob("lab*")) if path.is_dir() and _FOLDER.match(path.name)]


def first_lesson(*, browser: bool = True) -> str:
    """The first lesson as the text of a notebook without outputs; browser: of the browser edition, else of course/."""
    import jupytext
    import nbformat
    from nbformat.notebooknode import NotebookNode

    text = (files(__package__) / "first-lesson.md").read_text(encoding="utf-8")
    notebook = jupytext.reads(_ONLY.sub(r"\1" if browser else r"\2", text), fmt="md")
    notebook.metadata = NotebookNode(kernelspec=_KERNEL, language_info={"name": "python"})
    for number, cell in enumerate(notebook.cells):
        cell.metadata = nbformat.from_dict({})
        cell["id"] = f"first-lesson-{number:03d}"
    nbformat.validate(notebook)
    return nbformat.writes(notebook, indent=1, sort_keys=True) + "\n"


def front_page(course: Mapping[str, str]) -> str:
    """Return the front page, as HTML, over the files that `contents` returned; every link stays in the site.

    JupyterLite reads its settings through the empty element `jupyter-config-data` of this page.
    """
    rows = []
    for path, text in course.items():
        folder, _, name = path.partition("/")
        if not name.endswith(".ipynb"):
            continue
        sheet = f"{folder}/bench-sheet.html"
        link = f'<a href="files/{quote(sheet)}">bench sheet</a>' if sheet in course else ""
        rows.append(f'<tr><td><a href="{_opens(path)}">{escape(title(text))}</a></td><td>{link}</td></tr>')
    early = "\n".join(f'<link rel="prefetch" href="{path}">' for path in FETCHED_EARLY)
    glossary = f'<p><a href="{_opens("glossary.ipynb")}">Glossary</a></p>' if "glossary.ipynb" in course else ""
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Rungbook</title>
<link rel="icon" href="lab/favicon.ico">
{early}
<style>{_STYLE}</style>
<script id="jupyter-config-data" type="application/json" data-jupyter-lite-root=".">{{}}</script>
</head>
<body>
<main>
<h1>Rungbook</h1>
<p>Electrically controlled motor systems: draw the control circuit of a motor, see what it does, and have it checked
before anything is energised. It runs in this browser, with nothing to install.</p>
<p><a class="start" href="{_opens(FIRST_LESSON)}">First lesson: five minutes</a></p>
<h2>Labs</h2>
<table>
<tr><th scope="col">Lab</th><th scope="col">To print</th></tr>
{chr(10).join(rows)}
</table>
{glossary}
<h2>Where your work is</h2>
<p>What you save is kept in this browser, on this computer, at this address; nothing is sent anywhere. Who uses the same
browser after you finds it. Clearing the browser's data deletes it, and a private window forgets it when it closes.</p>
<ul>
<li>To take a notebook out, to hand it in or to keep a copy: right-click it in the list of files, <b>Download</b>.</li>
<li>To bring one back: drag it into the list of files.</li>
<li>To begin a lab anew: take out what you want to keep, then delete its notebook in the list; it comes back as it
was released.</li>
</ul>
<div class="cautions">
<p><b>This is paper, not a panel.</b> At the bench: de-energise, lock out and tag, verify the absence of voltage with a
meter proved on a known live source before and after, and energise only after the sign-off, with a qualified person
beside you. Local codes and the judgement of a licensed person come before anything that is written here.</p>
</div>
</main>
</body>
</html>
"""


def title(notebook: str) -> str:
    """The heading with which the text of a notebook begins; "Notebook" if it has none."""
    cells = json.loads(notebook)["cells"]
    first = "".join(cells[0]["source"]) if cells else ""
    head = first.lstrip().partition("\n")[0]
    return head[2:].strip() if head.startswith("# ") else "Notebook"


def _opens(path: str) -> str:
    return f"lab/index.html?path={quote(path, safe='')}"
