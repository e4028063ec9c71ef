"""What single faults do, as a table: cause, effect, how it shows itself, severity; the worst first."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from html import escape
from textwrap import wrap
from typing import Literal

from rungbook.behaviour.faults import Fault, PowerFault
from rungbook.proof.verdict import Verdict

Severity = Literal["danger", "stops the work", "no effect", "not decided"]
ORDER = ("danger", "stops the work", "no effect", "not decided")
HEAD = ("cause", "effect", "how it shows itself", "severity")
_WIDTHS = (44, 44, 34, 14)  # columns of the text, so that a row fits on 144 signs
_SHARES = (34, 34, 21, 11)  # the same in a notebook [%]
_CELL = "text-align:left;vertical-align:top;padding:0.3em 0.8em 0.3em 0.3em;border-top:1px solid currentColor"
_LISTED, _MISLED = 6, 2  # causes with one effect that are listed, and among them wires on a wrong terminal


@dataclass(frozen=True)
class FaultEffect:
    """What one fault does.

    severity: "danger" if a protecting rule is broken, "stops the work" if another rule is broken or no longer shown,
    "no effect" on the rules, or "not decided" within the limit. broken: the verdicts of the rules that no longer hold.
    shows: the shortest sequence of orders after which an operator sees a difference from the sound circuit, and what;
    "" if there is none. hidden: True for a danger of which nothing warns in normal work: whoever does what the
    protection is there for is the first to learn that it is gone. remark: what to know beyond the rules, or "".
    """

    fault: Fault | PowerFault
    severity: Severity
    broken: tuple[Verdict, ...]
    shows: str
    hidden: bool = False
    remark: str = ""

    @property
    def rank(self) -> tuple[int, bool, bool]:
        """Smaller for what is worse: hidden dangers, dangers, what stops the work, the rest; misled wires last."""
        return ORDER.index(self.severity), not self.hidden, self.fault.kind == "wrong terminal"

    @property
    def told(self) -> tuple[str, str, str]:
        """Effect, how it shows itself, severity: the words of a row."""
        lost = (
            tuple(one for one in self.broken if one.outcome == "broken") if self.severity == "danger" else self.broken
        )
        effect = f"{_told(lost)}. {self.remark}".rstrip()
        severity = "HIDDEN DANGER" if self.hidden else self.severity
        return effect, self.shows or "not at all", severity


@dataclass(frozen=True)
class FaultTable:
    """The effects of all faults, worst first: hidden dangers, dangers, the rest. True if no single fault is a danger.

    Shows itself as a table; faults with one and the same effect share a row. There, rules that the circuit no longer
    comes to keep are left out beside broken ones, and of many like causes a few are named. `effects` has them all.
    """

    title: str
    effects: tuple[FaultEffect, ...]

    def __bool__(self) -> bool:
        return not self.dangers()

    def dangers(self) -> tuple[FaultEffect, ...]:
        """The effects that can hurt someone."""
        return tuple(effect for effect in self.effects if effect.severity == "danger")

    def summary(self) -> str:
        """ "95 single faults: 3 hidden dangers, 21 other dangers, 60 stop the work, 11 without effect."."""
        count = Counter(("hidden danger" if one.hidden else one.severity) for one in self.effects)
        hidden, open_ = count["hidden danger"], count["danger"]
        words = (
            (hidden, f"hidden danger{_s(hidden)}"),
            (open_, f"{'other ' if hidden else ''}danger{_s(open_)}"),
            (count["stops the work"], "stops the work" if count["stops the work"] == 1 else "stop the work"),
            (count["no effect"], "without effect on the rules"),
            (count["not decided"], "not decided"),
        )
        parts = [f"{number} {word}" for number, word in words if number]
        return f"{len(self.effects)} single fault{_s(len(self.effects))}: {', '.join(parts) or 'nothing to tell'}."

    def rows(self) -> list[tuple[tuple[str, ...], tuple[str, str, str]]]:
        """A row for each effect: the sentences of its causes, and effect, how it shows itself, severity."""
        grouped: dict[tuple[str, str, str], list[Fault | PowerFault]] = {}
        for effect in self.effects:
            grouped.setdefault(effect.told, []).append(effect.fault)
        return [(_causes(faults, told[2]), told) for told, faults in grouped.items()]

    def __str__(self) -> str:
        rule = "  ".join("─" * width for width in _WIDTHS)
        lines = [f"{self.title}. {self.summary()}".removeprefix(". "), _line(HEAD), rule]
        for causes, told in self.rows():
            cells = [[part for cause in causes for part in _folded(cause, 0)]]
            cells += [_folded(text, k) for k, text in enumerate(told, 1)]
            for k in range(max(map(len, cells))):
                lines.append(_line([cell[k] if k < len(cell) else "" for cell in cells]))
            lines.append("")
        return "\n".join(lines[:-1] if len(lines) > 3 else lines)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        head = "".join(
            f'<th scope="col" style="{_CELL};width:{width}%">{escape(name)}</th>'
            for name, width in zip(HEAD, _SHARES, strict=True)
        )
        body = ""
        for causes, (effect, shows, severity) in self.rows():
            first = "".join(f'<div style="padding-left:1em;text-indent:-1em">{escape(cause)}</div>' for cause in causes)
            last = f"<b>{escape(severity)}</b>" if "danger" in severity.lower() else escape(severity)
            cells = (first, escape(effect), escape(shows), last)
            body += "<tr>" + "".join(f'<td style="{_CELL}">{one}</td>' for one in cells) + "</tr>"
        told = escape(f"{self.title}. {self.summary()}".removeprefix(". "))
        caption = f'<caption style="caption-side:top;text-align:left">{told}</caption>'
        table = 'style="border-collapse:collapse;width:100%;max-width:75em"'
        return f"<table {table}>{caption}<thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def _causes(faults: list[Fault | PowerFault], severity: str) -> tuple[str, ...]:
    """Sentences of faults with one effect: all that are a danger, else the first few; of wires misled, a few."""
    misled = [fault.describe() for fault in faults if fault.kind == "wrong terminal"]
    others = [fault.describe() for fault in faults if fault.kind != "wrong terminal"]
    if "danger" not in severity.lower() and len(others) > _LISTED:
        others = [*others[:_LISTED], f"… and {len(others) - _LISTED} more."]
    few = misled if len(misled) <= _MISLED else [] if others else misled[:_MISLED]
    if rest := len(misled) - len(few):
        few = [*few, f"… and {rest} {'more ' if few else ''}wire{_s(rest)} on a wrong terminal."]
    return (*others, *few)


def _s(number: int) -> str:
    return "" if number == 1 else "s"


def _folded(text: str, column: int) -> list[str]:
    return wrap(text, _WIDTHS[column], subsequent_indent="  ") if column == 0 else wrap(text, _WIDTHS[column])


def _line(cells: tuple[str, ...] | list[str]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(cells, _WIDTHS, strict=True)).rstrip()


def _told(lost: tuple[Verdict, ...]) -> str:
    """What became of the rules: broken ones apart from those that the circuit never comes to the point of keeping."""
    parts = []
    for lead, outcomes in (("No longer", ("broken",)), ("No more to be seen", ("not shown", "not decided"))):
        sentences = [verdict.sentence.rstrip(".") for verdict in lost if verdict.outcome in outcomes]
        if sentences:
            parts.append(f"{lead}: {'; '.join(sentences)}")
    return ". ".join(parts) or "Every rule still holds"
