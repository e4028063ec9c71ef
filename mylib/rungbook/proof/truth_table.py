"""Truth table of a rung or of a whole ladder, all rows at once.

Rows are *positions of devices*, not logic signals: in the table of `NC("S1")` the contact conducts in the row in
which S1 is released. Row k gives the inputs, first input slowest, as in a table written by hand.

A column is one whole number of 2**n bits; bit k is row k. A rung of contacts then is a handful of `&` and `|`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import islice

from rungbook.behaviour import conducts
from rungbook.circuit import Contact, Ladder, Rung
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.tables import html_table, text_table

MAX_INPUTS = 24
SHOWN_ROWS = 64


@dataclass(frozen=True, repr=False)
class TruthTable:
    """A truth table: `inputs` and `outputs` name the columns, `columns` holds one whole number of bits for each.

    words: column name -> (word for 0, word for 1). A held state has two columns: "Q1" among the inputs is the coil
    now, "Q1 next" among the outputs is what its rung makes of it.
    """

    title: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    columns: Mapping[str, int]
    words: Mapping[str, tuple[str, str]]

    def __len__(self) -> int:
        return 1 << len(self.inputs)

    def column(self, name: str) -> int:
        """Return the column of an input or output: bit k is row k.

        Raises LadderError if the table has no such column.
        """
        if name not in self.columns:
            raise LadderError("Truth table", f"no column {name}", name, (*self.inputs, *self.outputs))
        return self.columns[name]

    def rows(self) -> Iterator[tuple[str, ...]]:
        """Yield the rows as words: positions of the inputs, then of the outputs."""
        names = (*self.inputs, *self.outputs)
        # bytes give a bit in constant time; shifting a long whole number would copy it for each row
        size = (len(self) + 7) // 8
        packed = [self.columns[name].to_bytes(size, "little") for name in names]
        words = [self.words[name] for name in names]
        for row in range(len(self)):
            yield tuple(word[data[row >> 3] >> (row & 7) & 1] for word, data in zip(words, packed, strict=True))

    def __getitem__(self, positions: Mapping[str, str] | tuple[str, ...]) -> dict[str, str]:
        """Return the outputs, name -> word, in the row with these input positions: `table["pressed", "released"]`.

        Raises LadderError if the number of positions is wrong or a word is none of its device.
        """
        given = (positions,) if isinstance(positions, str) else positions
        if isinstance(given, Mapping):
            missing = [name for name in self.inputs if name not in given]
            if missing:
                raise LadderError("Truth table row", "needs the position of every input", missing[0], self.inputs)
            given = tuple(given[name] for name in self.inputs)
        if not isinstance(given, tuple) or len(given) != len(self.inputs):
            raise LadderError("Truth table row", "needs the position of every input", positions, self.inputs)
        row = 0
        for name, word in zip(self.inputs, given, strict=True):
            if word not in self.words[name]:
                raise LadderError("Truth table row", f"{name} has no such position", word, self.words[name])
            row = row << 1 | self.words[name].index(word)
        return {name: self.words[name][self.columns[name] >> row & 1] for name in self.outputs}

    def _more(self) -> str:
        hidden = len(self) - SHOWN_ROWS
        return f"{hidden} more rows; .rows() gives all {len(self)}" if hidden > 0 else ""

    def __str__(self) -> str:
        cut = len(self.inputs)
        shown = [(*row[:cut], "│", *row[cut:]) for row in islice(self.rows(), SHOWN_ROWS)]
        parts = (self.title, text_table((*self.inputs, "│", *self.outputs), shown), self._more())
        return "\n".join(part for part in parts if part)

    __repr__ = __str__

    def _repr_html_(self) -> str:
        caption = f"Truth table: {self.title}" if self.title else "Truth table"
        rows = list(islice(self.rows(), SHOWN_ROWS))
        table = html_table(caption, (*self.inputs, *self.outputs), rows, rule_before=len(self.inputs) or None)
        return table + (f"<p>{self._more()}</p>" if self._more() else "")


def truth_table(circuit: Ladder | Rung) -> TruthTable:
    """Return the truth table of a rung (as `Ladder.rung` returns it) or of a ladder.

    Rung: inputs are all devices with contacts on it, outputs its loads. Ladder: inputs are the operated devices and
    the coils as they are now; outputs are each coil as its rung drives it next ("Q1 next") and each lamp. A state
    in which "Q1" and "Q1 next" agree for every coil is one in which the panel rests. The supply is on throughout.

    Shapes: n inputs give 2**n rows; columns are whole numbers of 2**n bits. Cost: one `&` or `|` on such a number
    a contact.

    Raises LadderError if `circuit` is neither, the ladder is not valid, or there are more than 24 inputs.
    """
    if isinstance(circuit, Ladder):
        circuit.validate()
        devices = {tag: circuit.devices[tag] for tag in (*circuit.inputs(), *circuit.coils())}
        title, rungs = circuit.title, circuit.rungs
        held = set(circuit.coils())
    elif isinstance(circuit, Rung):
        devices = {contact.device: circuit.device(contact.device) for contact in circuit.all_contacts()}
        title, rungs = circuit.note, (circuit,)
        held = set(devices)
    else:
        raise LadderError(
            "truth_table", "works on a Ladder or one of its rungs", circuit, ("ladder", "ladder.rungs[0]")
        )
    inputs = tuple(devices)
    if len(inputs) > MAX_INPUTS:
        rule = f"at most {MAX_INPUTS} inputs ({1 << MAX_INPUTS:,} rows); take one rung at a time"
        raise LadderError("truth_table", rule, len(inputs))
    full = (1 << (1 << len(inputs))) - 1
    columns = {tag: _pattern(place, len(inputs)) for place, tag in enumerate(inputs)}
    words = {tag: _words(devices[tag]) for tag in inputs}
    closed = {
        (tag, kind): columns[tag] if kind == "NO" else columns[tag] ^ full for tag in inputs for kind in ("NO", "NC")
    }

    def column_of(contact: Contact) -> int:
        return closed[contact.device, contact.kind]

    outputs = []
    for rung in rungs:
        value = conducts(rung.contacts, column_of, full)
        for load in rung.loads:
            name = f"{load.device} next" if load.device in held else load.device
            outputs.append(name)
            columns[name] = value
            words[name] = _words(rung.device(load.device))
    return TruthTable(title, inputs, tuple(outputs), columns, words)


def _words(device: Device) -> tuple[str, str]:
    away, there = device.spec.positions
    return (away, there)


def _pattern(place: int, count: int) -> int:
    """The column of input `place` of `count`: 2**(count-1-place) zeros, as many ones, and so on to 2**count bits."""
    half = 1 << (count - 1 - place)
    column, size = ((1 << half) - 1) << half, 2 * half
    while size < 1 << count:
        column |= column << size
        size *= 2
    return column
