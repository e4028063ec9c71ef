"""`mark`: judge a declared answer by requirements, print what a student needs, return the points.

Made for the last line of an nbgrader test cell. nbgrader reads the displayed number as the score, takes anything that
is no number for full marks, and scores 0 when a test cell writes to stderr: so `mark` prints to standard output only
and always returns a plain number from 0 to the sum of the points.
"""

from __future__ import annotations

import json
import re
import textwrap
from collections.abc import Iterable, Mapping
from typing import Any

from rungbook.circuit import Ladder, from_json
from rungbook.errors import LadderError
from rungbook.grading.finding import Finding, not_decided
from rungbook.grading.handed import Handed, as_error, hand_over
from rungbook.grading.heard import tell
from rungbook.grading.panel import on_panel
from rungbook.grading.requirement import Requirement
from rungbook.kit import Device

FIRST = "First to mend: "  # begins what reports and `rungbook demo` quote; the lines below it are indented
NOT_DECIDED = "Not decided within the limit: "  # begins what the class folder's settings hand to a person
_INDENT = "    "
_WIDTH = 92  # columns of a feedback page before a line has to be scrolled
_MISSING = object()


def declared(name: str, answer: object, wants: type) -> Any:
    """Return `answer` as the marker reads it: written to JSON and read back, so nothing of the student's runs.

    Raises LadderError if there is no answer, it is of another type than `wants`, or it cannot be written as JSON of
    at most a million characters.
    """
    kinds = {Ladder: "a Ladder", dict: "a form (a dict, as given in the cell)"}
    if answer is _MISSING:
        rule = f"missing: its cell stopped with an error, or the name was changed; asked for is {kinds[wants]}"
        raise LadderError(f"Answer {name}", rule)
    handed = answer if type(answer) is Handed else hand_over(name, answer)
    if handed.kind != wants.__name__:
        raise LadderError(f"Answer {name}", f"this exercise asks for {kinds[wants]}", handed.kind)
    if handed.text is None:
        raise as_error(name, handed.problem)
    return from_json(handed.text) if wants is Ladder else json.loads(handed.text)


def mark(name: str, namespace: Mapping[str, Any], *requirements: Requirement, devices: Iterable[Device] = ()) -> float:
    """Judge the answer `namespace[name]` by `requirements`, print the feedback, return the points earned.

    devices: the panel of the exercise; it decides what each designation is. All requirements are judged; the points
    of those met are added; only the first one not met is explained. One that could not be decided earns nothing and is
    named on a line of its own, by which the class folder's settings hand the cell to a person (`asks_for_a_reader`).

    Raises LadderError if there is no requirement or they want answers of different types (the instructor's mistake);
    a missing or broken answer raises nothing and earns 0.
    """
    wanted = {requirement.wants for requirement in requirements}
    if len(wanted) != 1:
        raise LadderError(f"mark {name!r}", "needs requirements that judge one type of answer", len(wanted))
    most = sum(requirement.points for requirement in requirements)
    panel = tuple(devices)
    try:
        answer = declared(name, namespace.get(name, _MISSING), wanted.pop())
        if isinstance(answer, Ladder):
            answer.validate()
            _check_settings(on_panel(answer, panel))
    except LadderError as problem:
        print(f"{name}: 0 of {_plain(most)} points")
        _print_first(str(problem))
        tell(name, _with_plates(requirements[0].sentence, _plates(panel)), Finding(0, because=str(problem)))
        return 0
    findings = [_judged(requirement, answer, panel) for requirement in requirements]
    earned = sum(r.points * min(1, max(0, f.earned)) for r, f in zip(requirements, findings, strict=True))
    _report(name, requirements, findings, panel, earned, most)
    return _plain(earned)


def _check_settings(ladder: Ladder) -> None:
    """Raise LadderError if a timer or counter of `ladder` is not set: what it does is then not decided by anybody."""
    for tag, device in ladder.devices.items():
        if device.kind == "timer relay" and not device.setting:
            rule = "nothing is set on it; give function and time, such as setting='flash 1 s'"
            raise LadderError(f"Timer {tag}", rule)
        if device.kind == "counter" and not device.setting:
            raise LadderError(
                f"Counter {tag}", "nothing is set on it; give direction and count, such as setting='up 9'"
            )


def _judged(requirement: Requirement, answer: Any, panel: tuple[Device, ...]) -> Finding:
    try:
        return requirement.judge(answer, panel)
    except LadderError as problem:  # of a ladder that is valid: it has something that this question cannot be asked of
        return not_decided(str(problem))


def _report(
    name: str,
    requirements: tuple[Requirement, ...],
    findings: list[Finding],
    panel: tuple[Device, ...],
    earned: float,
    most: float,
) -> None:
    sentences = [_with_plates(requirement.sentence, _plates(panel)) for requirement in requirements]
    for sentence, finding in zip(sentences, findings, strict=True):
        tell(name, sentence, finding)
    open_points = sum(r.points for r, f in zip(requirements, findings, strict=True) if f.undecided)
    more = f", {_plain(open_points)} more not decided yet" if open_points else ""
    print(f"{name}: {_plain(earned)} of {_plain(most)} points{more}")
    for sentence, finding in zip(sentences, findings, strict=True):
        if finding.undecided:
            _print_folded(NOT_DECIDED, f"{sentence} {finding.because} An instructor will look.")
    first = next((finding for finding in findings if not finding.met and not finding.undecided), None)
    if first is not None:
        _print_first(*first.parts())
        if first.look:
            print(f"Look at: {first.look}")
        if first.picture:
            print(f"\n{first.picture}\n")
    for requirement, sentence, finding in zip(requirements, sentences, findings, strict=True):
        points = "?" if finding.undecided else _plain(round(requirement.points * finding.earned, 2))
        print(f"  {_word(finding):<11}  {points:>4}/{_plain(requirement.points):<4}  {sentence}")


def _word(finding: Finding) -> str:
    if finding.undecided:
        return "not decided"
    return "met" if finding.met else "partly met" if finding.earned > 0 else "not met"


def _plates(panel: tuple[Device, ...]) -> dict[str, str]:
    return {device.tag: device.name for device in panel}


def _with_plates(sentence: str, plates: Mapping[str, str]) -> str:
    return re.sub(r"\{(\w+)\}", lambda found: plates.get(found[1], found[1]), sentence)


def _print_first(*parts: str) -> None:
    """Print what is to be mended first, a part a line, long ones folded."""
    for place, part in enumerate(parts):
        _print_folded(_INDENT if place else FIRST, part)


def _print_folded(lead: str, text: str) -> None:
    fold = textwrap.TextWrapper(_WIDTH, lead, _INDENT, break_long_words=False, break_on_hyphens=False)  # keep 13-14
    print(fold.fill(text))


def first_to_mend(printed: str) -> str:
    """Return, on one line, what `mark` printed as the first thing to mend; "" if it printed none."""
    lines = iter(printed.splitlines())
    for line in lines:
        if line.startswith(FIRST):
            found = [line[len(FIRST) :]]
            for more in lines:
                if not more.startswith(_INDENT):
                    break
                found.append(more.strip())
            return " ".join(found)
    return ""


def asks_for_a_reader(printed: str) -> bool:
    """True if `mark` printed that something was not decided, so that a person must look before a mark is given."""
    return any(line.startswith(NOT_DECIDED) for line in printed.splitlines())


def _plain(points: float) -> float:
    """A whole number as int, so that it prints as "35" and not "35.0"."""
    points = round(points, 2)
    return int(points) if points == int(points) else points
