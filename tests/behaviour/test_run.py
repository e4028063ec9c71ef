import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, run


@pytest.fixture
def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"))
    return ladder


def rows(trace, *tags):
    return [(moment.order, *(moment.positions[tag] for tag in tags)) for moment in trace.moments]


class TestHoldingCircuit:
    def test_on_held_off(self, pump):
        assert rows(run(pump, "press S2, let S2 go, press S1, let S1 go"), "S1", "S2", "Q1", "P1") == [
            ("", "released", "released", "out", "dark"),
            ("press S2", "released", "pressed", "in", "lit"),
            ("let S2 go", "released", "released", "in", "lit"),
            ("press S1", "pressed", "released", "out", "dark"),
            ("let S1 go", "released", "released", "out", "dark"),
        ]

    def test_start_and_stop_together_is_off_until_stop_is_let_go(self, pump):
        assert rows(run(pump, "press S1, press S2, let S1 go, let S2 go"), "Q1") == [
            ("", "out"),
            ("press S1", "out"),
            ("press S2", "out"),
            ("let S1 go", "in"),
            ("let S2 go", "in"),
        ]

    def test_a_trip_stops_it_and_the_reset_does_not_start_it(self, pump):
        assert rows(run(pump, "press S2, let S2 go, trip F1, reset F1"), "F1", "Q1") == [
            ("", "set", "out"),
            ("press S2", "set", "in"),
            ("let S2 go", "set", "in"),
            ("trip F1", "tripped", "out"),
            ("reset F1", "set", "out"),
        ]

    def test_a_return_of_power_does_not_start_it(self, pump):
        trace = run(pump, "press S2, let S2 go, switch the supply off, switch the supply on")
        assert rows(trace, "Q1", "P1")[2:] == [
            ("let S2 go", "in", "lit"),
            ("switch the supply off", "out", "dark"),
            ("switch the supply on", "out", "dark"),
        ]


class TestMaintainedContact:
    def test_a_return_of_power_starts_it_by_itself(self):
        ladder = Ladder("Cellar fan", [Device("S1", "two-position selector"), Device("Q1")])
        ladder.rung(NO("S1"), coil("Q1"))
        assert rows(run(ladder, "turn S1 on, switch the supply off, switch the supply on"), "S1", "Q1") == [
            ("", "off", "out"),
            ("turn S1 on", "on", "in"),
            ("switch the supply off", "on", "out"),
            ("switch the supply on", "on", "in"),
        ]


class TestRaceAndChatter:
    def test_a_race_is_told_and_the_first_outcome_followed(self):
        ladder = Ladder("Apple elevator")
        ladder.rung(NO("S1") & NC("K2"), coil("K1"))
        ladder.rung(NO("S1") & NC("K1"), coil("K2"))
        trace = run(ladder, "press S1, let S1 go")
        assert [(m.order, m.positions["K1"], m.positions["K2"], m.note) for m in trace.moments] == [
            ("", "out", "out", ""),
            ("press S1", "in", "out", "a race: the outcome depends on which relay is quicker"),
            ("let S1 go", "out", "out", ""),
        ]

    def test_chatter_is_told_with_its_cycle_and_ends_when_the_button_is_let_go(self):
        ladder = Ladder("Mill")
        ladder.rung(NO("S1") & NC("K1"), coil("K1"))
        ladder.rung(NO("K1"), lamp("P1"))
        trace = run(ladder, "press S1, let S1 go, press S1")
        told = "K1 chatters: the way to the coil opens and closes again every 21 ms"
        assert [(m.order, m.positions["K1"], m.positions["P1"], m.note) for m in trace.moments] == [
            ("", "out", "dark", ""),
            ("press S1", "chatters", "dark", told),
            ("let S1 go", "out", "dark", ""),
            ("press S1", "chatters", "dark", told),
        ]

    def test_chatter_at_rest_ends_when_another_way_holds_the_coil(self):
        ladder = Ladder()
        ladder.rung(NC("K1") | NO("S1"), coil("K1"))
        assert rows(run(ladder, "press S1"), "K1") == [("", "chatters"), ("press S1", "in")]

    def test_where_only_some_order_of_relays_chatters_the_note_says_may(self):
        ladder = Ladder()
        ladder.rung(NO("K1") | NO("S1") & NC("K2"), coil("K1"))  # if quicker: holds, and nothing else moves
        ladder.rung(NO("K2") | NO("S1") & NC("K1"), coil("K2"))  # if quicker: holds, and K3 never rests
        ladder.rung(NO("K2") & NC("K3"), coil("K3"))
        trace = run(ladder, "press S1")
        assert trace[1].note == "may chatter, by which relay is quicker"
        assert trace[1].positions["K1"] == "in"


class TestOrders:
    def test_an_order_that_is_impossible_says_where_the_device_is(self, pump):
        with pytest.raises(LadderError) as found:
            run(pump, "press S2, press S2")
        assert str(found.value) == (
            "Script: order 2 is impossible: S2 is pressed at that moment. Given: 'press S2'. Choices: let S2 go."
        )

    def test_what_is_no_ladder_is_refused(self):
        with pytest.raises(LadderError, match="run: works on a Ladder"):
            run("press S1", "press S1")

    def test_a_script_that_is_no_script_is_refused(self, pump):
        with pytest.raises(LadderError, match="Script: orders are text"):
            run(pump, None)

    def test_a_ladder_that_is_not_valid_is_refused(self):
        with pytest.raises(LadderError, match="has no rungs yet"):
            run(Ladder(), "")


class TestShowing:
    def test_as_text(self, pump):
        lines = [line for line in str(run(pump, "press S2")).splitlines() if "─" not in line]
        assert lines == [
            "   order      S1        S2        Q1   F1   P1",
            "0  (at rest)  released  released  out  set  dark",
            "1  press S2   released  pressed   in   set  lit",
        ]

    def test_as_html_what_changed_is_bold_and_nothing_else(self, pump):
        html = run(pump, "press S2")._repr_html_()
        assert [piece.split("</b>")[0] for piece in html.split("<b>")[1:]] == ["pressed", "in", "lit"]
        assert "Wash pump: what each order does" in html

    def test_a_title_is_escaped(self):
        ladder = Ladder("<script>alert(1)</script> & co")
        ladder.rung(NC("S1"), coil("Q1"))
        html = run(ladder, "")._repr_html_()
        assert "<script" not in html
        assert "&lt;script&gt;alert(1)&lt;/script&gt; &amp; co" in html


class TestTime:
    def test_a_timed_script_shows_the_times_of_its_orders(self, pump):
        lines = str(run(pump, "at 2.5 s press S2, wait 500 ms, let S2 go")).splitlines()
        assert lines[0] == "   time   order      S1        S2        Q1   F1   P1"
        assert [line.split("  ")[1].strip() for line in lines[2:]] == ["0 s", "2.5 s", "3 s"]

    def test_changes_are_the_trace_with_exact_times(self, pump):
        assert run(pump, "press S2, let S2 go, press S1").changes == (
            (1.0, "S2", "pressed"),
            (1.02, "Q1", "in"),
            (1.02, "P1", "lit"),
            (2.0, "S2", "released"),
            (3.0, "S1", "pressed"),
            (3.006, "Q1", "out"),
            (3.006, "P1", "dark"),
        )

    def test_the_same_script_gives_the_same_trace(self, pump):
        script = "press S2, let S2 go, trip F1, reset F1, press S2, set the supply to 40 %"
        assert run(pump, script) == run(pump, script)

    def test_a_sag_below_the_drop_out_voltage_stops_it_and_the_return_does_not_start_it(self, pump):
        script = "press S2, let S2 go, set the supply to 60 %, set the supply to 40 %, set the supply to 100 %"
        assert rows(run(pump, script), "Q1")[3:] == [
            ("set the supply to 60 %", "in"),
            ("set the supply to 40 %", "out"),
            ("set the supply to 100 %", "out"),
        ]
