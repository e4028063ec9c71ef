"""Structured text: what is written, literally; and that an independent grammar reads it."""

from pathlib import Path

import pytest
from lark import Lark, Token, Tree

from exchange.mill import everything, wash_pump
from exchange.samples import at_random, of_labs, of_the_trade
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.exchange import structured_text

GRAMMAR = Lark((Path(__file__).parent / "structured_text.lark").read_text(encoding="utf-8"), parser="lalr")


def statements(text: str) -> list[str]:
    body = text.partition("PROGRAM CONTROL")[2].rpartition("END_VAR\n")[2].partition("END_PROGRAM")[0]
    return [line.strip() for line in body.splitlines() if not line.strip().startswith("(*")]


class TestWhatIsWritten:
    def test_the_wash_pump_is_this_text(self) -> None:
        assert structured_text(wash_pump()) == (
            "(* Ladder: Wash pump *)\n"
            "(* For study. Emergency stops, overload relays and interlocking contacts of contactors act by wire, in "
            "the circuit of the coils, whatever a program does. *)\n"
            "(* De-energise, lock out and verify absence of voltage before wiring; qualified supervision; local codes "
            "decide. *)\n"
            "PROGRAM CONTROL\n"
            "VAR\n"
            "    S1 AT %IX0.0 : BOOL := TRUE; "
            "(* push button; NC contact wired: 1 while released, 0 while pressed *)\n"
            "    S2 AT %IX0.1 : BOOL := FALSE; "
            "(* push button; NO contact wired: 0 while released, 1 while pressed *)\n"
            "    F1 AT %IX0.2 : BOOL := TRUE; (* overload relay; NC contact wired: 1 while set, 0 while tripped *)\n"
            "    Q1 AT %QX0.0 : BOOL; (* contactor *)\n"
            "    P1 AT %QX0.1 : BOOL; (* pilot lamp *)\n"
            "END_VAR\n"
            "    (* Rung 1: start and stop *)\n"
            "    Q1 := S1 AND (S2 OR Q1) AND F1;\n"
            "    (* Rung 2 *)\n"
            "    (* Lens: P1 green *)\n"
            "    P1 := Q1;\n"
            "END_PROGRAM\n"
        )

    def test_a_nc_stop_button_is_read_as_it_is_for_it_reads_1_at_rest(self) -> None:
        assert statements(structured_text(wash_pump()))[0] == "Q1 := S1 AND (S2 OR Q1) AND F1;"

    def test_a_stop_button_wired_as_make_contact_is_negated(self) -> None:
        text = structured_text(wash_pump(), {"S1": "NO"})
        assert statements(text)[0] == "Q1 := NOT S1 AND (S2 OR Q1) AND F1;"
        assert "S1 AT %IX0.0 : BOOL := FALSE; (* push button; NO contact wired: 0 while released" in text

    def test_loads_side_by_side_get_one_and_the_same_value(self) -> None:
        ladder = Ladder()
        ladder.rung(NO("S1") & NC("Q1"), coil("Q1"), lamp("P1"))
        assert statements(structured_text(ladder)) == ["RUNG1 := S1 AND NOT Q1;", "Q1 := RUNG1;", "P1 := RUNG1;"]

    def test_a_timer_is_a_block_with_a_variable_for_its_coil(self) -> None:
        ladder = Ladder("", [Device("S1"), Device("K1", "timer relay", setting="on-delay 90 s"), Device("Q1")])
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("K1") | NC("K1", "21-22"), coil("Q1"))
        assert statements(structured_text(ladder)) == [
            "K1_IN := S1;",
            "K1(IN := K1_IN, PT := T#1m30s);",
            "Q1 := K1.Q OR NOT K1_IN;",
        ]
        assert "    K1 : TON; (* timer relay *)" in structured_text(ladder)

    def test_a_block_is_called_when_all_its_inputs_are_known(self) -> None:
        found = statements(structured_text(everything()))
        at = [n for n, line in enumerate(found) if line.startswith(("K17", "K23"))]
        assert [found[n].partition(" ")[0] for n in at] == [
            "K17_IN",
            "K17_R",
            "K17(IN",
            "K23_CU",
            "K23_CD",
            "K23_R",
            "K23(CU",
        ]

    def test_a_counter_is_retained_and_nothing_else(self) -> None:
        text = structured_text(everything())
        kept = text.partition("VAR RETAIN\n")[2].partition("END_VAR")[0]
        assert [line.split()[0] for line in kept.splitlines()] == ["K21", "K22", "K23"]

    def test_the_ninth_input_is_in_the_next_byte(self) -> None:
        ladder = Ladder()
        ladder.rung(
            NO("S1") & NO("S2") & NO("S3") & NO("S4") & NO("S5") & NO("S6") & NO("S7") & NO("S8") & NO("S9"), coil("Q1")
        )
        assert "S8 AT %IX0.7" in structured_text(ladder)
        assert "S9 AT %IX1.0" in structured_text(ladder)

    def test_a_selector_with_a_chart_has_an_input_for_each_contact(self) -> None:
        text = structured_text(everything())
        assert "S3_13_14 AT %IX0.6 : BOOL := FALSE; (* three-position selector " in text
        assert "NO contact 13-14 wired: 0 while off or right, 1 while left *)" in text

    def test_of_both_contacts_the_nc_one_of_an_emergency_stop_is_wired(self) -> None:
        assert "S1 AT %IX0.0 : BOOL := TRUE; (* emergency stop" in structured_text(everything())

    def test_a_plate_cannot_end_its_comment(self) -> None:
        text = structured_text(everything())
        assert 'Device S1: emergency stop, red, plate "all $22off$22 ($2A now $2A)"' in text


def named(tree: Tree, what: str) -> list[Tree]:
    return list(tree.find_data(what))


class TestAnIndependentGrammar:
    @pytest.mark.parametrize("many", [of_labs, of_the_trade, at_random])
    def test_reads_every_text(self, many: object) -> None:
        for ladder in many():
            tree = GRAMMAR.parse(structured_text(ladder))
            assert len(named(tree, "program")) == 1
            loads = [load for rung in ladder.rungs for load in rung.loads]
            (program,) = named(tree, "program")
            targets = [str(one.children[0].children[0].children[0]) for one in named(program, "assignment")]
            assert sum(not target.startswith("RUNG") for target in targets) == len(loads)

    def test_finds_the_contacts_of_a_rung_in_their_order(self) -> None:
        tree = GRAMMAR.parse(structured_text(wash_pump()))
        (first, _) = sorted(named(tree, "assignment"), key=lambda one: next(one.scan_values(bool)).line)
        names = [str(name) for name in first.scan_values(lambda value: isinstance(value, Token))]
        assert names == ["Q1", "S1", "S2", "Q1", "F1"]

    def test_refuses_what_is_no_structured_text(self) -> None:
        from lark.exceptions import LarkError

        for wrong in ("PROGRAM X Q1 := S1 AND; END_PROGRAM", "PROGRAM X Q1 = S1; END_PROGRAM", "PROGRAM X END_VAR"):
            with pytest.raises(LarkError):
                GRAMMAR.parse(wrong)


class TestRefused:
    def test_what_is_no_ladder(self) -> None:
        with pytest.raises(LadderError, match=r"exchange: writes a Ladder\. Given: 'Q1'"):
            structured_text("Q1")

    def test_an_empty_ladder(self) -> None:
        with pytest.raises(LadderError, match="has no rungs yet"):
            structured_text(Ladder("Mill"))

    def test_a_timer_without_a_time(self) -> None:
        ladder = Ladder("", [Device("S1"), Device("K1", "timer relay")])
        ladder.rung(NO("S1"), coil("K1"))
        with pytest.raises(LadderError, match="Device K1: a timer relay needs its function and time"):
            structured_text(ladder)

    def test_a_soft_starter(self) -> None:
        ladder = Ladder("", [Device("S1"), Device("Q1", "soft starter")])
        ladder.rung(NO("S1"), coil("Q1"))
        with pytest.raises(LadderError, match="Device Q1: a soft starter works by a program of its own"):
            structured_text(ladder)

    def test_both_contacts_of_a_fuse(self) -> None:
        ladder = Ladder("", [Device("F2", "fuse"), Device("Q1"), Device("P1")])
        ladder.rung(NC("F2"), coil("Q1"))
        ladder.rung(NO("F2"), lamp("P1"))
        with pytest.raises(LadderError, match="Device F2: its NO and its NC contact are not each other's opposite"):
            structured_text(ladder)

    @pytest.mark.parametrize(
        ("wired", "told"),
        [({"S7": "NC"}, "wired: names a device with contacts on an input"), ({"S1": "nc"}, "wired, S1: the contact")],
    )
    def test_a_wiring_that_cannot_be(self, wired: dict[str, str], told: str) -> None:
        with pytest.raises(LadderError, match=told):
            structured_text(wash_pump(), wired)
