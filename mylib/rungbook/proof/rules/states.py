"""Rules about states: what is never, or always, so."""

from __future__ import annotations

from rungbook.behaviour import State
from rungbook.kit import Device
from rungbook.proof.explore import Edge
from rungbook.proof.rules.rule import AnyPanel, Rule, Telling, Test, arrives, never, told_of
from rungbook.proof.rules.words import check_load, check_loads, check_position, listed, on_word


def off_while(output: str, device: str, position: str) -> Rule:
    """`output` is off whenever `device` is in `position`, whatever else is pressed.

    Exact meaning: no reachable state at rest has `device` in `position` and `output` on. It counts as tested only if
    `device` can be brought into `position` while `output` is on. If `device` is itself a load (an interlock: Q2 is
    out whenever Q1 is in), a circuit that keeps the rule never comes to that point, so it counts as tested if
    `device` gets into `position` in one case and `output` comes on in another. If `position` is then its being on, the
    rule is broken too if some order of relays passes through such a state: two contactors that are both in for a moment
    have shorted the phases.
    Raises LadderError if `output` is no load, or no kind of the device's letter has that position.
    """
    check_load("off_while", output)
    check_position("off_while", device, position)

    interlock = bool(Device(device).spec.load)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return (interlock or panel.is_on(output, edge.before)) and arrives(panel, edge, after, device, position)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.position(device, after) == position and panel.is_on(output, after)

    sentence = f"{output} is {Device(output).spec.rest} whenever {{{device}}} is {position}."
    also = (_comes_on(output),) if interlock else ()
    passing = interlock and position == on_word(device)
    return Rule(sentence, output, (device,), tested, broken, never, also, True, passing, judges="state")


def _comes_on(tag: str) -> Test:
    def comes_on(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.is_on(tag, after)

    return comes_on


def follows(output: str, device: str, position: str) -> Rule:
    """With the supply on, `output` is on exactly while `device` is in `position`.

    Exact meaning: in every reachable state at rest with the supply on, the two agree. `device` may be an operated
    device or another load ("Q1", "in"). Tested if both cases are reached.
    Raises LadderError if `output` is no load, or no kind of the device's letter has that position.
    """
    check_load("follows", output)
    check_position("follows", device, position)

    def there(panel: AnyPanel, state: State) -> bool:
        return panel.position(device, state) == position

    def wanted(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return there(panel, after)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return after.supply and edge.step is not None and there(panel, edge.before) != there(panel, after)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return after.supply and there(panel, after) != panel.is_on(output, after)

    sentence = f"{output} is {on_word(output)} exactly while {{{device}}} is {position}."
    return Rule(sentence, output, (device,), tested, broken, wanted, judges="state")


def never_together(*loads: str) -> Rule:
    """No two of `loads` are ever on together, not even for a moment while relays change over.

    Exact meaning: no reachable state at rest, and none that some order of relays passes through, has two of them on.
    Two contactors of a reversing starter that are both in for a moment have shorted the phases. It counts as tested if
    each of them comes on in some case.
    Raises LadderError if they are fewer than two, one is no load, or one is named twice.
    """
    check_loads("never_together", loads, 2)
    sentence = f"No two of {listed(loads)} are ever {_on_words(loads)} together, not even for a moment."
    if len(loads) == 2:
        sentence = f"{listed(loads)} are never {_on_words(loads)} together, not even for a moment."
    return _one_at_a_time(loads, sentence, passing=True)


def only_one(*lamps: str) -> Rule:
    """At most one of `lamps` is lit at a time, whenever the panel rests.

    Exact meaning: no reachable state at rest has two of them on. Coils may be named too. What happens for a moment
    while relays change over does not count: nobody reads a lamp so quickly; for contactors ask `never_together`. It
    counts as tested if each of them comes on in some case.
    Raises LadderError if they are fewer than two, one is no load, or one is named twice.
    """
    check_loads("only_one", lamps, 2)
    return _one_at_a_time(lamps, f"At most one of {listed(lamps)} is {_on_words(lamps)} at a time.", passing=False)


def _on_words(loads: tuple[str, ...]) -> str:
    """ "in" or "lit"; "on" of both together."""
    words = {on_word(tag) for tag in loads}
    return words.pop() if len(words) == 1 else "on"


def _one_at_a_time(loads: tuple[str, ...], sentence: str, *, passing: bool) -> Rule:
    def on(panel: AnyPanel, state: State) -> list[str]:
        return [tag for tag in loads if panel.is_on(tag, state)]

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return bool(on(panel, after))

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return len(on(panel, after)) > 1

    def tells(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        both = on(panel, after)
        came = [tag for tag in both if not panel.is_on(tag, edge.before)]
        word = _on_words(loads)
        seen, expected = f"{listed(both)} are {word} together", f"at most one of {listed(loads)} is {word}"
        return Telling(seen, expected, told_of((came or both)[-1], False, panel, edge, after).why)

    also = tuple(_comes_on(tag) for tag in loads)
    return Rule(sentence, loads[0], loads, tested, broken, never, also, passing, passing, tells, "state")
