"""The description is enough to wire from: it is read back here into the circuit it describes."""

from __future__ import annotations

import re

from hypothesis import given, settings

from rungbook import NC, NO, Device, Ladder, coil, lamp
from rungbook.circuit import wire_numbers
from rungbook.drawing.describe import describe

from .strategies import counting, ladders, six_by_five


def test_a_holding_circuit_reads_from_rail_to_rail() -> None:
    ladder = Ladder("Wash pump", [Device("S1", colour="red", label="stop"), Device("S2", label="start"), Device("Q1")])
    ladder.rung(NC("S1", "11-12") & (NO("S2") | NO("Q1")), coil("Q1", "A1-A2"), note="Holds itself.")
    assert describe(ladder).splitlines() == [
        "Ladder diagram 'Wash pump': 1 rung between the left rail, wire 1 (L), and the right rail, wire 2 (N). "
        "All devices are shown at rest.",
        "Rung 1: from the left rail, wire 1; "
        "normally closed contact of push button S1 (stop, red), terminals 11-12, to wire 3; "
        "2 branches in parallel from wire 3 to wire 4; "
        "branch 1: normally open contact of push button S2 (start), to wire 4; "
        "branch 2: normally open contact of contactor Q1, to wire 4; "
        "end of the 2 branches, at wire 4; "
        "coil of contactor Q1, terminals A1-A2, to the right rail, wire 2. Note: Holds itself.",
        "Contacts of Q1: normally open on rung 1.",
    ]


def test_a_branch_within_a_branch_is_numbered_with_a_point() -> None:
    text = describe(six_by_five())
    for words in ("branch 1: ", "branch 2: ", "branch 2.1: ", "branch 2.2: "):
        assert text.count(words) == 6


def test_loads_side_by_side_are_counted() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1"), coil("Q1"), lamp("P1", "green"))
    assert "2 loads in parallel from wire 3 to the right rail, wire 2; load 1: coil of contactor Q1" in describe(ladder)


def test_cross_references_are_said_by_kind() -> None:
    ladder = Ladder()
    ladder.rung(NO("Q1"), coil("Q1"))
    ladder.rung(NO("Q1") & NC("Q1") & NC("Q1"), lamp("P1"))
    assert describe(ladder).endswith(
        "Contacts of Q1: normally open on rungs 1 and 2, normally closed on rung 2 (2 contacts)."
    )


def test_a_coil_that_is_missing_or_has_no_contacts_is_said() -> None:
    ladder = Ladder()
    ladder.rung(NO("K1"), coil("Q1"))
    text = describe(ladder)
    assert "The coil of K1 is not in this ladder." in text
    assert "Q1 has no contacts in this ladder." in text


def test_a_ladder_without_rungs_says_so() -> None:
    assert "no rungs yet" in describe(Ladder("Cellar fan"))


@given(ladders())
@settings(deadline=None, max_examples=60)
def test_every_contact_and_load_is_said_with_the_wire_it_goes_to(ladder: Ladder) -> None:
    bare = Ladder("", [Device(device.tag, device.kind) for device in ladder.devices.values()])
    for rung in ladder.rungs:
        bare.rung(*([] if rung.contacts is None else [rung.contacts]), *rung.loads)
    rows = [line for line in describe(bare).splitlines() if line.startswith("Rung ")]
    for row, wired in zip(rows, wire_numbers(bare), strict=True):
        said = re.findall(
            r"normally (open|closed) contact of [a-z -]+ ([A-Z]\d+)(?:, terminals \S+)?, to wire (\d+)", row
        )
        kinds = {"open": "NO", "closed": "NC"}
        assert [(kinds[kind], tag, int(wire)) for kind, tag, wire in said] == [
            (item.item.kind, item.item.device, item.right)
            for item in wired.contacts  # type: ignore[union-attr]
        ]
        assert re.findall(r"(?:coil of [a-z ]+|pilot lamp) ([A-Z]\d+)", row) == [i.item.device for i in wired.loads]


def test_timers_and_counters_are_said_with_their_inputs_and_what_moves_their_contacts() -> None:
    rows = describe(counting()).splitlines()
    assert (
        "normally closed contact of counter K5 (bottles in this batch of the filling line), terminals 15-16" in rows[1]
    )
    assert "normally closed contact of timer relay K4 (time of the filling head), terminals 21-22, to wire" in rows[1]
    assert "normally open timed contact of timer relay K4 (time of the filling head), to wire" in rows[4]
    assert (
        "load 1: count-down input of counter K5 (bottles in this batch of the filling line), terminals D1-D2" in rows[3]
    )
    assert (
        "load 2: reset input of timer relay K4 (time of the filling head); load 3: reset input of counter K999"
        in rows[4]
    )
    assert "Contacts of K5: normally closed on rung 1." in rows
    assert "Contacts of K999: normally open on rung 4." in rows


def test_paths_that_run_down_are_told_from_the_top_rail_to_the_bottom_rail() -> None:
    ladder = Ladder("Cellar fan")
    ladder.rung(NO("S1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1"))
    assert describe(ladder, "down").splitlines() == [
        "Ladder diagram 'Cellar fan': 2 paths that run from top to bottom, numbered from left to right, between the "
        "top rail, wire 1 (L), and the bottom rail, wire 2 (N). All devices are shown at rest.",
        "Path 1: from the top rail, wire 1; normally open contact of push button S1, to wire 3; "
        "coil of contactor Q1, to the bottom rail, wire 2.",
        "Path 2: from the top rail, wire 1; normally open contact of contactor Q1, to wire 4; "
        "pilot lamp P1, to the bottom rail, wire 2.",
        "Contacts of Q1: normally open on path 2.",
    ]


def test_a_page_is_told_by_its_own_rungs_and_names_others_as_it_is_asked() -> None:
    ladder = Ladder()
    ladder.rung(NO("S1"), coil("Q1"))
    ladder.rung(NO("Q1"), coil("Q2"))
    first = describe(ladder, "across", (1,), lambda rung: f"{rung}.{rung}").splitlines()
    assert first[0].startswith("Ladder diagram: 2 rungs, of which 1 here between the left rail, wire 1 (L)")
    assert [line.split(":")[0] for line in first[1:]] == ["Rung 1", "Contacts of Q1"]
    assert first[-1] == "Contacts of Q1: normally open on rung 2.2."
