"""Rules an instructor can read, each decided over every sequence of bench orders.

A rule holds only if it was put to the test: a circuit that never runs keeps no stop button's promise. Conditions
"at rest" mean: supply on, every other operated device in its position at rest.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from rungbook.behaviour import SUPPLY, Panel, State, read_script
from rungbook.behaviour.board_panel import BoardPanel
from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS, KINDS, Device
from rungbook.proof.explore import Edge

#: a ladder's panel, decided by its contacts, or a board's, decided by its voltages
AnyPanel = Panel | BoardPanel

_Test = Callable[[AnyPanel, Edge[State], State], bool]


class Telling(NamedTuple):
    """A breach in words: what is seen, what was expected, and why."""

    seen: str
    expected: str
    why: str


Tells = Callable[[AnyPanel, Edge[State], State], Telling]


@dataclass(frozen=True)
class Rule:
    """A claim about one load in every case.

    sentence: the claim as the student reads it; `{S2}` stands for a device's name with its plate. output: the load it
    is about. wanted_on(panel, edge, after): how that load should be where the rule is broken.
    tested(panel, edge, after): True if this step puts the rule to the test. broken(panel, edge, after): True if the
    panel at rest in `after` breaks it; asked of tested and untested steps alike.
    also: None, or a second test that some other step may pass; with it, both must be passed.
    passing: True if a state that is only passed through, while relays move, breaks it too.
    protects: True if a breach of it can hurt someone (something runs that must not); False if it stops the work only.
    names: the devices the rule speaks of; all must be on the panel. tells: None, or what puts a breach into words
    where `output` is no load of a control circuit.
    """

    sentence: str
    output: str
    names: tuple[str, ...]
    tested: _Test
    broken: _Test
    wanted_on: _Test
    also: _Test | None = None
    protects: bool = False
    passing: bool = False
    tells: Tells | None = None

    def telling(self, tells: Tells) -> Rule:
        """This rule, its breaches put into words by `tells`."""
        return replace(self, tells=tells)

    def told(self, panel: AnyPanel) -> str:
        """The sentence with the plates of this panel: "Q1 pulls in when S2 (start) is pressed."."""
        text = self.sentence
        for name in self.names:
            text = text.replace("{" + name + "}", panel.devices[name].name if name in panel.devices else name)
        return text


def _always(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
    return True


def never(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
    return False


def _on_word(tag: str) -> str:
    return Device(tag).spec.positions[1]


def _at_rest(panel: AnyPanel, state: State, *, but: str) -> bool:
    """Supply on and every operated device at rest, `but` one."""
    return state.supply and all(
        position == 0 or device.tag == but for device, position in zip(panel.inputs, state.positions, strict=True)
    )


def _no_button_held(panel: AnyPanel, state: State) -> bool:
    pairs = zip(panel.inputs, state.positions, strict=True)
    return not any(device.spec.momentary and position for device, position in pairs)


def _load(thing: str, tag: str) -> None:
    if not Device(tag).spec.load:
        loads = tuple(f"{kind.letter} ({kind.name})" for kind in KINDS.values() if kind.load)
        raise LadderError(thing, f"{tag} is no load of a control circuit", tag, loads)


def _device_of(order: str) -> str:
    """The designation in a bench order, or "supply"."""
    words = order.split()
    for word in words:
        if word[:1].isupper() and word[1:].isdigit():
            return word
    return SUPPLY


def _checked(thing: str, order: str) -> str:
    """Return `order` if some kind of device understands it. Raises LadderError otherwise."""
    tag = _device_of(order)
    if tag == SUPPLY:
        steps = read_script(order, {})
        if len(steps) != 1:
            raise LadderError(thing, "no such order: a rule takes exactly one", order, ("press S2",))
        return steps[0].order
    kinds = [kind for kind in ALL_KINDS.values() if kind.letter == tag[0]]
    orders = [move.order.format(tag=tag) for kind in kinds for move in kind.moves]
    if order not in orders:
        raise LadderError(thing, "no such order", order, tuple(orders))
    return order


def check_position(thing: str, device: str, position: str) -> None:
    words = [word for kind in ALL_KINDS.values() if kind.letter == device[:1] for word in kind.positions]
    if position not in words:
        raise LadderError(thing, f"{device} has no such position", position, tuple(words))


def _given(order: str, device: str, output: str, *, on_before: bool) -> _Test:
    """True of a step that is `order`, with everything but `device` at rest, `output` being on before, or off."""

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return (
            edge.step is not None
            and edge.step.order == order
            and _at_rest(panel, edge.before, but=device)
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
    _load("pulls_in", output)
    order = _checked("pulls_in", when)
    device = _device_of(order)

    tested = _given(order, device, output, on_before=False)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        if edge.step is None:
            return panel.is_on(output, after)
        return tested(panel, edge, after) and not panel.is_on(output, after)

    def wanted(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return edge.step is not None

    verb = "pulls in" if Device(output).spec.load == "coil" else "lights"
    return Rule(f"{output} {verb} when you {_named(order)}.", output, (device,), tested, broken, wanted)


def holds_in(output: str, *, after: str) -> Rule:
    """`output` stays on through the order `after`, given with everything else at rest.

    Exact meaning: for every reachable state with the supply on, `output` on and all other operated devices at rest,
    the panel rests with `output` on after the order, whichever relay is quicker.
    Raises LadderError if `output` is no load or `after` is no order.
    """
    _load("holds_in", output)
    order = _checked("holds_in", after)
    device = _device_of(order)

    tested = _given(order, device, output, on_before=True)

    def broken(panel: AnyPanel, edge: Edge[State], then: State) -> bool:
        return tested(panel, edge, then) and not panel.is_on(output, then)

    return Rule(f"{output} holds in when you {_named(order)}.", output, (device,), tested, broken, _always)


def off_while(output: str, device: str, position: str) -> Rule:
    """`output` is off whenever `device` is in `position`, whatever else is pressed.

    Exact meaning: no reachable state at rest has `device` in `position` and `output` on. It counts as tested only if
    `device` can be brought into `position` while `output` is on. If `device` is itself a load (an interlock: Q2 is
    out whenever Q1 is in), a circuit that keeps the rule never comes to that point, so it counts as tested if
    `device` gets into `position` in one case and `output` comes on in another; and it is broken too if some order of
    relays passes through such a state: two contactors that are both in for a moment have shorted the phases.
    Raises LadderError if `output` is no load, or no kind of the device's letter has that position.
    """
    _load("off_while", output)
    check_position("off_while", device, position)

    interlock = bool(Device(device).spec.load)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return (interlock or panel.is_on(output, edge.before)) and arrives(panel, edge, after, device, position)

    def comes_on(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.is_on(output, after)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.position(device, after) == position and panel.is_on(output, after)

    sentence = f"{output} is {Device(output).spec.rest} whenever {{{device}}} is {position}."
    return Rule(sentence, output, (device,), tested, broken, never, comes_on if interlock else None, True, interlock)


def arrives(panel: AnyPanel, edge: Edge[State], after: State, device: str, position: str) -> bool:
    return panel.position(device, edge.before) != position == panel.position(device, after)


def does_not_start(output: str, *, by: str) -> Rule:
    """`output`, being off, does not come on by the order `by` while no push button is held.

    With `by="switch the supply on"` this is low-voltage protection; with `by="reset F1"` it asks for a fresh press
    after a trip. Exact meaning: no reachable state with `output` off and no push button pressed goes to `output` on
    by that order. Selectors may stand anywhere. It counts as tested only if the order was given after `output` had
    been on.
    Raises LadderError if `output` is no load or `by` is no order.
    """
    _load("does_not_start", output)
    order = _checked("does_not_start", by)
    device = _device_of(order)

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

    sentence = f"{output} does not come on by itself when you {_named(order)}."
    return Rule(sentence, output, (device,), tested, broken, never, protects=True)


def follows(output: str, device: str, position: str) -> Rule:
    """With the supply on, `output` is on exactly while `device` is in `position`.

    Exact meaning: in every reachable state at rest with the supply on, the two agree. `device` may be an operated
    device or another load ("Q1", "in"). Tested if both cases are reached.
    Raises LadderError if `output` is no load, or no kind of the device's letter has that position.
    """
    _load("follows", output)
    check_position("follows", device, position)

    def there(panel: AnyPanel, state: State) -> bool:
        return panel.position(device, state) == position

    def wanted(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return there(panel, after)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return after.supply and edge.step is not None and there(panel, edge.before) != there(panel, after)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return after.supply and there(panel, after) != panel.is_on(output, after)

    sentence = f"{output} is {_on_word(output)} exactly while {{{device}}} is {position}."
    return Rule(sentence, output, (device,), tested, broken, wanted)


def _named(order: str) -> str:
    tag = _device_of(order)
    return order if tag == SUPPLY else order.replace(tag, "{" + tag + "}")


__all__ = ["Rule", "does_not_start", "follows", "holds_in", "off_while", "pulls_in"]
