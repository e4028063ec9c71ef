"""The lines of the gallery for what stands in a control ladder."""

from __future__ import annotations

from rungbook.circuit import Contact, Load, Wired
from rungbook.drawing.cells import contact_cell, line, load_cell
from rungbook.drawing.character import mirror_contact
from rungbook.drawing.gallery_page import Entry, Section, Specimen
from rungbook.drawing.symbol_sets import SymbolSet, symbol_set
from rungbook.kit import Device

_CONTACTS = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 2")
_TIMED = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 5")
_HAND = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 7")
_LATCHED = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 7; IEC 60947-5-1, K")
_COILS = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 15")
_LETTERS = ("NEMA ICS 19; letters our own", "IEC 60617-7, 2; clock our own")
_BOXES = ("NEMA ICS 19; letters of the trade", "IEC 60617-7, 2; box our own")
_OWN = ("our own", "our own")


def sections() -> tuple[Section, ...]:
    """Return the sections of control circuits."""
    return (
        Section("Contacts of relays and contactors", _relays()),
        Section("Contacts moved by hand", _hand()),
        Section("Contacts moved by a machine, a current or a device", _plant()),
        Section("Delayed contacts", _timed()),
        Section("Coils, inputs and lamps", _loads()),
        Section("Supply", _supply()),
    )


def _contacts(name: str, use: str, clauses: tuple[str, str], device: Device, *contacts: tuple[str, str]) -> Entry:
    """A line for `contacts` of `device`: kind and terminals each."""

    def drawn(symbols: SymbolSet) -> tuple[Specimen, ...]:
        cells = [contact_cell(Wired(Contact(device.tag, *contact), 1, 2), device, symbols) for contact in contacts]
        return tuple(Specimen(cell.shape, cell.texts) for cell in cells)

    return Entry(name, drawn(symbol_set("nema")), drawn(symbol_set("iec")), *clauses, use)


def _load(name: str, use: str, clauses: tuple[str, str], device: Device, load: Load) -> Entry:
    def drawn(symbols: SymbolSet) -> tuple[Specimen, ...]:
        cell = load_cell(Wired(load, 1, 2), device, symbols)
        return (Specimen(cell.shape, cell.texts),)

    return Entry(name, drawn(symbol_set("nema")), drawn(symbol_set("iec")), *clauses, use)


def _relays() -> tuple[Entry, ...]:
    use = (
        "Auxiliary contact of a contactor, contact of a control relay, instantaneous contact of a timer relay. "
        "The closed one, in the circuit of another coil, is an interlock."
    )
    relay = _contacts("Relay contact", use, _CONTACTS, Device("Q1"), ("NO", "13-14"), ("NC", "21-22"))
    nema, iec = (_mirror(symbol_set(which)) for which in ("nema", "iec"))
    clause = "word our own; IEC 60947-4-1, F"
    use = "Closed contact of a contactor that stays open while one of its main contacts is welded."
    return relay, Entry("Mirror contact", nema, iec, clause, clause, use)


def _mirror(symbols: SymbolSet) -> tuple[Specimen, ...]:
    shape = mirror_contact(symbols.contact(Device("Q1"), Contact("Q1", "NC")))
    _, top, _, bottom = shape.box
    texts = (line("designation", 0, top - 6, "Q1"), line("plate", 0, bottom + 15, shape.mark))
    return (Specimen(shape, texts),)


def _hand() -> tuple[Entry, ...]:
    two, three = Device("S3", "two-position selector"), Device("S4", "three-position selector")
    stop = Device("S5", "emergency stop", "red")
    turned = "Hand, off, automatic; stays put. The chart tells in which of left, off, right the contact is closed."
    return (
        _contacts(
            "Push button",
            "Open: start. Closed: stop. Springs back when let go.",
            _HAND,
            Device("S1"),
            ("NO", "23-24"),
            ("NC", "11-12"),
        ),
        _contacts(
            "Two-position selector",
            "Stays where it is put; drawn off. On closes the first, opens the second.",
            _HAND,
            two,
            ("NO", "23-24"),
            ("NC", "11-12"),
        ),
        _contacts("Three-position selector, left", turned, _HAND, three, ("NO", "13-14"), ("NC", "31-32")),
        _contacts("Three-position selector, right", turned, _HAND, three, ("NO", "23-24"), ("NC", "41-42")),
        _contacts(
            "Emergency stop",
            "Closed: in series with all that must stop; it latches when struck and opens positively (arrow in a "
            "circle). Open: a signal only, never the stop itself.",
            _LATCHED,
            stop,
            ("NO", "33-34"),
            ("NC", "11-12"),
        ),
    )


def _plant() -> tuple[Entry, ...]:
    position = ("NEMA ICS 19; IEEE 315, 4", "IEC 60617-7, 8")
    thermal = ("NEMA ICS 19; letters of the trade", "IEC 60617-7, 2; IEC 60617-2, 13")
    starter, counter = Device("Q2", "manual motor starter"), Device("K5", "counter", setting="up 3")
    soft, program = Device("Q3", "soft starter"), Device("K6", "programmable relay")
    return (
        _contacts(
            "Limit switch",
            "Moves when the machine reaches it.",
            position,
            Device("B1"),
            ("NO", "13-14"),
            ("NC", "21-22"),
        ),
        _contacts(
            "Overload relay",
            "Closed: in series with the coil. Open: signal of a trip.",
            thermal,
            Device("F1"),
            ("NO", "97-98"),
            ("NC", "95-96"),
        ),
        _contacts(
            "Manual motor starter",
            "Moved by its handle, and by a trip.",
            thermal,
            starter,
            ("NO", "13-14"),
            ("NC", "21-22"),
        ),
        _contacts(
            "Manual motor starter, trip", "Moved by a trip only.", thermal, starter, ("NO", "97-98"), ("NC", "95-96")
        ),
        _contacts("Counter", "Moves at its count.", _BOXES, counter, ("NO", "15-18"), ("NC", "15-16")),
        _contacts(
            "Soft starter",
            "13-14 ramping or running, 23-24 running, 95-96 no fault.",
            _BOXES,
            soft,
            ("NO", "13-14"),
            ("NC", "95-96"),
        ),
        _contacts("Drive", "Moves while it runs.", _BOXES, Device("T1", "drive"), ("NO", "11-14"), ("NC", "11-12")),
        _contacts("Programmable relay, output", "A program decides when.", _BOXES, program, ("NO", "13-14")),
        _contacts(
            "Fuse, striker", "Signal that it has blown, where it has one.", _BOXES, Device("F2", "fuse"), ("NO", "")
        ),
    )


def _timed() -> tuple[Entry, ...]:
    signs = (
        (
            "on-delay 5 s",
            "Late when energised",
            "Open: closes late, opens at once. Closed: opens late, closes at once.",
        ),
        (
            "off-delay 5 s",
            "Late when de-energised",
            "Open: closes at once, opens late. Closed: opens at once, closes late.",
        ),
        ("on-and-off delay 5 s", "Late both ways", "Moves late when the coil gets voltage and when it loses it."),
        (
            "cumulative on-delay 5 s",
            "Late when energised, times added up",
            "Keeps its time without voltage; the letters are our own.",
        ),
    )
    lettered = (
        ("one-shot on rising edge 5 s", "Pulse when energised", "One pulse as the coil gets voltage."),
        ("one-shot on falling edge 5 s", "Pulse when de-energised", "One pulse as the coil loses voltage."),
        ("flash 1 s", "Flashing", "On and off in turn while the coil has voltage."),
        ("", "Timer, function not set", "For a plan that is not finished."),
    )
    both = ("NO", "15-18"), ("NC", "15-16")
    return tuple(
        _contacts(name, use, clauses, Device("K2", "timer relay", setting=function), *both)
        for group, clauses in ((signs, _TIMED), (lettered, _LETTERS))
        for function, name, use in group
    )


def _loads() -> tuple[Entry, ...]:
    lamps = ("NEMA ICS 19; IEEE 315, 11", "IEC 60617-8, 10; IEC 60757")
    meant = {"red": "danger or fault", "yellow": "abnormal", "green": "normal", "blue": "someone must act"}
    meant["white"] = "neutral"
    timers = [Device("K2", "timer relay", setting=f"{f} 5 s") for f in ("on-delay", "off-delay", "on-and-off delay")]
    late = ("Late when energised.", "Late when de-energised.", "Late both ways.")
    counter = Device("K5", "counter", setting="up-down 3")
    soft, program = Device("Q3", "soft starter"), Device("K6", "programmable relay")
    return (
        _load("Coil", "Contactor or control relay.", _COILS, Device("Q1"), Load("Q1", "coil", "", "A1-A2")),
        *(
            _load(f"Coil of a timer relay, {k.setting[:-4]}", use, _COILS, k, Load("K2", "coil"))
            for k, use in zip(timers, late, strict=True)
        ),
        _load("Coil of a counter", "Counts each time it gets voltage.", _COILS, counter, Load("K5", "coil")),
        _load("Reset input", "Puts a counter or a cumulative timer back.", _OWN, counter, Load("K5", "reset")),
        _load("Count-down input", "Of an up-down counter.", _OWN, counter, Load("K5", "down")),
        _load("Run input of a soft starter", "Voltage: ramp up and run.", _OWN, soft, Load("Q3", "coil")),
        _load("Supply of a programmable relay", "Not one of its inputs.", _OWN, program, Load("K6", "coil")),
        *(
            _load(
                f"Pilot lamp, {colour}",
                f"{use[0].upper()}{use[1:]} (IEC 60073).",
                lamps,
                Device("P1", colour=colour),
                Load("P1", "lamp"),
            )
            for colour, use in meant.items()
        ),
    )


def _transformer(symbols: SymbolSet) -> tuple[Specimen, ...]:
    """The control transformer with its terminals (H1, H2 the lines, X1, X2 the control circuit)."""
    shape = symbols.device("control transformer")
    texts = []
    for (x, y), name in zip(shape.points, ("H1", "H2", "X1", "X2"), strict=True):
        texts.append(line("terminal", x, y + (-4.0 if y < 0 else 13.0), name, "end" if x < 0 else "start"))
    return (Specimen(shape, tuple(texts)),)


def _supply() -> tuple[Entry, ...]:
    fuses = ("NEMA ICS 19; IEEE 315, 9", "IEC 60617-7, 21")
    windings = ("NEMA ICS 19; IEEE 315, 6", "IEC 60617-6, 9")
    nema, iec = (_transformer(symbol_set(which)) for which in ("nema", "iec"))
    return (
        _contacts("Control fuse", "In the line of the control circuit.", fuses, Device("F2", "fuse"), ("NC", "")),
        Entry("Control transformer", nema, iec, *windings, "From the lines to the control circuit: H1 and H2 above."),
    )
