"""A device: a designation such as S1, its kind, its colour and its plate."""

from __future__ import annotations

import re
from dataclasses import dataclass

from rungbook.errors import LadderError
from rungbook.kit.colours import COLOURS
from rungbook.kit.kinds import ALL_KINDS, KIND_OF_LETTER, DeviceKind
from rungbook.kit.limits import MAX_TEXT, check_text
from rungbook.kit.settings import read_setting

_TAG = re.compile(r"[A-Z][1-9][0-9]{0,2}\Z")


def check_tag(thing: str, tag: object) -> str:
    """Return `tag` if it is a designation of this course: one letter, then 1 to 999.

    Raises LadderError if it is no text, has another form, or its letter stands for no kind of device here.
    Letters: IEC 81346-2 (S operator switch, B sensor, Q power contactor, K relay, F protection, P lamp, M motor,
    T transformer or converter).
    """
    letters = ", ".join(f"{letter} ({kind})" for letter, kind in KIND_OF_LETTER.items())
    if not isinstance(tag, str):
        raise LadderError(thing, "a device is named by text such as 'S1'", tag, tuple(KIND_OF_LETTER))
    if not _TAG.match(tag):
        shown = tag if len(tag) <= 20 else tag[:20] + "…"
        raise LadderError(
            thing, "a designation is one capital letter and a number from 1 to 999, such as S1", shown, (letters,)
        )
    if tag[0] not in KIND_OF_LETTER:
        raise LadderError(thing, f"the letter {tag[0]} stands for no kind of device here", tag, (letters,))
    return tag


@dataclass(frozen=True)
class Device:
    """One device on the panel.

    tag: designation, letter of IEC 81346-2 and number. kind: a name in `ALL_KINDS`; left out, the letter decides
    (S push button, B limit switch, F overload relay, Q contactor, K control relay, P pilot lamp, M motor,
    T control transformer). colour: colour of the button or lens, or "". label: what its plate says, at most 200
    characters. setting: what is set on it, such as "on-delay 5 s", or "" (forms: `rungbook.kit.settings`).

    Raises LadderError if the tag is malformed, the kind is unknown or has another letter, the colour is unknown, or
    the setting is none of this kind.
    """

    tag: str
    kind: str = ""
    colour: str = ""
    label: str = ""
    setting: str = ""

    def __post_init__(self) -> None:
        thing = f"Device({self.tag!r})" if isinstance(self.tag, str) and len(self.tag) <= MAX_TEXT else "Device"
        check_tag(thing, self.tag)
        if not self.kind:
            object.__setattr__(self, "kind", KIND_OF_LETTER[self.tag[0]])
        if not isinstance(self.kind, str) or self.kind not in ALL_KINDS:
            raise LadderError(thing, "unknown kind of device", self.kind, tuple(ALL_KINDS))
        if ALL_KINDS[self.kind].letter != self.tag[0]:
            fitting = tuple(name for name, kind in ALL_KINDS.items() if kind.letter == self.tag[0])
            raise LadderError(
                thing, f"a {self.kind} has the letter {ALL_KINDS[self.kind].letter} (IEC 81346-2)", self.kind, fitting
            )
        if not isinstance(self.colour, str) or (self.colour and self.colour not in COLOURS):
            raise LadderError(thing, "unknown colour", self.colour, tuple(COLOURS))
        check_text(thing, "label", self.label)
        read_setting(thing, self.kind, self.setting)

    @property
    def spec(self) -> DeviceKind:
        """The record of this device's kind."""
        return ALL_KINDS[self.kind]

    @property
    def name(self) -> str:
        """Designation with its plate for a sentence: "S2 (start)", or "S2" alone."""
        return f"{self.tag} ({self.label})" if self.label else self.tag
