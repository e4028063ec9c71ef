from itertools import product

import pytest
from hypothesis import assume, example, given

from circuit_kits import GENEROUS
from oracle import passes
from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp, reset
from rungbook.circuit import Load, Wire, Wired, loose_ends, read_wires, wire
from rungbook.kit import TRAINING_KIT
from strategies import ladders

#: the holding circuit as a person would write it down, in another order and another chain than `wire` makes
HOLDING = [
    ("X2", "Q1:A2"),
    ("F1:96", "Q1:A1"),
    ("S2:24", "F1:95"),
    ("Q1:14", "S2:24"),
    ("Q1:13", "S1:12"),
    ("S1:12", "S2:23"),
    ("S1:11", "X1"),
]


def reached(start, joined):
    """The nodes that can be reached from `start` over pairs of joined nodes."""
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for pair in joined:
            if here in pair:
                for there in pair:
                    if there not in found:
                        found.add(there)
                        waiting.append(there)
    return found


def driven(network, operated):
    """Loads with one end joined to node 1 and the other to node 2 by closed contacts, `operated` being moved."""
    closed = [
        (w.left, w.right)
        for w in network
        if not isinstance(w.item, Load) and (w.item.device in operated) == (w.item.kind == "NO")
    ]
    live, return_ = reached(1, closed), reached(2, closed)
    assert not live & {2}
    return {w.item.device for w in network if isinstance(w.item, Load) and w.left in live and w.right in return_}


def conducting(ladder, operated):
    """Loads of the rungs that conduct, `operated` being moved: by the list of all paths, not by wires."""

    def closed(contact):
        return (contact.device in operated) == (contact.kind == "NO")

    return {load.device for rung in ladder.rungs if passes(rung.contacts, closed) for load in rung.loads}


def many_of_one():
    ladder = Ladder("")
    ladder.rung((NO("S1") & NC("S1") | NC("S1")) & (NC("S1") | NO("S1") & NO("S2") | NO("S1")), coil("Q1"))
    return ladder


class TestRoundTrip:
    @example(many_of_one())
    @given(ladders(plain=True))
    def test_a_wired_ladder_read_back_drives_the_same_loads_in_all_positions(self, ladder):
        try:
            wiring = wire(ladder, GENEROUS)
        except LadderError as short:
            assume("contacts of" not in short.rule)
            raise
        network = read_wires(wiring.wires, GENEROUS)
        assert loose_ends(wiring.wires, GENEROUS) == ()
        tags = sorted(ladder.devices)
        for moved in product((False, True), repeat=len(tags)):
            operated = {tag for tag, on in zip(tags, moved, strict=True) if on}
            assert driven(network, operated) == conducting(ladder, operated), operated

    @given(ladders(plain=True))
    def test_items_and_nodes_are_those_of_the_wiring_but_for_the_numbers(self, ladder):
        try:
            wiring = wire(ladder, GENEROUS)
        except LadderError:
            assume(False)
        network = read_wires(wiring.wires, GENEROUS)

        def key(wired):
            return wired.item.device, wired.item.terminals

        whole = {key(w): {w.left, w.right} for w in wiring.items}
        again = {key(w): {w.left, w.right} for w in network}
        assert set(whole) == set(again)
        one_to_one = {}
        for name, ends in whole.items():
            one_to_one.setdefault(frozenset(ends), frozenset(again[name]))
            assert one_to_one[frozenset(ends)] == again[name]
        assert len(set(one_to_one.values())) == len(one_to_one)


class TestByHand:
    def test_the_holding_circuit_in_any_order_is_the_same_network(self):
        assert read_wires(HOLDING, TRAINING_KIT) == (
            Wired(coil("Q1", "A1-A2"), 3, 2),
            Wired(NC("F1", "95-96"), 4, 3),
            Wired(NO("Q1", "13-14"), 5, 4),
            Wired(NO("S2", "23-24"), 5, 4),
            Wired(NC("S1", "11-12"), 1, 5),
        )

    def test_wires_may_be_records(self):
        assert read_wires([Wire(*pair) for pair in HOLDING], TRAINING_KIT) == read_wires(HOLDING, TRAINING_KIT)

    def test_no_wires_are_no_network(self):
        assert read_wires([], TRAINING_KIT) == ()
        assert loose_ends([], TRAINING_KIT) == ()

    def test_a_way_that_no_ladder_can_draw_is_read_as_it_is_wired(self):
        # a bridge: K1 joins the middles of two branches
        wires = [
            ("X1", "S1:11"), ("S1:11", "S2:11"), ("S1:12", "K1:11"), ("K1:11", "S3:11"), ("S2:12", "K1:14"),
            ("K1:14", "S4:11"), ("S3:12", "S4:12"), ("S4:12", "K1:A1"), ("K1:A2", "X2"),
        ]  # fmt: skip
        network = read_wires(wires, TRAINING_KIT)
        assert driven(network, {"S1", "S4"}) == set()
        assert driven(network, {"S1", "S4", "K1"}) == {"K1"}

    def test_the_two_contacts_of_a_changeover_are_read_with_their_common_node(self):
        wires = [("X1", "K1:11"), ("K1:12", "P1:X1"), ("K1:14", "K1:A1"), ("P1:X2", "X2"), ("K1:A2", "P1:X2")]
        network = read_wires(wires, TRAINING_KIT)
        assert [w for w in network if not isinstance(w.item, Load)] == [
            Wired(NC("K1", "11-12"), 1, 3),
            Wired(NO("K1", "11-14"), 1, 4),
        ]

    def test_the_two_contacts_of_a_changeover_are_in_series_if_its_common_terminal_is_bare(self):
        network = read_wires([("X1", "K1:14"), ("K1:12", "K1:A1"), ("K1:A2", "X2")], TRAINING_KIT)
        assert network == (
            Wired(NC("K1", "11-12"), 4, 3),
            Wired(NO("K1", "11-14"), 1, 4),
            Wired(coil("K1", "A1-A2"), 3, 2),
        )

    def test_a_lamp_the_wrong_way_round_is_still_left_of_the_grounded_wire(self):
        assert read_wires([("X2", "P1:X1"), ("P1:X2", "X1")], TRAINING_KIT) == (
            Wired(lamp("P1", terminals="X1-X2"), 1, 2),
        )

    def test_left_is_counted_from_x1_and_not_through_the_other_rail(self):
        # an overload contact on the grounded side, and a lamp that makes the far rail look near
        wires = [
            ("X1", "S1:11"), ("S1:12", "S2:11"), ("S2:12", "S3:11"), ("S3:12", "K1:A1"), ("K1:A2", "F1:95"),
            ("F1:96", "X2"), ("S1:11", "P1:X1"), ("P1:X2", "F1:96"),
        ]  # fmt: skip
        network = {w.item.device: (w.left, w.right) for w in read_wires(wires, TRAINING_KIT)}
        assert network == {"S1": (1, 3), "S2": (3, 4), "S3": (4, 5), "K1": (5, 6), "F1": (6, 2), "P1": (1, 2)}

    def test_a_fuse_is_read(self):
        wires = [("X1", "F2:1"), ("F2:2", "P1:X1"), ("P1:X2", "X2")]
        assert read_wires(wires, TRAINING_KIT)[0] == Wired(NC("F2"), 1, 3)


class TestRefusals:
    @pytest.mark.parametrize(
        ("wires", "message"),
        [
            (
                [("X1", "S1:13")],
                "Wire 1: no terminal S1:13 in the kit 'training kit'. Given: 'S1:13'. "
                "Choices: S1:11, S1:12, S1:23, S1:24.",
            ),
            (
                [("X1", "S1:11"), ("S1:12", "Q1:1/L1")],
                "Wire 2: Q1:1/L1 belongs to no coil, lamp or contact, so it is no part of a control circuit here. "
                "Given: 'Q1:1/L1'. Choices: Q1:A1, Q1:A2, Q1:13, Q1:14, Q1:21, Q1:22, Q1:31, Q1:32, Q1:43, Q1:44, "
                "Q1:53, Q1:54.",
            ),
            ([("S1:11", "S1:11")], "Wire 1: ends on the terminal it starts from. Given: 'S1:11'."),
            (
                [("X1", "S1:11"), ("X1", "S2:11"), ("X1", "S3:11")],
                "Terminal X1: at most 2 wires on a terminal; go on from the far end of one of them. Given: 3.",
            ),
            (
                [("X1", "S1:11"), ("S2:24", "S2:23"), ("S1:11", "S2:23"), ("X2", "S2:24")],
                "Wire list: the wires alone short the supply: X1 – S1:11 – S2:23 – S2:24 – X2.",
            ),
            ([("X1", "Q1:A1")], "Coil Q1: is not connected: no wire on Q1:A2."),
            (
                [("X1", "Q1:13"), ("Q1:14", "P1:X1"), ("P1:X2", "X2")],
                "Coil Q1: is not connected: no wire on Q1:A1 and Q1:A2.",
            ),
        ],
        ids=["unknown", "main pole", "itself", "three wires", "short", "half a coil", "no coil"],
    )
    def test_it_names_the_place(self, wires, message):
        for read in (read_wires, loose_ends):
            with pytest.raises(LadderError) as found:
                read(wires, TRAINING_KIT)
            assert str(found.value) == message

    @pytest.mark.parametrize("terminal", ["", "S9:11", "S1", "S1:", ":11", "x1", "X3", "S1:11:12", "11"])
    def test_a_terminal_that_is_none(self, terminal):
        with pytest.raises(LadderError, match="Wire 1: no terminal"):
            read_wires([("X1", terminal)], TRAINING_KIT)

    @pytest.mark.parametrize("entry", ["X1", ("X1",), ("X1", "S1:11", "S1:12"), ("X1", 11), None, 5])
    def test_an_entry_that_is_no_wire(self, entry):
        with pytest.raises(LadderError, match="Wire 1: goes from one terminal to another"):
            read_wires([entry], TRAINING_KIT)

    @pytest.mark.parametrize("wires", ["X1 – S1:11", None, 5])
    def test_what_is_no_list(self, wires):
        with pytest.raises(LadderError, match="is a list of wires"):
            read_wires(wires, TRAINING_KIT)

    def test_too_many_wires(self):
        with pytest.raises(LadderError, match="at most 2000 wires"):
            read_wires([("X1", "S1:11")] * 2001, TRAINING_KIT)


class TestLooseEnds:
    def test_a_contact_with_one_side_wired_is_told_and_left_out(self):
        wires = [*HOLDING[:-1], ("S1:11", "S3:11"), ("S3:11", "X1")]
        assert loose_ends(wires, TRAINING_KIT) == (
            "A contact is wired on one side only: S3:11 has a wire, S3:12 has none.",
        )
        assert "S3" not in {w.item.device for w in read_wires(wires, TRAINING_KIT)}

    def test_a_lamp_with_one_side_wired(self):
        assert loose_ends([*HOLDING, ("Q1:A2", "P1:X2")], TRAINING_KIT) == (
            "A lamp is wired on one side only: P1:X2 has a wire, P1:X1 has none.",
        )

    def test_a_changeover_with_one_contact_in_use_is_nothing_forgotten(self):
        wires = [("X1", "K1:11"), ("K1:14", "K1:A1"), ("K1:A2", "X2")]
        assert loose_ends(wires, TRAINING_KIT) == ()

    def test_two_wires_beside_each_other(self):
        assert loose_ends([*HOLDING, ("X1", "S1:11")], TRAINING_KIT) == (
            "Two wires lie beside each other: S1:11 – X1.",
        )

    def test_one_number_on_two_nodes(self):
        wires = [Wire(a, b, n) for (a, b), n in zip(HOLDING, (2, 5, 4, 4, 3, 3, 5), strict=True)]
        assert loose_ends(wires, TRAINING_KIT) == ("Wire number 5 stands on 2 nodes that no wire joins.",)

    def test_two_numbers_on_one_node(self):
        wires = [Wire(a, b, n) for (a, b), n in zip(HOLDING, (2, 5, 4, 4, 3, 6, 1), strict=True)]
        assert loose_ends(wires, TRAINING_KIT) == ("One node has the wire numbers 3, 6.",)


class TestFurtherInputs:
    def ladder(self):
        panel = [Device("K5", "counter", setting="up 3"), *(Device(tag) for tag in ("B1", "S1", "S2", "Q1"))]
        ladder = Ladder("Filling line", panel)
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S2"), reset("K5"))
        ladder.rung(NC("K5", "15-16") & (NO("S1") | NO("Q1")), coil("Q1"))
        return ladder

    def test_a_counters_reset_input_is_wired_on_its_own_terminals_and_read_back(self):
        wiring = wire(self.ladder(), TRAINING_KIT)
        assert ("S2:24", "K5:R1") in [(one.start, one.end) for one in wiring.wires]
        loads = {wired.item.name for wired in read_wires(wiring.wires, TRAINING_KIT) if isinstance(wired.item, Load)}
        assert loads == {"K5", "K5 reset", "Q1"}

    def test_a_timer_of_the_kit_has_no_count_down_input(self):
        ladder = Ladder("Filling line")
        ladder.rung(NO("S1"), coil("K1"))
        ladder.rung(NO("S2"), reset("K1"))
        with pytest.raises(LadderError, match="the eight-pin control relay has no such input, R1-R2"):
            wire(ladder, TRAINING_KIT)
