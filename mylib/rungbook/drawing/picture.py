"""A finished picture: SVG text and the same in words."""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Collection
from dataclasses import dataclass
from html import escape
from os import PathLike
from pathlib import Path

from rungbook.errors import LadderError

_SIDE = {side: re.compile(rf'<svg[^>]* {side}="([\d.]+)"') for side in ("width", "height")}


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

    @property
    def size(self) -> tuple[float, float]:
        """Width and height [px], as the SVG says."""
        width, height = (_SIDE[side].search(self.svg) for side in ("width", "height"))
        assert width is not None
        assert height is not None
        return float(width[1]), float(height[1])

    def save(self, path: str | PathLike[str], scale: float = 2.0) -> Path:
        """Write the picture to `path`, whose name ends in .svg, .pdf or .png; return the path.

        PDF and PNG are made by a Chromium browser. A PDF has one page as large as the picture; `sheets` prints on
        paper. scale: dots of a PNG for one px of the picture, 0.25 to 8.

        Raises LadderError if the name ends otherwise, the scale is out of range or makes a side longer than 16 000
        dots, the file cannot be written, or there is no browser, it fails or takes longer than a minute. Nothing is
        left half-written.
        """
        from rungbook.drawing import files

        target = Path(path)
        kind = target.suffix.lower()
        if kind == ".svg":
            return files.write(target, self.svg.encode())
        if kind == ".pdf":
            return files.write(target, files.pdf(self._page()))
        if kind == ".png":
            files.check_scale(scale, self.size)
            return files.write(target, files.png(self.svg, *self.size, scale))
        names = tuple(f"{target.stem or 'ladder'}{ending}" for ending in (".svg", ".pdf", ".png"))
        raise LadderError("Picture.save", "writes SVG, PDF or PNG, as the name ends", str(path), names)

    def _page(self) -> str:
        width, height = self.size
        return (
            '<!doctype html><html lang="en"><meta charset="utf-8"><title>Rungbook</title>'
            f"<style>@page{{size:{width:g}px {height:g}px;margin:0}}body{{margin:0}}svg{{display:block}}</style>"
            f"{self.svg}</html>"
        )

    def __repr__(self) -> str:
        return self.description
