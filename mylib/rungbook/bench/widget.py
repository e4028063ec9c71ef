"""The bench as a notebook widget: a `BenchModel` behind messages of the front end (`front/`), nothing more.

The front end sends wishes ("S2 pressed at 1.234 s"), each with its number; each is answered by the whole state, with
the number in it. So a wish that comes twice, or late, does no harm, and a view that is opened later shows the same.
Below the widget stands a picture of the last state, hidden while the widget lives: what a saved notebook keeps.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from html import escape
from itertools import count
from typing import Any

import anywidget
import traitlets

from rungbook.bench.front import CSS, NUDGE, front
from rungbook.bench.kept import Kept
from rungbook.bench.model import BenchModel
from rungbook.bench.places import places
from rungbook.errors import LadderError

_numbers = count(1)


def _renamed(model: BenchModel, unique: str) -> Iterator[str]:
    """The drawings, each with an id of its own on the page."""
    for n, (svg, figure) in enumerate(zip(model.svg, (model.figure, model.power_figure), strict=False)):
        assert figure is not None
        yield svg.replace(figure.name, f"{unique}-power" if n else unique)


def _packed(value: object, _: object) -> str:
    """`value` as one text of JSON: nested, ipywidgets looks for buffers in each part of it, at both ends."""
    return json.dumps(value, separators=(",", ":"))


class Bench(anywidget.AnyWidget):
    """A bench in a notebook. `model` is what runs on it; `script` is what was done, as `run` reads it."""

    _esm = front("tools", "clock", "hands", "panel", "diagram", "probes", "meter", "trace", "life", "bench")
    _css = CSS
    title = traitlets.Unicode().tag(sync=True)
    svg = traitlets.Unicode().tag(sync=True)
    name = traitlets.Unicode().tag(sync=True)
    parts: traitlets.List[dict[str, object]] = traitlets.List().tag(sync=True)
    places: traitlets.List[dict[str, object]] = traitlets.List().tag(sync=True)
    state = traitlets.Dict().tag(sync=True, to_json=_packed)
    classes = traitlets.Dict().tag(sync=True, to_json=_packed)  # of the drawing: most states leave them as they are
    trace = traitlets.Dict().tag(sync=True, to_json=_packed)

    def __init__(self, model: BenchModel) -> None:
        self.model = model
        self._told = (-1, -1)  # start and number of changes that `trace` shows
        self._read_out = False
        unique = f"{model.figure.name}-{next(_numbers)}"
        self._kept = Kept(unique)
        super().__init__(
            title=model.circuit.title.strip() or "Bench",
            svg="".join(_renamed(model, unique)),
            name=unique,
            parts=[part.plain() for part in model.parts],
            places=places(model.figure, model.meter.leads),
        )
        self._show(None, "")
        self.on_msg(self._received)

    @property
    def proved_dead(self) -> bool:
        """True if the meter has proved X1 – X2 dead in three points, and the lock has been on since."""
        return self.model.meter.proved_dead

    @property
    def script(self) -> str:
        """What was done on the bench so far: `run(ladder, bench.script)` does the same again."""
        return self.model.script

    def _received(self, _: object, content: Any, buffers: object) -> None:
        """Do what the front end asks; say on the bench what cannot be done. An interrupt leaves nothing half done."""
        if content == NUDGE:
            return
        said = ""
        try:
            self._do(content)
        except LadderError as error:
            said = str(error)
        except KeyboardInterrupt:
            self.model.restore()
            said = "Interrupted: the bench stands where it stood before."
        self._show([content.get("view"), content.get("number")] if isinstance(content, dict) else None, said)

    def _do(self, content: Any) -> None:
        acts: Mapping[object, Callable[[], object]] = {
            "order": lambda: self.model.order(content["device"], content["to"], content["at"]),
            "time": lambda: self.model.look(content["at"]),
            "let go": self.model.let_go,
            "pause": lambda: self._pause(content["at"]),
            "go on": self.model.go_on,
            "step": self.model.step,
            "start over": self.model.start_over,
            "put": lambda: self._measure(content["at"], self.model.put, content["a"], content["b"]),
            "source": lambda: self._measure(content["at"], self.model.to_source, content["there"]),
            "turn": lambda: self._measure(content["at"], self.model.turn_to, content["to"]),
            "lock": self.model.lock_out,
            "unlock": self.model.take_lock_off,
            "keep": self._keep,
        }
        wish = content.get("do") if isinstance(content, dict) else content
        if wish not in acts:
            raise LadderError("bench", "no such wish of a front end", wish, tuple(map(str, acts)))
        acts[wish]()

    def _measure(self, at: float, act: Callable[..., None], *about: object) -> None:
        """Handle the meter as of now, and say what it then shows."""
        self.model.advance(at)
        act(*about)
        self._read_out = True

    def _pause(self, at: float) -> None:
        self.model.advance(at)
        self.model.pause()

    def _show(self, seen: list[object] | None, said: str) -> None:
        state: dict[str, Any] = self.model.state()
        classes = state.pop("classes")
        state["seen"] = seen
        news = [*self.model.traces.news()[-6:], *self._spoken()]
        state["say"] = said or ". ".join(news)
        state["refused"] = said
        with self.hold_sync():
            told = (self.model.epoch, self.model.traces.count)
            if told != self._told:
                self._told = told
                self.trace = {"epoch": self.model.epoch, **self.model.traces.shown()}
            self.classes = classes
            self.state = state

    def _spoken(self) -> list[str]:
        """The reading in words, if a hand has just been at the meter: while it follows the circuit it is silent."""
        asked, self._read_out = self._read_out, False
        told = self.model.measured() if asked else ""
        return [one.rstrip(".") for one in (told, self.model.meter.told) if told and one]

    # -- the picture of the last state --------------------------------------------------------------------------------

    def _image(self) -> tuple[str, str]:
        """The pictures, and below them what the meter shows, as HTML and as text."""
        pictures = self.model.pictures()
        html = "".join(picture._repr_mimebundle_()["text/html"] for picture in pictures)
        told = self.model.measured()
        read = f"<p>{escape(told)}</p>" if told else ""
        return html + read, "\n".join(filter(None, (*(picture.description for picture in pictures), told)))

    def _keep(self) -> None:
        self._kept.renew(*self._image())

    def _ipython_display_(self) -> None:
        """Show the widget, and below it the picture that a saved notebook keeps."""
        self._kept.show(self, self.model.figure.words, *self._image())
