"""Rules about one order: what a load does when it is given."""

from __future__ import annotations

from dataclasses import replace

from rungbook.behaviour import State
from rungbook.kit import Device
from rungbook.proof.explore import Edge
from rungbook.proof.rules.rule import AnyPanel, Rule, Test, always, never
from rungbook.proof.rules.words import check_load, checked_order, device_of, named


def at_rest(panel: AnyPanel, state: State, *, but: str) -> bool:
    """Supply on and every operated device at rest, `but` one."""
    return state.supply and all(
        position == 0 or device.tag == but for device, position in zip(panel.inputs, state.positions, strict=True)
    )


def _no_button_held(panel: AnyPanel, state: State) -> bool:
    pairs = zip(panel.inputs, state.positions, strict=True)
    return not any(device.spec.momentary and position for device, position in pairs)


def given(order: str, device: str, output: str, *, on_before: bool) -> Test:
    """True of a step that is `order`, with everything but `device` at rest, `output` being on before, or off."""

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return (
            edge.step is not None
            and edge.step.order == order
            and at_rest(panel, edge.before, but=device)
            and panel.is_on(output, edge.before) == on_before
        )

    return tested


def pulls_in(output: str, *, when: str) -> Rule:
    """`output` is off until something is touched, and comes on after the order `when` with everything else at rest.

    Exact meaning: `output` is off when the supply first comes on; and for every reachable state with the supply on,
    `output` off and all other operated devices at rest, the panel rests with `output` on after `when`, whichever
    relay is quicker.
    Raises LadderError if `output` is no load or `when` is no order.
    """
    check_load("pulls_in", output)
    order = checked_order("pulls_in", when)
    device = device_of(order)

    tested = given(order, device, output, on_before=False)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        if edge.step is None:
            return panel.is_on(output, after)
        return tested(panel, edge, after) and not panel.is_on(output, after)

    def wanted(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return edge.step is not None

    verb = "pulls in" if Device(output).spec.load == "coil" else "lights"
    return Rule(f"{output} {verb} when you {named(order)}.", output, (device,), tested, broken, wanted)


def holds_in(output: str, *, after: str) -> Rule:
    """`output` stays on through the order `after`, given with everything else at rest.

    Exact meaning: for every reachable state with the supply on, `output` on and all other operated devices at rest,
    the panel rests with `output` on after the order, whichever relay is quicker.
    Raises LadderError if `output` is no load or `after` is no order.
    """
    check_load("holds_in", output)
    order = checked_order("holds_in", after)
    device = device_of(order)

    tested = given(order, device, output, on_before=True)

    def broken(panel: AnyPanel, edge: Edge[State], then: State) -> bool:
        return tested(panel, edge, then) and not panel.is_on(output, then)

    return Rule(f"{output} holds in when you {named(order)}.", output, (device,), tested, broken, always)


def stays_off(output: str, *, when: str) -> Rule:
    """`output`, being off, does not come on by the order `when`, whatever else is pressed.

    Mostly with a condition: `stays_off("Q2", when="press S3").only_while("Q1", "in")` is an interlock. Exact meaning:
    no reachable state with `output` off goes, by that order, to a state at rest with `output` on, nor through one. It
    counts as tested if the order is given in such a state, the supply being on, and `output` comes on in some case.
    Raises LadderError if `output` is no load or `when` is no order.
    """
    check_load("stays_off", output)
    order = checked_order("stays_off", when)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        given = edge.step is not None and edge.step.order == order and after.supply
        return given and not panel.is_on(output, edge.before)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return tested(panel, edge, after) and panel.is_on(output, after)

    def comes_on(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.is_on(output, after)

    verb = "out" if Device(output).spec.load == "coil" else "dark"
    sentence = f"{output} stays {verb} when you {named(order)}."
    return Rule(sentence, output, (device_of(order),), tested, broken, never, (comes_on,), True, True)


def does_not_start(output: str, *, by: str) -> Rule:
    """`output`, being off, does not come on by the order `by` while no push button is held.

    With `by="switch the supply on"` this is low-voltage protection; with `by="reset F1"` it asks for a fresh press
    after a trip. Exact meaning: no reachable state with `output` off and no push button pressed goes to `output` on
    by that order. Selectors may stand anywhere. It counts as tested only if the order was given after `output` had
    been on.
    Raises LadderError if `output` is no load or `by` is no order.
    """
    check_load("does_not_start", output)
    order = checked_order("does_not_start", by)
    device = device_of(order)

    def gives(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return (
            edge.step is not None
            and edge.step.order == order
            and not panel.is_on(output, edge.before)
            and _no_button_held(panel, after)
        )

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        # the opposite order is the one that took the output off, so the order itself now has something to restore
        undone = edge.step is not None and edge.step.device == device and edge.step.order != order
        return undone and panel.is_on(output, edge.before) and not panel.is_on(output, after)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return gives(panel, edge, after) and panel.is_on(output, after)

    sentence = f"{output} does not come on by itself when you {named(order)}."
    return Rule(sentence, output, (device,), tested, broken, never, protects=True)


def needs_a_fresh_start(output: str, *, after: str) -> Rule:
    """After the order `after` (reset F1, unlatch S9, switch the supply on) `output` waits for a start button.

    Exact meaning: that of `does_not_start(output, by=after)`; only the sentence is another.
    Raises LadderError if `output` is no load or `after` is no order.
    """
    rule = does_not_start(output, by=after)
    sentence = f"When you {named(checked_order('needs_a_fresh_start', after))}, {output} waits for a fresh start."
    return replace(rule, sentence=sentence)
