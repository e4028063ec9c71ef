"""Terminal numbers of contacts: the last digit says what the contact does (EN 50005).

| function digits | contact |
|---|---|
| ·1 ·2 | normally closed |
| ·3 ·4 | normally open |
| ·1 ·2 ·4 | changeover (·1 common: ·1-·2 opens, ·1-·4 closes) |
| ·5 ·6 | normally closed, special function (95-96 of an overload relay; timed) |
| ·7 ·8 | normally open, special function (97-98 of an overload relay; timed) |
| ·5 ·6 ·8 | changeover, special function |

The tens digit is the position of the contact on the device. Main poles are 1-2, 3-4, 5-6 and no control contacts.
"""

from __future__ import annotations

import re

from rungbook.errors import LadderError
from rungbook.kit.kinds import NC_KIND, NO_KIND

_PAIR = re.compile(r"([1-9])([1-8])-([1-9])([1-8])\Z")
_KIND_OF_DIGITS = {
    ("1", "2"): NC_KIND,
    ("3", "4"): NO_KIND,
    ("1", "4"): NO_KIND,
    ("5", "6"): NC_KIND,
    ("7", "8"): NO_KIND,
    ("5", "8"): NO_KIND,
}
_EXAMPLES = {
    NO_KIND: ("13-14", "23-24", "11-14 (changeover)", "97-98 (overload)"),
    NC_KIND: ("11-12", "21-22", "95-96 (overload)"),
}


def contact_kind(terminals: str) -> str | None:
    """ "NO" or "NC" for a pair such as "13-14"; None if EN 50005 knows no such pair."""
    match = _PAIR.match(terminals)
    if not match or match[1] != match[3]:
        return None
    return _KIND_OF_DIGITS.get((match[2], match[4]))


def check_terminals(thing: str, kind: str, terminals: object) -> str:
    """Return `terminals` if they are "" or a pair that EN 50005 gives to a contact of this kind.

    Raises LadderError if they are no such pair, or a pair of the other kind.
    """
    if terminals == "":
        return ""
    found = contact_kind(terminals) if isinstance(terminals, str) else None
    words = {NO_KIND: "normally open", NC_KIND: "normally closed"}
    if found is None:
        rule = "terminals are a pair such as 13-14: same first digit, then the function digits of EN 50005"
        raise LadderError(thing, rule, terminals, _EXAMPLES[kind])
    if found != kind:
        rule = f"terminals {terminals} are those of a {words[found]} contact (EN 50005), the contact is {words[kind]}"
        raise LadderError(thing, rule, terminals, _EXAMPLES[kind])
    assert isinstance(terminals, str)
    return terminals
