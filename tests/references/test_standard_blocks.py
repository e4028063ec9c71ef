"""The blocks of IEC 61131-3 (ed. 3, Tables 43 to 46) in written programs, run scan by scan: all values from memory.

Each program is text, read and run as what `structured_text` writes is; the block functions themselves are tried in
tests/exchange/test_blocks.py. The last two checks are of IEC 61131-10 (names from memory) and of the order of a scan.
"""

from xml.etree import ElementTree

import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil
from rungbook.exchange import Scan, ladder_xml, read_ladder_xml
from rungbook.exchange.machine import Machine
from rungbook.exchange.parser import parse

SCAN = 10_000  # [us]
TYPE = "{http://www.w3.org/2001/XMLSchema-instance}type"


class Program:
    """One block in a program, its inputs variables of the same names."""

    def __init__(self, kind: str, inputs: str, preset: str = "") -> None:
        names = inputs.split()
        arguments = ", ".join([*(f"{name} := {name}" for name in names), *([preset] if preset else [])])
        head = " ".join(f"{name} : BOOL;" for name in names)
        number = "N : INT;" if "N" in preset.split() else ""
        self.machine = Machine(parse(f"PROGRAM X VAR {head} {number} B : {kind}; END_VAR B({arguments}); END_PROGRAM"))

    def scan(self, **inputs: int) -> None:
        self.machine.values.update(inputs)
        self.machine.scan(SCAN)

    def __getitem__(self, output: str) -> int:
        return self.machine.values[f"B.{output}"]

    def over(self, output: str, **levels: str) -> list[int]:
        """`output` in each scan, the inputs being the next digits of `levels`."""
        found = []
        for row in zip(*levels.values(), strict=True):
            self.scan(**{name: int(level) for name, level in zip(levels, row, strict=True)})
            found.append(self[output])
        return found


class TestBistable:
    def test_sr_set_wins_and_it_begins_at_0(self):  # 9.1, from memory
        assert Program("SR", "S1 R").over("Q1", S1="0100101", R="0001011") == [0, 1, 1, 0, 1, 0, 1]

    def test_rs_reset_wins_and_it_begins_at_0(self):  # 9.2, from memory
        assert Program("RS", "S R1").over("Q1", S="0100101", R1="0001011") == [0, 1, 1, 0, 1, 0, 0]


def test_true_at_the_first_call_after_a_cold_start_is_an_edge_for_one_call():  # 9.3, from memory
    program = Program("R_TRIG", "CLK")
    assert program.over("Q", CLK="1101") == [1, 0, 0, 1]
    program.machine.restart()
    assert program.over("Q", CLK="11") == [1, 0]


class TestCounters:
    def test_ctu_counts_edges_and_an_edge_under_reset_is_lost(self):  # 9.5, from memory
        program = Program("CTU", "CU R", "PV := 3")
        counted = program.over("CV", CU="011010110100110", R="000000000011110")
        assert counted == [0, 1, 1, 1, 2, 2, 3, 3, 3, 4, 0, 0, 0, 0, 0]
        assert program.over("CV", CU="11", R="10") == [0, 0]  # released with CU high: no count

    def test_ctu_is_on_while_the_count_is_at_least_the_preset(self):  # 9.5, from memory
        assert Program("CTU", "CU R", "PV := 3").over("Q", CU="0101010101", R="0000000001") == [0] * 5 + [1] * 4 + [0]

    def test_ctu_stays_at_its_top_and_never_wraps(self):  # 9.7, from memory; the top of INT is ours to define
        program = Program("CTU", "CU R", "PV := 3")
        program.machine.values["B.CV"] = 32766
        assert program.over("CV", CU="010101", R="000000") == [32766, 32767, 32767, 32767, 32767, 32767]
        assert program["Q"] == 1

    def test_ctd_keeps_its_value_when_the_preset_changes_and_load_is_level_sensitive(self):  # 9.9, from memory
        program = Program("CTD", "CD LD", "PV := N + 2")
        assert program.over("CV", CD="0101", LD="1100") == [2, 2, 2, 1]  # load wins over CD, and the edge is lost
        program.machine.values["N"] = 5
        assert program.over("CV", CD="010", LD="000") == [1, 0, 0]
        assert program["Q"] == 1
        assert program.over("CV", CD="00", LD="10") == [7, 7]

    def test_ctd_has_no_reset_input(self):  # 9.9, from memory
        with pytest.raises(LadderError, match="called with each of its inputs once"):
            Program("CTD", "CD LD R", "PV := 2")

    def test_ctud_with_both_edges_in_one_call_keeps_its_value(self):  # 9.10, from memory
        program = Program("CTUD", "CU CD R LD", "PV := 2")
        nothing = "00000"
        assert program.over("CV", CU="10101", CD="00101", R=nothing, LD=nothing) == [1, 1, 1, 1, 1]


class TestTimers:
    def test_ton_let_go_early_never_operates(self):  # 9.12, from memory
        program = Program("TON", "IN", "PT := T#50ms")
        assert program.over("Q", IN="1111100") == [0] * 7
        assert program["ET"] == 0

    def test_ton_operates_when_its_time_has_passed_and_holds_it(self):  # 9.13, from memory
        assert Program("TON", "IN", "PT := T#30ms").over("Q", IN="1111110") == [0, 0, 0, 1, 1, 1, 0]
        assert Program("TON", "IN", "PT := T#30ms").over("ET", IN="1111110") == [
            0,
            10_000,
            20_000,
            30_000,
            30_000,
            30_000,
            0,
        ]

    def test_tp_heeds_no_second_edge_and_lasts_exactly_its_time(self):  # 9.15, from memory
        assert Program("TP", "IN", "PT := T#30ms").over("Q", IN="1010000") == [1, 1, 1, 0, 0, 0, 0]

    def test_tp_held_gives_one_pulse_and_its_time_stands_until_the_input_falls(self):  # 9.15, from memory
        program = Program("TP", "IN", "PT := T#30ms")
        assert program.over("Q", IN="111111") == [1, 1, 1, 0, 0, 0]
        assert program["ET"] == 30_000
        program.scan(IN=0)
        assert program["ET"] == 0


def crossed() -> Ladder:
    ladder = Ladder("", [Device("S1"), Device("Q1"), Device("K1")])
    ladder.rung(NO("K1") & NC("Q1"), coil("Q1"))
    ladder.rung(NO("S1"), coil("K1"))
    return ladder


def test_a_break_contact_in_the_xml_is_negated_and_one_that_sees_edges_is_no_relays():  # 9.20, from memory
    text = ladder_xml(crossed())
    contacts = [one for one in ElementTree.fromstring(text).iter() if one.get(TYPE, "").endswith("Contact")]
    assert [(one.get("operand"), one.get("negated"), one.get("edge")) for one in contacts] == [
        ("K1", None, None),
        ("Q1", "true", None),
        ("S1", None, None),
    ]
    for edge in ("rising", "falling"):
        with pytest.raises(LadderError, match="sees edges"):
            read_ladder_xml(text.replace('operand="S1"', f'operand="S1" edge="{edge}"', 1))


def test_a_coil_written_in_rung_2_and_read_in_rung_1_is_seen_one_scan_later():  # 9.24, from memory
    ladder = Ladder("", [Device("S1"), Device("Q1"), Device("K1")])
    ladder.rung(NO("K1"), coil("Q1"))
    ladder.rung(NO("S1"), coil("K1"))
    scan = Scan(ladder)
    scan.order("press S1")
    seen = []
    for _ in range(2):
        scan.scan()
        seen.append((scan.is_on("K1"), scan.is_on("Q1")))
    assert seen == [(True, False), (True, True)]
