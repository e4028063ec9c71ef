"""`rungbook site`: the course as a folder of static files that runs in a browser, with no server behind it.

Enters: the released course (`course/`), this package, and a Python environment with the tools that put a JupyterLite
site together. Leaves: a folder that any static web server can hand out. It asks no other address for anything.

| file | question it answers |
|---|---|
| `contents.py` | what a student finds: front page, first lesson, labs, bench sheets, glossary |
| `tools.py` | with what it is made: the environment for the build, the files of Pyodide, the wheels |
| `bundle.py` | what the browser's Python imports: all wheels as one archive, with bytecode |
| `browser/` | what runs elsewhere: the start of the browser's Python, and the making of bytecode under node |
| `assemble.py` | how the parts become one folder, whole or not at all |
"""

from rungbook.classroom.site.assemble import Site, build_site

__all__ = ["Site", "build_site"]
