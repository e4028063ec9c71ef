"""A finished picture: SVG text and the same in words."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Collection
from dataclasses import dataclass
from html import escape
from os import PathLike
from pathlib import Path

from rungbook.errors import LadderError


@dataclass(frozen=True, repr=False)
class Picture:
    """An SVG picture and its description.

    svg: a complete SVG document, readable alone, as an <img> or inline. description: all that the picture says, in
    words; also the <desc> of the SVG, which a screen reader reads.
    """

    svg: str
    description: str

    def _repr_mimebundle_(
        self, include: Collection[str] | None = None, exclude: Collection[str] | None = None
    ) -> dict[str, str]:
        """For the notebook: the picture, and the description where no picture can be shown.

        JupyterLab shows image/svg+xml as an <img> without alternative text, and in a notebook that is not trusted
        (one that somebody else has run) not at all. So the same picture goes before it as HTML: an <img> with the
        description as its alternative text, which is shown in either case.
        """
        bundle = {"text/html": self._image(), "image/svg+xml": self.svg, "text/plain": self.description}
        return {
            mime: data
            for mime, data in bundle.items()
            if (include is None or mime in include) and (exclude is None or mime not in exclude)
        }

    def _image(self) -> str:
        data = b64encode(self.svg.encode()).decode()
        return f'<img alt="{escape(self.description)}" src="data:image/svg+xml;base64,{data}" style="max-width:100%">'

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the picture to `path`, whose name ends in .svg; return the path.

        Raises LadderError if the name ends otherwise; OSError if the file cannot be written.
        """
        target = Path(path)
        if target.suffix.lower() != ".svg":
            raise LadderError("Picture.save", "writes SVG only", str(path), (f"{target.stem or 'ladder'}.svg",))
        target.write_text(self.svg, encoding="utf-8", newline="\n")
        return target

    def __repr__(self) -> str:
        return self.description
