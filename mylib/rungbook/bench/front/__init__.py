"""The front end of the widgets: files of JavaScript by concept, joined to the one module that anywidget takes."""

from __future__ import annotations

from importlib.resources import files

_HERE = files(__name__)  # in the browser edition no folder, but a place in an archive


def front(*names: str) -> str:
    """The files `names` of this folder as one module, in this order."""
    return "\n".join((_HERE / f"{name}.js").read_text(encoding="utf-8") for name in names)


NUDGE = {"do": "nudge"}  # a message that asks for nothing; clock.js says what it is for
CSS = (_HERE / "bench.css").read_text(encoding="utf-8")
