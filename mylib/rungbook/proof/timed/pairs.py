"""Two panels with timers or counters that get the same orders: the nearest sequence after which they differ."""

from __future__ import annotations

from rungbook.behaviour import Step
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.errors import LadderError
from rungbook.proof.explore import Edge
from rungbook.proof.limits import MAX_STATES, Deadline
from rungbook.proof.pairs import BothRest, Pair
from rungbook.proof.timed.many import Many
from rungbook.proof.timed.schedule import schedule
from rungbook.proof.timed.walk import Arrival, Node, Walk


def first_difference_in_time(
    yours: TimedPanel,
    asked: TimedPanel,
    watched: tuple[str, ...],
    limit: int = MAX_STATES,
    deadline: Deadline | None = None,
) -> tuple[tuple[Step, ...], Edge[Pair]] | None:
    """As `pairs.first_difference`, over all instants of the orders: a difference counts if it lasts for some time.

    The clocks of both panels run in one zone. Raises TooMany as `Walk.arrivals` and `schedule`, LadderError if `asked`
    has a race or chatters.
    """
    idle = frozenset(
        step
        for (step, field, _, _), (_, other, _, _) in zip(yours.turns, asked.turns, strict=True)
        if not (field & yours.looks_at or other & asked.looks_at)
    )
    walk = Walk([yours, asked], limit, deadline, idle=idle)
    many = Many([yours, asked])
    for arrival in walk.arrivals():
        if arrival.chatter[1] or len({node.outcome(1) for node in arrival.nodes}) > 1:
            many.must_be_sure(arrival)
            raise LadderError("compare", "the asked ladder has a race or chatters, so nothing definite is asked")
        if arrival.chatter[0] or any(_differs(yours, asked, watched, node) for node in arrival.nodes):
            many.must_be_sure(arrival)
            return schedule(walk, arrival), _edge(yours, asked, arrival)
        many.spread(arrival)
    return None


def _differs(yours: TimedPanel, asked: TimedPanel, watched: tuple[str, ...], node: Node) -> bool:
    mine, theirs = node.words
    return any(yours.shows(tag, mine) != asked.shows(tag, theirs) for tag in watched)


def _edge(yours: TimedPanel, asked: TimedPanel, arrival: Arrival) -> Edge[Pair]:
    def pair(node: Node) -> Pair:
        return yours.unpacked(node.words[0]), asked.unpacked(node.words[1])

    before = (yours.start, asked.start) if arrival.before is None else pair(arrival.before)
    step = None if arrival.event is None else arrival.event.step
    pairs = tuple(dict.fromkeys(map(pair, arrival.nodes)))
    return Edge(before, step, BothRest(pairs, arrival.chatter[0]))
