"""Rules about the course of the work: what starts after what, what can be stopped, what hangs on chance."""

from __future__ import annotations

from collections.abc import Iterable

from rungbook.behaviour import SUPPLY, State
from rungbook.errors import LadderError
from rungbook.proof.explore import Edge
from rungbook.proof.rules.rule import AnyPanel, Rule, Telling, Test, all_of, never, told_of
from rungbook.proof.rules.words import check_loads, checked_order, device_of, listed, named, on_word


def starts_only_after(output: str, first: str) -> Rule:
    """`output` does not come on unless `first` is on already.

    Exact meaning: when the supply first comes on, and in a step that finds `output` off, no state that is rested in or
    passed through has `output` on and `first` off. So one step may bring in both if `first` is first in every order of
    relays, and a step that brings in `output` must leave `first` on. What happens when `first` drops out in a later
    step is another rule: `off_while(output, first, "out")`. It counts as tested if `output` comes on.
    Raises LadderError if either is no load, or they are the same.
    """
    check_loads("starts_only_after", (output, first), 2)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.is_on(output, after) and (edge.step is None or not panel.is_on(output, edge.before))

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return tested(panel, edge, after) and not panel.is_on(first, after)

    sentence = f"{output} does not come on unless {first} is {on_word(first)} already."
    return Rule(sentence, output, (output, first), tested, broken, never, protects=True, passing=True)


def can_be_stopped(*loads: str, by: Iterable[str]) -> Rule:
    """From every state in which one of `loads` is on, each order of `by` leads to all of them off.

    Exact meaning, two rules: for every reachable state at rest with any of `loads` on, whatever else is pressed, each
    order of `by` that can be given leads to rest with all of them off; and in every such state at least one of the
    orders can be given (a button that is held already cannot be pressed). It counts as tested if each of `loads` is
    stopped by some order, and each order stops something.
    Raises LadderError if a load is none or named twice, or `by` is empty or names no order.
    """
    check_loads("can_be_stopped", loads, 1)
    if isinstance(by, str):
        by = (by,)
    orders = tuple(dict.fromkeys(checked_order("can_be_stopped", order) for order in by))
    if not orders:
        raise LadderError("can_be_stopped", "takes one order or more", None, ("by=('press S1',)",))
    devices = tuple(device_of(order) for order in orders)

    def running(panel: AnyPanel, state: State) -> list[str]:
        return [tag for tag in loads if panel.is_on(tag, state)]

    def given(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return edge.step is not None and edge.step.order in orders and bool(running(panel, edge.before))

    def goes_on(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return given(panel, edge, after) and bool(running(panel, after))

    def first_on(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        return told_of(running(panel, after)[0], False, panel, edge, after)

    def stuck(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return bool(running(panel, after)) and not any(_can_give(panel, order, after) for order in orders)

    def cannot(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        on = running(panel, after)
        now = listed([f"{tag} is {on_word(tag)}" for tag in on])
        wanted = f"one of these orders can be given: {', '.join(orders)}"
        because = told_of(on[0], False, panel, edge, after).why
        return Telling(f"{now}, and none of the orders that stop can be given", wanted, because)

    def some_on(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return bool(running(panel, after))

    told, who = listed([named(order) for order in orders], "or"), listed(loads)
    off = "is off" if len(loads) == 1 else "are off"
    names = (*loads, *devices)
    also = (*(_stopped(tag, given) for tag in loads), *(_stops(order, given) for order in orders))
    stops = Rule(
        f"When you {told}, {who} {off}, whatever else is pressed.",
        loads[0], names, given, goes_on, never, also, True, tells=first_on,
    )  # fmt: skip
    ready = Rule(
        f"Whenever {listed(loads, 'or')} is on, you can {told}.",
        loads[0], names, some_on, stuck, never, (), True, False, cannot, "state"
    )  # fmt: skip
    return all_of(stops, ready, sentence=f"{who} can be stopped from every state: when you {told}, {who} {off}.")


def _stopped(tag: str, given: Test) -> Test:
    def stopped(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return given(panel, edge, after) and panel.is_on(tag, edge.before)

    return stopped


def _stops(order: str, given: Test) -> Test:
    def stops(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return given(panel, edge, after) and edge.step is not None and edge.step.order == order

    return stops


def _can_give(panel: AnyPanel, order: str, state: State) -> bool:
    tag = device_of(order)
    if tag == SUPPLY:
        return state.supply == order.endswith("off")
    device = panel.devices[tag]
    here = panel.position(tag, state)
    return any(move.start == here and move.order.format(tag=tag) == order for move in device.spec.moves)


def no_races() -> Rule:
    """What the circuit does never hangs on which relay is quicker, and its coils never chatter.

    Exact meaning: from every reachable state every order leads to exactly one state at rest, in whichever order the
    relays move, and there always is one. It speaks of every load of the panel, also of those that no other rule speaks
    of. It counts as tested if some coil pulls in.
    """

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return any(panel.is_on(tag, after) for tag in panel.coils)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return len(edge.rest.states) > 1

    def tells(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        for tag in panel.coils:
            on = panel.is_on(tag, after)
            if any(panel.is_on(tag, state) != on for state in edge.rest.states):
                because = told_of(tag, not on, panel, edge, after).why
                return Telling(f"{tag} ends up in or out, by chance", "the same outcome every time", because)
        seen = "what a timer or counter does from there is left to chance"
        return Telling(seen, "the same outcome every time", "Its input has voltage, or none, only for a moment.")

    sentence = "What happens never depends on which relay is quicker, and no coil chatters."
    return Rule(sentence, "", (), tested, broken, never, tells=tells, whole=True)
