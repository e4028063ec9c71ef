"""What a review knows of a circuit: every reachable state, every step, and where each contact and load stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from rungbook.behaviour import SUPPLY, State, Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.circuit import Contact, Wired
from rungbook.proof.explore import Edge, Exploration
from rungbook.proof.limits import Deadline, TooMany
from rungbook.proof.practice.finding import PracticeFinding, Severity
from rungbook.proof.practice.in_time import KeptExploration
from rungbook.proof.rules import AnyPanel
from rungbook.proof.tell import does

_RUN_ON = ("off-delay", "on-and-off delay")  # functions of timers that run on when their input goes

_Test = Callable[[State | None, Step | None, State], bool]


@dataclass(frozen=True)
class Shown:
    """A step that shows something: the orders up to it, the state before (None: nothing was touched) and after.

    waited: True if it comes only when a time has run out after the step.
    """

    steps: tuple[Step, ...]
    before: State | None
    after: State
    waited: bool = False

    @property
    def when(self) -> str:
        """ "when", or "some time after", before the step in words."""
        return "some time after" if self.waited else "when"


class Facts:
    """A panel walked over once. Raises TooMany if more states than `limit` can be reached, or after `deadline`.

    With timers or counters the states are counted with their times, and a finding may raise TooMany too.
    """

    def __init__(self, panel: AnyPanel, limit: int, deadline: Deadline | None = None) -> None:
        self.panel = panel
        self.deadline = deadline or Deadline()
        self._exploration: Exploration[State] | KeptExploration
        if isinstance(panel, TimedPanel):
            self._exploration = KeptExploration(panel, limit, self.deadline)
        else:
            self._exploration = Exploration(panel, limit, self.deadline)
        self.edges: list[Edge[State]] = list(self._exploration.edges())

    @cached_property
    def live(self) -> tuple[State, ...]:
        """Every reachable state at rest with the supply on, nearest first."""
        return tuple(dict.fromkeys(state for edge in self.edges for state in edge.rest.states if state.supply))

    @cached_property
    def driving(self) -> tuple[str, ...]:
        """The coils that drive something: contactors; where there is none, all coils but timers and counters."""
        coils = tuple(self.panel.coils)
        relays = tuple(tag for tag in coils if not self.panel.devices[tag].spec.timed)
        return tuple(tag for tag in coils if tag[0] == "Q") or relays or coils

    def operated(self, tag: str, state: State) -> bool:
        """True if `tag` is away from its position at rest."""
        return self.panel.position(tag, state) != self.panel.devices[tag].spec.rest

    def of_kind(self, *kinds: str) -> tuple[str, ...]:
        """Designations of the operated devices of these kinds, in the order of the panel."""
        return tuple(device.tag for device in self.panel.inputs if device.kind in kinds)

    def pattern(self, tag: str) -> tuple[bool, ...]:
        """Load `tag` on or off, in each state of `live`."""
        return tuple(self.panel.is_on(tag, state) for state in self.live)

    def first(self, test: _Test) -> Shown | None:
        """The nearest step of which `test(before, step, after)` is true; before and step are None at the beginning.

        Raises TooMany if there are such steps, but none that some instants lead to for certain.
        """
        unsure: TooMany | None = None
        for edge in self.edges:
            before = None if edge.step is None else edge.before
            for after in edge.rest.states:
                if test(before, edge.step, after):
                    try:
                        return Shown(self._exploration.steps_to(edge), before, after)
                    except TooMany as reason:
                        unsure = reason
                        self.deadline.check()
        if unsure is not None:
            raise unsure
        return None

    def running_on(self, state: State) -> tuple[str, ...]:
        """Timers that hold in after their inputs have gone, while the supply is off."""
        held = (tag for tag in self.panel.coils if self.panel.devices[tag].setting.startswith(_RUN_ON))
        return () if state.supply else tuple(tag for tag in held if self.operated(tag, state))

    def later(self, wanted: Callable[[Step | None], bool], test: Callable[[State, State], bool]) -> Shown | None:
        """The nearest wait, set off by a step of `wanted`, of which `test(before, after)` is true.

        wanted: None stands for the supply that is first on. Nothing is touched after the step. None without timers.
        Raises TooMany as `first`.
        """
        if not isinstance(self._exploration, KeptExploration):
            return None
        found = self._exploration.follows(wanted, test)
        return None if found is None else Shown(*found, waited=True)

    def orders(self, edge: Edge[State]) -> tuple[Step, ...]:
        """The shortest orders that end with `edge`."""
        return self._exploration.steps_to(edge)

    def off_while(self, tag: str, device: str) -> bool:
        """True if coil `tag` is out whenever `device` is operated, and some move of `device` shows it drop out."""
        if any(self.operated(device, state) and self.panel.is_on(tag, state) for state in self.live):
            return False

        def drops(before: State | None, step: Step | None, after: State) -> bool:
            mine = before is not None and step is not None and step.device == device
            return mine and self.panel.is_on(tag, before) and self.operated(device, after)  # type: ignore[arg-type]

        return self.first(drops) is not None

    def seen(self, tag: str, shown: Shown) -> str:
        """What `tag` does in `shown`, as a sentence."""
        was = None if shown.before is None else self.panel.is_on(tag, shown.before)
        return f"{does(tag, was, self.panel.is_on(tag, shown.after))}."

    def starts(self, tag: str, step: Step | None, before: State | None, after: State) -> bool:
        """True if coil `tag` was out, or nothing was touched yet, and is in after the step."""
        return self.panel.is_on(tag, after) and (before is None or not self.panel.is_on(tag, before))

    def no_button_held(self, state: State) -> bool:
        """True if every device that springs back is at rest in `state`."""
        return not any(device.spec.momentary and self.operated(device.tag, state) for device in self.panel.inputs)


class Places:
    """Where contacts and loads stand, in words: "rung 1, wires 3–4"."""

    def __init__(self, rungs: tuple[tuple[Wired, ...], ...], *, numbered: bool = True) -> None:
        self._rungs, self._numbered = rungs, numbered

    def contact(self, contact: Contact) -> str:
        """ "NO S2 (rung 1, wires 3–4)": told by the object, not by its name."""
        for n, items in enumerate(self._rungs, 1):
            for wired in items:
                if wired.item is contact:
                    return f"{contact.kind} {contact.device} ({self._rung(n)}wires {wired.left}–{wired.right})"
        return f"{contact.kind} {contact.device}"

    def contacts(self, device: str, kind: str = "") -> str:
        """All contacts of `device` (of one kind), or the device alone if it has none here."""
        found = [
            self.contact(wired.item)
            for items in self._rungs
            for wired in items
            if isinstance(wired.item, Contact) and wired.item.device == device and kind in ("", wired.item.kind)
        ]
        return "; ".join(found) or device

    def load(self, tag: str) -> str:
        """ "Q1 (rung 1, wires 4–2)"."""
        for n, items in enumerate(self._rungs, 1):
            for wired in items:
                if not isinstance(wired.item, Contact) and wired.item.name == tag:
                    return f"{tag} ({self._rung(n)}wires {wired.left}–{wired.right})"
        return tag

    def _rung(self, n: int) -> str:
        return f"rung {n}, " if self._numbered else ""


def finding(
    check: str,
    severity: Severity,
    sentence: str,
    place: str,
    rule: str,
    remedy: str,
    shown: tuple[tuple[Step, ...], str] | None = None,
) -> PracticeFinding:
    """A finding; shown: the orders, and what they show."""
    return PracticeFinding(check, severity, sentence, place, rule, remedy, *(shown or (None, "")))


__all__ = ["SUPPLY", "Facts", "Places", "Shown", "finding"]
