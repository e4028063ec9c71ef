"""A case for a hunt: a sound circuit, its suspects, and the tokens that stand for them. It knows no hidden fault."""

from __future__ import annotations

from collections.abc import Iterable
from copy import deepcopy
from functools import cached_property

from rungbook.behaviour import Board
from rungbook.behaviour.faults import Fault
from rungbook.circuit import Ladder, PowerCircuit, wire
from rungbook.errors import LadderError
from rungbook.kit import Kit
from rungbook.proof.hunt.evidence import Evidence
from rungbook.proof.hunt.leads import Leads
from rungbook.proof.hunt.seal import lab_key, seal, unseal
from rungbook.proof.hunt.suspects import Claims, number_of, suspects

KEPT = 8  # a lab hunts on one circuit more than once, and a class hands in the same lab: what is known of it is kept
_kept: list[_Known] = []  # the one used last at the end


class _Known:
    """What is worked out once of a sound board with these suspects."""

    def __init__(self, board: Board, power: PowerCircuit | None, built: bool, faults: tuple[Fault, ...]) -> None:
        self.board, self.power, self.built, self.faults = board, power, built, faults
        self.leads = Leads(board)

    @cached_property
    def claims(self) -> Claims:
        return Claims(self.board, self.leads, self.faults)

    @cached_property
    def evidence(self) -> Evidence:
        return Evidence(self.board, self.faults, self.power)


def _known(board: Board, power: PowerCircuit | None, built: bool) -> _Known:
    """What is known of `board` with all its suspects; of an equal one asked for lately it is there already."""
    for known in _kept:
        if (known.board, known.power, known.built) == (board, power, built):
            _kept.remove(known)
            break
    else:
        known = _Known(board, deepcopy(power), built, suspects(board, built=built))
    _kept.append(known)
    del _kept[:-KEPT]
    return known


class Case:
    """The sound `circuit` of a hunt, in `lab`.

    circuit: a ladder, whose declared devices are on the panel, or a board. kit: the ladder is wired on it, so that
    terminals are those of the kit. power: a sound power circuit, so that motors are seen; no fault is in it.
    built: mistakes of building are suspects too. faults: the suspects, if not all; each one of `suspects(board)`.

    Raises LadderError if the circuit is neither, is not valid, has a device that works in time, or `kit` cannot carry
    it; and if `faults` names none of the suspects.
    """

    def __init__(
        self,
        circuit: Ladder | Board,
        lab: str = "",
        *,
        kit: Kit | None = None,
        power: PowerCircuit | None = None,
        built: bool = False,
        faults: Iterable[Fault] | None = None,
    ) -> None:
        if isinstance(circuit, Ladder):
            ladder = circuit if kit is None else wire(circuit, kit).ladder
            circuit = Board.of(ladder, ladder.declared or ())
        if not isinstance(circuit, Board):
            raise LadderError("Hunt", "is made on a Ladder or a Board", circuit, ("Ladder('Wash pump')",))
        if not isinstance(lab, str):
            raise LadderError("Hunt", "the lab is named by its text", lab, ("'lab07'",))
        self.board, self.lab, self.power = circuit, lab, power
        known = _known(circuit, power, built)
        if faults is not None:
            chosen = tuple(faults)
            for fault in chosen:
                if fault not in known.faults:
                    choices = tuple(one.sentence for one in known.faults)
                    raise LadderError(
                        "Hunt", "no such fault among the suspects", getattr(fault, "sentence", fault), choices
                    )
            known = _Known(circuit, power, built, chosen)
        self._is = known
        self.leads, self.faults = known.leads, known.faults

    @property
    def claims(self) -> Claims:
        """The answers that can be given."""
        return self._is.claims

    @property
    def evidence(self) -> Evidence:
        """What each suspect would show. Takes a second or less for a circuit of a few rungs, the first time."""
        return self._is.evidence

    def token(self, fault: Fault, salt: str = "") -> str:
        """The token that hides `fault`. Raises LadderError if it cannot be found in the stated set."""
        self.evidence.like(fault)
        return seal(number_of(fault, self.board), lab_key(self.lab), salt)

    def hidden(self, token: object) -> Fault:
        """The fault that `token` hides. Raises LadderError if it is no token of this lab, or for another circuit."""
        number = unseal(token, lab_key(self.lab))
        for fault in self.faults:
            if number_of(fault, self.board) == number:
                return fault
        raise LadderError(
            "Token", "belongs to another circuit; take circuit and token as the exercise gives them", token
        )

    def names(self, faults: Iterable[Fault]) -> str:
        """A class of faults in the words of answers: "S1: contact 11-12 stays open, or S1: stays pressed"."""
        return ", or ".join(": ".join(self.claims.names(fault)[0]) for fault in faults)
