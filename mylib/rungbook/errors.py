"""The one error of the package: what is wrong, by which rule, with which value, and what would be right."""

from __future__ import annotations

_SHOWN = 60
_NOTHING = object()  # told apart from a value None that was given


class LadderError(ValueError):
    """Input that cannot be a circuit (or an answer).

    Attributes: `thing` (what was being made), `rule` (the rule it breaks), `value` (the value given),
    `choices` (the legal choices, as texts; empty if there is no list). The message joins the four.
    """

    def __init__(self, thing: str, rule: str, value: object = _NOTHING, choices: tuple[str, ...] = ()) -> None:
        self.thing = thing
        self.rule = rule
        self.value = None if value is _NOTHING else value
        self.choices = choices
        message = f"{thing}: {rule}."
        if value is not _NOTHING:
            shown = repr(value)
            message += f" Given: {shown if len(shown) <= _SHOWN else shown[:_SHOWN] + '…'}."
        if choices:
            message += f" Choices: {', '.join(choices)}."
        super().__init__(message)
