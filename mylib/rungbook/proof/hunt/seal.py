"""The sealed token of a hunt: a short text that decides the fault and does not show it.

What this protects, and what not. The number of the fault is encrypted with a stream from SHA-256, under a key made from
a constant of this file and the name of the lab, with a salt by which tokens of one fault can differ. So nothing can be
read off the notebook, its metadata or the names in the kernel. But the kernel that lets a student measure must open
the token, so whoever reads this file can open it too: against that a seal is a curtain, no lock. What protects the mark
is that each student's fault is chosen by the instructor's secret (`grading.choose_fault`), that the marker holds the
token it gave out, and that it repeats the student's acts instead of believing what they are said to have shown.
"""

from __future__ import annotations

import base64
import hashlib
import hmac

from rungbook.errors import LadderError

_CONSTANT = b"rungbook sealed hunt 1"
_SALT, _TAG, _NUMBER = 5, 6, 4  # bytes
_LEAD = "h"  # a token begins with it, so that it is a word of its own and no designation
MAX_NUMBER = 256**_NUMBER - 1


def lab_key(lab: str) -> bytes:
    """The key that a student's kernel opens the tokens of `lab` with."""
    return hmac.new(_CONSTANT, lab.encode(), hashlib.sha256).digest()


def seal(number: int, key: bytes, salt: str = "") -> str:
    """Return the token for fault `number` under `key`: 25 small letters and digits, the same each time.

    salt: a word that makes the tokens of one fault differ, such as the name of a student's variant.
    Raises LadderError if the number is not from 0 to 2**32 - 1.
    """
    if isinstance(number, bool) or not isinstance(number, int) or not 0 <= number <= MAX_NUMBER:
        raise LadderError("seal", f"a fault has a number from 0 to {MAX_NUMBER}", number)
    grain = _digest(key, b"salt", salt.encode())[:_SALT]
    plain = number.to_bytes(_NUMBER, "big")
    tag = _digest(key, b"tag", grain + plain)[:_TAG]
    hidden = _stream(key, grain + tag, plain)
    return _LEAD + base64.b32encode(grain + tag + hidden).decode().rstrip("=").lower()


def unseal(token: object, key: bytes) -> int:
    """Return the number that `seal` put into `token`. Raises LadderError if it is no token, or of another key."""
    rule = "is the text given in the exercise, letter by letter; this one is none of this lab"
    if not isinstance(token, str) or not token.isascii() or not token.startswith(_LEAD):
        raise LadderError("Token", rule, token)
    text = token[len(_LEAD) :].strip().upper()
    try:
        raw = base64.b32decode(text + "=" * (-len(text) % 8))
    except ValueError:
        raise LadderError("Token", rule, token) from None
    if len(raw) != _SALT + _TAG + _NUMBER:
        raise LadderError("Token", rule, token)
    grain, tag, hidden = raw[:_SALT], raw[_SALT : _SALT + _TAG], raw[_SALT + _TAG :]
    plain = _stream(key, grain + tag, hidden)
    if not hmac.compare_digest(tag, _digest(key, b"tag", grain + plain)[:_TAG]):
        raise LadderError("Token", rule, token)
    return int.from_bytes(plain, "big")


def _stream(key: bytes, start: bytes, text: bytes) -> bytes:
    return bytes(a ^ b for a, b in zip(text, _digest(key, b"stream", start), strict=False))


def _digest(key: bytes, use: bytes, text: bytes) -> bytes:
    return hmac.new(key, use + b"\0" + text, hashlib.sha256).digest()
