"""Where relays and scan differ in time: literal reports, each sequence run on real parts and on the program."""

from itertools import groupby, pairwise

import pytest

from exchange.mill import everything
from exchange.samples import at_random
from rungbook import NC, NO, Device, Ladder, coil, lamp, reset
from rungbook.behaviour import Timeline, read_timed, tell
from rungbook.exchange import Difference, Scan, scan_differences
from rungbook.exchange.confirm import rows_of


def panel(title: str, **settings: str) -> Ladder:
    """A ladder on two buttons, three contactors, a lamp, and timers or counters with these settings."""
    devices = [Device(tag) for tag in ("S1", "S2", "Q1", "Q2", "Q3", "P1")]
    for tag, setting in settings.items():
        counting = setting.startswith(("up", "down"))
        devices.append(Device(tag, "counter" if counting else "timer relay", setting=setting))
    return Ladder(title, devices)


def filling(order: str = "right", setting: str = "on-delay 5 s") -> Ladder:
    ladder = panel("Filling line", K1=setting)
    if order == "upside down":
        ladder.rung(NO("K1"), coil("Q1"))
    ladder.rung(NO("S1"), coil("K1"))
    if order == "right":
        ladder.rung(NO("K1"), coil("Q1"))
    return ladder


def star_delta() -> Ladder:
    ladder = panel("Mill", K1="on-delay 5 s")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"), coil("K1"))
    ladder.rung(NO("Q1") & NC("K1") & NC("Q3"), coil("Q2"))
    ladder.rung(NO("Q1") & NO("K1") & NC("Q2"), coil("Q3"))
    return ladder


def two_that_end_together() -> Ladder:
    ladder = panel("Vat agitator", K1="on-delay 5 s", K2="on-delay 5 s")
    ladder.rung(NO("S1"), coil("K1"), coil("K2"))
    ladder.rung(NO("K1") & NC("Q2"), coil("Q1"))
    ladder.rung(NO("K2") & NC("Q1"), coil("Q2"))
    return ladder


def puts_itself_back() -> Ladder:
    ladder = panel("Press pump", K1="on-delay 5 s", K2="up 2")
    ladder.rung(NO("S1") & NC("K1"), coil("K1"))
    ladder.rung(NO("K1"), coil("K2"))
    ladder.rung(NO("S2"), reset("K2"))
    ladder.rung(NO("K2"), coil("Q1"))
    return ladder


def counting(setting: str = "up 3") -> Ladder:
    ladder = panel("Filling line", K1=setting)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("S2"), reset("K1"))
    ladder.rung(NO("K1"), coil("Q1"))
    return ladder


def told(ladder: Ladder) -> list[str]:
    return [str(one) for one in scan_differences(ladder).differences]


class TestReports:
    def test_a_timer_above_what_it_feeds_does_the_same_but_for_the_length_of_a_scan(self) -> None:
        report = scan_differences(filling())
        assert (report.outcome, bool(report), report.differences) == ("same", True, ())
        assert str(report) == "Relays and program do the same. Each time is up with a scan: at most 0.01 s late."

    def test_the_scan_time_is_told(self) -> None:
        assert str(scan_differences(filling(), scan_time=0.1)).endswith("at most 0.1 s late.")

    def test_a_timer_below_what_it_feeds_is_one_scan_late(self) -> None:
        assert told(filling("upside down")) == [
            "late: Press S1. Wait 6 s. Program: Q1 pulls in one scan later, in scan 2. "
            "Relays: Q1 pulls in as soon as what stands before it has moved. "
            "Rung 1 reads K1, and rung 2 writes it: rung 1 sees the change one scan later."
        ]

    def test_star_delta_leaves_no_pause_in_the_program(self) -> None:
        assert told(star_delta()) == [
            "no pause: Press S2. Wait 6 s. Program: Q2 goes off and Q3 on with scan 1. "
            "Relays: Q3 gets voltage only when Q2 has dropped out and its NC contact has closed. "
            "The program leaves no pause: wire NC contacts of the contactors before each other's coils too."
        ]

    def test_of_two_times_that_are_up_together_the_program_takes_the_upper_one(self) -> None:
        assert told(two_that_end_together()) == [
            "race: Press S1. Wait 6 s. Program: Q1 pulls in. Relays: Q1 pulls in, or Q1 stays out. "
            "The times of K1 and K2 are up at the same instant; what follows hangs on which is quicker."
        ]

    def test_a_pulse_of_one_scan_is_counted_by_the_program_and_perhaps_by_relays(self) -> None:
        found = {one.kind: one for one in scan_differences(puts_itself_back()).differences}
        assert str(found["race"]) == (
            "race: Press S1. Wait 11 s. Program: K2 pulls in. Relays: K2 stays out, or K2 pulls in, by a race before. "
            "The relays move one after the other, whichever is quicker; the program asks its rungs from top to bottom, "
            "the same way each time."
        )
        assert found["pulse"].scan == "K1 is on for one scan, and then as before"
        assert (found["pulse"].lasting, found["race"].lasting) == (False, True)

    def test_a_block_is_called_after_the_last_rung_that_feeds_it(self) -> None:
        ladder = panel("Filling line", K1="up 2")
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1"), coil("Q1"))
        ladder.rung(NO("S2"), reset("K1"))
        found = {one.kind: one for one in scan_differences(ladder).differences}
        assert str(found["late"]) == (
            "late: Press S1. Let S1 go. Press S1. Program: Q1 pulls in one scan later, in scan 2. "
            "Relays: Q1 pulls in as soon as what stands before it has moved. "
            "Rung 2 reads K1, and rung 3 writes it: rung 2 sees the change one scan later."
        )

    @pytest.mark.parametrize(
        ("ladder", "orders", "why"),
        [
            (
                filling(setting="off-delay 5 s"),
                "Press S1. Let S1 go. Switch the supply off. Switch the supply on.",
                "K1 runs on without the supply; in the program it begins anew.",
            ),
            (
                filling(setting="cumulative on-delay 10 s"),
                "Press S1. Wait 11 s. Switch the supply off. Switch the supply on.",
                "K1 keeps its time without the supply; in the program it begins anew.",
            ),
            (
                counting(),
                "Press S1. Let S1 go. Press S1. Switch the supply off. Switch the supply on.",
                "K1 counts what stands at its input when the supply returns; the program remembers that it was there "
                "before.",
            ),
        ],
    )
    def test_what_the_return_of_the_supply_makes_of_timers_and_counters(
        self, ladder: Ladder, orders: str, why: str
    ) -> None:
        (found,) = scan_differences(ladder).differences
        assert (found.kind, tell(found.steps), found.scan) == ("supply", orders, "K1 is out")
        assert (found.relays, found.why, found.lasting) == ("K1 is in", why, True)

    def test_a_counter_that_counts_down_is_on_before_the_program_first_calls_it(self) -> None:
        ladder = panel("Filling line", K1="down 2")
        ladder.rung(NC("K1") & NC("S2"), reset("K1"))
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1"), lamp("P1"))
        assert told(ladder)[0] == (
            "other end: Nothing is touched. Program: K1 is out. Relays: K1 is in. The output of a block is FALSE until "
            "it is first called; a counter at 0 that counts down is on at once."
        )

    def test_hundred_hours_are_tried_on_the_program_too(self) -> None:
        ladder = panel("Cellar fan", K1="on-delay 100 h")
        ladder.rung(NO("K1"), coil("Q1"))
        ladder.rung(NO("S1"), coil("K1"))
        (late,) = scan_differences(ladder).differences
        assert tell(late.steps) == "Press S1. Wait 360001 s."


class TestNotDecided:
    def test_a_flasher_whose_time_is_no_whole_number_of_scans(self) -> None:
        report = scan_differences(filling(setting="flash 25 ms"))
        assert (report.outcome, report.why) == (
            "not decided",
            "K1 flashes with 0.025 s, no whole number of scans of 0.01 s, so the program falls behind with every "
            "period",
        )
        assert scan_differences(filling(setting="flash 25 ms"), scan_time=0.005).outcome == "same"

    def test_more_states_than_the_limit(self) -> None:
        report = scan_differences(everything(), limit=20)
        assert (report.outcome, report.why.split(";")[0]) == ("not decided", "more than 20 states can be reached")

    def test_what_the_program_shows_only_with_shorter_scans(self) -> None:
        ladder = filling("upside down", "on-delay 50 ms")
        long = scan_differences(ladder, scan_time=1)
        assert (long.outcome, long.differences) == ("not decided", ())
        assert long.why == '"late" is there with scans of no length, and not seen with those of 1 s'
        assert scan_differences(ladder, scan_time=0.001).outcome == "different"


def on_relays(ladder: Ladder, found: Difference) -> tuple[dict[str, bool], bool]:
    """What the real parts show at the end of the sequence; True if they chattered."""
    timeline = Timeline(ladder, ladder.declared or ())
    hands = {tag: device for tag, device in timeline.devices.items() if device.spec.operated}
    orders, end = read_timed([step.order for step in found.steps], hands)
    for one in orders:
        timeline.advance(one.time)
        if one.step is not None:
            assert timeline.can(one.step)
            timeline.do(one.step)
    timeline.advance(end)
    tags = Scan(ladder).outputs
    shown = {tag: timeline.position(tag) == timeline.devices[tag].spec.positions[1] for tag in tags}
    return shown, bool(timeline.chatters)


def on_the_program(ladder: Ladder, found: Difference) -> list[dict[str, bool]]:
    """What the program shows, each time that it changes, by scans done one by one."""
    scan = Scan(ladder)
    orders, end = read_timed([step.order for step in found.steps], scan.devices)
    waiting, rows = list(orders), [dict.fromkeys(scan.outputs, False)]
    while scan.now < end:
        while waiting and waiting[0].time <= scan.now + scan.every:
            one = waiting.pop(0)
            if one.step is not None:
                scan.move(one.step)
        scan.scan()
        row = {tag: scan.is_on(tag) for tag in scan.outputs}
        if row != rows[-1]:
            rows.append(row)
    return rows


def check(ladder: Ladder, found: Difference) -> str:
    """Run the sequence on both; return what was seen of it, "" if the real parts take the program's way of a race."""
    relays, chattered = on_relays(ladder, found)
    rows = on_the_program(ladder, found)
    mine, theirs = rows[-1][found.output], relays[found.output]
    turns = [on for on, _ in groupby(row[found.output] for row in rows)]
    if found.kind in ("supply", "other end"):
        assert mine != theirs
        return "differ"
    if found.kind == "endless":
        assert len(rows) > 20
        return "endless"
    if found.kind == "chatter":
        return "chatter" if chattered else ""  # it may, by which relay is quicker
    if found.kind == "race":
        return "differ" if mine != theirs else ""
    if found.kind == "late":
        assert turns[-2] != mine
        assert found.scans > 1
        return "late"
    if found.kind == "pulse":
        assert turns[-3:] == [mine, not mine, mine]
        return "pulse"
    assert found.kind == "no pause"
    gone = found.scan.split()[0]
    assert any(
        before[gone] and not after[gone] and after[found.output] and not before[found.output]
        for before, after in pairwise(rows)
    )
    return "no pause"


class TestReplayed:
    @pytest.mark.parametrize(
        ("ladder", "seen"),
        [
            (filling("upside down"), {"late": "late"}),
            (star_delta(), {"no pause": "no pause"}),
            (puts_itself_back(), {"race": "", "pulse": "pulse"}),
            (filling(setting="off-delay 5 s"), {"supply": "differ"}),
            (filling(setting="cumulative on-delay 10 s"), {"supply": "differ"}),
            (filling(setting="one-shot on rising edge 5 s"), {"supply": "differ"}),
            (counting(), {"supply": "differ"}),
            (counting("down 2"), {"supply": "differ"}),
        ],
    )
    def test_circuits_of_the_mill(self, ladder: Ladder, seen: dict[str, str]) -> None:
        assert {one.kind: check(ladder, one) for one in scan_differences(ladder).differences} == seen

    def test_random_ladders(self) -> None:
        seen: dict[str, int] = {}
        for ladder in at_random()[:40]:
            for one in scan_differences(ladder, limit=400, seconds=60).differences:
                what = f"{one.kind}: {check(ladder, one)}"
                seen[what] = seen.get(what, 0) + 1
        assert seen["supply: differ"] >= 10
        assert seen["race: differ"] >= 2
        assert min(seen["late: late"], seen["pulse: pulse"]) >= 3

    def test_nothing_but_a_race_or_the_supply_makes_them_end_elsewhere(self) -> None:
        for ladder in at_random()[40:70]:
            for one in scan_differences(ladder, limit=400, seconds=60).differences:
                assert one.kind != "other end" or (not one.steps and "down" in str(ladder.declared))


@pytest.mark.parametrize(
    "ladder", [filling("upside down", "on-delay 90 s"), filling(setting="off-delay 20 s"), star_delta(), counting()]
)
def test_long_waits_are_leapt_over_and_nothing_else(ladder: Ladder) -> None:
    report = scan_differences(ladder)
    assert report.differences
    for one in report.differences:
        rows = rows_of(Scan(ladder), one.steps)
        assert rows is not None
        assert [tuple(row.values()) for row in on_the_program(ladder, one)] == rows
