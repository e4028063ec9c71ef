"""The standard blocks against section 9 of the check values: IEC 61131-3 ed. 3, Tables 43 to 46, from memory."""

import pytest

from rungbook.exchange.blocks import INT_MAX, INT_MIN, STANDARD

MS = 1000


class Called:
    """One instance of a block, called scan by scan."""

    def __init__(self, kind: str, **values: int) -> None:
        self.block = STANDARD[kind]
        self.values = self.block.cold() | values

    def __call__(self, since: int = 10 * MS, **inputs: int) -> dict[str, int]:
        self.values.update(inputs)
        self.block.work(self.values, since)
        return {name: self.values[name] for name in self.block.outputs}


def q(block: Called, inputs: str, name: str, out: str = "Q", **others: int) -> list[int]:
    """The output `out` in each scan, the input `name` being the next digit of `inputs`."""
    return [block(**{name: int(level)}, **others)[out] for level in inputs]


class TestBistable:
    @pytest.mark.parametrize("before", [0, 1])
    def test_sr_set_wins(self, before: int) -> None:  # check values 9.1, from memory
        assert Called("SR", Q1=before)(S1=1, R=1) == {"Q1": 1}

    @pytest.mark.parametrize("before", [0, 1])
    def test_rs_reset_wins(self, before: int) -> None:  # check values 9.2, from memory
        assert Called("RS", Q1=before)(S=1, R1=1) == {"Q1": 0}

    def test_both_hold_and_begin_at_0(self) -> None:  # check values 9.1 and 9.2, from memory
        assert Called("SR")(S1=0, R=0) == {"Q1": 0}
        assert Called("RS")(S=0, R1=0) == {"Q1": 0}
        assert [Called("SR", Q1=1)(S1=0, R=r)["Q1"] for r in (0, 1)] == [1, 0]
        assert [Called("RS", Q1=1)(S=0, R1=r)["Q1"] for r in (0, 1)] == [1, 0]

    @pytest.mark.parametrize(("s", "r", "before"), [(s, r, b) for s in (0, 1) for r in (0, 1) for b in (0, 1)])
    def test_every_case_is_the_equation(
        self, s: int, r: int, before: int
    ) -> None:  # check values 9.1, 9.2, from memory
        assert Called("SR", Q1=before)(S1=s, R=r)["Q1"] == int(s or (not r and before))
        assert Called("RS", Q1=before)(S=s, R1=r)["Q1"] == int(not r and (s or before))


class TestEdges:
    def test_a_first_call_with_true_is_a_rising_edge_for_one_call(self) -> None:  # check values 9.3, from memory
        assert q(Called("R_TRIG"), "1110101", "CLK") == [1, 0, 0, 0, 1, 0, 1]

    def test_a_first_call_with_false_is_a_falling_edge_for_one_call(
        self,
    ) -> None:  # the standard's own note, from memory
        assert q(Called("F_TRIG"), "0001100", "CLK") == [1, 0, 0, 0, 0, 1, 0]


class TestCounters:
    def test_ctu_counts_edges_resets_and_loses_an_edge_under_reset(self) -> None:  # check values 9.5, from memory
        block = Called("CTU", PV=3)
        assert q(block, "0110101101", "CU", "CV") == [0, 1, 1, 1, 2, 2, 3, 3, 3, 4]
        assert block(CU=0, R=1) == {"Q": 0, "CV": 0}
        assert block(CU=1, R=1) == {"Q": 0, "CV": 0}
        assert block(CU=1, R=0) == {"Q": 0, "CV": 0}

    def test_ctu_is_on_while_the_count_is_at_least_the_preset(self) -> None:  # check values 9.5, from memory
        assert q(Called("CTU", PV=3), "0110101101", "CU") == [0, 0, 0, 0, 0, 0, 1, 1, 1, 1]

    def test_ctu_stays_at_its_top(self) -> None:  # check values 9.7, from memory
        block = Called("CTU", PV=3, CV=INT_MAX)
        assert block(CU=1) == {"Q": 1, "CV": 32767}

    def test_ctd_is_loaded_by_level_and_keeps_the_value_when_the_preset_changes(self) -> None:  # 9.9, from memory
        block = Called("CTD", PV=2)
        assert block(CD=0, LD=1) == {"Q": 0, "CV": 2}
        assert block(CD=1, LD=1) == {"Q": 0, "CV": 2}
        assert block(CD=0, LD=0, PV=7) == {"Q": 0, "CV": 2}
        assert q(block, "1010", "CD", "CV") == [1, 1, 0, 0]
        assert "R" not in block.block.inputs

    def test_ctd_stays_at_its_bottom(self) -> None:  # as 9.7, from memory
        assert Called("CTD", PV=2, CV=INT_MIN)(CD=1) == {"Q": 1, "CV": -32768}

    def test_ctud_leaves_the_value_when_both_edges_come_together(self) -> None:  # check values 9.10, from memory
        block = Called("CTUD", PV=2)
        assert block(CU=1, CD=1) == {"QU": 0, "QD": 1, "CV": 0}
        block(CU=0, CD=0)
        assert block(CU=1, CD=0) == {"QU": 0, "QD": 0, "CV": 1}


class TestTimers:
    def test_ton_that_is_let_go_early_never_operates(self) -> None:  # check values 9.12, from memory
        block = Called("TON", PT=50 * MS)
        assert q(block, "11110", "IN") == [0, 0, 0, 0, 0]
        assert block.values["ET"] == 0

    def test_ton_operates_at_its_time_and_holds_it_until_the_input_falls(
        self,
    ) -> None:  # check values 9.13, from memory
        block = Called("TON", PT=30 * MS)
        found = [block(IN=1) for _ in range(6)]
        assert [one["ET"] // MS for one in found] == [0, 10, 20, 30, 30, 30]
        assert [one["Q"] for one in found] == [0, 0, 0, 1, 1, 1]
        assert block(IN=0) == {"Q": 0, "ET": 0}

    def test_tof_goes_off_its_time_after_the_fall(self) -> None:  # the standard's figure, from memory
        block = Called("TOF", PT=30 * MS)
        assert q(block, "0110000101000000", "IN") == [0, 1, 1, 1, 1, 1, 0, 1, 1, 1, 1, 1, 1, 0, 0, 0]
        assert block.values["ET"] == 30 * MS

    def test_tp_ignores_a_second_edge_and_lasts_exactly_its_time(self) -> None:  # check values 9.15, from memory
        assert q(Called("TP", PT=30 * MS), "1010110000", "IN") == [1, 1, 1, 0, 1, 1, 1, 0, 0, 0]

    def test_tp_held_gives_one_pulse_and_its_time_stands_until_the_input_falls(self) -> None:  # 9.15, from memory
        block = Called("TP", PT=30 * MS)
        found = [block(IN=1) for _ in range(6)]
        assert [one["Q"] for one in found] == [1, 1, 1, 0, 0, 0]
        assert [one["ET"] // MS for one in found] == [0, 10, 20, 30, 30, 30]
        assert block(IN=0) == {"Q": 0, "ET": 0}
