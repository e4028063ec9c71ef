"""A run on the drawing, step by step: a picture a moment, and one HTML in which a slider and two buttons step through.

The HTML is complete in itself and asks for nothing from outside. Where scripts do not run it shows the last moment,
and every moment in words.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from functools import cached_property
from hashlib import sha256
from html import escape
from os import PathLike
from pathlib import Path
from xml.etree import ElementTree as ET

from rungbook.behaviour import Board, Moment, Trace
from rungbook.circuit import Ladder
from rungbook.drawing import files
from rungbook.drawing.live import LiveFigure, Look
from rungbook.drawing.picture import Picture
from rungbook.errors import LadderError

_SCRIPT = """
(() => {
  for (const box of document.querySelectorAll('#NAME:not([data-ready])')) {
    box.dataset.ready = 'yes';
    const all = DATA, svg = box.querySelector('svg'), slide = box.querySelector('input');
    const [back, on] = box.querySelectorAll('button'), said = box.querySelector('output');
    const parts = new Map([...svg.querySelectorAll('[data-live]')].map(one => [one.dataset.live, one]));
    const show = to => {
      const k = Math.min(Math.max(to, 0), all.steps.length - 1);
      const step = all.steps[k];
      all.keys.forEach((key, n) => {
        const part = parts.get(key), own = all.own[n];
        part.setAttribute('class', (own + ' ' + all.names[step.looks[n]]).trim());
      });
      for (const [key, line] of Object.entries(step.texts)) parts.get(key).textContent = line;
      svg.querySelector('desc').textContent = all.words + '\\n' + step.words;
      said.textContent = step.title;
      back.setAttribute('aria-disabled', k === 0);
      on.setAttribute('aria-disabled', k === all.steps.length - 1);
      slide.value = k;
    };
    slide.addEventListener('input', () => show(+slide.value));
    back.addEventListener('click', () => show(+slide.value - 1));
    on.addEventListener('click', () => show(+slide.value + 1));
    show(+slide.value);
  }
})();
"""


class LiveSteps:
    """The moments of a run on a drawing. A sequence of pictures; in a notebook it shows itself with a slider.

    Raises LadderError if `trace` is none, or is of another circuit, or as `LiveFigure`.
    """

    def __init__(
        self,
        circuit: Ladder | Board,
        trace: Trace,
        symbols: str = "nema",
        paths: str = "across",
        width: float | None = None,
    ) -> None:
        if not isinstance(trace, Trace):
            raise LadderError("draw_steps", "steps through what `run` returns", trace, ("run(ladder, 'press S2')",))
        self.figure = LiveFigure(circuit, symbols, paths, width)
        self.moments: tuple[Moment, ...] = trace.moments
        self._looks: tuple[Look, ...] = tuple(map(self.figure.look, self.moments))

    def __len__(self) -> int:
        return len(self.moments)

    def __getitem__(self, place: int) -> Picture:
        return self.figure.picture(self.moments[place])

    def __iter__(self) -> Iterator[Picture]:
        return (self.figure.picture(moment) for moment in self.moments)

    def __repr__(self) -> str:
        return "\n\n".join(f"{title}\n{look.words}" for title, look in zip(self._titles(), self._looks, strict=True))

    def _repr_html_(self) -> str:
        return self.html

    @cached_property
    def html(self) -> str:
        """The drawing with a slider and two buttons, as one piece of HTML; it begins at the last moment."""
        picture = self[-1]
        data = self._data()
        name = "rungbook-steps-" + sha256(data.encode()).hexdigest()[:12]
        script = _SCRIPT.replace("NAME", name).replace("DATA", data)
        last = len(self) - 1
        words = "".join(
            f"<li>{escape(title)}<br>{escape(look.words).replace(chr(10), '<br>')}</li>"
            for title, look in zip(self._titles(), self._looks, strict=True)
        )
        return (
            f'<div id="{name}" style="max-width:100%">{picture.svg}'
            '<div style="display:flex;flex-wrap:wrap;gap:.6em;align-items:center;font-family:sans-serif">'
            '<button type="button">Step back</button>'
            f'<input type="range" min="0" max="{last}" step="1" value="{last}" aria-label="Step of the run">'
            '<button type="button">Step on</button>'
            f'<output aria-live="polite">{escape(self._titles()[last])}</output></div>'
            f'<details style="font-family:sans-serif"><summary>All steps in words</summary><ol start="0">{words}</ol>'
            f"</details><script>{script}</script></div>"
        )

    def save(self, path: str | PathLike[str]) -> Path:
        """Write the steps to `path`, a page that any browser shows; its name ends in .html. Return the path.

        Raises LadderError if the name ends otherwise, or the file cannot be written.
        """
        target = Path(path)
        if target.suffix.lower() not in (".html", ".htm"):
            names = (f"{target.stem or 'steps'}.html",)
            raise LadderError(
                "LiveSteps.save", "steps are a page of HTML; a single one saves as a picture", str(path), names
            )
        title = escape(self.figure.board.title.strip() or "Run on the drawing")
        head = f'<!doctype html><html lang="en"><meta charset="utf-8"><title>{title}</title>'
        return files.write(target, f"{head}<body><main>{self.html}</main></body></html>\n".encode())

    def _titles(self) -> list[str]:
        last = len(self) - 1
        return [f"Step {k} of {last}: {moment.order or 'at rest'}" for k, moment in enumerate(self.moments)]

    def _data(self) -> str:
        """All looks as JSON: keys, their own classes, names of looks, and for each step the number of a name a key."""
        own = {one.get("data-live", ""): one.get("class", "") for one in ET.fromstring(self.figure.svg).iter()}
        keys = list(self._looks[0].classes)
        names = sorted({name for look in self._looks for name in look.classes.values()})
        number = {name: n for n, name in enumerate(names)}
        steps = [
            {
                "title": title,
                "looks": [number[look.classes[key]] for key in keys],
                "texts": dict(look.texts),
                "words": look.words,
            }
            for title, look in zip(self._titles(), self._looks, strict=True)
        ]
        whole = {"keys": keys, "own": [own[key] for key in keys], "names": names, "words": self.figure.words}
        text = json.dumps(whole | {"steps": steps}, ensure_ascii=True, separators=(",", ":"))
        return text.replace("<", "\\u003c").replace("&", "\\u0026")
