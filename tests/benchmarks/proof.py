"""Proofs: comparison and rules of circuits of growing size, and the same questions to other ways of answering them.

Each run makes its panels anew, so nothing is kept from one to the next. Peers: a satisfiability solver (python-sat,
CaDiCaL 1.5.3) that looks for a difference after 0, 1, 2, … orders, clauses included; and decision diagrams (dd.autoref,
pure Python) for rungs without state: the peer builds and compares its diagrams, `compare` also checks the ladders and
makes the panels. The solver finds a difference; it cannot show, so bounded, that there is none.
"""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

from tests.benchmarks import MissingPeerError, Run, measure
from tests.benchmarks.truth_tables import ladder_rung

from rungbook.circuit import NC, NO, Contact, Ladder, Part, Rung, Series, coil
from rungbook.proof import Rule, compare, does_not_start, holds_in, no_races, off_while, prove, pulls_in


def reversing(interlock: bool = True) -> Ladder:
    """Apple elevator up and down: stop, emergency stop, two starts, limit, overload; two contactors."""
    ladder = Ladder("Apple elevator")
    common = NC("S9") & NC("S1") & NC("F1")
    up = common & (NO("S2") | NO("Q1")) & NC("S3") & NC("B1")
    ladder.rung(up & NC("Q2") if interlock else up, coil("Q1"))
    ladder.rung(common & (NO("S3") | NO("Q2")) & NC("S2") & NC("Q1"), coil("Q2"))
    return ladder


def reversing_rules() -> list[Rule]:
    """What an instructor asks of both directions, and the interlock: 19 rules."""
    rules = [off_while("Q1", "Q2", "in"), off_while("Q2", "Q1", "in"), off_while("Q1", "B1", "reached")]
    for tag, start in (("Q1", "S2"), ("Q2", "S3")):
        rules += [pulls_in(tag, when=f"press {start}"), holds_in(tag, after=f"let {start} go")]
        rules += [off_while(tag, "S1", "pressed"), off_while(tag, "S9", "pressed"), off_while(tag, "F1", "tripped")]
        rules += [does_not_start(tag, by=order) for order in ("switch the supply on", "reset F1", "let S1 go")]
    return rules


def sequence(relays: int, inputs: int, sealed: bool = True) -> Ladder:
    """Stop S1, overload F1, starts in turn; each relay only after the one before. sealed: the last one holds in."""
    ladder = Ladder(f"{relays} relays in sequence")
    starts = [f"S{k}" for k in range(2, inputs)]
    for k in range(1, relays + 1):
        start = NO(starts[(k - 1) % len(starts)])
        way = NC("S1") & (start | NO(f"K{k}") if sealed or k < relays else start) & NC("F1")
        ladder.rung(way if k == 1 else way & NO(f"K{k - 1}"), coil(f"K{k}"))
    return ladder


def sequence_rules(relays: int) -> list[Rule]:
    """Four rules a relay, and two for the first start."""
    rules = [pulls_in("K1", when="press S2"), holds_in("K1", after="let S2 go")]
    for k in range(1, relays + 1):
        rules += [off_while(f"K{k}", "S1", "pressed"), off_while(f"K{k}", "F1", "tripped")]
        rules += [does_not_start(f"K{k}", by=order) for order in ("switch the supply on", "reset F1")]
    return rules


def chains(count: int, relays: int) -> Ladder:
    """`count` chains of `relays`, each with a start, all with one stop: their states multiply."""
    ladder = Ladder(f"{count} chains")
    for k in range(count * relays):
        chain, place = divmod(k, relays)
        before = NO(f"K{k}") if place else NO(f"S{chain + 2}")
        ladder.rung(NC("S1") & NC("F1") & (before | NO(f"K{k + 1}")), coil(f"K{k + 1}"))
    return ladder


def _decided(make: Callable[[], Ladder], rules: list[Rule], scale: float = 1) -> Run:
    """Compare the circuit with another one like it, and prove the rules."""

    def run() -> float:
        mine, asked = make(), make()
        start = perf_counter()
        assert compare(mine, asked).outcome == "same"
        assert not rules or prove(mine, *rules)
        return (perf_counter() - start) * scale

    return run


@measure("proof: reversing, 2 contactors, 6 inputs, comparison and 19 rules", "ms", at_most=20)
def two_contactors() -> Run:
    """Rungs of eight contacts."""
    return _decided(reversing, reversing_rules(), 1e3)


@measure("proof: 12 relays in sequence, 8 inputs, comparison and 50 rules", "s", at_most=1)
def twelve() -> Run:
    """Each relay after the one before."""
    return _decided(lambda: sequence(12, 8), sequence_rules(12))


@measure("proof: 20 relays in sequence, 10 inputs, comparison and 82 rules", "s", at_most=10, runs=5)
def twenty() -> Run:
    """Each relay after the one before; all twenty drop out together."""
    return _decided(lambda: sequence(20, 10), sequence_rules(20))


@measure("proof: 12 relays in 6 chains, 8 inputs, comparison", "s", runs=5)
def six_chains() -> Run:
    """States that multiply: the worst case of a walk over all of them."""
    return _decided(lambda: chains(6, 2), [])


def holding_circuits(count: int) -> Ladder:
    """`count` holding circuits side by side, with one stop and one overload relay."""
    ladder = Ladder(f"{count} holding circuits")
    for k in range(1, count + 1):
        ladder.rung(NC("S99") & (NO(f"S{k}") | NO(f"Q{k}")) & NC("F1"), coil(f"Q{k}"))
    return ladder


def holding_rules(count: int) -> list[Rule]:
    """Six rules a circuit, and that nothing is left to chance."""
    rules = [no_races()]
    for k in range(1, count + 1):
        tag = f"Q{k}"
        rules += [pulls_in(tag, when=f"press S{k}"), holds_in(tag, after=f"let S{k} go")]
        rules += [off_while(tag, "S99", "pressed"), off_while(tag, "F1", "tripped")]
        rules += [does_not_start(tag, by=order) for order in ("switch the supply on", "reset F1")]
    return rules


@measure("proof: 10 holding circuits side by side, comparison and 61 rules", "ms")
def side_by_side() -> Run:
    """Each question is answered on the part that bears on it; the whole has more than 50,000 states."""
    return _decided(lambda: holding_circuits(10), holding_rules(10), 1e3)


def _register_growth() -> None:
    for relays in (4, 6, 8, 10, 12):
        measure(f"proof: growth, {relays} relays in sequence, 8 inputs, comparison", "ms")(
            lambda relays=relays: _decided(lambda: sequence(relays, 8), [], 1e3)
        )


def _solver(mine: Ladder, asked: Ladder, fewest: int, moves: int) -> Run:
    """Milliseconds for the solver to find the shortest difference."""

    def run() -> float:
        try:
            from tests.unrolled import Unrolled
        except ImportError as missing:
            raise MissingPeerError("python-sat") from missing
        operated = tuple(dict.fromkeys((*mine.inputs(), *asked.inputs())))
        start = perf_counter()
        unrolled = Unrolled(mine, asked, fewest, operated, moves)
        found = next(n for n in range(fewest + 1) if unrolled.can_differ(n))
        seconds = perf_counter() - start
        unrolled.solver.delete()
        assert found == fewest
        return seconds * 1e3

    return run


def _difference(mine: Ladder, asked: Ladder, fewest: int, moves: int) -> tuple[Run, Run]:
    def run() -> float:
        start = perf_counter()
        found = compare(mine, asked)
        seconds = perf_counter() - start
        assert len(found.steps) == fewest, found
        return seconds * 1e3

    return run, _solver(mine, asked, fewest, moves)


def _register_solver() -> None:
    for relays in (2, 4, 6):
        measure(f"proof: shortest difference against python-sat, {relays} relays in sequence", "ms", runs=5)(
            lambda relays=relays: _difference(
                sequence(relays, 8, sealed=False), sequence(relays, 8), relays + 1, relays
            )
        )


def _diagram(rungs: tuple[Rung, Rung]) -> Run:
    """Milliseconds to build both rungs as decision diagrams and compare them."""

    def run() -> float:
        try:
            from dd import autoref
        except ImportError as missing:
            raise MissingPeerError("dd") from missing
        start = perf_counter()
        diagrams = autoref.BDD()
        diagrams.declare(*dict.fromkeys(c.device for rung in rungs for c in rung.all_contacts()))

        def of(part: Part) -> autoref.Function:
            if isinstance(part, Contact):
                return diagrams.var(part.device) if part.kind == "NO" else ~diagrams.var(part.device)
            inner = [of(member) for member in part.parts]
            whole = inner[0]
            for member in inner[1:]:
                whole = whole & member if isinstance(part, Series) else whole | member
            return whole

        assert of(rungs[0].contacts) == of(rungs[1].contacts)
        return (perf_counter() - start) * 1e3

    return run


def _turned(part: Part) -> Part:
    """The same way; where two branches are made of contacts of the same devices, the lower one is drawn first."""
    if isinstance(part, Contact):
        return part
    members = [_turned(member) for member in part.parts]
    if len({frozenset(c.device for c in member.contacts()) for member in members}) == 1:
        members.reverse()
    whole = members[0]
    for member in members[1:]:
        whole = whole & member if isinstance(part, Series) else whole | member
    return whole


def _rungs(inputs: int) -> tuple[Run, Run]:
    one = ladder_rung(inputs)
    mine, asked = Ladder(), Ladder()
    mine.rung(one.contacts, coil("Q1"))
    other = asked.rung(_turned(one.contacts), coil("Q1"))
    assert one.contacts != other.contacts

    def run() -> float:
        start = perf_counter()
        assert compare(mine, asked).outcome == "same"
        return (perf_counter() - start) * 1e3

    return run, _diagram((one, other))


def _register_diagrams() -> None:
    for inputs in (8, 16, 24):
        measure(f"proof: two rungs of {inputs} inputs compared, against dd", "ms")(lambda inputs=inputs: _rungs(inputs))


_register_growth()
_register_solver()
_register_diagrams()
