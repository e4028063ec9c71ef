"""Readings of a wired board against the expected ones, and the likely mistakes in order."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

from rungbook.behaviour.network import Network
from rungbook.circuit.wiring import Wiring
from rungbook.errors import LadderError
from rungbook.proof.wiring_check.dead_tests import DeadTest, dead_tests, terminals_of
from rungbook.proof.wiring_check.main_mistakes import MainMistake
from rungbook.proof.wiring_check.mistakes import Mistake, mistakes
from rungbook.proof.wiring_check.terminals import Terminals, ohms
from rungbook.tables import html_table, text_table

TOLERANCE = 0.25  # of the expected reading: coils differ and get warm [unitless]
SHORT_OHMS = 5.0  # below it two points count as joined: leads and contacts have some resistance
OPEN_OHMS = 1e6  # from here upwards as open: damp, a hand on the lead
MOST_NAMED = 5
MOST_ALIKE = 3

AnyMistake: TypeAlias = Mistake | MainMistake
#: a test -> what the meter shows on some board [ohm, None: open]
Reader: TypeAlias = Callable[[DeadTest], float | None]

_FORMS = ("168", "'168 ohm'", "'OL'")


@dataclass(frozen=True)
class Likely:
    """A mistake that would explain readings. wrong: how many of the readings taken it does not explain.

    alike: other mistakes that would give the same readings, as far as readings were taken.
    """

    mistake: AnyMistake
    wrong: int
    alike: tuple[AnyMistake, ...] = ()

    @property
    def told(self) -> str:
        """The mistake in words, with what looks the same."""
        said = self.mistake.told
        if self.alike:
            shown = " ".join(one.told for one in self.alike[:MOST_ALIKE])
            more = len(self.alike) - MOST_ALIKE
            said += f" Or, not told apart by these readings: {shown}" + (f" And {more} more." if more > 0 else "")
        return said + (f" ({self.wrong} readings stay unexplained.)" if self.wrong else "")


@dataclass(frozen=True)
class WiringReport:
    """What readings say of a board.

    rows: (test, reading [ohm, None: open], agrees). likely: mistakes that explain more readings than no mistake does,
    those that explain most first, at most five.
    """

    title: str
    rows: tuple[tuple[DeadTest, float | None, bool], ...]
    likely: tuple[Likely, ...]
    left_out: int

    @property
    def as_expected(self) -> bool:
        """True if every test has a reading, and each agrees."""
        return not self.left_out and all(agrees for *_, agrees in self.rows)

    @property
    def told(self) -> tuple[str, ...]:
        """What to say, a sentence each, the most important first."""
        bad = [test for test, _, agrees in self.rows if not agrees]
        said = []
        if not bad:
            said.append(f"All {len(self.rows)} readings are as expected.")
        else:
            said.append(f"{len(bad)} of {len(self.rows)} readings differ, the first one at test {bad[0].number}.")
        if bad and not self.likely:
            said.append("No single mistake of the wire list explains them better than none: look for two at once.")
        said += [one.told for one in self.likely]
        if self.left_out:
            said.append(f"{self.left_out} tests have no reading yet.")
        if bad or self.left_out:
            said.append("Do not energise.")
        return tuple(said)

    def _rows(self) -> tuple[tuple[str, ...], list[tuple[str, ...]]]:
        rows: list[tuple[str, ...]] = [
            (str(t.number), t.order or "at rest", f"{t.a} – {t.b}", t.shown, _shown(value), "yes" if good else "NO")
            for t, value, good in self.rows
        ]
        return ("", "done", "between", "must show", "reading", "agrees"), rows

    def __str__(self) -> str:
        return "\n".join([*self.told, text_table(*self._rows())])

    __repr__ = __str__

    def _repr_html_(self) -> str:
        said = "".join(f"<li>{_escaped(one)}</li>" for one in self.told)
        return f"<ul>{said}</ul>{html_table(f'Readings: {self.title}', *self._rows())}"


def check_wiring(wiring: Wiring, readings: Mapping[int, object]) -> WiringReport:
    """Compare `readings` with what the network of `wiring` predicts, and name the likely mistakes.

    readings: number of a test (`dead_tests`) -> ohms as a number, or text such as "168 ohm", "OL", "beeps". A reading
    agrees within 25 %, below 5 ohm, or from 1 Mohm upwards. Mistakes are those of `mistakes`; of those that explain
    equally many readings the commoner kind comes first.

    Raises LadderError if there is no such test, or a reading is none of these.
    """
    tests = dead_tests(wiring).tests
    taken = taken_from("check_wiring", readings, len(tests), "{1: 0, 11: 'OL'}")
    asked = [test for test in tests if test.number in taken]
    rows = tuple((t, taken[t.number], agree(taken[t.number], t.expected)) for t in asked)
    wrong = sum(not good for *_, good in rows)
    likely = likeliest(_tried(wiring), asked, taken, wrong) if wrong else ()
    return WiringReport(wiring.ladder.title, rows, likely, len(tests) - len(asked))


def taken_from(asker: str, readings: object, count: int, example: str) -> dict[int, float | None]:
    """Number of a test -> its reading [ohm, None: open]. Raises LadderError, naming `asker`, if there is no reading, no
    such test among `count`, or a reading is none."""
    if not isinstance(readings, Mapping) or not readings:
        raise LadderError(asker, "readings are given by number of test", readings, (example,))
    taken: dict[int, float | None] = {}
    for number, reading in readings.items():
        if isinstance(number, bool) or not isinstance(number, int) or not 1 <= number <= count:
            raise LadderError(asker, f"there are tests 1 to {count}", number)
        taken[number] = read_ohms(f"Reading {number}", reading)
    return taken


def _tried(wiring: Wiring) -> Iterator[tuple[Mistake, Reader]]:
    """Every mistake, with the board that it makes."""
    terminals = terminals_of(wiring)
    for mistake in mistakes(wiring):
        network, count = terminals.wired(mistake.wires), len(mistake.wires)
        yield mistake, partial(_read, terminals, network, count)


def _read(terminals: Terminals, network: Network, wires: int, test: DeadTest) -> float | None:
    return ohms(network, terminals.closed(test.positions), wires, test.a, test.b)


def likeliest(
    tried: Iterable[tuple[AnyMistake, Reader]], asked: Sequence[DeadTest], taken: Mapping[int, float | None], wrong: int
) -> tuple[Likely, ...]:
    """Return the mistakes that leave fewer than `wrong` readings unexplained, best first, at most five.

    tried: each mistake, the commonest kinds first, with what a board that has it shows in a test [ohm, None: open].
    asked: the tests that have a reading. taken: number of a test -> that reading.
    """
    groups: dict[
        tuple[object, ...], list[AnyMistake]
    ] = {}  # what it would show -> mistakes; the first is the commonest
    counts: dict[tuple[object, ...], int] = {}
    kinds: dict[str, int] = {}
    bar = wrong  # a mistake must leave fewer readings unexplained than this
    for mistake, read in tried:
        kinds.setdefault(mistake.kind, len(kinds))
        left = _shown_by(read, asked, taken, bar)
        if left is not None:
            count, readings = left
            groups.setdefault(readings, []).append(mistake)
            counts[readings] = count
            if len(counts) > MOST_NAMED:
                bar = min(bar, sorted(counts.values())[MOST_NAMED - 1] + 1)
    best = sorted(groups, key=lambda readings: (counts[readings], kinds[groups[readings][0].kind]))
    return tuple(Likely(groups[key][0], counts[key], tuple(groups[key][1:])) for key in best[:MOST_NAMED])


def _shown_by(
    read: Reader, asked: Sequence[DeadTest], taken: Mapping[int, float | None], bar: int
) -> tuple[int, tuple[object, ...]] | None:
    """How many readings a board would not give, and what it would show; None from `bar` upwards."""
    left = 0
    readings: list[object] = []
    for test in asked:
        value = read(test)
        readings.append(None if value is None else float(f"{value:.3g}"))
        if not agree(taken[test.number], value):
            left += 1
            if left >= bar:
                return None
    return left, tuple(readings)


def agree(reading: float | None, expected: float | None) -> bool:
    """True if a reading is what is expected, within what real parts and meters allow [ohm; None is open]."""
    one = math.inf if reading is None or reading >= OPEN_OHMS else reading
    other = math.inf if expected is None or expected >= OPEN_OHMS else expected
    if math.inf in (one, other):
        return one == other
    if other < SHORT_OHMS or one < SHORT_OHMS:
        return one < SHORT_OHMS and other < SHORT_OHMS
    return abs(one - other) <= TOLERANCE * other


def read_ohms(thing: str, given: object) -> float | None:
    """Return a reading [ohm]; None if it is open. Raises LadderError if it is none."""
    if isinstance(given, str):
        words = given.strip().lower().replace("ω", "ohm")
        if words in ("ol", "open", "no beep"):
            return None
        if words in ("beeps", "beep"):
            return 0.0
        for unit, factor in (("kohm", 1e3), ("mohm", 1e6), ("ohm", 1.0), ("", 1.0)):
            if words.endswith(unit):
                try:
                    given = float(words.removesuffix(unit)) * factor
                except ValueError:
                    raise LadderError(thing, "is a resistance in ohm, or open", given, _FORMS) from None
                break
    if isinstance(given, bool) or not isinstance(given, int | float) or not math.isfinite(given) or given < 0:
        raise LadderError(thing, "is a resistance in ohm, or open", given, _FORMS)
    return float(given)


def _shown(value: float | None) -> str:
    return "OL" if value is None else f"{value:.4g} ohm"


def _escaped(text: str) -> str:
    from html import escape

    return escape(text)
