"""`FaultHunt`: a board with one hidden fault, in a notebook cell: operate it, look, measure, name the fault.

    hunt = FaultHunt(wash_pump, "hbzy…", lab="lab07")
    hunt.do("press S2")
    hunt.volts("S2:14", "X2")
    hunt.claim("S2", "contact 13-14 stays open")
    found = hunt.answer()

As the last line of a notebook cell, `hunt` is a bench with operators, a meter and the log. What hands do there, the
notebook carries as text in the answer cell, `found = hunt.from_acts(text)`, so that it can be run again without hands.

On a real panel: only under qualified supervision and by your local rules; de-energise, lock out and verify absence of
voltage before anything but a voltage reading. A voltage reading on a live panel is work for trained people.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, NoReturn, Protocol

from rungbook.behaviour import Board
from rungbook.bench.hunt_page import HuntPage
from rungbook.bench.hunt_text import read_acts, write_acts
from rungbook.bench.hunt_view import seen_of
from rungbook.circuit import Ladder, PowerCircuit, wire
from rungbook.errors import LadderError
from rungbook.kit import Kit
from rungbook.proof.hunt import BUDGET, Case, Rig, Row, Search
from rungbook.proof.hunt.judge import VERSION, first_untrue
from rungbook.proof.hunt.rig import CONTINUITY, OHMS, VOLTS
from rungbook.proof.hunt.search import AS_FOUND, DO, LOCK, LOOK, SOURCE, UNLOCK

MAX_BUDGET = 500


class FaultHunt:
    """The board of `circuit` with the fault that `token` hides.

    circuit, kit, power, built: as `proof.hunt.Case`. lab: the lab of the token. budget: how many readings count at most
    (volts with the supply off do not count: they prove that the circuit is dead).

    The fault is in no attribute and in no text of this object: it stands in a closure, as `seal` says, and with the
    same honesty: it is out of sight, not out of reach.
    Raises LadderError if the token is none of this lab and circuit, the budget is no whole number from 1 to 500, or as
    `Case`.
    """

    __slots__ = ("__budget", "__case", "__claim", "__drawing", "__hands", "__listeners", "__token")

    def __init__(
        self,
        circuit: Ladder | Board,
        token: str,
        *,
        lab: str = "",
        budget: int = BUDGET,
        kit: Kit | None = None,
        power: PowerCircuit | None = None,
        built: bool = False,
    ) -> None:
        self.__case = Case(circuit, lab, kit=kit, power=power, built=built)
        self.__drawing = circuit if kit is None or not isinstance(circuit, Ladder) else wire(circuit, kit).ladder
        self.__token = token
        self.__budget = check_budget(budget)
        self.__claim: tuple[str, str] | None = None
        self.__hands = _hands(self.__case, token, self.__budget)
        self.__listeners: list[Callable[[], None]] = []

    def do(self, orders: str) -> Row:
        """Give one or more orders of the bench, such as "press S2" or "press S2, let S2 go"; return what is seen.

        Raises LadderError at the first order that cannot be given; those before it have been done.
        """
        self.__check_open()
        if not isinstance(orders, str) or not (each := [one.strip() for one in orders.split(",") if one.strip()]):
            raise LadderError("Order", "is text", orders, ("'press S2, let S2 go'",))
        try:
            for one in each:
                row = self.__hands.act(DO, one)
        finally:
            self.__changed()
        return row

    def see(self) -> Row:
        """What an operator sees: coils, lamps, motors."""
        return self.__done(LOOK)

    def as_found(self) -> Row:
        """Begin again: supply on, no lock, nothing touched, a fuse that melted meanwhile renewed. The log goes on."""
        return self.__done(AS_FOUND)

    def lock_out(self) -> Row:
        """Put your lock on the supply's switch. Raises LadderError if it is on."""
        return self.__done(LOCK)

    def take_lock_off(self) -> Row:
        """Take the lock off the supply's switch. Raises LadderError if there is none."""
        return self.__done(UNLOCK)

    def volts(self, a: str, b: str) -> Row:
        """Read the a.c. voltage between two leads [V].

        A lead is a terminal ("S2:14"), a terminal of the supply ("X1", "X2"), or a wire at a device ("wire 5 at F1").
        Raises LadderError if there is no such terminal, or all readings are used up.
        """
        return self.__done(VOLTS, a, b)

    def ohms(self, a: str, b: str) -> Row:
        """Read the resistance between two leads [ohm]; on a live circuit a warning, no number, and points lost.

        Prove the circuit dead first (`prove_dead`). Raises LadderError as `volts`.
        """
        return self.__done(OHMS, a, b)

    def continuity(self, a: str, b: str) -> Row:
        """Read the resistance as `ohms`, and hear whether the meter beeps, below 30 ohm."""
        return self.__done(CONTINUITY, a, b)

    def source(self) -> Row:
        """Put the meter on a known live source beside the board: does the meter work?"""
        return self.__done(SOURCE)

    def prove_dead(self, a: str = "X1", b: str = "X2") -> tuple[Row, Row, Row]:
        """Test in three points: the meter on the live source, the circuit between `a` and `b`, the live source again.

        It proves the circuit dead if the supply is switched off and locked out and the middle reading is below 1 V.
        X1 – X2 stands for the whole circuit, other leads for themselves. Raises LadderError as `volts`.
        """
        return self.__done(SOURCE), self.__done(VOLTS, a, b), self.__done(SOURCE)

    def terminals(self) -> tuple[str, ...]:
        """Where the leads of the meter can be put."""
        leads = self.__case.leads
        return ("X1", "X2", *leads.names)

    def faults_of(self, device: str = "") -> tuple[str, ...]:
        """The words for the faults of `device`; without one, the devices that an answer can name."""
        claims = self.__case.claims
        return claims.of(device) if device else claims.devices

    def claim(self, device: str, fault: str) -> None:
        """Name device and fault, such as ("F1", "contact 95-96 stays open"). The hunt is then over.

        Raises LadderError if there is no such fault (`faults_of` lists them), or a fault has been named already.
        """
        self.__check_open()
        self.__claim = self.__case.claims.read(device, fault)
        self.__changed()

    def answer(self) -> dict[str, Any]:
        """What is handed in, as plain JSON data: the token, every act with what it showed, and the claim."""
        return self.__answer(self.__hands.rows(), self.__claim)

    def acts(self) -> str:
        """The acts with what they showed, and the claim, as text: a line each. `from_acts` reads it."""
        return write_acts(self.__hands.rows(), self.__claim)

    def from_acts(self, text: str) -> dict[str, Any]:
        """Do the acts of `text` (`acts`) on a board of its own, as it was found, and return the answer, as `answer`.

        So an answer cell that holds this text gives the same whenever the notebook is run, with hands or without.
        Raises LadderError, naming the line, if one cannot be read or done, or this board shows something else.
        """
        records, claim = read_acts(text)
        return self.__answer(self.__again(records), None if claim is None else self.__case.claims.read(*claim))

    def __again(self, records: Sequence[Mapping[str, Any]]) -> tuple[Row, ...]:
        """The rows of the acts `records`, done on a board of their own. Raises LadderError as `from_acts`."""
        hands = _hands(self.__case, self.__token, self.__budget)
        for number, record in enumerate(records, 1):
            try:
                hands.act(record["act"], record.get("what", ""), record.get("leads", ()))
            except LadderError as problem:
                raise LadderError(f"Acts, line {number}", str(problem).rstrip(".")) from None
        if told := first_untrue(hands.rows(), records):
            raise LadderError("Acts", f"are those of another hunt. {told}")
        return hands.rows()

    def __answer(self, rows: tuple[Row, ...], claim: tuple[str, str] | None) -> dict[str, Any]:
        return {
            "hunt": VERSION,
            "token": self.__token,
            "acts": [row.record() for row in rows],
            "claim": None if claim is None else dict(zip(("device", "fault"), claim, strict=True)),
        }

    def page(self, answer: dict[str, Any] | None = None) -> HuntPage:
        """What each act had excluded, what was left, and which reading would have divided best. After the claim.

        answer: what `answer` or `from_acts` of this hunt gave; left out, the acts of this object count. Raises
        LadderError before a fault is named, or as `from_acts`.
        """
        claim = self.__claim
        if answer is not None:
            claim = answer["claim"] and (answer["claim"]["device"], answer["claim"]["fault"])
        if claim is None:
            raise LadderError("Page", "name the fault first: hunt.claim(device, fault)")
        return HuntPage(self.__case, self.__hands.rows() if answer is None else self.__again(answer["acts"]), claim)

    def __done(self, act: str, *leads: str) -> Row:
        self.__check_open()
        row = self.__hands.act(act, "", leads)
        self.__changed()
        return row

    def __changed(self) -> None:
        for listener in self.__listeners:
            listener()

    def __check_open(self) -> None:
        if self.__claim is not None:
            raise LadderError("Hunt", f"is over, as {': '.join(self.__claim)} was named; a new FaultHunt begins again")

    # -- for the widget; nothing here knows more than hands and eyes do ------------------------------------------------

    def _drawn(self) -> tuple[Case, Ladder | Board]:
        """The sound case, and the sound circuit to draw."""
        return self.__case, self.__drawing

    def _seen(self) -> dict[str, Any]:
        """What hands and eyes know now, as plain data."""
        return self.__hands.view() | {"claim": self.__claim, "rows": self.__hands.rows(), "budget": self.__budget}

    def _listen(self, listener: Callable[[], None]) -> None:
        """Call `listener` after every act and after the claim."""
        self.__listeners.append(listener)

    def _ipython_display_(self) -> None:
        from rungbook.bench.hunt_widget import HuntBench

        HuntBench(self).show()

    def __repr__(self) -> str:
        rows = self.__hands.rows()
        used = sum(row.costs for row in rows)
        claim = f", named {': '.join(self.__claim)}" if self.__claim else ""
        return f"Fault hunt on {self.__case.board.title!r}: {len(rows)} acts, {used} readings used{claim}"

    def __reduce_ex__(self, protocol: object) -> NoReturn:
        raise LadderError("Hunt", "is not stored as it is; keep hunt.answer(), which is plain data")


class _Act(Protocol):
    def __call__(self, name: str, what: object = "", leads: Sequence[object] = ()) -> Row: ...


class _Hands(NamedTuple):
    """Hands on one board. act does an act and returns its row; rows: all so far; view: what hands and eyes know."""

    act: _Act
    rows: Callable[[], tuple[Row, ...]]
    view: Callable[[], dict[str, Any]]


def _hands(case: Case, token: str, budget: int) -> _Hands:
    """Hands on the board with the hidden fault. The board itself stands in these functions and nowhere else."""
    search = Search(Rig(case.board, case.leads, case.hidden(token), case.power), budget)

    def act(name: str, what: object = "", leads: Sequence[object] = ()) -> Row:
        return search.act(name, what, leads)

    def rows() -> tuple[Row, ...]:
        return tuple(search.rows)

    def view() -> dict[str, Any]:
        return seen_of(search)

    return _Hands(act, rows, view)


def check_budget(budget: object) -> int:
    """Return `budget` if it is one. Raises LadderError otherwise."""
    if isinstance(budget, bool) or not isinstance(budget, int) or not 1 <= budget <= MAX_BUDGET:
        raise LadderError("Hunt", f"a budget is a whole number of readings from 1 to {MAX_BUDGET}", budget)
    return budget
