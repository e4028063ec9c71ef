"""What follows from the entries, and which entries may stand."""

from decimal import Decimal

import pytest

from kit.ledger.conftest import SMALL
from rungbook.errors import LadderError
from rungbook.kit.ledger import Finding


def findings(**conditions):
    found = {"Q1": "good", "S1": "good", "S2": "good"} | conditions
    return [Finding(name, condition) for name, condition in found.items()]


def issued(ledger, group="A"):
    ledger.issue("Ines", "K01", group, ["Ada", "Ben"])
    return ledger


class TestRound:
    def test_a_kit_goes_out_is_checked_and_comes_back(self, ledger):
        issued(ledger).check("Ines", "K01", findings(S1="worn"), ["Ada"])
        state = ledger.books().kit("K01")
        assert (state.holding.group, state.holding.members, state.condition["S1"]) == ("A", ("Ada", "Ben"), "worn")
        ledger.take_in("Ines", "K01", findings(S1="worn"), ["Ada", "Ines"])
        assert ledger.books().kit("K01").holding is None

    def test_what_came_back_worse_is_charged_to_the_group(self, ledger):
        ledger.price("Ines", {"push button": "12.50"}, "EUR")
        issued(ledger).check("Ines", "K01", findings(Q1="damaged"), ["Ada"])
        ledger.take_in("Ines", "K01", findings(Q1="damaged", S2="missing", S1="worn"), ["Ada"])
        (charge,) = ledger.books().charges
        assert (charge.group, charge.piece, charge.before, charge.after, charge.cost) == (
            "A",
            "S2",
            "good",
            "missing",
            Decimal("12.50"),
        )

    def test_without_a_check_in_list_the_last_known_condition_counts(self, ledger):
        issued(ledger).take_in("Ines", "K01", findings(S2="damaged"), ["Ada"])
        issued(ledger, "B").take_in("Ines", "K01", findings(S2="damaged"), ["Cleo"])
        assert [(charge.group, charge.cost) for charge in ledger.books().charges] == [("A", None)]

    def test_a_replaced_piece_is_good_again(self, ledger):
        issued(ledger).take_in("Ines", "K01", findings(S2="damaged"), ["Ada"])
        ledger.replace("Ines", "K01", "S2", "from the spares box")
        assert ledger.books().kit("K01").condition["S2"] == "good"

    def test_prices_stand_as_they_were_when_the_kit_came_back(self, ledger):
        ledger.price("Ines", {"push button": "12.50"}, "EUR")
        issued(ledger).take_in("Ines", "K01", findings(S2="missing"), ["Ada"])
        ledger.price("Ines", {"push button": 15}, "EUR")
        books = ledger.books()
        assert (books.charges[0].cost, books.prices["push button"]) == (Decimal("12.50"), Decimal(15))


class TestRefused:
    @pytest.mark.parametrize(
        ("act", "rule"),
        [
            (lambda one: one.add("Ines", "K01", "again", SMALL), "Kit K01: is in the ledger already"),
            (lambda one: one.add("Ines", "K 2", "kit", SMALL), "letters, digits and hyphens"),
            (lambda one: one.add("Ines", "K02", "kit", ()), "at least one piece"),
            (lambda one: one.add("Ines", "K02", "kit", SMALL[:1] * 2), "two pieces have one name. Given: 'Q1'"),
            (lambda one: one.issue("Ines", "K09", "A", ["Ada"]), "has no such kit. Given: 'K09'. Choices: K01"),
            (lambda one: one.issue("Ines", "K01", "A", []), "a list of at least one name"),
            (lambda one: one.issue("Ines", "K01", "A", ["Ada", "Ada"]), "names each person once. Given: 'Ada'"),
            (lambda one: one.issue("Ines", "K01", "A\nB", ["Ada"]), "is one line"),
            (lambda one: one.issue("", "K01", "A", ["Ada"]), "Written by: must not be empty"),
            (lambda one: one.check("Ines", "K01", findings(), ["Ada"]), "is in the store"),
            (lambda one: one.replace("Ines", "K01", "S2"), "is good; there is nothing to replace"),
            (lambda one: one.replace("Ines", "K01", "S7"), "has no such piece. Given: 'S7'. Choices: Q1, S1, S2"),
            (lambda one: one.price("Ines", {"relay": "1"}, "EUR"), "no such model in the catalogue. Given: 'relay'"),
            (lambda one: one.price("Ines", {"contactor": "-1"}, "EUR"), "a number from 0 to 1000000"),
            (lambda one: one.price("Ines", {"contactor": "1,5"}, "EUR"), "written with a point. Given: '1,5'"),
            (lambda one: one.price("Ines", {"contactor": "nan"}, "EUR"), "a number from 0"),
            (lambda one: one.price("Ines", {}, "EUR"), "at least one model"),
            (lambda one: one.take_back("Ines", 7, "typing"), "has no such entry; it has 1 to 1. Given: 7"),
            (lambda one: one.take_back("Ines", 1, " "), "Reason: must not be empty"),
        ],
    )
    def test_tells_the_thing_and_the_rule_and_writes_nothing(self, ledger, act, rule):
        with pytest.raises(LadderError, match=rule):
            act(ledger)
        assert len(ledger.books().entries) == 1

    def test_a_kit_that_is_out_is_not_issued_again(self, ledger):
        with pytest.raises(LadderError, match="Kit K01: is out, with group A"):
            issued(issued(ledger), "B")

    def test_a_group_has_one_kit(self, ledger):
        ledger.add("Ines", "K02", "small kit", SMALL)
        issued(ledger)
        with pytest.raises(LadderError, match="Group A: has kit K01"):
            ledger.issue("Ines", "K02", "A", ["Ada"])

    def test_a_check_looks_at_every_piece_once(self, ledger):
        issued(ledger)
        with pytest.raises(LadderError, match=r"not looked at. Given: 'S2'"):
            ledger.check("Ines", "K01", findings()[:2], ["Ada"])
        with pytest.raises(LadderError, match=r"looked at once in a check. Given: 'Q1'"):
            ledger.check("Ines", "K01", [*findings(), Finding("Q1", "worn")], ["Ada"])
        with pytest.raises(LadderError, match=r"in one of the known conditions. Given: 'fine'"):
            Finding("Q1", "fine")

    def test_a_check_in_list_is_signed_by_the_group(self, ledger):
        issued(ledger)
        with pytest.raises(LadderError, match=r"signed by members of group A. Given: 'Cleo'. Choices: Ada, Ben"):
            ledger.check("Ines", "K01", findings(), ["Cleo"])

    def test_a_withdrawn_kit_is_not_issued(self, ledger):
        ledger.withdraw("Ines", "K01", "too old")
        with pytest.raises(LadderError, match="Kit K01: has been withdrawn"):
            issued(ledger)


class TestTakeBack:
    def test_leaves_the_entry_and_undoes_what_follows_from_it(self, ledger):
        issued(ledger).take_back("Ines", 2, "wrong group")
        books = ledger.books()
        assert books.kit("K01").holding is None
        assert [entry.kind for entry in books.entries] == ["added", "issued", "taken back"]

    def test_of_an_entry_on_which_another_builds_is_refused(self, ledger):
        issued(ledger).take_in("Ines", "K01", findings(), ["Ada"])
        with pytest.raises(LadderError, match="entry 3 of kit K01 came after it"):
            ledger.take_back("Ines", 2, "wrong group")
        ledger.take_back("Ines", 3, "kit is still out")
        ledger.take_back("Ines", 2, "wrong group")
        assert ledger.books().kit("K01").holding is None

    def test_twice_or_of_a_taking_back_is_refused(self, ledger):
        issued(ledger).take_back("Ines", 2, "wrong group")
        with pytest.raises(LadderError, match="has been taken back already"):
            ledger.take_back("Ines", 2, "again")
        with pytest.raises(LadderError, match="takes back another"):
            ledger.take_back("Ines", 3, "no")

    def test_that_would_give_a_group_two_kits_is_refused(self, ledger):
        ledger.add("Ines", "K02", "small kit", SMALL)
        issued(ledger).take_in("Ines", "K01", findings(), ["Ada"])
        ledger.issue("Ines", "K02", "A", ["Ada"])
        with pytest.raises(LadderError, match="group A would then have two kits"):
            ledger.take_back("Ines", 4, "not returned")
