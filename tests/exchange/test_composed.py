"""Composed blocks against the relay's functions: over every sequence of some scans, and drawn with relays.

The blocks are run as they are written out; the other side is `behaviour/timers.py` and `behaviour/counters.py`, asked
at the same instants. (Over all sequences and times: `test_equivalence`.) The walk over relays knows no scans: it is
asked about the same compositions drawn with relays and timers of the standard's functions, with the supply left on (a
program begins anew when it returns, a relay does not).
"""

from collections.abc import Callable
from itertools import product

import pytest

from rungbook import NC, NO, Device, Ladder, coil, compare, lamp, to_json
from rungbook import reset as reset_input
from rungbook.behaviour import SUPPLY, counters, timers
from rungbook.behaviour.counters import Counter, CounterState
from rungbook.behaviour.timed_panel import TimedPanel
from rungbook.behaviour.timers import Timer, TimerState
from rungbook.circuit import count_down
from rungbook.exchange import ladder_xml, read_ladder_xml, read_structured_text, scan_differences, structured_text
from rungbook.exchange.composed import COMPOSED, FUNCTION_OF, USES
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse
from rungbook.exchange.scan_panel import ScanPanel
from rungbook.kit.settings import COUNTER_DIRECTIONS, TIMER_FUNCTIONS
from rungbook.proof.timed import first_difference_in_time

SCAN = 10_000  # [us]
LONG = 11  # scans of every sequence


def running(block: str, inputs: tuple[str, ...], setting: str) -> Machine:
    """A program that does nothing but call one block."""
    head = "".join(f"{name} : BOOL; " for name in inputs)
    arguments = "".join(f"{name} := {name}, " for name in inputs)
    return Machine(
        parse(f"{COMPOSED.get(block, '')}PROGRAM X VAR {head}K : {block}; END_VAR K({arguments}{setting}); END_PROGRAM")
    )


def scanned(machine: Machine, cold: tuple[int, ...], name: str, sequence: tuple[int, ...]) -> list[int]:
    """The block's output in each scan of `sequence`, from a cold start."""
    machine.values.update(zip(machine.values, cold, strict=True))
    found = []
    for level in sequence:
        machine.values[name] = level
        machine.scan(SCAN)
        found.append(machine.values["K.Q"])
    return found


def relay(function: str, preset: int, sequence: tuple[int, ...]) -> list[int]:
    """The timed contacts of the pure timer at each scan. preset: [us]."""
    state, found = TimerState(Timer(function, preset / 1_000_000)), []
    for number, level in enumerate(sequence, 1):
        now = number * SCAN
        while (instant := timers.due(state)) is not None and instant < now:
            state = timers.step(state, instant, state.energised)
        state = timers.step(state, now, bool(level))
        found.append(int(timers.output(state)))
    return found


class TestEverySequenceOfScans:
    @pytest.mark.parametrize("preset", [10_000, 20_000, 25_000, 30_000, 47_000])
    @pytest.mark.parametrize("block", ["PULSE_ON_FALL", "ON_AND_OFF_DELAY", "CUMULATIVE_ON_DELAY", "TON", "TOF", "TP"])
    def test_is_the_relays_function(self, block: str, preset: int) -> None:
        inputs = ("IN", "R") if block == "CUMULATIVE_ON_DELAY" else ("IN",)
        machine = running(block, inputs, f"PT := T#{preset // 1000}ms")
        cold = tuple(machine.values.values())
        for sequence in product((0, 1), repeat=LONG):
            asked = relay(FUNCTION_OF[block], preset, sequence)
            assert scanned(machine, cold, "IN", sequence) == asked, sequence

    @pytest.mark.parametrize("preset", [10_000, 20_000, 30_000, 50_000])
    def test_flash_is_the_relays_if_its_time_is_a_whole_number_of_scans(self, preset: int) -> None:
        machine = running("FLASH", ("IN",), f"PT := T#{preset // 1000}ms")
        cold = tuple(machine.values.values())
        for sequence in (*product((0, 1), repeat=LONG), (1,) * 1000):
            assert scanned(machine, cold, "IN", sequence) == relay("flash", preset, sequence), sequence

    def test_flash_of_any_other_time_ends_each_period_with_the_next_scan(self) -> None:
        machine = running("FLASH", ("IN",), "PT := T#25ms")
        cold = tuple(machine.values.values())
        for sequence in product((0, 1), repeat=LONG):
            assert scanned(machine, cold, "IN", sequence) == relay("flash", 30_000, sequence), sequence

    def test_a_reset_of_the_cumulative_timer_begins_anew(self) -> None:
        machine = running("CUMULATIVE_ON_DELAY", ("IN", "R"), "PT := T#30ms")
        cold = tuple(machine.values.values())
        for reset_at in range(1, 9):
            machine.values.update(zip(machine.values, cold, strict=True))
            state, mine, asked = TimerState(Timer("cumulative on-delay", 0.03)), [], []
            for number in range(1, 14):
                resetting = number == reset_at
                machine.values.update(IN=1, R=int(resetting))
                machine.scan(SCAN)
                mine.append(machine.values["K.Q"])
                state = timers.step(state, number * SCAN, not resetting)
                if resetting:
                    state = timers.reset(state, number * SCAN)
                asked.append(int(timers.output(state)))
            assert mine == asked

    def test_up_down_count_is_the_relays_counter(self) -> None:
        machine = running("UP_DOWN_COUNT", ("CU", "CD", "R"), "PV := 2")
        cold = tuple(machine.values.values())
        for sequence in product(((0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0), (0, 1, 1)), repeat=6):
            machine.values.update(zip(machine.values, cold, strict=True))
            state = CounterState(Counter("up-down", 2))
            for up, down, reset in sequence:
                machine.values.update(CU=up, CD=down, R=reset)
                machine.scan(SCAN)
                state = counters.step(state, up=bool(up), down=bool(down), reset=bool(reset))
                assert machine.values["K.COUNT.CV"] == state.value, sequence
                assert machine.values["K.Q"] == int(counters.output(state))

    @pytest.mark.parametrize(("block", "names"), [("CTU", ("CU", "R")), ("CTD", ("CD", "LD"))])
    def test_ctu_and_ctd_are_the_relays_counters(self, block: str, names: tuple[str, str]) -> None:
        """But for a first call that CTD has not had: FALSE, though a relay at 0 is on at once (`timed_differences`)."""
        machine = running(block, names, "PV := 2")
        cold = tuple(machine.values.values())
        for sequence in product((0, 1, 2, 3), repeat=6):
            machine.values.update(zip(machine.values, cold, strict=True))
            state = CounterState(Counter(FUNCTION_OF[block], 2))
            for both in sequence:
                counting, other = bool(both & 1), bool(both & 2)
                machine.values.update({names[0]: int(counting), names[1]: int(other)})
                machine.scan(SCAN)
                if block == "CTU":
                    state = counters.step(state, up=counting, reset=other)
                else:
                    state = counters.step(state, down=counting, load=other)
                assert machine.values["K.Q"] == int(counters.output(state)), sequence


def timer(tag: str, function: str) -> Device:
    return Device(tag, "timer relay", setting=f"{function} 3 s")


def asked_of(function: str) -> Ladder:
    """The relay function itself, driven by selector S1 so that its input stays, and a lamp on its contact."""
    ladder = Ladder("asked", [Device("S1"), timer("K1", function), Device("P1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def on_and_off() -> Ladder:
    ladder = Ladder("", [Device("S1"), timer("K2", "on-delay"), timer("K3", "on-delay"), *map(Device, ("K4", "P1"))])
    ladder.rung(NO("S1"), coil("K2"))
    ladder.rung(NC("S1"), coil("K3"))
    ladder.rung(NC("K3") & (NO("K2") | NO("K4")), coil("K4"))  # RS
    ladder.rung(NO("K4"), lamp("P1"))
    return ladder


def pulse_on_fall() -> Ladder:
    ladder = Ladder("", [Device("S1"), timer("K2", "one-shot on rising edge"), *map(Device, ("K4", "P1"))])
    ladder.rung(NO("S1") | NO("K4"), coil("K4"))  # SR that nothing resets
    ladder.rung(NO("K4") & NC("S1"), coil("K2"))
    ladder.rung(NO("K2"), lamp("P1"))
    return ladder


def flash() -> Ladder:
    ladder = Ladder("", [Device("S1"), timer("K2", "on-delay"), timer("K3", "on-delay"), Device("P1")])
    ladder.rung(NO("S1") & NC("K3"), coil("K2"))
    ladder.rung(NO("K2"), coil("K3"))
    ladder.rung(NO("S1") & NC("K2"), lamp("P1"))
    return ladder


def first_difference(mine: Ladder, asked: Ladder) -> object:
    """What the proof engine finds over all instants of the orders, the supply left on."""
    devices = {device.tag: device for ladder in (asked, mine) for device in ladder.declared or ()}
    panels = [TimedPanel(ladder, devices.values()) for ladder in (mine, asked)]
    for panel in panels:
        panel.steps = tuple(step for step in panel.steps if step.device != SUPPLY)
    return first_difference_in_time(*panels, ("P1",))


class TestProved:
    @pytest.mark.parametrize(
        ("function", "composed"),
        [("on-and-off delay", on_and_off), ("one-shot on falling edge", pulse_on_fall), ("flash", flash)],
    )
    def test_the_composition_drawn_with_relays_does_the_same_at_all_instants(
        self, function: str, composed: object
    ) -> None:
        assert first_difference(composed(), asked_of(function)) is None

    def test_another_composition_is_told_apart(self) -> None:
        assert first_difference(on_and_off(), asked_of("one-shot on falling edge")) is not None
        assert first_difference(flash(), asked_of("on-delay")) is not None


def using(function: str, number: int) -> Ladder:
    """A timer of so many seconds, or a counter to so many, with each input that it has, and a lamp on its contact."""
    kind, unit = ("timer relay", " s") if function in TIMER_FUNCTIONS else ("counter", "")
    relay = Device("K1", kind, setting=f"{function} {number}{unit}")
    ladder = Ladder("Filling line", [*map(Device, ("S1", "S2", "S3")), relay, Device("P1")])
    ladder.rung(NO("S1"), coil("K1"))
    if "reset" in USES[function].inputs:
        ladder.rung(NO("S2"), reset_input("K1"))
    if "down" in USES[function].inputs:
        ladder.rung(NO("S3"), count_down("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


@pytest.mark.parametrize("way", [(structured_text, read_structured_text), (ladder_xml, read_ladder_xml)])
@pytest.mark.parametrize("function", USES)
def test_what_is_read_back_is_proved_to_do_the_same(function: str, way: tuple[Callable, Callable]) -> None:
    """Over all instants and all counts; a ladder with another time or count is told apart."""
    write, read = way
    asked, other = using(function, 2), using(function, 3)
    assert compare(read(write(asked)), asked).outcome == "same"
    assert compare(read(write(other)), asked).outcome == "different"
    assert to_json(read(write(asked))) == to_json(asked)


@pytest.mark.parametrize("function", USES)
def test_relays_and_program_do_the_same_at_all_instants(function: str) -> None:
    """Orders come at any instant, not only at a scan; `test_equivalence` says that a block is the relay's function.

    The supply is left on; over all counts.
    """
    relays, program = TimedPanel(using(function, 2)), ScanPanel(using(function, 2))
    other = ScanPanel(using(function, 3))
    for panel in (relays, program, other):
        panel.steps = tuple(step for step in panel.steps if step.device != SUPPLY)
    assert first_difference_in_time(program, relays, ("K1", "P1")) is None
    assert first_difference_in_time(other, relays, ("K1", "P1")) is not None


@pytest.mark.parametrize("function", USES)
def test_only_a_supply_that_was_off_tells_relays_and_program_apart(function: str) -> None:
    found = scan_differences(using(function, 2))
    assert {one.kind for one in found.differences} <= {"supply"}
    if function == "up-down":  # after it the counts differ for good, and nobody walks over all pairs of counts
        assert found.outcome == "not decided"
        assert found.why.startswith("K1 counts above 6, and otherwise in the two ladders")
    else:  # two begin anew with the supply, as a program does
        assert found.outcome == ("same" if function in ("on-delay", "flash") else "different")


def test_every_timer_function_and_direction_has_its_block() -> None:
    assert set(USES) == {*TIMER_FUNCTIONS, *COUNTER_DIRECTIONS}
    assert len(FUNCTION_OF) == len(USES)
