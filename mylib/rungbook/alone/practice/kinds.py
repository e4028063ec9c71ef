"""The exercises of each kind. Proved when it is made: its solution does what is asked, what is given does not.
A calculation's worked answers earn all points, its usual mistakes none.

A rule is asked for only if the proof engine says that the solution keeps it and puts it to the test.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Set
from functools import lru_cache, partial
from typing import NamedTuple

from rungbook.alone.practice.calculations import Solved, Way, draw_sheet
from rungbook.alone.practice.circuits import ladder_of, panel_of, rules_of, sentences_of
from rungbook.alone.practice.draws import Draws
from rungbook.alone.practice.measure import Measure, canonical, measure, without
from rungbook.alone.practice.plans import Plan, draw_plan
from rungbook.alone.practice.task import Task
from rungbook.behaviour import Panel, State, Step, tell
from rungbook.circuit import Ladder
from rungbook.errors import LadderError
from rungbook.grading import Requirement, finds_fault, hunt_tokens, must, predicts, same_as
from rungbook.kit import Device
from rungbook.proof import TooMany, compare, prove

LEVELS = (1, 2, 3, 4, 5)
_TRIES = 400  # plans drawn in vain, one after another, before a run is at its end
_OTHERS = 100  # of these, drawn for a circuit, or topics, that the run has not had; after them other questions will do
_MOST_STATES = 1100
_HUNTED = 600  # states of a circuit in which a fault is hunted: what each suspect shows is worked out beforehand


class _Made(NamedTuple):
    text: tuple[str, ...]
    requirements: tuple[Requirement, ...]
    key: str
    given: Ladder | None = None
    form: tuple[str, ...] = ()
    token: str = ""
    units: tuple[str, ...] = ()


class _Drawn(NamedTuple):
    """What is measured before an exercise is made of it. sort: what the run has not had, as far as that goes."""

    title: str
    sort: str
    size: Measure | Way
    make: Callable[[], _Made | None]
    solution: Ladder | Solved
    panel: tuple[Device, ...] = ()


def practice(kind: str, level: int, seed: int = 1, number: int = 1) -> Task:
    """Return exercise `number` (from 1) of the run of `kind` and `level` that `seed` makes: always the same one.

    kind: "read" (where is it after these orders?), "complete" (a contact is missing), "build" (from words), "fault"
    (find it with the meter), "calculate" (from plate, tables and ratings). level: 1 to 5, by the measure of the circuit
    (`Measure.level`) or of the calculation (`Way.level`).
    Raises LadderError if there is no such kind or level, seed or number are no whole numbers from 0 and from 1, or the
    run has fewer different exercises.
    """
    return tasks(kind, level, seed, number)[-1]


def tasks(kind: str, level: int, seed: int, count: int) -> list[Task]:
    """Return the first `count` exercises of a run, no two alike. Raises LadderError as `practice`."""
    if kind not in KINDS:
        raise LadderError("practice", "unknown kind of exercise", kind, KINDS)
    if isinstance(level, bool) or level not in LEVELS:
        raise LadderError("practice", "a level is a whole number", level, tuple(map(str, LEVELS)))
    for name, value, least in (("seed", seed, 0), ("number", count, 1)):
        if isinstance(value, bool) or not isinstance(value, int) or not least <= value < 10**12:
            raise LadderError("practice", f"a {name} is a whole number from {least} to {10**12 - 1}", value)
    run = _run(kind, level, seed)
    while len(run.found) < count:
        run.one_more()
    return run.found[:count]


class _Run:
    """A run of exercises, as far as it was asked for."""

    def __init__(self, kind: str, level: int, seed: int) -> None:
        self.kind, self.level, self.seed = kind, level, seed
        self.found: list[Task] = []
        self._seen: set[str] = set()
        self._sorts: set[str] = set()
        self._drawn = 0

    def one_more(self) -> None:
        """Draw plans until one gives an exercise that is not there yet. Raises LadderError if none does."""
        for tried in range(_TRIES):
            self._drawn += 1
            draws = Draws(self.kind, str(self.level), str(self.seed), str(self._drawn))
            had = self._sorts if tried < _OTHERS else frozenset()
            drawn = _calculation(draws, self.level, had) if self.kind == CALCULATE else self._circuit(draws, had)
            made = drawn.make() if drawn is not None else None
            if drawn is None or made is None or made.key in self._seen:
                continue
            self._seen.add(made.key)
            self._sorts.add(drawn.sort)
            self.found.append(
                Task(
                    self.kind,
                    self.level,
                    self.seed,
                    len(self.found) + 1,
                    drawn.title,
                    made.text,
                    drawn.size,
                    made.key,
                    drawn.panel,
                    made.requirements,
                    made.given,
                    made.form,
                    made.token,
                    made.units,
                    None if made.token else drawn.solution,
                )
            )
            return
        rule = f"this run has {len(self.found)} different exercises and no more; take another seed or level"
        raise LadderError("practice", rule, len(self.found) + 1)

    def _circuit(self, draws: Draws, had: Set[str]) -> _Drawn | None:
        """A circuit of the level that is none of `had`, for an exercise of the kind."""
        plan = draw_plan(draws, self.level)
        ladder = ladder_of(plan)
        sort = canonical(ladder)
        size = _suits(ladder, self.level) if sort not in had else None
        if size is None:
            return None
        make = partial(_CIRCUITS[self.kind], plan, ladder, draws)
        return _Drawn(ladder.title, sort, size, make, ladder, panel_of(plan))


@lru_cache(maxsize=16)
def _run(kind: str, level: int, seed: int) -> _Run:
    return _Run(kind, level, seed)


def _calculation(draws: Draws, level: int, had: Set[str]) -> _Drawn | None:
    """A calculation of the level on topics that are none of `had`, proved by its requirements."""
    sheet = draw_sheet(draws, level)
    if sheet is None or sheet.measure.level != level or sheet.topics in had:
        return None

    def make() -> _Made:
        asked = tuple(question.requirement() for question in sheet.questions)
        form, units = zip(*((question.field, question.unit) for question in sheet.questions), strict=True)
        return _Made(sheet.text, asked, sheet.key, form=form, units=units)

    return _Drawn(sheet.title, sheet.topics, sheet.measure, make, sheet.solution)


def _suits(ladder: Ladder, level: int) -> Measure | None:
    """The measure of `ladder` if it is of `level`; None if not, or if it has a race, chatters or is too large."""
    try:
        states = set(_walked(ladder))
        contacts = sum(len(list(rung.all_contacts())) for rung in ladder.rungs)
        if Measure(contacts, len(states)).level != level:  # most are given up here, before anything is compared
            return None
        found = measure(ladder)
    except (LadderError, TooMany):
        return None
    return found if found.level == level else None


def _walked(ladder: Ladder) -> Iterator[State]:
    """Every state that the panel can reach. Raises TooMany, or LadderError if it has a race or chatters."""
    from rungbook.proof import Exploration

    for edge in Exploration(Panel(ladder, ladder.declared or ()), _MOST_STATES).edges():
        if edge.rest.chatter or len(edge.rest.states) != 1:
            raise LadderError("practice", "a race is no exercise")
        yield edge.rest.states[0]


def _asked(plan: Plan, ladder: Ladder) -> tuple[Requirement, ...]:
    """The rules that hold of the solution, a point each, and that all outputs do the same, 4 points."""
    rules = rules_of(plan)
    proved = prove(ladder, *(rule for rule, _ in rules)).verdicts
    musts = [must(rule, 1, look) for (rule, look), one in zip(rules, proved, strict=True) if one.holds]
    outputs = [tag for tag in (*ladder.coils(), *ladder.lamps()) if tag != plan.relay]
    return (*musts, same_as(ladder, 4, outputs))  # which compares the ladder with itself: it has no race


def _build(plan: Plan, ladder: Ladder, draws: Draws) -> _Made | None:
    asked = _asked(plan, ladder)
    text = (f"Build the control of the {plan.drives[0].name}.", *sentences_of(plan))
    return _Made(text, asked, canonical(ladder))


def _complete(plan: Plan, ladder: Ladder, draws: Draws) -> _Made | None:
    given = ladder
    missing = 2 if measure(ladder).level >= 4 else 1
    for _ in range(missing):
        places = [(k, n) for k, rung in enumerate(given.rungs) for n in range(len(list(rung.all_contacts())))]
        given = without(given, *draws.pick(places))
    if not all(rung.contacts is not None for rung in given.rungs[: len(plan.drives)]):
        return None  # a bare coil is no ladder to complete
    asked = _asked(plan, ladder)
    if compare(given, ladder, [tag for tag in ladder.coils() if tag != plan.relay]).outcome != "different":
        return None
    what = "a contact is" if missing == 1 else "two contacts are"
    text = (f"On this ladder {what} missing. Draw it complete, so that it does the following.", *sentences_of(plan))
    return _Made(text, asked, canonical(given, ladder), given)


def _read(plan: Plan, ladder: Ladder, draws: Draws) -> _Made | None:
    output = draws.pick([drive.coil for drive in plan.drives])
    panel = Panel(ladder, ladder.declared or ())
    ends: dict[str, dict[str, None]] = {"in": {}, "out": {}}
    for _ in range(60):
        steps, state = _stroll(panel, draws, 2 + draws.below(2 + 2 * len(plan.drives)))
        if any(step.device in (*plan.drives[0].buttons, *plan.drives[-1].buttons) for step in steps):
            ends[panel.position(output, state)][_orders(steps)] = None
    if len(ends["in"]) < 2 or len(ends["out"]) < 2:
        return None
    scripts = [script for word in ("in", "out") for script in list(ends[word])[:2]]
    scripts = draws.some(scripts, 4)
    try:
        asked = predicts(ladder, output, scripts, 4, f"what is closed on the way to {output} at the end of the line")
    except LadderError:
        return None
    text = (f'Where is {output} at the end of each line? "in" or "out". Each line begins at rest.',)
    return _Made(text, (asked,), canonical(ladder, texts=sorted(scripts)), ladder, tuple(scripts))


def _stroll(panel: Panel, draws: Draws, length: int) -> tuple[list[Step], State]:
    """Orders drawn one after the other, from rest, none that takes back the one before unless it lets a button go."""
    state = panel.rest(panel.start).states[0]
    steps: list[Step] = []
    for _ in range(length):
        can = [step for step in panel.steps if panel.can(step, state)]
        steps.append(draws.pick(can))
        state = panel.after(steps[-1], state).states[0]
    return steps, state


def _orders(steps: list[Step]) -> str:
    """ "press S2, let S2 go": orders as `run` reads them."""
    told = [tell((step,)).rstrip(".") for step in steps]
    return ", ".join(f"{one[:1].lower()}{one[1:]}" for one in told)


def _fault(plan: Plan, ladder: Ladder, draws: Draws) -> _Made | None:
    if len(set(_walked(ladder))) > _HUNTED:
        return None
    try:
        tokens = hunt_tokens(ladder, lab="practice")
        sentence = draws.pick(sorted(tokens))
        asked = finds_fault(ladder, tokens[sentence], 10, "where voltage is and where it is not", lab="practice")
    except LadderError:
        return None
    text = (
        "This control has one fault. Operate it, look, measure, and name the fault: hunt = task.start(), then "
        "task.mark(hunt). On a real panel: only under qualified supervision; de-energise, lock out and verify absence "
        "of voltage before you measure ohms.",
        "Without the fault it does the following.",
        *sentences_of(plan),
    )
    return _Made(text, (asked,), canonical(ladder, texts=[sentence]), ladder, token=tokens[sentence])


_CIRCUITS: dict[str, Callable[[Plan, Ladder, Draws], _Made | None]] = {
    "read": _read,
    "complete": _complete,
    "build": _build,
    "fault": _fault,
}
CALCULATE = "calculate"
KINDS = (*_CIRCUITS, CALCULATE)
