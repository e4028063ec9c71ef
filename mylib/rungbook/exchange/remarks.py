"""What a program cannot say in its statements, as comments: title, devices with their plates, notes, terminals, lenses.

    Ladder: Wash pump                         Rung 1: start and stop
    Device S1: push button, red, plate "Stop" Terminals: S1 21-22, S2 -, Q1 13-14, F1 95-96, Q1 A1-A2
                                              Lens: P1 green

`Device` lines stand if the ladder declares its panel; all contacts and loads of a rung are listed under `Terminals`
in reading order if one of them names its terminals. The signs `$`, `*` and `"` of a title, plate or note are written
`$24`, `$2A`, `$22`, as a character string of IEC 61131-3 would have them.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

from rungbook.circuit import Contact, Ladder, Load, Rung
from rungbook.exchange.tree import wrong
from rungbook.kit import ALL_KINDS, COLOURS, Device

_DEVICE = re.compile(r'([^:]*): ([^,"]*)(?:, ([a-z]+))?(?:, plate "([^"]*)")?(?:, set to "([^"]*)")?')


def escaped(text: str) -> str:
    """`text` without the signs that could end a comment or a quotation."""
    return re.sub(r'[$*"]', lambda sign: f"${ord(sign[0]):02X}", text)


def plain(text: str) -> str:
    """The text that `escaped` made `text` of."""
    return re.sub(r"\$(24|2A|22)", lambda code: chr(int(code[1], 16)), text)


def of_ladder(ladder: Ladder) -> list[str]:
    """The comments at the head."""
    found = ["Ladder:" + (f" {escaped(ladder.title)}" if ladder.title else "")]
    for device in ladder.declared or ():
        text = f"Device {device.tag}: {device.kind}" + (f", {device.colour}" if device.colour else "")
        text += f', plate "{escaped(device.label)}"' if device.label else ""
        found.append(text + (f', set to "{device.setting}"' if device.setting else ""))
    return found


def of_rung(number: int, rung: Rung) -> list[str]:
    """The comments before one rung."""
    found = [f"Rung {number}" + (f": {escaped(rung.note)}" if rung.note else "")]
    items: tuple[Contact | Load, ...] = (*rung.all_contacts(), *rung.loads)
    if any(item.terminals for item in items):
        found.append("Terminals: " + ", ".join(f"{item.device} {item.terminals or '-'}" for item in items))
    lenses = [f"{load.device} {load.colour}" for load in rung.loads if load.colour]
    return found + ([f"Lens: {', '.join(lenses)}"] if lenses else [])


@dataclass
class Head:
    """The comments at the head, read: `title`, and the `devices` if the panel is declared."""

    title: str = ""
    devices: list[Device] = field(default_factory=list)


def read_head(notes: Iterable[str], line: int) -> Head:
    """Read the comments at the head; others are for people. Raises LadderError for a device line of another form."""
    head = Head()
    for note in notes:
        if note.startswith("Ladder:"):
            head.title = plain(_after_colon(note))
        elif note.startswith("Device "):
            match = _DEVICE.fullmatch(note.removeprefix("Device "))
            if match is None or match[2] not in ALL_KINDS or (match[3] or "red") not in COLOURS:
                legal = 'Device S1: push button, red, plate "Stop"', f"kinds: {', '.join(ALL_KINDS)}"
                raise wrong(line, "no line of a device", note, *legal)
            head.devices.append(Device(match[1], match[2], match[3] or "", plain(match[4] or ""), match[5] or ""))
    return head


@dataclass
class Rungs:
    """The comments before one rung, read: its `note`, terminals as (designation, pair or "") in order, lens by lamp."""

    begins: bool = False
    note: str = ""
    terminals: list[tuple[str, str]] = field(default_factory=list)
    lenses: dict[str, str] = field(default_factory=dict)


def read_rung(notes: Iterable[str], line: int) -> Rungs:
    """Read the comments before a rung; others are for people. Raises LadderError for a list of another form."""
    found = Rungs()
    for note in notes:
        if re.match(r"Rung [0-9]+(:|\Z)", note):
            found.begins = True
            found.note = plain(_after_colon(note))
        elif note.startswith("Terminals:"):
            pairs = _pairs(note, line, "Terminals: S1 21-22, S2 -, Q1 A1-A2")
            found.terminals = [(tag, "" if pair == "-" else pair) for tag, pair in pairs]
        elif note.startswith("Lens:"):
            found.lenses = dict(_pairs(note, line, "Lens: P1 green"))
    return found


def _after_colon(note: str) -> str:
    """What follows the first colon and one blank."""
    return note.partition(":")[2].removeprefix(" ")


def _pairs(note: str, line: int, legal: str) -> list[tuple[str, str]]:
    found = []
    for entry in note.partition(":")[2].split(","):
        words = entry.split()
        if len(words) != 2:
            raise wrong(line, "a list of designations, each with one word", note, legal)
        found.append((words[0], words[1]))
    return found
