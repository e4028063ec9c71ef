"""Pictures made by doing the orders of a finding again: they show what the finding says, in races and chatter too."""

import pytest

from rungbook import NC, NO, Device, Ladder, coil, compare, lamp, prove
from rungbook.grading import must, same_as
from rungbook.grading.replay import difference_picture, rule_picture
from rungbook.proof import does_not_start, holds_in, never_together, off_while, pulls_in


def circuit(*rungs, devices=None):
    ladder = Ladder("", devices)
    for contacts, load in rungs:
        ladder.rung(contacts, load)
    return ladder


def pump(contacts):
    return circuit((contacts, coil("Q1")), (NO("Q1"), lamp("P1", "green")))


def shown(ladder, rule):
    (verdict,) = prove(ladder, rule).verdicts
    assert verdict.outcome == "broken"
    return rule_picture(ladder, (), rule, verdict).splitlines()


def test_a_broken_rule_shows_what_was_moved_what_changed_the_output_and_what_is_asked_at_the_end():
    assert shown(pump(NC("S1") & NO("S2")), holds_in("Q1", after="let S2 go")) == [
        "order     at rest     press S2   let S2 go",
        "S2        _ released _/ pressed =\\ released _",
        "P1        _ dark _____/ lit =====\\ dark _____",
        "Q1        _ out ______/ in ======\\ out ______",
        "Q1 asked                         = in =======",
    ]


def test_a_difference_shows_what_is_asked_from_the_beginning():
    mine, asked = pump(NC("S1") & NO("S2")), pump(NC("S1") & (NO("S2") | NO("Q1")))
    assert difference_picture(mine, asked, ["Q1"], compare(mine, asked, ["Q1"])).splitlines() == [
        "order     at rest     press S2   let S2 go",
        "S2        _ released _/ pressed =\\ released _",
        "P1        _ dark _____/ lit =====\\ dark _____",
        "Q1        _ out ______/ in ======\\ out ______",
        "Q1 asked  _ out ______/ in ======= in =======",
    ]


def test_the_supply_is_a_line_of_its_own_and_high_while_it_is_on():
    found = shown(circuit((NO("Q1") | NC("S1"), coil("Q1"))), does_not_start("Q1", by="switch the supply on"))
    assert [line for line in found if line.startswith("supply")] == ["supply    = on ===\\ off _____/ on ======"]


def test_in_a_race_the_way_is_shown_that_ends_as_the_finding_says():
    race = circuit((NO("S1") & NC("Q2"), coil("Q1")), (NO("S1") & NC("Q1"), coil("Q2")))
    for tag, other in (("Q1", "Q2"), ("Q2", "Q1")):
        found = shown(race, pulls_in(tag, when="press S1"))
        assert [line.split()[-2] for line in found[-3:]] == ["in", "out", "in"], found
        assert [line.split()[0] for line in found[-3:]] == [other, tag, tag]


def test_a_state_that_is_only_passed_through_says_so():
    both = circuit((NO("S1"), coil("Q1")), (NC("S1"), coil("Q2")))
    found = shown(both, off_while("Q2", "Q1", "in"))
    assert "for a moment" in " ".join(found[:3])
    assert [line.split()[-2] for line in found[-3:]] == ["in", "in", "out"]


def test_coils_that_chatter_are_a_zigzag():
    found = shown(circuit((NO("S1") & NC("K1"), coil("K1"))), pulls_in("K1", when="press S1"))
    assert found == [
        "order  at rest     press S1",
        "S1     _ released _/ pressed ======",
        "K1     _ out ______/ chatters /\\/\\/",
    ]


def test_what_chatters_elsewhere_is_left_out():
    ladder = pump(NC("S1") & NO("S2"))
    ladder.rung(NO("S2") & NC("K1"), coil("K1"))
    assert shown(ladder, holds_in("Q1", after="let S2 go"))[1:] == [
        "S2        _ released _/ pressed =\\ released _",
        "Q1        _ out ______/ in ======\\ out ______",
        "Q1 asked                         = in =======",
    ]


def test_of_a_rule_made_of_others_the_part_that_is_broken_is_shown():
    rule = pulls_in("Q1", when="press S2") & off_while("Q1", "S1", "pressed")
    found = shown(pump((NC("S1") | NO("Q1")) & NO("S2")), rule)
    assert [line.split()[0] for line in found] == ["order", "S2", "S1", "P1", "Q1", "Q1"]
    assert [line.split()[-2] for line in found[-2:]] == ["in", "out"]


def test_a_rule_about_two_loads_shows_both_and_asks_nothing_of_one_alone():
    both = circuit((NO("S1"), coil("Q1")), (NO("S2"), coil("Q2")))
    found = shown(both, never_together("Q1", "Q2"))
    assert {line.split()[0] for line in found[1:]} == {"S1", "S2", "Q1", "Q2"}
    assert not any(" asked" in line for line in found)


def test_nothing_touched_is_no_sequence_and_has_no_picture():
    assert must(off_while("Q1", "F1", "tripped"), 1).judge(circuit((NC("F1"), coil("Q1"))), ()).picture == ""
    assert same_as(pump(NO("S2")), 1).judge(pump(NC("S2")), ()).picture == ""


@pytest.mark.parametrize("devices", [(), (Device("S2", "two-position selector"),)])
def test_the_panel_of_the_exercise_decides_the_words(devices):
    rule = off_while("Q1", "F1", "tripped")
    found = must(rule, 1).judge(circuit((NO("S2") | NO("F1") & NC("F1"), coil("Q1"))), devices)
    assert ("turn S2 on" in found.picture) is bool(devices)


def test_of_a_joined_rule_the_part_is_shown_whose_devices_the_orders_move():
    ladder = circuit((NO("S2") | NO("Q1"), coil("Q1")), devices=[Device("S1"), Device("S2"), Device("Q1")])
    both = holds_in("Q1", after="let S2 go") & off_while("Q1", "S1", "pressed")
    (verdict,) = prove(ladder, both).verdicts
    lines = rule_picture(ladder, ladder.declared, both, verdict).splitlines()
    assert [line.split()[0] for line in lines] == ["order", "S2", "S1", "Q1", "Q1"]
