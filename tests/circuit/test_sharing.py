"""Contacts that rungs share: what is wired is short of none, and does what the ladder that was given does."""

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.behaviour import Board
from rungbook.circuit import Contact, from_json, read_wires, shared_contacts, to_json, wire, wired_items
from rungbook.circuit.sharing import plans
from rungbook.exchange import read_structured_text, structured_text
from rungbook.kit import TRAINING_KIT, Kit, fit
from side_by_side import board_of, states_that_agree
from strategies import trees


def ladder_of(*rungs, devices=None):
    ladder = Ladder("Apple elevator", devices)
    for parts in rungs:
        ladder.rung(*parts)
    return ladder


def reversing():
    return ladder_of(
        (NC("S1") & NC("F1") & (NO("S2") | NO("Q1")) & NC("Q2"), coil("Q1")),
        (NC("S1") & NC("F1") & (NO("S3") | NO("Q2")) & NC("Q1"), coil("Q2")),
    )


def jog():
    return ladder_of(
        (NC("S1") & (NO("S2") | NO("K1")) & NC("F1"), coil("K1")),
        (NC("S1") & (NO("K1") | NO("S3")) & NC("F1"), coil("Q1")),
    )


def pulled(wiring):
    return [(one.start, one.end, one.number) for one in wiring.wires]


def rungs_of(wiring):
    return [repr(rung.contacts) for rung in wiring.ladder.rungs]


class TestBeginAlike:
    def test_stop_and_overload_are_wired_once_and_the_rungs_part_behind_them(self):
        wiring = wire(reversing(), TRAINING_KIT)
        assert pulled(wiring) == [
            ("X1", "S1:11", 1),
            ("S1:12", "F1:95", 3),
            ("F1:96", "S2:23", 4),
            ("S2:23", "Q1:13", 4),
            ("S2:24", "Q1:14", 5),
            ("Q1:14", "Q2:21", 5),
            ("Q2:22", "Q1:A1", 6),
            ("X2", "Q1:A2", 2),
            ("Q1:13", "S3:23", 4),
            ("S3:23", "Q2:13", 4),
            ("S3:24", "Q2:14", 7),
            ("Q2:14", "Q1:21", 7),
            ("Q1:22", "Q2:A1", 8),
            ("Q1:A2", "Q2:A2", 2),
        ]
        assert [str(one.item) for one in wiring.items].count("NC('S1', '11-12')") == 1

    def test_the_drawing_has_the_contact_in_each_rung_with_its_terminals_and_nodes(self):
        wiring = wire(reversing(), TRAINING_KIT)
        assert rungs_of(wiring) == [
            "NC('S1', '11-12') & NC('F1', '95-96') & (NO('S2', '23-24') | NO('Q1', '13-14')) & NC('Q2', '21-22')",
            "NC('S1', '11-12') & NC('F1', '95-96') & (NO('S3', '23-24') | NO('Q2', '13-14')) & NC('Q1', '21-22')",
        ]
        assert wired_items(wiring.ladder) == wiring.items
        assert wiring.notes == (
            "S1 11-12 in rungs 1 and 2 is one contact.",
            "F1 95-96 in rungs 1 and 2 is one contact.",
        )
        assert str(wiring).endswith("\n" + "\n".join(wiring.notes))
        assert wiring._repr_html_().endswith("<p>F1 95-96 in rungs 1 and 2 is one contact.</p>")

    def test_only_what_is_short_is_shared(self):
        block = fit("push button", "button block 1 NC + 1 NO")
        overload = {
            "S1": block,
            "S2": block,
            "Q1": fit("contactor"),
            "Q2": fit("contactor"),
            "F1": fit("overload relay"),
        }
        kit = Kit("two of S1", overload)
        ladder = ladder_of((NC("F1") & NC("S1"), coil("Q1")), (NC("F1") & NC("S1") & NO("S2"), coil("Q2")))
        assert [one.device for one in shared_contacts(wire(ladder, kit).ladder)] == ["F1"]
        assert len(shared_contacts(wire(ladder, TRAINING_KIT).ladder)) == 2

    def test_where_the_kit_has_enough_everything_is_as_drawn(self):
        ladder = ladder_of((NC("S6") & NO("S2"), coil("Q1")), (NC("S2") & NO("K1"), coil("K1")), devices=None)
        ladder = ladder_of((NC("S1") & NO("S2"), coil("Q1")), (NO("S1") & NC("S2"), lamp("P1")))
        wiring = wire(ladder, TRAINING_KIT)
        assert wiring.notes == ()
        assert [(one.left, one.right) for one in wiring.items] == [(1, 3), (3, 4), (4, 2), (1, 5), (5, 6), (6, 2)]

    def test_three_rungs_may_part_at_different_places(self):
        wiring = wire(
            ladder_of(
                (NC("S1") & NC("F1") & NO("S2"), coil("Q1")),
                (NC("S1") & NO("S3"), coil("Q2")),
                (NC("S1") & NC("F1") & NO("S4"), coil("Q3")),
            ),
            TRAINING_KIT,
        )
        assert wiring.notes == (
            "S1 11-12 in rungs 1, 2 and 3 is one contact.",
            "F1 95-96 in rungs 1 and 3 is one contact.",
        )
        assert [
            (str(one.item.device), one.left, one.right) for one in wiring.items if one.item.device in "S1 F1 S3 S4"
        ] == [
            ("S1", 1, 3),
            ("F1", 3, 4),
            ("S3", 3, 6),
            ("S4", 4, 7),
        ]

    def test_a_whole_group_of_branches_is_shared(self):
        start = lambda: NO("S2") | NO("S3")  # noqa: E731
        wiring = wire(ladder_of((start() & NC("S4"), coil("Q1")), (start() & NO("S4"), coil("Q2"))), TRAINING_KIT)
        assert [note.partition(" in")[0] for note in wiring.notes] == ["S2 23-24", "S3 23-24"]
        assert states_that_agree(wiring.ladder, board_of(wiring)) > 8

    def test_a_whole_rung_may_begin_another(self):
        wiring = wire(ladder_of((NO("S1"), lamp("P1")), (NO("S1") & NO("S2"), coil("Q1"))), TRAINING_KIT)
        assert ("S1:24", "P1:X1", 3) in pulled(wiring)
        assert ("P1:X1", "S2:23", 3) in pulled(wiring)


class TestOrder:
    def test_contacts_of_which_there_are_too_few_are_brought_to_the_front(self):
        wiring = wire(jog(), TRAINING_KIT)
        assert rungs_of(wiring) == [
            "NC('S1', '11-12') & NC('F1', '95-96') & (NO('S2', '23-24') | NO('K1', '11-14'))",
            "NC('S1', '11-12') & NC('F1', '95-96') & (NO('K1', '21-24') | NO('S3', '23-24'))",
        ]
        assert wiring.notes[2:] == wiring.moved
        assert wiring.moved == (
            "Rung 1: F1 95-96 is wired before S2 and K1; in the circuit as given it stands behind.",
            "Rung 2: F1 95-96 is wired before K1 and S3; in the circuit as given it stands behind.",
        )
        assert states_that_agree(jog(), board_of(wiring)) > 20

    def test_a_rung_that_need_not_change_does_not(self):
        wiring = wire(
            ladder_of(
                (NO("S2") & NC("F1"), coil("Q1")), (NO("S3") & NC("F1"), coil("Q2")), (NO("S4") & NO("F1"), lamp("P1"))
            ),
            TRAINING_KIT,
        )
        assert rungs_of(wiring)[2] == "NO('S4', '23-24') & NO('F1', '97-98')"
        assert len(wiring.moved) == 2

    def test_the_contacts_of_a_changeover_come_to_one_node(self):
        panel = [*map(Device, ("S1", "S2", "Q1", "P1")), Device("K5", "counter", setting="up 4")]
        ladder = ladder_of(
            (NC("S1") & NC("K5") & NO("S2"), coil("Q1")), (NO("K5"), lamp("P1")), (NO("S1"), coil("K5")), devices=panel
        )
        wiring = wire(ladder, TRAINING_KIT)
        assert wiring.notes == ("Rung 1: K5 15-16 is wired before S1; in the circuit as given it stands behind.",)
        assert ("X1", "K5:15", 1) in pulled(wiring)

    def test_a_shared_contact_brings_the_contacts_behind_it_to_one_node(self):
        panel = [*map(Device, ("S1", "Q1", "Q2")), Device("K4", "timer relay", setting="on-delay 5 s")]
        ladder = ladder_of(
            (NO("S1") & NC("K4"), coil("Q1")), (NO("S1") & NO("K4"), coil("Q2")), (NC("S1"), coil("K4")), devices=panel
        )
        wiring = wire(ladder, TRAINING_KIT)
        assert wiring.notes == ("S1 23-24 in rungs 1 and 2 is one contact.",)
        assert ("S1:24", "K4:15", 3) in pulled(wiring)

    def test_as_drawn_nothing_changes_places(self):
        with pytest.raises(LadderError) as found:
            wire(jog(), TRAINING_KIT, as_drawn=True)
        assert found.value.rule == (
            "needs two NC contacts of F1; the kit has one; no accessory cures it; let it move a control relay and use "
            "the contacts of that; that rungs 1 and 2 share one was tried and is not enough"
        )
        assert wire(reversing(), TRAINING_KIT, as_drawn=True) == wire(reversing(), TRAINING_KIT)


class TestShort:
    def test_a_contact_beside_others_cannot_be_shared_and_the_rungs_are_named(self):
        ladder = ladder_of((NC("F1") | NO("S1"), coil("Q1")), (NC("F1") | NO("S2"), coil("Q2")))
        with pytest.raises(LadderError, match="no rungs can share one, for it stands beside others in rungs 1 and 2"):
            wire(ladder, TRAINING_KIT)

    def test_a_branch_that_begins_with_the_contact_is_no_beginning_of_the_rung(self):
        """Current could pass from S3 back through S2 to the other rung while F1 is open."""
        ladder = ladder_of((NC("F1") & NO("S1"), coil("Q1")), (NC("F1") & NO("S2") | NO("S3"), coil("Q2")))
        with pytest.raises(LadderError, match="needs two NC contacts of F1"):
            wire(ladder, TRAINING_KIT)

    def test_two_contacts_that_cross_in_three_rungs(self):
        ladder = ladder_of(
            (NC("F1") & NC("S1"), coil("Q1")), (NC("S1") & NO("S2"), coil("Q2")), (NC("F1") & NO("S3"), coil("Q3"))
        )
        with pytest.raises(LadderError, match=r"two NC contacts of S1.*that rungs 1 and 2 share one was tried"):
            wire(ladder, TRAINING_KIT)

    def test_a_fuse_is_not_shared_for_its_terminals_cannot_be_named(self):
        panel = [Device("F2", "fuse"), Device("Q1"), Device("Q2")]
        with pytest.raises(LadderError, match="needs two NC contacts of F2"):
            wire(ladder_of((NC("F2"), coil("Q1")), (NC("F2"), coil("Q2")), devices=panel), TRAINING_KIT)

    def test_a_contact_that_must_name_its_terminals_is_told_so(self):
        panel = [Device("S5", "three-position selector"), Device("Q1"), Device("Q2")]
        with pytest.raises(LadderError) as found:
            wire(ladder_of((NC("S5"), coil("Q1")), (NC("S5"), coil("Q2")), devices=panel), TRAINING_KIT)
        assert found.value.rule.endswith("are not alike; name its terminals")

    def test_a_ladder_without_contacts_needs_no_plan(self):
        assert sum(1 for _ in plans(ladder_of((lamp("P1"),)), ["P1"])) == 1

    def test_of_many_rungs_not_every_order_is_tried(self):
        ladder = Ladder("Line")
        for n in range(1, 60):
            ladder.rung(NO(f"S{n % 4 + 1}") & NC("F1") & (NO("S1") | NC("S2")) & NC("S3"), coil(f"K{n}"))
        kit = Kit("line", {**TRAINING_KIT.devices, **{f"K{n}": fit("eight-pin control relay") for n in range(1, 60)}})
        with pytest.raises(LadderError, match="contacts of S2"):
            wire(ladder, kit)
        assert sum(1 for _ in plans(ladder, ["S2"])) == 85
        assert sum(1 for _ in plans(jog(), ["F1"])) == 3


class TestNamed:
    def test_a_ladder_may_say_by_its_terminals_that_rungs_share(self):
        ladder = ladder_of(
            (NC("S1", "11-12") & NO("S2"), coil("Q1")), (NC("S1", "11-12") & NO("S3"), coil("Q2")), devices=None
        )
        assert [(str(one.item), one.left, one.right) for one in wired_items(ladder)] == [
            ("NC('S1', '11-12')", 1, 3),
            ("NO('S2')", 3, 4),
            ("coil('Q1')", 4, 2),
            ("NO('S3')", 3, 5),
            ("coil('Q2')", 5, 2),
        ]
        assert wire(ladder, TRAINING_KIT).notes == ("S1 11-12 in rungs 1 and 2 is one contact.",)
        assert len(Board.of(ladder).contacts) == 3

    def test_it_goes_through_json_and_structured_text(self):
        ladder = wire(jog(), TRAINING_KIT).ladder
        assert from_json(to_json(ladder)) == ladder
        assert wired_items(read_structured_text(structured_text(ladder))) == wired_items(ladder)

    @pytest.mark.parametrize("circuit", [reversing, jog])
    def test_what_is_wired_is_wired_again_the_same(self, circuit):
        wiring = wire(circuit(), TRAINING_KIT)
        again = wire(wiring.ladder, TRAINING_KIT)
        assert (again.ladder, again.items, again.wires, again.moved) == (wiring.ladder, wiring.items, wiring.wires, ())


FEW = Kit(
    "few contacts",
    {
        **{tag: fit("push button") for tag in ("S1", "S2", "S3", "S4")},
        "F1": fit("overload relay"),
        **{tag: fit("contactor", "auxiliary block 2 NO + 2 NC") for tag in ("Q1", "Q2", "Q3")},
    },
)
HEADS = (NC("S1"), NC("F1"), NO("S2"), NC("S2"), NC("Q1"))


@st.composite
def alike(draw):
    """Two or three rungs with the same contacts in series, in some order, and most with something of their own."""
    ladder = Ladder("Line")
    for tag in draw(st.sampled_from((("Q1", "Q2"), ("Q1", "Q2", "Q3")))):
        chain = [*draw(st.lists(st.sampled_from(HEADS), unique=True, max_size=4))]
        if draw(st.booleans()):
            chain.insert(draw(st.integers(0, len(chain))), draw(trees(("S3", "S4", tag), 2)))
        whole = chain[0] if chain else NO("S4")
        for part in chain[1:]:
            whole = whole & part
        ladder.rung(whole, coil(tag))
    return ladder


def nodes(items):
    """The circuit as a set of nodes, each the set of terminals that meet there."""
    found = {}
    for wired in items:
        first, _, second = wired.item.terminals.partition("-")
        left, right = (second, first) if wired.turned else (first, second)
        for node, end in ((wired.left, left), (wired.right, right)):
            found.setdefault(node, set()).add(f"{wired.item.device}:{end}")
    return {frozenset(ends) for ends in found.values()}


@settings(max_examples=60)
@given(alike())
def test_whatever_is_wired_with_shared_contacts_does_what_the_ladder_does(ladder):
    try:
        wiring = wire(ladder, FEW)
    except LadderError as short:
        assume("contacts of" not in short.rule)
        raise
    assume(wiring.notes)
    contacts = [(one.item.device, one.item.terminals) for one in wiring.items if isinstance(one.item, Contact)]
    assert len(set(contacts)) == len(contacts)
    assert nodes(read_wires(wiring.wires, wiring.kit)) == nodes(wiring.items) == nodes(wired_items(wiring.ladder))
    assert states_that_agree(ladder, board_of(wiring), 100) > 2
    assert states_that_agree(wiring.ladder, Board.of(wiring.ladder), 30) > 2
