"""Rules about the power side, each decided over every sequence of bench orders: shorts, and what a motor does.

They need the power circuit: `prove(ladder, rule, power=reversing())`. A motor counts as fed while current flows in it,
whether it turns or hums. Times are not in here: see `rungbook.behaviour.motor_panel`.
"""

from __future__ import annotations

from rungbook.behaviour import State
from rungbook.behaviour.motor_panel import WAYS, WORDS, MotorPanel
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.explore import Edge
from rungbook.proof.rules import AnyPanel, Rule, Telling, Tells, arrives, check_position, never


def power_of(panel: AnyPanel) -> MotorPanel:
    """The panel with its power circuit. Raises LadderError if it has none."""
    if not isinstance(panel, MotorPanel):
        raise LadderError("Rule", "this rule is about the power circuit: give it, with power=", "", ("reversing()",))
    return panel


def no_short_between_phases() -> Rule:
    """No two phases are ever joined, not even for a moment while contactors change over.

    Exact meaning: in no reachable state, at rest or passed through, do closed or welded poles join two phases. It
    counts as tested only if each contactor of some pair that would short comes in; where no pair would, if a motor
    is fed.
    """

    def comes_in(panel: AnyPanel, after: State, one: int) -> bool:
        power = power_of(panel)
        pairs = power.would_short()
        if not pairs:
            return any(power.is_on(motor, after) for motor in power.motors)
        return any(power.is_on(pair[one], after) for pair in pairs)

    def first(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return comes_in(panel, after, 0)

    def second(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return comes_in(panel, after, 1)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return bool(power_of(panel).shorts(after))

    def tells(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        power = power_of(panel)
        return Telling(str(power.shorts(after)[0]).rstrip("."), "no two phases are joined", power.poles_told(after))

    sentence = "No two phases are ever joined."
    rule = Rule(sentence, "the phases", (), first, broken, never, (second,), protects=True, passing=True)
    return rule.telling(tells)


def motor_stands_while(motor: str, device: str, position: str) -> Rule:
    """No current flows in `motor` whenever `device` is in `position`: the motor stops, not just its contactor's coil.

    Exact meaning: no reachable state at rest has `device` in `position` and `motor` fed. It counts as tested only if
    `device` can be brought into `position` while the motor is fed.
    Raises LadderError if `motor` is no designation of a motor, or `device` has no such position.
    """
    _check("motor_stands_while", motor, device, position)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return power_of(panel).is_on(motor, edge.before) and arrives(panel, edge, after, device, position)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return panel.position(device, after) == position and power_of(panel).is_on(motor, after)

    sentence = f"{motor} stands still whenever {{{device}}} is {position}."
    rule = Rule(sentence, motor, (motor, device), tested, broken, never, protects=True)
    return rule.telling(_tells(motor, WORDS["off"]))


def motor_turns(motor: str, way: str, device: str, position: str) -> Rule:
    """`motor` runs `way` ("forwards", "backwards"), on three phases, whenever `device` is in `position`.

    Exact meaning: in every reachable state at rest with `device` in `position`, the motor runs that way; humming on
    two phases is no running. It counts as tested if `device` gets into `position`.
    Raises LadderError as `motor_stands_while`, or if there is no such way.
    """
    _check("motor_turns", motor, device, position, way)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return edge.step is not None and arrives(panel, edge, after, device, position)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        power = power_of(panel)
        there = power.position(device, after) == position
        return there and not (power.is_on(motor, after) and power.feed(motor, after).direction == WAYS[way])

    sentence = f"{motor} runs {way} whenever {{{device}}} is {position}."
    rule = Rule(sentence, motor, (motor, device), tested, broken, never)
    return rule.telling(_tells(motor, f"runs {way}"))


def motor_never_turns(motor: str, way: str, device: str, position: str) -> Rule:
    """`motor` never runs `way` while `device` is in `position`: the elevator does not go down when told to go up.

    Exact meaning: no reachable state at rest has `device` in `position` and the motor running that way. It counts as
    tested if `device` gets into `position` with the motor fed.
    Raises LadderError as `motor_turns`.
    """
    _check("motor_never_turns", motor, device, position, way)

    def tested(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        return arrives(panel, edge, after, device, position) and power_of(panel).is_on(motor, after)

    def broken(panel: AnyPanel, edge: Edge[State], after: State) -> bool:
        there = panel.position(device, after) == position
        return there and power_of(panel).feed(motor, after).direction == WAYS[way]

    sentence = f"{motor} never runs {way} while {{{device}}} is {position}."
    rule = Rule(sentence, motor, (motor, device), tested, broken, never, protects=True)
    return rule.telling(_tells(motor, f"does not run {way}"))


def _tells(motor: str, expected: str) -> Tells:
    def tells(panel: AnyPanel, edge: Edge[State], after: State) -> Telling:
        power = power_of(panel)
        return Telling(f"{motor} {power.motor_word(motor, after)}", f"{motor} {expected}", power.poles_told(after))

    return tells


def _check(thing: str, motor: str, device: str, position: str, way: str = "forwards") -> None:
    if Device(motor).kind != "motor":
        raise LadderError(thing, "the designation of a motor has the letter M (IEC 81346-2)", motor, ("M1",))
    check_position(thing, device, position)
    if way not in WAYS:
        raise LadderError(thing, "no such way to turn", way, tuple(WAYS))


__all__ = ["motor_never_turns", "motor_stands_while", "motor_turns", "no_short_between_phases", "power_of"]
