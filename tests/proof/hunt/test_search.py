import pytest

from hunting import faulty
from rungbook import LadderError
from rungbook.proof.hunt import Search
from rungbook.proof.hunt.search import UNPROVED


@pytest.fixture
def hunt():
    return Search(faulty("Q1", "coil is open"), budget=5)


def safe(hunt):
    """Switch off, lock out, prove dead."""
    hunt.act("do", "switch the supply off")
    hunt.act("lock out")
    prove(hunt)


def prove(hunt, *leads):
    hunt.act("source")
    hunt.act("volts", leads=leads or ("X1", "X2"))
    hunt.act("source")


class TestActs:
    def test_each_is_a_numbered_row_with_what_it_showed(self, hunt):
        hunt.act("do", "Press  S2")
        hunt.act("volts", leads=("q1:a1", "x2"))
        hunt.act("look")
        assert [row.record() for row in hunt.rows] == [
            {"n": 1, "act": "do", "what": "press S2", "shown": "Q1 out, P1 dark"},
            {"n": 2, "act": "volts", "leads": ["Q1:A1", "X2"], "shown": "120.0 V"},
            {"n": 3, "act": "look", "shown": "Q1 out, P1 dark"},
        ]
        assert str(hunt.rows[1]) == "volts Q1:A1 – X2: 120.0 V"

    @pytest.mark.parametrize(
        ("act", "what", "leads", "told"),
        [
            ("hit", "", (), r"no such act. Given: 'hit'. Choices: as found, look, do, lock out"),
            ("do", "press S7", (), r"Order: no such order here. Given: 'press S7'. Choices: press S1, let S1 go"),
            (
                "do",
                "let S2 go",
                (),
                r"cannot be given now; the hand has left S2 released. .*Choices: press S1, press S2",
            ),
            ("do", None, (), "no such order here"),
            ("volts", "", ("S2:14",), "Meter: has two leads"),
            ("volts", "", "AB", "Meter: has two leads"),
            ("volts", "", ("S2:14", "S2:15"), "Lead: no such terminal here. Given: 'S2:15'"),
            ("volts", "", ("S2:14", "s2:14"), "its two leads go on two different terminals"),
            ("lock out", "", (), "switch the supply off first"),
            ("take the lock off", "", (), "there is no lock on the supply"),
        ],
    )
    def test_what_cannot_be_done_is_refused_and_leaves_no_row(self, hunt, act, what, leads, told):
        with pytest.raises(LadderError, match=told):
            hunt.act(act, what, leads)
        assert (hunt.rows, hunt.used) == ([], 0)

    def test_as_found_begins_again_and_the_log_goes_on(self, hunt):
        safe(hunt)
        hunt.act("as found")
        assert hunt.act("volts", leads=("X1", "X2")).shown == "120.0 V"
        assert not hunt.proved_dead
        assert hunt.rows[-1].number == 7


class TestBudget:
    def test_readings_count_and_volts_with_the_supply_off_do_not(self, hunt):
        safe(hunt)
        assert hunt.used == 0
        hunt.act("ohms", leads=("Q1:A1", "Q1:A2"))
        hunt.act("continuity", leads=("Q1:A1", "Q1:A2"))
        hunt.act("take the lock off")
        hunt.act("do", "switch the supply on")
        hunt.act("volts", leads=("X1", "X2"))
        assert (hunt.used, hunt.left) == (3, 2)

    def test_used_up_there_is_no_further_reading(self, hunt):
        for _ in range(5):
            hunt.act("volts", leads=("X1", "X2"))
        with pytest.raises(LadderError, match="all 5 readings are used up; name the fault"):
            hunt.act("volts", leads=("X1", "X2"))
        assert hunt.act("look").shown == "Q1 out, P1 dark"


class TestSafety:
    def test_ohms_on_a_live_circuit_show_nothing_and_warn(self, hunt):
        row = hunt.act("ohms", leads=("S1:11", "S1:12"))
        assert (row.shown, row.value, row.live, row.unproved, row.costs) == ("--- live", None, True, True, 1)
        assert str(row).startswith("ohms S1:11 – S1:12: --- live. The circuit is live: switch the supply off")

    def test_switched_off_is_not_yet_proved_dead(self, hunt):
        hunt.act("do", "switch the supply off")
        row = hunt.act("ohms", leads=("S1:11", "S1:12"))
        assert (row.shown, row.live, row.unproved) == ("0.0 ohm", False, True)
        assert str(row) == f"ohms S1:11 – S1:12: 0.0 ohm. {UNPROVED}"

    def test_proved_in_three_points_it_is(self, hunt):
        safe(hunt)
        assert hunt.proved_dead
        assert not hunt.act("ohms", leads=("S1:11", "S1:12")).unproved

    def test_without_a_lock_it_is_not(self, hunt):
        hunt.act("do", "switch the supply off")
        prove(hunt)
        assert not hunt.proved_dead

    def test_without_the_second_test_of_the_meter_it_is_not(self, hunt):
        hunt.act("do", "switch the supply off")
        hunt.act("lock out")
        hunt.act("source")
        hunt.act("volts", leads=("X1", "X2"))
        assert not hunt.proved_dead
        hunt.act("look")
        hunt.act("source")
        assert not hunt.proved_dead

    def test_other_leads_prove_themselves_alone(self, hunt):
        hunt.act("do", "switch the supply off")
        hunt.act("lock out")
        prove(hunt, "S1:11", "S1:12")
        assert not hunt.proved_dead
        assert not hunt.act("ohms", leads=("S1:12", "S1:11")).unproved
        assert hunt.act("ohms", leads=("Q1:A1", "Q1:A2")).unproved

    def test_taking_the_lock_off_ends_it(self, hunt):
        safe(hunt)
        hunt.act("take the lock off")
        assert hunt.act("ohms", leads=("Q1:A1", "Q1:A2")).unproved

    def test_a_locked_supply_cannot_be_switched_on(self, hunt):
        safe(hunt)
        with pytest.raises(LadderError, match="the supply is locked out; take the lock off first"):
            hunt.act("do", "switch the supply on")
        assert hunt.act("do", "press S2").shown == "Q1 out, P1 dark, supply locked out"

    def test_a_blown_fuse_is_no_proof_while_the_supply_is_on(self):
        hunt = Search(faulty("supply", "fuse is blown"))
        prove(hunt)
        assert not hunt.proved_dead
