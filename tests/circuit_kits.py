"""A kit with more contacts than any real one, single ones and changeovers, for random ladders."""

from rungbook.kit import Fitted, Kit, Model
from rungbook.kit.models import blocks

_PAIRS = ("11-12", "11-14", "21-22", "21-24", "33-34", "43-44", "51-52", "61-62", "73-74", "81-82", "93-94")
_SUPPLY = {"Q": ("A1", "A2"), "K": ("A1", "A2"), "P": ("X1", "X2")}
_KINDS = {"S": "push button", "F": "overload relay", "Q": "contactor", "K": "control relay", "P": "pilot lamp"}


def _big(tag: str) -> Fitted:
    kind = _KINDS[tag[0]]
    pairs = () if tag[0] == "P" else _PAIRS
    return Fitted(Model(f"big {kind}", kind, blocks(kind, *pairs), supply=_SUPPLY.get(tag[0], ())))


GENEROUS = Kit("generous kit", {tag: _big(tag) for tag in ("S1", "S2", "F1", "Q1", "K1", "P1")})
