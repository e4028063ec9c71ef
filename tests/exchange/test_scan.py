"""The scan: inputs at its start, rungs top to bottom, outputs at its end; against a second reading of the ladder."""

import random

import pytest

from contract.circuits import CIRCUITS, build
from exchange.mill import everything, wash_pump
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, reset
from rungbook.circuit import Contact, Series
from rungbook.exchange import Scan


def timed(setting: str) -> Ladder:
    ladder = Ladder("Filling line", [Device("S1"), Device("K1", "timer relay", setting=setting), Device("P1")])
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


class Twin:
    """The same scans, from the ladder itself: contacts are looked up, loads set one rung after the other."""

    def __init__(self, ladder: Ladder) -> None:
        self.ladder = ladder
        self.on = dict.fromkeys((*ladder.coils(), *ladder.lamps()), False)

    def closed(self, contact: Contact, positions: dict[str, str]) -> bool:
        device = self.ladder.devices[contact.device]
        if contact.device in self.on:
            return self.on[contact.device] == (contact.kind == "NO")
        return positions[contact.device] in device.spec.closed_in(contact.kind, contact.terminals)

    def conducts(self, part: object, positions: dict[str, str]) -> bool:
        if part is None:
            return True
        if isinstance(part, Contact):
            return self.closed(part, positions)
        ways = [self.conducts(inner, positions) for inner in part.parts]
        return all(ways) if isinstance(part, Series) else any(ways)

    def scan(self, positions: dict[str, str]) -> None:
        for rung in self.ladder.rungs:
            value = self.conducts(rung.contacts, positions)
            for load in rung.loads:
                self.on[load.device] = value


class TestOneScan:
    def test_an_order_is_seen_by_the_next_scan_and_no_earlier(self) -> None:
        scan = Scan(wash_pump())
        scan.scan()
        scan.order("press S2")
        assert not scan.is_on("Q1")
        scan.scan()
        assert (scan.is_on("Q1"), scan.is_on("P1")) == (True, True)

    def test_a_nc_stop_reads_1_at_rest_and_0_while_pressed(self) -> None:
        scan = Scan(wash_pump())
        scan.scan()
        assert (scan.value("S1"), scan.value("S2"), scan.value("F1")) == (1, 0, 1)
        scan.order("press S1, press S2, trip F1")
        scan.scan()
        assert (scan.value("S1"), scan.value("S2"), scan.value("F1")) == (0, 1, 0)

    def test_with_another_contact_wired_the_circuit_does_the_same(self) -> None:
        for wired in ({}, {"S1": "NO"}, {"S1": "NO", "S2": "NC", "F1": "NO"}):
            scan = Scan(wash_pump(), wired=wired)
            seen = []
            for order in ("", "press S2", "let S2 go", "press S1", "let S1 go"):
                scan.order(order)
                scan.scan()
                seen.append(scan.is_on("Q1"))
            assert seen == [False, True, True, False, False]

    @pytest.mark.parametrize("name", CIRCUITS)
    def test_does_what_the_rungs_say_read_from_top_to_bottom(self, name: str) -> None:
        ladder = build(name)
        chance = random.Random(name)
        scan, twin = Scan(ladder), Twin(ladder)
        for _ in range(60):
            device = scan.devices[chance.choice(sorted(scan.positions))] if scan.positions else None
            if device and chance.random() < 0.7:
                moves = [move for move in device.spec.moves if move.start == scan.positions[device.tag]]
                scan.order(chance.choice(moves).order.format(tag=device.tag))
            scan.scan()
            twin.scan(scan.positions)
            assert {tag: scan.is_on(tag) for tag in twin.on} == twin.on

    def test_a_coil_written_below_is_seen_one_scan_later(self) -> None:  # check values 9.24, from memory
        ladder = Ladder()
        ladder.rung(NO("K1"), coil("Q1"))
        ladder.rung(NO("S1"), coil("K1"))
        scan = Scan(ladder)
        scan.order("press S1")
        seen = []
        for _ in range(3):
            scan.scan()
            seen.append((scan.is_on("Q1"), scan.is_on("K1")))
        assert seen == [(False, True), (True, True), (True, True)]


class TestInTime:
    def test_an_on_delay_of_the_filling_line(self) -> None:
        trace = Scan(timed("on-delay 2 s")).run("press S1, wait 5 s, let S1 go, wait 1 s")
        assert trace.changes == ((3.0, "K1", True), (3.0, "P1", True), (6.0, "K1", False), (6.0, "P1", False))

    def test_a_flash_is_on_and_off_for_equal_times(self) -> None:
        trace = Scan(timed("flash 0.5 s")).run("press S1, wait 2.2 s, let S1 go")
        assert [(time, on) for time, tag, on in trace.changes if tag == "P1"] == [
            (1.0, True),
            (1.5, False),
            (2.0, True),
            (2.5, False),
            (3.0, True),
            (3.2, False),
        ]

    def test_a_time_is_up_in_the_first_scan_at_or_after_it(self) -> None:
        trace = Scan(timed("on-delay 25 ms"), scan_time=0.01).run("press S1, wait 1 s")
        assert trace.changes[0] == (1.03, "K1", True)

    def test_shows_itself_as_a_table(self) -> None:
        trace = Scan(wash_pump()).run("press S2, press S1")
        assert str(trace).splitlines()[2:] == [
            "1.000 s  Q1      on",
            "1.000 s  P1      on",
            "2.000 s  Q1      off",
            "2.000 s  P1      off",
        ]
        assert "<caption" in trace._repr_html_()

    def test_the_same_orders_give_the_same_run(self) -> None:
        script = "press S2, wait 30 s, reach B1, leave B1, reach B1, trip F1"
        assert Scan(everything()).run(script) == Scan(everything()).run(script)


class TestSupply:
    def test_while_it_is_off_nothing_is_on_and_the_circuit_stays_off_when_it_returns(self) -> None:
        scan = Scan(wash_pump())
        scan.order("press S2")
        scan.scan()
        scan.order("let S2 go, switch the supply off")
        assert not scan.is_on("Q1")
        scan.scan(3)
        scan.order("switch the supply on")
        scan.scan(3)
        assert not scan.is_on("Q1")

    def test_a_counter_keeps_its_value_and_a_timer_begins_anew(self) -> None:
        devices = [*map(Device, ("B1", "S1", "S2"))]
        devices += [Device("K5", "counter", setting="up 3"), Device("K1", "timer relay", setting="on-delay 1 s")]
        ladder = Ladder("", devices)
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S1"), reset("K5"))
        ladder.rung(NC("S2"), coil("K1"))
        scan = Scan(ladder)
        scan.run("reach B1, leave B1, reach B1, leave B1")
        assert (scan.value("K5.CV"), scan.value("K1.Q")) == (2, 1)
        scan.order("switch the supply off")
        scan.scan()
        scan.order("switch the supply on")
        scan.scan()
        assert (scan.value("K5.CV"), scan.value("K1.Q"), scan.value("K1.ET")) == (2, 0, 0)


class TestRefused:
    @pytest.mark.parametrize("time", [0, -1, 11, "fast", True, float("nan")])
    def test_a_scan_time_that_is_none(self, time: object) -> None:
        with pytest.raises(LadderError, match="the scan time is more than 0 s and at most 10 s"):
            Scan(wash_pump(), scan_time=time)

    def test_an_order_that_nothing_can_follow(self) -> None:
        scan = Scan(wash_pump())
        with pytest.raises(LadderError, match="S2 is released, so nothing can let S2 go"):
            scan.order("let S2 go")
        with pytest.raises(LadderError, match="no such order here"):
            scan.order("press S9")

    def test_a_supply_of_some_per_cent(self) -> None:
        with pytest.raises(LadderError, match="a program knows a supply that is on or off"):
            Scan(wash_pump()).run("set the supply to 60 %")

    def test_an_endless_run(self) -> None:
        with pytest.raises(LadderError, match="at most 2000000 scans"):
            Scan(wash_pump(), scan_time=0.001).run("wait 10 h")

    def test_a_variable_that_is_not_there(self) -> None:
        with pytest.raises(LadderError, match=r"no variable of this name\. Given: 'Q7'\. Choices: S1, S2, F1, Q1, P1"):
            Scan(wash_pump()).value("Q7")
