"""The bench without a browser: orders and times in, literal states, traces and words out."""

import re

import pytest

from playing import play
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, run
from rungbook.behaviour import MICRO, Board, Drive, Timeline
from rungbook.behaviour.faults import wire_to_ground
from rungbook.behaviour.motor import Motor
from rungbook.behaviour.overload import Overload
from rungbook.bench.model import BenchModel
from rungbook.circuit.power import direct, reversing


def pump(*more, overload="1 A class 10 manual with test"):
    panel = [Device("S1"), Device("S2"), Device("F1", setting=overload), Device("Q1"), *more]
    ladder = Ladder("Wash pump", panel)
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    return ladder


def vat():
    panel = [Device("S1", "two-position selector"), Device("K1", "timer relay", setting="on-delay 4 s"), Device("P1")]
    ladder = Ladder("Vat agitator", panel)
    ladder.rung(NO("S1"), coil("K1"))
    ladder.rung(NO("K1"), lamp("P1"))
    return ladder


def rows(model):
    model.traces.read()
    return [(time, words) for _, time, words in model.traces.shown()["rows"]]


class TestOrders:
    def test_one_answer_shows_what_the_contactor_did(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        state = model.state()
        assert (state["positions"]["S2"], state["positions"]["Q1"], state["now"]) == ("pressed", "in", 1.03)
        model.order("S2", "released", 1.5)
        assert model.state()["positions"]["Q1"] == "in"
        model.order("S1", "pressed", 2.0)
        assert model.state()["positions"]["Q1"] == "out"
        assert rows(model) == [
            (1.0, "S2 pressed"),
            (1.02, "Q1 in"),
            (1.5, "S2 released"),
            (2.0, "S1 pressed"),
            (2.006, "Q1 out"),
        ]

    def test_what_comes_late_counts_from_when_the_hand_did_it(self):
        model = BenchModel(vat())
        model.order("S1", "on", 3.0)
        model.advance(3.05)
        model.advance(9.0)
        assert rows(model)[1:] == [(7.004, "K1 in"), (7.004, "P1 lit")]  # the switch needs 4 ms

    def test_an_order_within_the_time_run_ahead_is_done_at_its_end(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        model.order("S2", "released", 1.01)
        assert [(instant, step.order) for instant, step in model.orders] == [
            (1_000_000, "press S2"),
            (1_030_000, "let S2 go"),
        ]

    def test_twenty_quick_taps_are_twenty_taps(self):
        model = BenchModel(pump())
        for k in range(20):
            model.order("S2", "pressed", 1 + k * 0.08)
            model.order("S2", "released", 1.04 + k * 0.08)
        assert sum(words == "S2 pressed" for _, words in rows(model)) == 20
        assert sum(words == "S2 released" for _, words in rows(model)) == 20

    def test_a_wish_that_is_fulfilled_already_does_nothing(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        model.order("S2", "pressed", 2.0)
        assert model.script == "at 1.000000 s press S2"

    def test_from_left_to_right_a_selector_passes_through_off(self):
        ladder = Ladder("Mode", [Device("S1", "three-position selector"), Device("P1")])
        ladder.rung(NO("S1", "13-14"), lamp("P1"))
        model = BenchModel(ladder)
        model.order("S1", "left", 1.0)
        assert model.state()["positions"]["P1"] == "lit"
        model.order("S1", "right", 2.0)
        assert model.script.split(", ")[1:] == ["at 2.000000 s turn S1 back from left", "at 2.000000 s turn S1 right"]
        assert model.state()["positions"]["P1"] == "dark"

    def test_all_hands_off_lets_go_what_springs_back_and_nothing_else(self):
        ladder = pump(Device("S3", "emergency stop"))
        model = BenchModel(ladder)
        model.order("S1", "pressed", 1.0)
        model.order("S2", "pressed", 1.1)
        model.order("S3", "latched", 1.2)
        model.let_go()
        places = model.state()["positions"]
        assert (places["S1"], places["S2"], places["S3"]) == ("released", "released", "latched")

    def test_without_supply_nothing_comes_in(self):
        model = BenchModel(pump())
        model.order("supply", "off", 1.0)
        model.order("S2", "pressed", 2.0)
        state = model.state()
        assert (state["positions"]["supply"], state["positions"]["Q1"]) == ("off", "out")
        model.order("supply", "on", 3.0)
        assert model.state()["positions"]["Q1"] == "in"


class TestTime:
    def test_paused_time_stands_still_and_orders_are_done_now(self):
        model = BenchModel(pump())
        model.advance(2.0)
        model.pause()
        model.advance(5.0)
        model.order("S2", "pressed", 9.0)
        state = model.state()
        assert (state["now"], state["running"], state["positions"]["Q1"]) == (2.0, False, "out")
        model.go_on()
        model.advance(3.0)
        assert model.state()["positions"]["Q1"] == "in"

    def test_a_step_goes_from_event_to_event(self):
        model = BenchModel(pump())
        model.pause()
        model.order("S2", "pressed")
        seen = []
        while model.step():
            seen.append((model.now, model.state()["positions"]["Q1"], model.timeline.closed))
        # S1 and F1 are closed; S2 closes after its travel, Q1 comes in and closes its holding contact
        assert seen == [(0.004, "out", 0b1011), (0.020, "in", 0b1111)]
        assert not model.step()

    def test_neither_rest_nor_a_timer_asks_for_looks_between_events(self):
        model = BenchModel(vat())
        assert (model.state()["live"], model.state()["next"]) == (0.0, None)
        model.order("S1", "on", 1.0)
        model.advance(2.004)  # the switch needs 4 ms
        state = model.state()
        assert (state["live"], state["next"]) == (0.0, 5.004)
        gauge = {"share": 0.25, "words": "3.0 s of 4 s left", "until": 5.004, "span": 4.0, "tail": " s of 4 s left"}
        assert state["gauges"]["K1"] == gauge
        model.advance(5.5)
        assert (model.state()["live"], model.state()["next"]) == (0.0, None)
        assert model.state()["gauges"]["K1"] == {"share": 1.0, "words": "on-delay 4 s"}

    def test_what_a_state_says_in_words_is_true_until_the_next_event(self):
        model = BenchModel(vat())
        model.order("S1", "on", 1.0)
        seen = []
        for at in (2.0, 4.9):
            model.advance(at)
            state = model.state()
            seen.append((state["texts"], state["words"], round(state["gauges"]["K1"]["until"], 6)))
        assert seen[0] == seen[1]
        assert seen[0][0]["t1"] == "After: turn S1 on. K1 changes at 5.004 s."
        assert "K1 changes at 5.004 s" in seen[0][1]

    def test_a_look_shows_what_follows_upon_an_event_and_goes_no_further(self):
        panel = [Device("S1", "two-position selector"), Device("K1", "timer relay", setting="on-delay 1 s")]
        chain = Ladder("Chain", [*panel, *map(Device, ("K2", "K3", "K4"))])
        chain.rung(NO("S1"), coil("K1"))
        for before, tag in zip(["K1", "K2", "K3"], ["K2", "K3", "K4"], strict=True):
            chain.rung(NO(before), coil(tag))
        model = BenchModel(chain)
        model.order("S1", "on", 1.0)
        model.look(1.9)
        assert (model.now, model.state()["positions"]["K1"]) == (1.9, "out")  # K1 runs out at 2.004 s
        model.look(2.010)
        positions = model.state()["positions"]
        assert [positions[tag] for tag in ("K1", "K2", "K3", "K4")] == ["in"] * 4
        assert round(model.now, 4) == 2.0466  # three contactors, one after the other
        assert model.state()["next"] is None

    def test_start_over_puts_all_at_rest_at_time_0(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        model.start_over()
        state = model.state()
        assert (state["epoch"], state["now"], state["positions"]["S2"], state["positions"]["Q1"]) == (
            1,
            0.0,
            "released",
            "out",
        )
        assert (model.script, rows(model)) == ("", [])

    def test_restored_after_an_interrupt_it_stands_where_it_stood(self, monkeypatch):
        model = BenchModel(vat())
        model.order("S1", "on", 1.0)
        model.advance(3.0)
        before = model.state()

        def interrupted(until):
            model.timeline.now = 999
            raise KeyboardInterrupt

        monkeypatch.setattr(model.timeline, "advance", interrupted)
        with pytest.raises(KeyboardInterrupt):
            model.order("S1", "off", 4.0)
        model.restore()
        assert model.state() == before
        model.advance(6.0)
        assert model.state()["positions"]["P1"] == "lit"


class TestScript:
    def test_run_does_the_same_again(self):
        ladder = pump(Device("P1"))
        ladder.rung(NO("Q1"), lamp("P1"))
        drives = {"M1": Drive(Motor(), 1.0, "F1", 1.0, Overload("10"))}
        model = BenchModel(ladder, direct(overload="F1"), drives)
        model.order("S2", "pressed", 1.234567)
        model.order("S2", "released", 1.3)
        model.order("F1", "tripped", 4.0)
        model.order("F1", "set", 5.0)
        model.advance(9.0)
        from rungbook.behaviour import Plant

        trace = run(ladder, f"{model.script}, wait 3 s", Plant(direct(overload="F1"), drives))
        mine = [(c.time / MICRO, c.device, c.state) for c in model.timeline.changes]
        assert [change for change in trace.changes if change[0] <= 8] == [change for change in mine if change[0] <= 8]
        assert ("F1", "tripped") in [(device, word) for _, device, word in mine]


class TestMotor:
    def test_shows_direction_and_speed(self):
        panel = [Device(tag) for tag in ("S1", "S2", "S3", "Q1", "Q2")]
        ladder = Ladder("Apple elevator", panel)
        ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1"))
        ladder.rung(NC("S1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2"))
        model = BenchModel(ladder, reversing())
        assert model.state()["motors"] == {"M1": {"word": "standing", "speed": 0.0}}
        model.order("S3", "pressed", 1.0)
        model.advance(1.2)
        state = model.state()
        assert state["live"] == 0.1
        assert -0.5 < state["motors"]["M1"]["speed"] < -0.05
        model.advance(9.0)
        assert model.state()["motors"]["M1"]["word"] == "running backwards"

    def test_the_power_circuit_is_shown_live_beside_the_ladder(self):
        model = BenchModel(pump(), direct(overload="F1"))
        before = model.state()
        assert before["texts"]["m-t1"] == "M1: no phase on U1 V1 W1: stands still."
        model.order("S2", "pressed", 1.0)
        after = model.state()
        assert after["texts"]["m-t1"] == "M1: L1 L2 L3 on U1 V1 W1: runs forwards."
        assert after["words"].endswith("\nM1: L1 L2 L3 on U1 V1 W1: runs forwards.")
        assert set(after["classes"]) == set(re.findall(r'data-live="([^t"]\S*?)"', "".join(model.svg))) - set(
            after["texts"]
        )
        assert [picture.description.splitlines()[0].split(":")[0] for picture in model.pictures()] == [
            "Ladder diagram 'Wash pump'",
            "Power circuit",
        ]

    def test_a_hot_relay_refuses_its_reset_and_says_so(self):
        drives = {"M1": Drive(Motor(load=2.0), 1.0, "F1", 1.0, Overload("10"))}
        model = BenchModel(pump(), direct(overload="F1"), drives)
        model.order("S2", "pressed", 1.0)
        model.advance(300.0)
        assert model.state()["positions"]["F1"] == "tripped"
        model.traces.news()
        model.order("S2", "released", 300.0)
        instant = next(c.time for c in model.timeline.changes if c.state == "tripped") / MICRO
        hot = BenchModel(pump(), direct(overload="F1"), drives)
        hot.order("S2", "pressed", 1.0)
        hot.order("F1", "set", instant + 0.1)
        state = hot.state()
        assert state["positions"]["F1"] == "tripped"
        assert "F1 is still too hot to be reset" in hot.traces.news()


class TestRefusals:
    def test_a_device_that_is_not_there_is_told_with_those_that_are(self):
        with pytest.raises(LadderError, match=r"no such device to operate\. Given: 'S9'\. Choices: S1, S2, F1, supply"):
            BenchModel(pump()).order("S9", "pressed", 1.0)

    def test_a_position_that_it_has_not_is_told_with_those_it_has(self):
        with pytest.raises(
            LadderError, match=r"S1: no such position that a hand can reach\. Given: 'up'\. Choices: press"
        ):
            BenchModel(pump()).order("S1", "up", 1.0)

    @pytest.mark.parametrize("at", [-1, "soon", True, 30 * 24 * 3600 + 1, float("nan")])
    def test_a_time_that_is_none_is_refused_and_nothing_done(self, at):
        model = BenchModel(pump())
        with pytest.raises(LadderError, match="a time is a number of seconds, from 0 to thirty days"):
            model.order("S2", "pressed", at)
        assert (model.script, model.now) == ("", 0.0)

    def test_what_is_no_circuit_is_refused(self):
        with pytest.raises(LadderError, match=r"works on a Ladder, or a Board of wired items\. Given: 'pump'"):
            BenchModel("pump")

    def test_drives_need_a_power_circuit(self):
        with pytest.raises(LadderError, match="drives are those of a power circuit; none is given"):
            BenchModel(pump(), drives={"M1": Drive()})


class TestBoard:
    def test_a_faulty_board_is_handled_like_a_sound_one(self):
        sound = Board.of(pump(), pump().declared)
        faulty = Board(sound.title, sound.items, sound.devices, held={1: False})  # S2 never closes
        model = BenchModel(faulty)
        model.order("S2", "pressed", 1.0)
        assert (model.state()["positions"]["S2"], model.state()["positions"]["Q1"]) == ("pressed", "out")


class TestControlFuse:
    @pytest.fixture(name="shorted")
    def _shorted(self):
        """S2 pressed shorts the supply: the wire behind it touches ground."""
        model = BenchModel(
            wire_to_ground(Board.of(pump(), pump().declared), 4).apply(Board.of(pump(), pump().declared))
        )
        model.order("S2", "pressed", 1.0)
        model.order("S2", "released", 2.0)
        return model

    def test_blown_it_is_shown_beside_the_switch_and_replaced_by_hand(self, shorted):
        assert (shorted.state()["positions"]["supply"], shorted.state()["fuse"]) == ("on, fuse blown", False)
        shorted.order("supply", "off", 3.0)
        assert shorted.state()["positions"]["supply"] == "off, fuse blown"
        shorted.order("supply", "fuse replaced", 4.0)
        assert (shorted.state()["positions"]["supply"], shorted.state()["fuse"]) == ("off", True)
        shorted.order("supply", "on", 5.0)
        shorted.order("S2", "pressed", 6.0)
        assert [row for row in rows(shorted) if "fuse" in row[1]] == [
            (1.005206, "supply fuse blown"),  # 4 ms of travel, then the fuse
            (4.0, "supply fuse replaced"),
            (6.005206, "supply fuse blown"),  # the new one was cold
        ]

    def test_with_the_supply_on_it_is_refused(self, shorted):
        before = shorted.script
        with pytest.raises(LadderError, match=r"its fuse is replaced with the supply off only\. Given: 'on'"):
            shorted.order("supply", "fuse replaced", 3.0)
        assert (shorted.script, shorted.timeline.fuse_whole) == (before, False)

    def test_a_whole_one_stays(self):
        model = BenchModel(pump())
        model.order("supply", "off", 1.0)
        model.order("supply", "fuse replaced", 2.0)
        assert model.script == "at 1.000000 s switch the supply off"

    def test_it_is_replaced_in_a_script_too(self, shorted):
        shorted.order("supply", "off", 3.0)
        shorted.order("supply", "fuse replaced", 4.0)
        assert shorted.script.endswith(", at 4.000000 s replace the fuse of the supply")
        again = play(Timeline(shorted.circuit), shorted.script)
        assert [change for change in again.changes if change.time <= 4_000_000] == shorted.timeline.changes

    def test_after_an_interrupt_it_is_as_it_was(self, shorted):
        shorted.order("supply", "off", 3.0)
        shorted.order("supply", "fuse replaced", 4.0)
        shorted.restore()
        assert shorted.state()["positions"]["supply"] == "off"


class TestTraces:
    def test_lanes_hold_the_last_half_minute_and_where_all_stood_before_it(self):
        model = BenchModel(vat())
        model.order("S1", "on", 1.0)
        model.order("S1", "off", 2.0)
        model.order("S1", "on", 40.0)
        model.advance(60.0)
        model.traces.read()
        lanes = {tag: [tuple(one) for one in lane] for tag, lane in model.traces.shown()["lanes"]}
        assert lanes["S1"] == [(2.0, 0.0, "off"), (40.0, 1.0, "on")]
        assert lanes["P1"] == [(0.0, 0.0, "dark"), (44.004, 1.0, "lit")]
        assert lanes["supply"] == [(0.0, 1.0, "on")]

    def test_news_are_told_once(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        model.state()
        assert model.traces.news() == ("S2 pressed", "Q1 in")
        assert model.traces.news() == ()
        assert model.traces.count == 2

    def test_chatter_is_told_in_words(self):
        ladder = Ladder("Buzzer", [Device("S1"), Device("K1")])
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        model = BenchModel(ladder)
        model.order("S1", "pressed", 1.0)
        model.advance(3.0)
        assert any(words.startswith("K1 chatters") for _, words in rows(model))


class TestPicture:
    def test_it_is_of_the_last_state(self):
        model = BenchModel(pump())
        model.order("S2", "pressed", 1.0)
        (picture,) = model.pictures()
        assert "Live after 'press S2': control supply on" in picture.description
        assert 'class="symbol carries' in picture.svg
