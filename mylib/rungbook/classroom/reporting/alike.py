"""Work that looks copied: what a person should look at, no proof.

Right answers to a small exercise are alike by themselves. So two signs are looked for: two students made the **same
mistake with the same circuit**, or wrote the same words, comments and names included, where the lab leaves them free;
and, where each student has a variant, designations that only another student's lab has.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from rungbook.classroom.reporting.papers import Paper
from rungbook.grading.variants import Variant

_WORDS = 12  # a written answer of fewer words may be the same by chance


@dataclass(frozen=True)
class Alike:
    """Two or more students and what is alike: a sentence for each sign."""

    students: tuple[str, ...]
    signs: tuple[str, ...]


def find_alike(papers: Iterable[Paper], given: Mapping[str, str], right: Mapping[str, str]) -> list[Alike]:
    """Return groups of students with a sign, those with most signs first.

    given: answer cell -> its text as released, right: as in the solution; both as `Paper.answers` has them.
    """
    same: dict[tuple[str, str], list[str]] = {}
    for paper in papers:
        for sign, text in _signs(paper, given, right):
            same.setdefault((sign, text), []).append(paper.student)
    groups: dict[tuple[str, ...], list[str]] = {}
    for (sign, _), students in same.items():
        if len(students) > 1:
            groups.setdefault(tuple(sorted(students)), []).append(sign)
    found = [Alike(students, tuple(signs)) for students, signs in groups.items()]
    return sorted(found, key=lambda group: (-len(group.signs), group.students))


def _signs(paper: Paper, given: Mapping[str, str], right: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What would be a sign if another student had the same text: (sign, text)."""
    for name, text in paper.answers.items():
        if text in (given.get(name), right.get(name)):
            continue
        wrong = next((told for test, told in paper.first.items() if test.startswith(name) and told), "")
        if wrong and paper.circuits.get(name):
            yield f"{name}: the same wrong circuit, written alike", f"{text}\n{wrong}"
        elif "#" in text.replace(given.get(name, ""), ""):
            yield f"{name}: the same code with the same comments", text
    for name, text in paper.essays.items():
        if len(text.split()) >= _WORDS:
            yield f"{name}: the same words", text


def foreign_words(papers: Sequence[Paper], variants: Mapping[str, Variant]) -> list[Alike]:
    """Return students whose answers have designations that are not in their own variant but in others', with those
    others; and those whose notebook says it is another's variant."""
    found = []
    for paper in papers:
        own = variants.get(paper.student)
        if own is None:
            continue
        owners = [one for one, variant in variants.items() if variant.name == paper.variant and one != paper.student]
        if paper.variant != own.name and owners:
            found.append(Alike((paper.student, *owners), ("the notebook is the other's variant",)))
        mine, every = set(own.becomes.values()), {word for one in variants.values() for word in one.becomes.values()}
        foreign = (paper.words & every) - mine
        if foreign:
            others = [
                one
                for one, variant in variants.items()
                if one != paper.student and foreign <= set(variant.becomes.values())
            ]
            told = ", ".join(sorted(foreign))
            found.append(Alike((paper.student, *others), (f"uses {told}, which is not in the student's own lab",)))
    return found
