"""The blocks as written against the relay's functions: always the same; and a block with one thing changed is not.

What the walk over unknown times finds is done again here on the pure timer or counter and a machine of its own.
"""

from __future__ import annotations

import pytest

from rungbook import LadderError
from rungbook.behaviour import counters, timers
from rungbook.behaviour.counters import Counter, CounterState
from rungbook.behaviour.timers import Timer, TimerState
from rungbook.exchange.composed import COMPOSED, USES
from rungbook.exchange.equivalence import Equivalence, equivalence
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse
from rungbook.kit.settings import TIMER_FUNCTIONS
from rungbook.proof import TooMany


@pytest.mark.parametrize("function", USES)
def test_every_block_does_what_the_relay_does(function: str) -> None:
    found = equivalence(function)
    assert found, found
    assert found.states > 3


def test_with_any_scans_a_flasher_is_one_whose_periods_end_with_the_next_scan() -> None:
    assert equivalence("flash", late=True).outcome == "same"


#: what is wrong -> function, what stands in its block, what stands there instead
WRONG = {
    "on-and-off delay: on 1 ms late": (
        "on-and-off delay",
        "UP(IN := IN OR WAS, PT := PT)",
        "UP(IN := IN OR WAS, PT := PT + T#1ms)",
    ),
    "on-and-off delay: off 1 ms early": (
        "on-and-off delay",
        "DOWN(IN := NOT IN OR NOT WAS, PT := PT)",
        "DOWN(IN := NOT IN OR NOT WAS, PT := PT - T#1ms)",
    ),
    "on-and-off delay: a time up with the fall of its input is lost": ("on-and-off delay", "IN OR WAS", "IN"),
    "on-and-off delay: the other timer is not put back": (
        "on-and-off delay",
        "    IF IN THEN\n        DOWN(IN := FALSE, PT := PT);\n    END_IF;\n",
        "",
    ),
    "falling edge: 1 ms long": ("one-shot on falling edge", "PT := PT)", "PT := PT + T#1ms)"),
    "falling edge: a pulse at power-up": ("one-shot on falling edge", "ARMED.Q1 AND NOT IN", "NOT IN"),
    "falling edge: one pulse for good": ("one-shot on falling edge", "R := FALSE", "R := PULSE.Q"),
    "flash: dark for twice the time": (
        "flash",
        "DARK(IN := LIGHT.Q, PT := PT);\n    IF",
        "DARK(IN := LIGHT.Q, PT := PT + PT);\n    IF",
    ),
    "flash: light 1 ms longer": ("flash", "LIGHT(IN := IN, PT := PT)", "LIGHT(IN := IN, PT := PT + T#1ms)"),
    "flash: begins dark": ("flash", "IN AND NOT LIGHT.Q", "IN AND LIGHT.Q"),
    "flash: one period after its second": ("flash", "        LIGHT(IN := TRUE, PT := PT);\n", ""),
    "cumulative: 1 ms early": ("cumulative on-delay", "PT - KEPT", "PT - KEPT - T#1ms"),
    "cumulative: reset has not priority": (
        "cumulative on-delay",
        "DONE : RS;|DONE(S := RUN.Q, R1 := R)",
        "DONE : SR;|DONE(S1 := RUN.Q, R := R)",
    ),
    "cumulative: a reset keeps the time": (
        "cumulative on-delay",
        "    IF R THEN\n        KEPT := T#0s;\n    END_IF;\n",
        "",
    ),
    "cumulative: gathers under reset": ("cumulative on-delay", "IN AND NOT R", "IN"),
    "cumulative: forgets at the second pause": ("cumulative on-delay", "KEPT + RUN.ET", "RUN.ET"),
    "up-down: one more": ("up-down", "PV := PV)", "PV := PV + 1)"),
    "up-down: reset has not priority": ("up-down", "R := R, LD := FALSE", "R := R AND NOT UP.Q, LD := FALSE"),
    "up-down: below zero": ("up-down", "DOWN.Q AND (UP.Q OR COUNT.CV > 0)", "DOWN.Q"),
    "up-down: both edges at 0 count one": ("up-down", "(UP.Q OR COUNT.CV > 0)", "COUNT.CV > 0"),
    "up-down: an edge under reset counts after it": ("up-down", "CLK := CU", "CLK := CU AND NOT R"),
    "up-down: up and down swapped": ("up-down", "CU := UP.Q, CD := DOWN.Q AND", "CU := DOWN.Q, CD := UP.Q AND"),
}


def changed(function: str, old: str, new: str) -> str:
    text = COMPOSED[USES[function].block]
    for one, other in zip(old.split("|"), new.split("|"), strict=True):
        assert one in text
        text = text.replace(one, other)
    return text


def relays(found: Equivalence) -> list[bool]:
    """What the pure timer or counter does at the instants of the sequence."""
    outputs, now = [], 0
    if found.function in TIMER_FUNCTIONS:
        state = TimerState(Timer(found.function, found.set_to / 1_000_000))
        for one in found.sequence:
            now += one.since
            resetting = "R" in one.on
            state = timers.step(state, now, "IN" in one.on and not resetting)
            state = timers.reset(state, now) if resetting else state
            outputs.append(timers.output(state))
        return outputs
    count = CounterState(Counter(found.function, found.set_to))
    for one in found.sequence:
        count = counters.step(count, up="CU" in one.on, down="CD" in one.on, reset="R" in one.on)
        outputs.append(counters.output(count))
    return outputs


def blocks(found: Equivalence, text: str) -> list[bool]:
    """What the block does in the scans of the sequence."""
    use = USES[found.function]
    names = (*use.inputs.values(), use.setting)
    kinds = dict.fromkeys(names, "BOOL") | {use.setting: "TIME" if use.setting == "PT" else "INT"}
    head = "".join(f"{name} : {kind}; " for name, kind in kinds.items())
    arguments = ", ".join(f"{name} := {name}" for name in names)
    machine = Machine(parse(f"{text}PROGRAM X VAR {head}K : {use.block}; END_VAR K({arguments}); END_PROGRAM"))
    outputs = []
    for one in found.sequence:
        machine.values.update({name: int(name in one.on) for name in use.inputs.values()})
        machine.values[use.setting] = found.set_to
        machine.scan(one.since)
        outputs.append(bool(machine.values["K.Q"]))
    return outputs


@pytest.mark.parametrize("wrong", WRONG)
def test_a_block_with_one_thing_changed_is_told_apart_by_a_sequence_that_shows_it(wrong: str) -> None:
    function, old, new = WRONG[wrong]
    text = changed(function, old, new)
    found = equivalence(function, text)
    assert found.outcome == "different"
    assert relays(found) == [one.relay for one in found.sequence]
    assert blocks(found, text) == [one.block for one in found.sequence]
    assert [one.relay == one.block for one in found.sequence] == [True] * (len(found.sequence) - 1) + [False]


def test_the_sequence_is_told_in_words() -> None:
    timer = equivalence("cumulative on-delay", changed(*WRONG["cumulative: reset has not priority"]))
    assert str(timer) == (
        "CUMULATIVE_ON_DELAY set to 1 s is not cumulative on-delay: "
        "IN on: relay off, block off; 1 s later R on: relay off, block on"
    )
    counter = equivalence("up-down", changed(*WRONG["up-down: one more"]))
    assert str(counter) == "UP_DOWN_COUNT set to 1 is not up-down: CU on: relay on, block off"


def test_which_input_of_a_memory_has_priority_is_no_matter_where_both_are_never_on() -> None:
    text = changed("on-and-off delay", "HELD : RS|HELD(S := UP.Q, R1 :=", "HELD : SR|HELD(S1 := UP.Q, R :=")
    assert equivalence("on-and-off delay", text)


def test_a_function_that_there_is_not_is_refused() -> None:
    with pytest.raises(LadderError, match="no such function"):
        equivalence("on-delay-ish")


def test_above_the_limit_nothing_is_decided() -> None:
    with pytest.raises(TooMany, match="more than 5 states"):
        equivalence("cumulative on-delay", limit=5)
