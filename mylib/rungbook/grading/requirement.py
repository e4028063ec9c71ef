"""A requirement: a sentence, points, and a judge that looks at the answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from rungbook.behaviour import Panel, read_script, run, tell
from rungbook.behaviour.timed_panel import works_in_time
from rungbook.circuit import Ladder
from rungbook.circuit.power import PowerCircuit
from rungbook.errors import LadderError
from rungbook.grading.finding import MET, Finding, in_sentences, not_decided
from rungbook.grading.replay import difference_picture, rule_picture
from rungbook.kit import LAMP_MEANINGS, Device
from rungbook.proof import Rule, compare, prove
from rungbook.proof.explain import why
from rungbook.proof.explore import MAX_STATES

_STEADY = 0.2  # [s] around the end of a script in time


@dataclass(frozen=True)
class Requirement:
    """One thing an exercise asks.

    sentence: what is asked, as the student reads it. points: at most this many. wants: type of answer it can judge
    (`Ladder`, or `dict` for a filled-in form). judge(answer, devices): the `Finding`; devices are the exercise's own,
    which decide the kinds whatever the student declared.
    """

    sentence: str
    points: float
    wants: type
    judge: Callable[[Any, tuple[Device, ...]], Finding]

    def __post_init__(self) -> None:
        if not isinstance(self.points, int | float) or isinstance(self.points, bool) or not self.points > 0:
            raise LadderError(f"Requirement {self.sentence!r}", "points are a number above 0", self.points)


def must(
    rule: Rule,
    points: float,
    look: str = "",
    *,
    limit: int = MAX_STATES,
    power: PowerCircuit | None = None,
    mechanical_interlock: Iterable[tuple[str, str]] = (),
) -> Requirement:
    """Ask that `rule` holds in every case. look: where the student should look if it does not.

    limit: reachable states of the panel, above which nothing is decided and a person will look. A rule that the circuit
    never comes to the point of keeping or breaking earns nothing. power, mechanical_interlock: as in `prove`, the
    exercise's own; an answer that lacks the coil of one of the contactors earns nothing.
    Raises LadderError, when the exercise is written, if `power` is no valid power circuit.
    """
    pairs = tuple(mechanical_interlock)
    if power is not None:
        if not isinstance(power, PowerCircuit):
            raise LadderError("must", "power is a PowerCircuit", power, ("reversing()",))
        power.validate()
    switched = () if power is None else tuple(one.tag for one in power.devices if one.kind == "contactor")
    contactors = dict.fromkeys((*switched, *(tag for pair in pairs for tag in pair)))

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        lacking = [tag for tag in contactors if tag not in ladder.coils()]
        if lacking:
            return Finding(0, because=f"No rung ends in {' or '.join(lacking)}.", look=look)
        found = prove(ladder, rule, devices=devices, limit=limit, power=power, mechanical_interlock=pairs)
        (verdict,) = found.verdicts
        if verdict.holds:
            return MET
        if verdict.outcome == "broken":
            done = tell(verdict.steps) or "Nothing is touched."
            picture = rule_picture(ladder, devices, rule, verdict)
            return Finding(0, done, verdict.seen, verdict.expected, verdict.why, look, picture=picture)
        if verdict.outcome == "not decided":
            return not_decided(verdict.why)
        because = f"{verdict.sentence.rstrip('.')}: {verdict.outcome}. {verdict.why}"
        return Finding(0, because=because, look=look)

    return Requirement(rule.sentence, points, Ladder, judge)


def same_as(
    asked: Ladder, points: float, outputs: Iterable[str] | None = None, look: str = "", *, limit: int = MAX_STATES
) -> Requirement:
    """Ask that the answer does the same as `asked` on `outputs` over every sequence of bench orders.

    limit: pairs of states, above which nothing is decided and a person will look. `asked` declares the panel, so that
    it decides what each designation is. Raises LadderError, when the exercise is written and not when it is marked, if
    `asked` is not valid, has a race or chatters, or lacks an output.
    """
    watched = tuple(outputs) if outputs is not None else (*asked.coils(), *asked.lamps())
    compare(asked, asked, watched)

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        found = compare(ladder, asked, watched, limit)
        if found:
            return MET
        if found.outcome == "different":
            picture = difference_picture(ladder, asked, watched, found)
            done = tell(found.steps) or "Nothing is touched."
            return Finding(0, done, found.yours, found.asked, found.why, look, picture=picture)
        return not_decided(found.why)

    return Requirement(
        f"{' and '.join(watched)} {'does' if len(watched) == 1 else 'do'} as asked in every case.",
        points,
        Ladder,
        judge,
    )


def lens(tag: str, points: float, colours: Iterable[str], meaning: str) -> Requirement:
    """Ask that lamp `tag` has a lens of one of `colours`; `meaning` says what the lamp tells (IEC 60073)."""
    allowed = tuple(colours)
    for colour in allowed:
        if colour not in LAMP_MEANINGS:
            raise LadderError("lens", "unknown colour of a lamp", colour, tuple(LAMP_MEANINGS))

    def judge(ladder: Ladder, devices: tuple[Device, ...]) -> Finding:
        for rung in ladder.rungs:
            for load in rung.loads:
                if load.device == tag:
                    colour = load.colour or ladder.devices[tag].colour
                    if colour in allowed:
                        return MET
                    seen = f"the lens of {tag} is {colour}" if colour else f"{tag} has no colour"
                    told = f"{colour} means {LAMP_MEANINGS[colour]}. " if colour in LAMP_MEANINGS else ""
                    because = f"By IEC 60073 {told}{tag} tells: {meaning}."
                    return Finding(0, seen=seen[0].upper() + seen[1:], expected=" or ".join(allowed), because=because)
        return Finding(0, because=f"No rung ends in {tag}.")

    return Requirement(f"The lens of {tag} is {' or '.join(allowed)} ({meaning}).", points, Ladder, judge)


def predicts(ladder: Ladder, output: str, scripts: Iterable[str], points: float, look: str = "") -> Requirement:
    """Ask for the position of `output` at the end of each script; the answer is a form script -> word.

    What is right is found by doing the script on `ladder`, never typed in. Points are shared evenly by the scripts.
    With timers the script is run in time, with waits and times as `run` reads them.
    Raises LadderError if a script is none for this ladder or leaves the outcome open; in time, if something changes
    less than a fifth of a second before or after its end.
    """
    if works_in_time(ladder, ladder.declared or ()):
        return _predicts_in_time(ladder, output, tuple(scripts), points, look)
    panel = Panel(ladder, ladder.declared or ())
    inputs = {device.tag: device for device in panel.inputs}
    begin = panel.rest(panel.start)
    if len(begin.states) != 1 or begin.chatter:
        raise LadderError("predicts", "the ladder must come to rest, in one way, before anything is touched", ladder)
    if output not in panel.devices:
        raise LadderError("predicts", f"no device {output} on this ladder", output, tuple(panel.devices))
    right: dict[str, Finding] = {}
    words: dict[str, str] = {}
    for script in scripts:
        steps = read_script(script, inputs)
        state = begin.states[0]
        for step in steps:
            rest = panel.after(step, state)
            if len(rest.states) != 1 or rest.chatter or not panel.can(step, state):
                raise LadderError("predicts", "the script must be possible and have one outcome", script)
            state = rest.states[0]
        words[script] = panel.position(output, state)
        on = panel.is_on(output, state)
        reason = why(panel, output, not on, state, None)
        expected = f"{output} is {words[script]}"
        right[script] = Finding(0, tell(steps) or "Nothing is touched.", "", expected, reason, look)
    return _predicted(output, panel.devices[output].spec.positions, words, right, points)


def _predicts_in_time(ladder: Ladder, output: str, scripts: tuple[str, ...], points: float, look: str) -> Requirement:
    if output not in ladder.devices:
        raise LadderError("predicts", f"no device {output} on this ladder", output, tuple(ladder.devices))
    right: dict[str, Finding] = {}
    words: dict[str, str] = {}
    for script in scripts:
        trace = run(ladder, script)
        longer = run(ladder, f"{script}, wait {0.2 if _ends_in_wait(script) else 1.2} s")
        restless = [tag for time, tag, _ in longer.changes if abs(time - trace.end) < _STEADY]
        if restless or any(moment.note for moment in trace.moments):
            raise LadderError("predicts", "the script must have one outcome, and end while nothing changes", script)
        words[script] = trace[-1].positions[output]
        changed = [(time, word) for time, tag, word in trace.changes if tag == output]
        before = [moment for moment in trace.moments[1:] if changed and moment.time <= changed[-1][0]]
        reason = f"{output} has not changed at all."
        if changed and before:
            late = changed[-1][0] - before[-1].time
            soon = f"{round(late, 1):g} s after " if late > _STEADY else ""
            reason = f"{output} has been {changed[-1][1]} since {soon}the order '{before[-1].order}'."
        expected = f"{output} is {words[script]}"
        right[script] = Finding(0, in_sentences(script), "", expected, reason, look)
    return _predicted(output, ladder.devices[output].spec.positions, words, right, points)


def _ends_in_wait(script: str) -> bool:
    pieces = [piece for piece in script.split(",") if piece.strip()]
    return bool(pieces) and pieces[-1].strip().casefold().startswith("wait")


def _predicted(
    output: str, choices: tuple[str, ...], words: Mapping[str, str], right: Mapping[str, Finding], points: float
) -> Requirement:
    """The form script -> word, judged by `words`; `right` says what is to be said of each."""
    if not words:
        raise LadderError("predicts", "needs at least one script", None)

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        good = [script for script in words if _clean(form.get(script)) == words[script]]
        if len(good) == len(words):
            return MET
        first = next(script for script in words if script not in good)
        given = form.get(first)
        if given in (None, ""):
            seen = "You wrote nothing"
        elif _clean(given) not in choices:
            seen = f"You wrote {str(given)[:40]!r}; the words are {' and '.join(choices)}"
        else:
            seen = f"You wrote {_clean(given)!r}"
        return replace(right[first], earned=len(good) / len(words), seen=seen)

    return Requirement(f"The position of {output} is right after each script.", points, dict, judge)


def picks(right: Mapping[str, tuple[str, ...]], points: float, because: Mapping[str, str]) -> Requirement:
    """Ask for one word in each field of a form. right: field -> words that are right; because: field -> reason.

    Points are shared evenly by the fields. Outer blanks and capitals do not matter, in `right` neither.
    Raises LadderError if there is no field, or the right words of a field are no tuple of words.
    """
    if not right:
        raise LadderError("picks", "needs at least one field", None)
    for field, words in right.items():
        if isinstance(words, str) or not words or not all(_clean(word) for word in words):
            raise LadderError("picks", f"the right words of {field!r} are a tuple of words", words, ("('in',)",))
    cleaned = {field: {_clean(word) for word in words} for field, words in right.items()}

    def judge(form: Mapping[str, Any], devices: tuple[Device, ...]) -> Finding:
        good = [field for field, words in cleaned.items() if _clean(form.get(field)) in words]
        if len(good) == len(right):
            return MET
        first = next(field for field in right if field not in good)
        given = form.get(first)
        seen = f"{first}: you wrote {str(given)[:40]!r}" if given not in (None, "") else f"{first}: you wrote nothing"
        return Finding(len(good) / len(right), seen=seen, because=because.get(first, ""))

    return Requirement(f"Right word for: {', '.join(right)}.", points, dict, judge)


def _clean(value: object) -> str:
    """A word as typed, without outer blanks and capitals; "" for anything that is no text."""
    return value.strip().casefold() if isinstance(value, str) else ""
