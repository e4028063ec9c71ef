import re
from collections import Counter

import pytest
from hypothesis import assume, given

from circuit_kits import GENEROUS
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.circuit import Contact, wire, wire_numbers, wired_items
from rungbook.kit import TRAINING_KIT, Kit, fit
from strategies import ladders


@pytest.fixture
def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"), note="running")
    return ladder


def pulled(wiring):
    return [(one.start, one.end, one.number, one.rung) for one in wiring.wires]


class TestList:
    def test_the_holding_circuit_rung_by_rung(self, pump):
        assert pulled(wire(pump, TRAINING_KIT)) == [
            ("X1", "S1:11", 1, 1),
            ("S1:12", "S2:23", 3, 1),
            ("S2:23", "Q1:13", 3, 1),
            ("S2:24", "Q1:14", 4, 1),
            ("Q1:14", "F1:95", 4, 1),
            ("F1:96", "Q1:A1", 5, 1),
            ("X2", "Q1:A2", 2, 1),
            ("S1:11", "Q1:43", 1, 2),
            ("Q1:44", "P1:X1", 6, 2),
            ("Q1:A2", "P1:X2", 2, 2),
        ]

    def test_the_common_terminal_of_a_changeover_is_wired_once(self):
        ladder = Ladder("Agitator")
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("S2") & (NO("K1") | NC("K1")), coil("Q1"))
        assert [entry[:2] for entry in pulled(wire(ladder, TRAINING_KIT)) if entry[3] == 2] == [
            ("S1:23", "S2:23"),
            ("S2:24", "K1:11"),
            ("K1:14", "K1:12"),
            ("K1:12", "Q1:A1"),
            ("K1:A2", "Q1:A2"),
        ]

    @given(ladders(plain=True))
    def test_no_terminal_has_more_than_two_wires_and_a_node_of_n_terminals_has_n_minus_1(self, ladder):
        wiring = wired_or_not(ladder)
        on = Counter(end for one in wiring.wires for end in (one.start, one.end))
        assert max(on.values()) <= 2
        terminals = {}
        for one in wiring.wires:
            terminals.setdefault(one.number, set()).update((one.start, one.end))
        assert Counter(one.number for one in wiring.wires) == {n: len(ends) - 1 for n, ends in terminals.items()}

    @given(ladders(plain=True))
    def test_numbers_and_rungs_are_those_of_the_drawing(self, ladder):
        wiring = wired_or_not(ladder)
        rungs = wire_numbers(wiring.ladder)
        assert wiring.items == wired_items(wiring.ladder)
        assert wiring.notes or [w.left for w in wiring.items] == [w.left for w in wired_items(ladder)]
        assert [one.rung for one in wiring.wires] == sorted(one.rung for one in wiring.wires)
        for one in wiring.wires:
            assert one.number in {n for w in rungs[one.rung - 1].items for n in (w.left, w.right)}


def wired_or_not(ladder):
    try:
        return wire(ladder, GENEROUS)
    except LadderError as short:
        assume("contacts of" not in short.rule)
        raise


class TestNamedLadder:
    def test_the_ladder_comes_back_with_its_terminals(self, pump):
        assert wire(pump, TRAINING_KIT).ladder.rungs[0].contacts == NC("S1", "11-12") & (
            NO("S2", "23-24") | NO("Q1", "13-14")
        ) & NC("F1", "95-96")
        assert wire(pump, TRAINING_KIT).ladder.rungs[1].loads == (lamp("P1", "green", "X1-X2"),)
        assert wire(pump, TRAINING_KIT).ladder.rungs[1].note == "running"
        assert pump.rungs[0].all_contacts()[0].terminals == ""

    @given(ladders(plain=True))
    def test_wired_again_it_gives_the_same_list(self, ladder):
        wiring = wired_or_not(ladder)
        again = wire(wiring.ladder, GENEROUS)
        assert (again.ladder, again.items, again.wires) == (wiring.ladder, wiring.items, wiring.wires)

    @given(ladders(plain=True))
    def test_no_two_contacts_stand_on_one_pair(self, ladder):
        pairs = [(w.item.device, w.item.terminals) for w in wired_or_not(ladder).items if isinstance(w.item, Contact)]
        assert len(set(pairs)) == len(pairs)


class TestShown:
    def test_as_text_it_is_a_table_of_wires(self):
        ladder = Ladder("Cellar fan")
        ladder.rung(NO("S1"), coil("Q1"))
        assert str(wire(ladder, TRAINING_KIT)) == (
            "   from   to     wire number  rung\n"
            "─  ─────  ─────  ───────────  ────\n"
            "1  X1     S1:23  1            1\n"
            "2  S1:24  Q1:A1  3            1\n"
            "3  X2     Q1:A2  2            1"
        )

    def test_as_html_the_title_is_escaped(self):
        ladder = Ladder("<b>Fan</b> & co")
        ladder.rung(NO("S1"), coil("Q1"))
        shown = wire(ladder, TRAINING_KIT)._repr_html_()
        assert ">Wire list: &lt;b&gt;Fan&lt;/b&gt; &amp; co, training kit</caption>" in shown
        assert shown.count("<tr>") == 4
        cells = re.findall(r"<td[^>]*>([^<]*)</td>", shown)
        assert ("S1:24", "Q1:A1", "3") in set(zip(cells, cells[1:], cells[2:], strict=False))


class TestRefusals:
    def test_what_is_no_ladder(self):
        with pytest.raises(LadderError, match="wires a Ladder"):
            wire("Wash pump", TRAINING_KIT)

    def test_what_is_no_kit(self, pump):
        with pytest.raises(LadderError, match="takes the devices from a Kit"):
            wire(pump, {"S1": fit("push button")})

    def test_a_kit_that_is_too_small_says_what_cures_it(self):
        ladder = Ladder("Elevator", [Device("Q1"), Device("Q2")])
        ladder.rung(NC("Q2"), coil("Q1"))
        ladder.rung(NC("Q1"), coil("Q2"))
        bare = Kit("bare", {"Q1": fit("contactor"), "Q2": fit("contactor")})
        with pytest.raises(LadderError) as found:
            wire(ladder, bare)
        assert found.value.rule == ("needs one NC contact of Q2; the kit has none; fit an auxiliary block 2 NO + 2 NC")
