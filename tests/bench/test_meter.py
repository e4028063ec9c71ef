"""The meter on the bench: it follows the circuit, refuses resistance on a live one, and knows what is proved dead."""

import pytest

from hunting import wash_pump
from rungbook import NO, Device, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Board, measure_volts, wire_up
from rungbook.behaviour.faults import open_wire
from rungbook.bench.model import BenchModel
from rungbook.bench.places import places
from rungbook.drawing.live import LiveFigure
from rungbook.proof.hunt import Leads
from rungbook.proof.hunt.search import UNPROVED


def shown(model):
    return model.state()["meter"]["shown"]


def remark(model):
    return model.state()["meter"]["remark"]


def locked_out(model):
    model.order("supply", "off")
    model.lock_out()


class TestReading:
    def test_it_follows_the_circuit_while_the_leads_stay(self):
        model = BenchModel(wash_pump())
        model.put("Q1:A1", "X2")
        assert shown(model) == "0.0 V"
        model.order("S2", "pressed", 1.0)
        assert shown(model) == "119.9 V"
        model.order("S1", "pressed", 2.0)
        assert shown(model) == "0.0 V"

    def test_it_is_the_reading_of_the_network(self):
        """The lamp is in, the coil sealed: the network of `wire_up` gives the same number."""
        model = BenchModel(wash_pump())
        model.put("S2:14", "X2")
        model.order("S2", "pressed", 1.0)
        wired = wire_up(wash_pump())
        closed = wired.closed(lambda contact: contact.kind == "NC" or contact.device in ("S2", "Q1"))
        assert shown(model) == measure_volts(wired.network, 4, 2, closed, frozenset(["Q1"])).shown

    def test_an_open_neutral_shows_full_voltage_behind_the_lamp(self):
        model = BenchModel(_no_neutral())
        model.order("S2", "pressed", 1.0)
        model.put("P1:X2", "X2")
        assert shown(model) == "119.8 V"  # some kilohm of lamp before the 10 Mohm of the meter
        model.put("P1:X1", "P1:X2")
        assert shown(model) == "0.0 V"

    def test_resistance_of_a_coil_on_a_dead_circuit(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.turn_to("ohms")
        model.put("Q1:A1", "Q1:A2")
        resistance = float(shown(model).split()[0])
        assert 50 < resistance < 5000
        model.put("S1:11", "S1:12")
        assert shown(model) == "0.0 ohm"
        model.put("S2:13", "S2:14")
        assert shown(model) == "OL"
        model.turn_to("continuity")
        model.put("S1:11", "S1:12")
        assert shown(model) == "0.0 ohm, beeps"

    @pytest.mark.parametrize("function", ["ohms", "continuity"])
    def test_resistance_on_a_live_circuit_is_refused(self, function):
        model = BenchModel(wash_pump())
        model.turn_to(function)
        model.put("S1:11", "S1:12")
        assert shown(model) == "--- live"
        assert remark(model).startswith("The circuit is live: switch the supply off and prove it dead")
        model.to_source()
        assert shown(model) == "--- live"
        assert remark(model).startswith("The source is live")

    def test_a_lead_in_the_air_or_both_on_one_terminal_read_nothing(self):
        model = BenchModel(wash_pump())
        assert shown(model) == ""
        model.put("X1", "")
        assert (shown(model), model.measured()) == ("", "")
        model.put("X1", "X1")
        assert shown(model) == ""
        model.put("X1", "X2")
        assert model.measured() == "Meter, volts, X1 – X2: 120.0 V."

    def test_timers_counters_and_a_supply_that_is_off(self):
        panel = [
            Device("S1", "two-position selector"),
            Device("K1", "timer relay", setting="on-delay 1 s"),
            Device("K2", "counter", setting="up 3"),
            Device("P1"),
        ]
        ladder = Ladder("Vat agitator", panel)
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1"), coil("K2"))
        ladder.rung(NO("K2"), lamp("P1"))
        model = BenchModel(ladder)
        model.put("wire 4 at K1", "X2")
        model.order("S1", "on", 1.0)
        model.advance(1.5)
        assert shown(model) == "0.0 V"
        model.advance(2.5)
        assert shown(model) == "119.9 V"
        model.order("supply", "off", 3.0)
        assert shown(model) == "0.0 V"

    @pytest.mark.parametrize("lead", ["S9:11", "S1:13", 7, None])
    def test_a_lead_goes_on_a_terminal_of_this_circuit(self, lead):
        model = BenchModel(wash_pump())
        model.put("X1", "X2")
        with pytest.raises(LadderError, match="Lead: no such terminal here"):
            model.put(lead, "X2")
        assert model.meter.at == ("X1", "X2")

    def test_a_meter_has_three_functions(self):
        with pytest.raises(LadderError, match=r"Meter: no such function. Given: 'amps'"):
            BenchModel(wash_pump()).turn_to("amps")


def _no_neutral():
    """The wash pump with an open wire at X2 of its lamp."""
    board = Board.of(wash_pump())
    return open_wire(board, 6, "right").apply(board)


class TestProof:
    def proof(self, model):
        return model.state()["meter"]["proof"]

    def test_source_circuit_source_with_the_lock_on_proves_it_dead(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.to_source()
        assert self.proof(model) == 1
        model.put("X1", "X2")
        assert (self.proof(model), model.meter.proved_dead) == (2, False)
        model.to_source()
        assert (self.proof(model), model.meter.proved_dead) == (3, True)
        assert model.state()["meter"]["proved"] == "The circuit is proved dead (X1 – X2)."
        model.turn_to("ohms")
        model.put("Q1:A1", "Q1:A2")
        assert remark(model) == ""

    def test_without_it_a_reading_of_resistance_has_a_remark(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.turn_to("ohms")
        model.put("Q1:A1", "Q1:A2")
        assert remark(model) == UNPROVED

    def test_other_leads_stand_for_themselves(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.to_source()
        model.put("Q1:A1", "Q1:A2")
        model.to_source()
        assert model.state()["meter"]["proved"].startswith("Proved dead: Q1:A1 – Q1:A2 alone")
        model.turn_to("ohms")
        model.put("Q1:A1", "Q1:A2")
        assert remark(model) == ""
        model.put("S1:11", "S1:12")
        assert remark(model) == UNPROVED

    def test_a_point_left_out_or_out_of_order_proves_nothing(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.put("X1", "X2")
        model.to_source()  # the circuit first: this is only the first point
        assert (self.proof(model), model.meter.proved_dead) == (1, False)
        model.put("X1", "X2")
        model.turn_to("ohms")  # between the points
        model.turn_to("volts")
        model.to_source()
        assert (self.proof(model), model.meter.proved_dead) == (1, False)

    def test_a_live_circuit_or_one_without_a_lock_is_not_proved_dead(self):
        model = BenchModel(wash_pump())
        for prepare in (lambda: None, lambda: model.order("supply", "off")):
            prepare()
            model.to_source()
            model.put("X1", "X2")
            model.to_source()
            assert model.meter.proved_dead is False

    def test_the_lock_holds_the_switch_and_the_proof_goes_with_it(self):
        model = BenchModel(wash_pump())
        with pytest.raises(LadderError, match="Lock out: switch the supply off first"):
            model.lock_out()
        locked_out(model)
        with pytest.raises(LadderError, match="the supply is locked out; take the lock off first"):
            model.order("supply", "on")
        for act in (model.to_source, lambda: model.put("X1", "X2"), model.to_source):
            act()
        assert model.meter.proved_dead is True
        model.take_lock_off()
        assert model.meter.proved_dead is False
        model.order("supply", "on")
        assert model.timeline.supply_on is True

    def test_a_fuse_is_replaced_under_the_lock(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        model.order("supply", "fuse replaced")
        assert model.locked is True

    def test_start_over_forgets_the_proof_and_keeps_the_leads(self):
        model = BenchModel(wash_pump())
        locked_out(model)
        for act in (model.to_source, lambda: model.put("X1", "X2"), model.to_source):
            act()
        model.start_over()
        assert (model.locked, model.meter.proved_dead, model.meter.at) == (False, False, ("X1", "X2"))


class TestPlaces:
    @pytest.mark.parametrize("paths", ["across", "down"])
    @pytest.mark.parametrize("symbols", ["nema", "iec"])
    def test_every_terminal_has_a_point_of_its_own(self, paths, symbols):
        figure = LiveFigure(wash_pump(), symbols, paths)
        found = places(figure, Leads(figure.board))
        assert [one["lead"] for one in found][:4] == ["X1", "X2", "S1:11", "S1:12"]
        assert len(found) == 16
        for k, one in enumerate(found):
            for other in found[k + 1 :]:
                apart = max(abs(one["x"] - other["x"]), abs(one["y"] - other["y"]))
                assert apart >= 17, (one, other)

    def test_the_points_lie_on_the_wire_of_their_terminal(self):
        figure = LiveFigure(wash_pump())
        wires = figure._plan.wires
        for one in places(figure, Leads(figure.board)):
            on = {
                wire.node
                for wire in wires
                if wire.start[0] - 0.1 <= one["x"] <= wire.end[0] + 0.1
                and wire.start[1] - 0.1 <= one["y"] <= wire.end[1] + 0.1
            }
            assert on == {one["wire"]}, one

    def test_a_board_drawn_as_wired_has_its_points_too(self):
        figure = LiveFigure(_no_neutral())
        found = places(figure, Leads(figure.board))
        assert len(found) == 16
        assert [(one["lead"], one["wire"]) for one in found][-2:] == [("P1:X1", 6), ("P1:X2", 7)]
