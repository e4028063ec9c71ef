"""Truth table of a rung or of a whole ladder, all rows at once.

Rows are *positions of devices*, not logic signals: in the table of `NC("S1")` the contact conducts in the row in
which S1 is released. Row k gives the inputs, first input slowest, as in a table written by hand.

A column is one whole number of 2**n bits; bit k is row k. A rung of contacts then is a handful of `&` and `|`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import reduce
from itertools import islice, product
from math import prod
from operator import or_

from rungbook.behaviour import conducts
from rungbook.circuit import INPUTS, Contact, Ladder, Rung, check_input
from rungbook.errors import LadderError
from rungbook.tables import html_table, text_table

MAX_INPUTS = 24  # with two positions each
MAX_ROWS = 1 << MAX_INPUTS
SHOWN_ROWS = 64
_OFF_ON = ("off", "on")  # of the voltage at a reset or count input, which has no position of its own


@dataclass(frozen=True, repr=False)
class TruthTable:
    """A truth table: `inputs` and `outputs` name the columns, `columns` holds one whole number of bits for each output.

    words: column name -> the words of its positions, two or more for an input, (off, on) for an output. A held state
    has two columns: "Q1" among the inputs is the coil now, "Q1 next" among the outputs is what its rung makes of it.
    """

    title: str
    inputs: tuple[str, ...]
    outputs: tuple[str, ...]
    columns: Mapping[str, int]
    words: Mapping[str, tuple[str, ...]]

    def __len__(self) -> int:
        return prod(len(self.words[name]) for name in self.inputs)

    def column(self, name: str, position: str = "") -> int:
        """Return a column as a whole number, bit k for row k: 1 where `name` is in `position`.

        position: left out, the second of its words ("in", "pressed", "lit"). Raises LadderError if the table has no
        such column, or the device no such position, or more than two and none is given.
        """
        if name not in self.words:
            raise LadderError("Truth table", f"no column {name}", name, (*self.inputs, *self.outputs))
        words = self.words[name]
        if not position and len(words) > 2:
            raise LadderError("Truth table", f"{name} has more than two positions; say which", choices=words)
        if position and position not in words:
            raise LadderError("Truth table", f"{name} has no such position", position, words)
        which = words.index(position) if position else 1
        if name in self.columns:
            full = (1 << len(self)) - 1
            return self.columns[name] if which else self.columns[name] ^ full
        return _pattern([len(self.words[other]) for other in self.inputs], self.inputs.index(name), which)

    def rows(self) -> Iterator[tuple[str, ...]]:
        """Yield the rows as words: positions of the inputs, then of the outputs."""
        # bytes give a bit in constant time; shifting a long whole number would copy it for each row
        size = (len(self) + 7) // 8
        packed = [(self.words[name], self.columns[name].to_bytes(size, "little")) for name in self.outputs]
        for row, positions in enumerate(product(*(self.words[name] for name in self.inputs))):
            yield (*positions, *(words[data[row >> 3] >> (row & 7) & 1] for words, data in packed))

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
            row = row * len(self.words[name]) + self.words[name].index(word)
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

    Shapes: n inputs of two positions give 2**n rows, one of three gives three times as many; a column is a whole number
    of as many bits. Cost: one `&` or `|` on such a number
    a contact.

    Raises LadderError if `circuit` is neither, the ladder is not valid, a device works in time, or there are
    more rows than 24 inputs of two positions make.
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
    for device in devices.values():
        if device.spec.timed:
            rule = f"a {device.kind} works in time, and a truth table knows no times; `run` does"
            raise LadderError(f"Device {device.tag}", rule, device.kind)
    if isinstance(circuit, Ladder):
        for rung in rungs:
            for load in rung.loads:
                check_input(load, circuit.devices[load.device])
    inputs = tuple(devices)
    words = {tag: device.spec.positions for tag, device in devices.items()}
    sizes = [len(words[tag]) for tag in inputs]
    rows = prod(sizes)
    if rows > MAX_ROWS:
        rule = f"at most {MAX_ROWS:,} rows, as {MAX_INPUTS} inputs of two positions make; take one rung at a time"
        raise LadderError("truth_table", rule, f"{len(inputs)} inputs, {rows:,} rows")
    at = {
        (tag, position): _pattern(sizes, place, which)
        for place, tag in enumerate(inputs)
        for which, position in enumerate(words[tag])
    }

    def column_of(contact: Contact) -> int:
        positions = devices[contact.device].spec.closed_in(contact.kind, contact.terminals)
        return reduce(or_, (at[contact.device, position] for position in positions), 0)

    columns: dict[str, int] = {}
    for rung in rungs:
        value = conducts(rung.contacts, column_of, (1 << rows) - 1)
        for load in rung.loads:
            name = f"{load.name} next" if load.name in held else load.name
            columns[name] = value
            words[name] = _OFF_ON if load.kind in INPUTS else rung.device(load.device).spec.positions
    return TruthTable(title, inputs, tuple(columns), columns, words)


def _pattern(sizes: list[int], place: int, which: int) -> int:
    """The column "input `place` is in position `which`": runs of ones as long as the inputs after it have rows."""
    run, rows = prod(sizes[place + 1 :]), prod(sizes)
    column, size = ((1 << run) - 1) << (which * run), sizes[place] * run
    repeats = rows // size
    done = 1
    while done < repeats:  # double, then top up
        more = min(done, repeats - done)
        column |= (column & ((1 << more * size) - 1)) << (done * size)
        done += more
    return column
