"""Questions put together to an exercise: about one motor, or about one control circuit, as many as the level takes."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from rungbook.alone.practice.calculations import at_start, by_code, by_plate, in_control
from rungbook.alone.practice.calculations.plate import Plate, draw_plate
from rungbook.alone.practice.calculations.question import Question, Solved, Way
from rungbook.alone.practice.draws import Draws
from rungbook.motors import CAUTION, EDITION

_BY_CODE = (
    by_code.table_current,
    by_code.overload_dial,
    by_code.overload_most,
    by_code.conductor,
    by_code.conductor_carries,
    by_code.feeder,
    by_code.device,
    by_code.instantaneous,
    by_code.locked_rotor,
)
_OF_ANY = (
    by_plate.field_speed,
    by_plate.rated_slip,
    by_plate.rotor_hertz,
    by_plate.rated_torque,
    by_plate.power_drawn,
    by_plate.good,
    at_start.direct_current,
    at_start.star_current,
    at_start.star_torque,
    at_start.tap_current,
    at_start.soft_torque,
    at_start.soft_current,
    at_start.on_drive,
    at_start.field_on_drive,
    at_start.above_rated,
)
_METRIC = (by_plate.metric_current,)
_CONTROL: tuple[Callable[[Draws, in_control.Control], Question | None], ...] = (
    in_control.coil_current,
    in_control.least_volts,
    in_control.transformer,
    in_control.line_ohms,
    in_control.drop_volts,
    in_control.flash,
    in_control.stagger,
    in_control.dial,
    in_control.belt,
    in_control.crates,
)
_ROW = re.compile(r"(NEC Table [0-9.]+), ([0-9.]+) hp:")
_MANY = {1: (1, 1), 2: (1, 2), 3: (1, 3), 4: (2, 3), 5: (3, 4)}  # level -> fewest and most questions


@dataclass(frozen=True)
class Sheet:
    """title, text: as the learner reads them. topics: what is asked, without the numbers. key: the worked steps, the
    same for two sheets that are worked in the same way with the same numbers, whatever the machine is called."""

    title: str
    text: tuple[str, ...]
    questions: tuple[Question, ...]

    @property
    def measure(self) -> Way:
        """Steps and tables on the shortest way known."""
        return Way.to(question.shown for question in self.questions)

    @property
    def topics(self) -> str:
        """The names of what is asked."""
        return "; ".join(sorted(question.answer.name for question in self.questions))

    @property
    def key(self) -> str:
        """Canonical form."""
        steps = {f"{question.unit}: {step}" for question in self.questions for step in question.answer.steps}
        return "; ".join(sorted(steps))

    @property
    def solution(self) -> Solved:
        """The worked answers, in the units asked for."""
        return Solved(tuple((question.field, question.shown) for question in self.questions))


def draw_sheet(draws: Draws, level: int) -> Sheet | None:
    """Draw an exercise that suits `level` (1 to 5) roughly; None if the numbers drawn make none.

    Raises LadderError if a question does not stand its proof (`Question.requirement`).
    """
    low, high = _MANY[level]
    many = low + draws.below(high - low + 1)
    sort = draws.below(8)
    if sort < 2:
        control = in_control.draw_control(draws)
        made = [ask(draws, control) for ask in draws.some(_CONTROL, many)]
        title, head = "Control circuit", []
    else:
        plate = draw_plate(draws, metric=sort == 2)
        topics: tuple[Callable[[Draws, Plate], Question], ...]
        topics = (*_OF_ANY, *_METRIC) if sort == 2 else _BY_CODE if sort < 6 else _OF_ANY
        made = [ask(draws, plate) for ask in draws.some(topics, many)]
        title, head = f"Motor of the {plate.machine}", [plate.text]
    questions = [question for question in made if question is not None]
    if len(questions) < many or len({question.field for question in questions}) < many:
        return None
    given = list(dict.fromkeys(line for question in questions for line in question.given))
    text = [*head, *sorted(given, key=_place), 'Write each number with its unit, such as "4.6 A".']
    if any(question.answer.code for question in questions):
        text.append(f"{EDITION}. {CAUTION}")
    return Sheet(title, tuple(text), tuple(questions))


def _place(line: str) -> tuple[bool, str, float]:
    """Tables last, their rows by size."""
    row = _ROW.match(line)
    return line.startswith("NEC"), row[1] if row else "", float(row[2]) if row else 0.0
