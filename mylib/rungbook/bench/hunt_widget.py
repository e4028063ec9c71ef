"""A `FaultHunt` as a notebook widget: its methods behind messages of the front end, nothing more.

What is sent to the browser is made of the sound circuit, of what hands and eyes know (`hunt_view`), and of the log.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from html import escape
from itertools import count
from typing import TYPE_CHECKING, Any

import anywidget
import traitlets
from IPython.core.getipython import get_ipython

from rungbook.behaviour.actions import possible_steps
from rungbook.bench.controls import REPLACED, Part, parts_of
from rungbook.bench.front import CSS, NUDGE, front
from rungbook.bench.kept import Kept
from rungbook.bench.places import places
from rungbook.bench.ways import way
from rungbook.drawing import draw
from rungbook.drawing.live import LiveFigure
from rungbook.errors import LadderError
from rungbook.proof.hunt import Row
from rungbook.proof.hunt.rig import check_quantity
from rungbook.tables import html_table, text_table

if TYPE_CHECKING:
    from rungbook.bench.hunt import FaultHunt

HEAD = ("", "done", "shown", "remark")
ANSWER = "found"  # the name that exercises give to the answer of a hunt
_numbers = count(1)


class HuntBench(anywidget.AnyWidget):
    """The bench of one hunt, shown once or several times; all of them, and the hunt's methods, act on one board."""

    _esm = front("tools", "clock", "hands", "panel", "diagram", "probes", "life", "answer", "hunt")
    _css = CSS
    title = traitlets.Unicode().tag(sync=True)
    svg = traitlets.Unicode().tag(sync=True)
    name = traitlets.Unicode().tag(sync=True)
    parts: traitlets.List[dict[str, object]] = traitlets.List().tag(sync=True)
    places: traitlets.List[dict[str, object]] = traitlets.List().tag(sync=True)
    faults: traitlets.Dict[str, list[str]] = traitlets.Dict().tag(sync=True)
    state = traitlets.Dict().tag(sync=True)
    page = traitlets.Unicode().tag(sync=True)

    def __init__(self, hunt: FaultHunt) -> None:
        case, circuit = hunt._drawn()
        self._hunt = hunt
        self._seen: list[object] | None = None
        self._said = ""
        figure = LiveFigure(circuit)
        self._picture = draw(circuit)
        self._title = case.board.title.strip() or "Board"
        self._steps = possible_steps(device for device in case.board.devices.values() if device.spec.operated)
        name = f"{figure.name.replace('live', 'hunt')}-{next(_numbers)}"
        self._kept = Kept(name)
        super().__init__(
            title=self._title,
            svg=_with_name(self._picture.svg, name),
            name=name,
            parts=[_in_reach(part).plain() for part in parts_of(case.board.devices, hunt._seen()["motors"])],
            places=places(figure, case.leads),
            faults={device: list(hunt.faults_of(device)) for device in hunt.faults_of()},
        )
        self._changed()
        hunt._listen(self._changed)
        self.on_msg(self._received)

    def show(self) -> None:
        """Display it, and below it the picture that a saved notebook keeps."""
        self._kept.show(self, f"{self._hunt!r}\n{self._picture.description}", *self._image())

    # -- what comes in ------------------------------------------------------------------------------------------------

    def _received(self, _: object, content: Any, buffers: object) -> None:
        """Do what the front end asks; say on the bench what cannot be done."""
        if content == NUDGE:
            return
        self._seen = [content.get("view"), content.get("number")] if isinstance(content, dict) else None
        said = ""
        try:
            self._do(content)
        except LadderError as error:
            said = str(error)
        except KeyboardInterrupt:
            said = "Interrupted: look at the log to see what was done."
        self._said = said
        self._changed()
        self._said = ""

    def _do(self, content: Any) -> None:
        hunt = self._hunt
        acts: Mapping[object, Callable[[], object]] = {
            "order": lambda: self._order(content["device"], content["to"]),
            "measure": lambda: self._measure(content["function"], content["a"], content["b"]),
            "source": hunt.source,
            "look": hunt.see,
            "as found": hunt.as_found,
            "lock": hunt.lock_out,
            "unlock": hunt.take_lock_off,
            "claim": lambda: hunt.claim(content["device"], content["fault"]),
            "show": lambda: None,
        }
        wish = content.get("do") if isinstance(content, dict) else content
        if wish not in acts:
            raise LadderError("bench", "no such wish of a front end", wish, tuple(map(str, acts)))
        acts[wish]()

    def _order(self, tag: str, position: str) -> None:
        steps = {step.move: step for step in self._steps if step.device == tag}
        if not steps:
            raise LadderError("bench", "no such device to operate", tag, tuple({step.device for step in self._steps}))
        here = self._hunt._seen()["positions"][tag]
        for move in way(tag, tuple(steps), here, position):
            self._hunt.do(steps[move].order)

    def _measure(self, function: str, a: str, b: str) -> None:
        if not a or not b:
            raise LadderError("Meter", "has two leads; put both on a terminal", (a, b))
        getattr(self._hunt, check_quantity(function))(a, b)

    # -- what goes out ------------------------------------------------------------------------------------------------

    def _changed(self) -> None:
        """Show where the hunt stands: after an act here, by a method in a cell, or on another display."""
        seen = self._hunt._seen()
        rows: tuple[Row, ...] = seen.pop("rows")
        claim = seen.pop("claim")
        motors = {tag: {"word": word, "speed": _turns(word), "seen": True} for tag, word in seen.pop("motors").items()}
        last = rows[-1] if rows else None
        news = "" if last is None else str(last)
        fresh = last is not None and len(rows) != len(self.state.get("rows", ()))
        self.state = {
            **seen,
            "fuse": True,  # it is inside the panel: not seen
            "gauges": {},
            "seen": self._seen,
            "motors": motors,
            "rows": [_cells(row) for row in rows],
            "meter": "" if last is None or (last.value is None and last.leads is None) else last.shown,
            "remark": "" if last is None else last.remark,
            "claim": "" if claim is None else ": ".join(claim),
            "cell": "" if claim is None else self.cell(),
            "refused": self._said,
            "say": self._said or (news if fresh else "") + (f" You named {': '.join(claim)}." if claim else ""),
        }
        if claim is not None and not self.page:
            self.page = self._hunt.page()._repr_html_()
        self._kept.renew(*self._image())

    def cell(self) -> str:
        """The line for the answer cell that carries the acts, to paste there. Of `hunt3` it is `found3 = …`."""
        called = self._called()
        answer = f"{ANSWER}{called.removeprefix('hunt')}" if called.startswith("hunt") else ANSWER
        return f'{answer} = {called}.from_acts("""\n{self._hunt.acts()}\n""")'

    def _called(self) -> str:
        """The name that the notebook gives to the hunt; "hunt" if it has none."""
        shell = get_ipython()
        names = () if shell is None else tuple(shell.user_ns.items())
        return next((name for name, value in names if value is self._hunt and not name.startswith("_")), "hunt")

    def _image(self) -> tuple[str, str]:
        """What a saved notebook keeps, as HTML and as text: the drawing, the log, and the page when it is over."""
        rows = [tuple(map(str, _cells(row))) for row in self._hunt._seen()["rows"]]
        told = repr(self._hunt)
        table = "" if self.page else html_table("Log", HEAD, rows)
        html = f"{self._picture._repr_mimebundle_()['text/html']}<p>{escape(told)}</p>{table}{self.page}"
        return html, "\n".join(filter(None, (told, text_table(HEAD, rows) if rows else "")))


def _in_reach(part: Part) -> Part:
    """`part` with what hands do in a hunt: no fuse of the supply is replaced before the fault is named."""
    return replace(part, controls=tuple(control for control in part.controls if control.to != REPLACED))


def _cells(row: Row) -> list[object]:
    return [row.number, row.told, row.shown, row.remark]


def _turns(word: str) -> int:
    """Which way the arrow of a motor points, by the word for what is seen: 1 forwards, -1 backwards, 0 stands."""
    if not word.startswith("runs"):
        return 0
    return -1 if "backwards" in word else 1


def _with_name(svg: str, name: str) -> str:
    """The picture `svg` with ids that no other picture on the page has."""
    return re.sub(r"\brungbook-[0-9a-f]{12}\b", name, svg)
