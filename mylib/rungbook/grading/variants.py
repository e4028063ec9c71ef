"""Variants of an exercise: which words change from student to student, and which variant is whose.

A variant is a simultaneous renaming of whole words, one for one, in a text: designations, times, plates. Which one a
student gets follows from a secret, the lab and the student's id by HMAC-SHA256 alone, so it is the same on every
machine and in every version of Python, every variant is equally likely, and nobody can foretell it without the secret.

Whole words: a word is not found within a longer one, beside a hyphen ("lab02-S1"), after a decimal point ("2.5 s" is
not "5 s"), in terminals ("13-14"), in an address or in a file name.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import perm, prod
from typing import Any

from rungbook.errors import LadderError
from rungbook.kit.kinds import ALL_KINDS
from rungbook.kit.settings import CounterSetting, TimerSetting, read_setting

_KEEP = r"https?://\S+|\b\d+[-–]\d+\b|[\w./-]+\.(?:svg|png|jpg|pdf|ipynb|toml|csv|html)\b"
_BEFORE, _AFTER = r"(?<![\w-])(?<!\d\.)", r"(?![\w-])"
_TAG = re.compile(r"([A-Z])\d+\Z", re.ASCII)
_TERMINALS = re.compile(r"\d+[-–]\d+\Z")
LEAST_SECRET = 16  # bytes


@dataclass(frozen=True)
class Pool:
    """Words of the source that change together, and what they may become.

    become: words, of which each variant takes as many different ones as there are `words`, in any order. together:
    lists as long as `words`, of which each variant takes one as it stands. A pool has one of the two.
    """

    words: tuple[str, ...]
    become: tuple[str, ...] = ()
    together: tuple[tuple[str, ...], ...] = ()

    @cached_property
    def count(self) -> int:
        """Number of ways to choose."""
        return len(self.together) or perm(len(self.become), len(self.words))

    @property
    def targets(self) -> tuple[str, ...]:
        """Every word that may stand in a variant."""
        return self.become or tuple(dict.fromkeys(word for one in self.together for word in one))

    def choice(self, number: int) -> dict[str, str]:
        """The way with this number, 0 to count - 1, as word -> what it becomes."""
        if self.together:
            return dict(zip(self.words, self.together[number], strict=True))
        left = list(self.become)
        chosen = []
        for _ in self.words:
            number, place = divmod(number, len(left))
            chosen.append(left.pop(place))
        return dict(zip(self.words, chosen, strict=True))


@dataclass(frozen=True)
class Variant:
    """A renaming, word -> what it becomes. name: short, tells variants apart and says nothing about the renaming."""

    name: str
    becomes: Mapping[str, str]


def read_pools(thing: str, data: Mapping[str, Any]) -> tuple[Pool, ...]:
    """Return the pools of `[[pool]]` tables. thing: what to name in an error, such as "lab02, variants.toml".

    Raises LadderError if a key is unknown or missing; a word stands twice; there are fewer targets than words; a
    designation would become another letter or no designation; a setting of a timer or counter would become one of
    another function; terminals are to be changed; or two pools could give the same word.
    """
    tables = data.get("pool", [])
    if not isinstance(tables, list) or not tables or set(data) != {"pool"}:
        raise LadderError(thing, "holds [[pool]] tables and nothing else", ", ".join(data) or None, ("[[pool]]",))
    pools = tuple(_read_pool(f"{thing}, pool {number}", table) for number, table in enumerate(tables, 1))
    taken: dict[str, int] = {}
    for number, pool in enumerate(pools, 1):
        for word in {*pool.words, *pool.targets}:
            if taken.setdefault(word, number) != number:
                raise LadderError(thing, f"pools {taken[word]} and {number} both have this word; join them", word)
    return pools


def _read_pool(thing: str, table: object) -> Pool:
    keys = ("words", "become", "together")
    if not isinstance(table, dict) or set(table) not in ({"words", "become"}, {"words", "together"}):
        raise LadderError(thing, "has words, and either become or together", table, keys)
    words = _words(thing, "words", table["words"])
    if "together" in table:
        lists = table["together"]
        if not isinstance(lists, list) or not lists:
            raise LadderError(thing, "together is a list of lists of words", lists)
        pool = Pool(words, together=tuple(_words(thing, "each list in together", one) for one in lists))
        for one in pool.together:
            if len(one) != len(words):
                raise LadderError(thing, f"each list in together has a word for each of {', '.join(words)}", list(one))
        pairs = [pair for one in pool.together for pair in zip(words, one, strict=True)]
    else:
        pool = Pool(words, become=_words(thing, "become", table["become"]))
        if len(pool.become) < len(words):
            rule = f"needs at least as many words to become as there are words, {len(words)}"
            raise LadderError(thing, rule, len(pool.become))
        pairs = [(word, target) for word in words for target in pool.become]
    for word, target in pairs:
        _check_pair(thing, word, target)
    return pool


def _words(thing: str, what: str, given: object) -> tuple[str, ...]:
    if not isinstance(given, list) or not given or not all(isinstance(one, str) and one.strip() for one in given):
        raise LadderError(thing, f"{what} is a list of words", given)
    for one in given:
        if given.count(one) > 1:
            raise LadderError(thing, f"{what}: each word stands once", one)
        if not re.fullmatch(r"\w(?:.*\w)?", one):
            raise LadderError(thing, f"{what}: a word begins and ends with a letter or a digit", one)
        if _TERMINALS.match(one):
            raise LadderError(thing, "terminals are not changed: they are printed on the device", one)
    return tuple(given)


def _check_pair(thing: str, word: str, target: str) -> None:
    """A designation stays one of its letter, a setting one of its function."""
    old, new = _TAG.match(word), _TAG.match(target)
    if (old[1] if old else None) != (new[1] if new else None):
        rule = f"{word} can only become a designation with the letter {old[1]}" if old else f"{word} is no designation"
        raise LadderError(thing, rule, target)
    if _function(word) != _function(target):
        raise LadderError(thing, f"{word} can only become a setting of the same function", target)


def _function(text: str) -> str:
    """What a timer or counter set so does; "" for any other word."""
    for kind in (name for name, spec in ALL_KINDS.items() if spec.setting in ("timer", "counter")):
        try:
            setting = read_setting("", kind, text)
        except LadderError:
            continue
        if isinstance(setting, TimerSetting):
            return setting.function
        if isinstance(setting, CounterSetting):
            return setting.direction
    return ""


def check_pools(thing: str, pools: Sequence[Pool], texts: Iterable[str]) -> None:
    """Check that the renaming cannot go wrong in these texts (the source and its sample answers).

    Raises LadderError if a word to be renamed is nowhere, a designation among them stands within a longer word, or a
    word that it may become stands somewhere already and is not renamed itself.
    """
    whole = "\n".join(texts)
    renamed = {word for pool in pools for word in pool.words}
    found = _found(whole, renamed | {target for pool in pools for target in pool.targets})
    for number, pool in enumerate(pools, 1):
        for word in pool.words:
            if word not in found:
                raise LadderError(f"{thing}, pool {number}", "no such whole word in the lab", word)
            if _TAG.match(word):
                for longer in re.finditer(rf"{_KEEP}|(?P<word>[\w-]*(?:\b|_){word}(?:\b|_)[\w-]*)", whole):
                    if longer["word"] not in (None, word):
                        rule = f"{word} stands within a longer word, where it is not renamed; write it apart"
                        raise LadderError(f"{thing}, pool {number}", rule, longer["word"])
        for target in pool.targets:
            if target in found and target not in renamed:
                rule = f"{' and '.join(pool.words)} may become a word that stands in the lab for something else"
                raise LadderError(f"{thing}, pool {number}", rule, target)


def _found(text: str, words: Iterable[str]) -> set[str]:
    return {match["word"] for match in _pattern(words).finditer(text) if match["word"]}


def _pattern(words: Iterable[str]) -> re.Pattern[str]:
    longest_first = sorted(words, key=lambda word: (-len(word), word))
    return re.compile(rf"(?:{_KEEP})|{_BEFORE}(?P<word>{'|'.join(map(re.escape, longest_first))}){_AFTER}")


def renamed(text: str, variant: Variant) -> str:
    """Return `text` with every whole word of the variant's in its new form, all at once."""
    if not variant.becomes:
        return text
    return _pattern(variant.becomes).sub(lambda found: variant.becomes.get(found["word"], found[0]), text)


def how_many(pools: Sequence[Pool]) -> int:
    """Number of variants, the common one among them."""
    return prod(pool.count for pool in pools)


def variant_number(pools: Sequence[Pool], secret: bytes, lab: str, number: int) -> Variant:
    """Return the variant with this number, 0 to `how_many` - 1."""
    becomes: dict[str, str] = {}
    for pool in pools:
        number, place = divmod(number, pool.count)
        becomes |= pool.choice(place)
    told = "\0".join(f"{word}\1{target}" for word, target in sorted(becomes.items()))
    return Variant(_digest(secret, "name", lab, told).hex()[:12], becomes)


def choose(pools: Sequence[Pool], secret: bytes, lab: str, student: str) -> Variant:
    """Return the variant of `student` in `lab`: always the same one, each equally likely.

    Raises LadderError if the secret has fewer than 16 bytes, or there is no student.
    """
    if len(secret) < LEAST_SECRET:
        raise LadderError("Secret", f"has at least {LEAST_SECRET} bytes, or it can be guessed", len(secret))
    if not student or not student.isprintable():
        raise LadderError("Variant", "needs the student's id, as in the gradebook", student)
    count = how_many(pools)
    whole = 1 << 256
    for attempt in range(1000):  # a number beyond the last full round of `count` would favour the first variants
        drawn = int.from_bytes(_digest(secret, "choice", lab, student, str(attempt)), "big")
        if drawn < whole - whole % count:
            return variant_number(pools, secret, lab, drawn % count)
    raise LadderError("Variant", "more variants than can be drawn from", count)


def _digest(secret: bytes, *parts: str) -> bytes:
    return hmac.new(secret, "\0".join(("rungbook variant 1", *parts)).encode(), hashlib.sha256).digest()
