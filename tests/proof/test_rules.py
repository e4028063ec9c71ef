import pytest
from hypothesis import given, settings

from oracle import Bench, possible_ends, walk
from rungbook import NC, NO, Device, Ladder, LadderError, coil, compare, lamp
from rungbook.behaviour import tell
from rungbook.proof import does_not_start, follows, holds_in, off_while, prove, pulls_in
from strategies import ladders

START, HOLD = pulls_in("Q1", when="press S2"), holds_in("Q1", after="let S2 go")
STOP, TRIP = off_while("Q1", "S1", "pressed"), off_while("Q1", "F1", "tripped")
POWER, RESET = does_not_start("Q1", by="switch the supply on"), does_not_start("Q1", by="reset F1")
ALL = {"start": START, "hold": HOLD, "stop": STOP, "trip": TRIP, "power": POWER, "reset": RESET}
PANEL = (Device("S1", label="stop"), Device("S2", label="start"), Device("F1"))


def pump(contacts):
    ladder = Ladder("Wash pump")
    ladder.rung(contacts, coil("Q1"))
    return ladder


def verdicts(ladder, devices=PANEL):
    """Name of rule -> outcome, and for a broken one the orders that break it."""
    proof = prove(ladder, *ALL.values(), devices=devices)
    return {
        name: verdict.outcome if verdict.outcome != "broken" else tell(verdict.steps) or "at rest"
        for name, verdict in zip(ALL, proof.verdicts, strict=True)
    }


RIGHT = dict.fromkeys(ALL, "holds")


class TestHoldingCircuit:
    def test_the_right_one_keeps_every_rule(self):
        ladder = pump(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"))
        assert verdicts(ladder) == RIGHT
        assert prove(ladder, *ALL.values())

    @pytest.mark.parametrize(
        "contacts",
        [
            NC("F1") & NC("S1") & (NO("Q1") | NO("S2")),
            (NO("S2") & NC("S1") | NO("Q1") & NC("S1")) & NC("F1"),
            NC("S1") & NC("F1") & NO("S2") | NC("S1") & NC("F1") & NO("Q1"),
        ],
    )
    def test_so_does_one_of_another_shape(self, contacts):
        assert verdicts(pump(contacts)) == RIGHT

    @pytest.mark.parametrize(
        ("contacts", "wrong"),
        [
            pytest.param(
                NC("S1") & NO("S2") & NC("F1"),
                {"hold": "Press S2. Let S2 go."},
                id="no holding contact",
            ),
            pytest.param(
                NO("S1") & (NO("S2") | NO("Q1")) & NC("F1"),
                {"start": "Press S2.", "hold": "not shown", "stop": "Press S1. Press S2."},
                id="stop wired normally open",
            ),
            pytest.param(
                NC("S2") & (NO("S1") | NO("Q1")) & NC("F1"),
                {"start": "Press S2.", "hold": "not shown", "stop": "Press S1."},
                id="start and stop swapped",
            ),
            pytest.param(
                NC("S1") & (NO("S2") | NO("Q1")),
                {"trip": "Press S2. Trip F1.", "reset": "not shown"},
                id="overload contact missing",
            ),
            pytest.param(
                ((NC("S1") & NO("S2")) | NO("Q1")) & NC("F1"),
                {"stop": "Press S2. Press S1."},
                id="holding contact around start and stop",
            ),
            pytest.param(
                NC("S1") & (NO("S2") | NC("Q1")) & NC("F1"),
                dict.fromkeys(ALL, "at rest"),
                id="held by a normally closed contact",
            ),
            pytest.param(
                NC("S1") & (NO("S2") | NO("Q1")) & NO("F1"),
                {
                    "start": "Press S2.",
                    "hold": "not shown",
                    "trip": "Press S2. Trip F1.",
                    "power": "holds",
                    "reset": "not shown",
                },
                id="overload contact of the wrong kind",
            ),
        ],
    )
    def test_a_wrong_one_breaks_these_rules_by_these_shortest_orders(self, contacts, wrong):
        assert verdicts(pump(contacts)) == RIGHT | wrong

    def test_two_wire_control_starts_by_itself_when_the_supply_returns_or_the_trip_is_reset(self):
        panel = (Device("S1"), Device("S2", "two-position selector"), Device("F1"))
        ladder = Ladder("Cellar fan", [*panel, Device("Q1")])
        ladder.rung(NO("S2") & NC("F1"), coil("Q1"))
        assert verdicts(ladder, panel) == {
            "start": "not shown",
            "hold": "not shown",
            "stop": "Turn S2 on. Press S1.",
            "trip": "holds",
            "power": "Turn S2 on. Switch the supply off. Switch the supply on.",
            "reset": "Turn S2 on. Trip F1. Reset F1.",
        }

    def test_a_motor_that_runs_at_rest_does_not_pull_in_by_the_button(self):
        assert verdicts(pump(NC("S1") & (NC("S2") | NO("Q1")) & NC("F1")))["start"] == "at rest"


class TestFeedback:
    def test_what_is_seen_expected_and_why_without_the_holding_contact(self):
        (verdict,) = prove(pump(NC("S1") & NO("S2") & NC("F1")), HOLD, devices=PANEL).verdicts
        assert str(verdict) == (
            "broken: Q1 holds in when you let S2 (start) go. Press S2. Let S2 go. Seen: Q1 drops out. "
            "Expected: Q1 holds in. There is no closed path around S2 (wires 3–4) after it opens."
        )

    def test_what_is_seen_expected_and_why_with_the_holding_contact_around_stop(self):
        (verdict,) = prove(pump(((NC("S1") & NO("S2")) | NO("Q1")) & NC("F1")), STOP).verdicts
        assert (verdict.seen, verdict.expected) == ("Q1 holds in", "Q1 drops out")
        assert verdict.why == "Current flows through NO Q1, NC F1 to Q1. No contact of S1 stands in this path."

    def test_what_is_seen_with_the_stop_wired_normally_open(self):
        (verdict,) = prove(pump(NO("S1") & (NO("S2") | NO("Q1")) & NC("F1")), START).verdicts
        assert (verdict.seen, verdict.expected) == ("Q1 stays out", "Q1 pulls in")
        assert verdict.why == "The way is interrupted: NO S1 (wires 1–3) is open while S1 is released."

    def test_one_contact_object_in_two_branches_is_named_by_the_wires_of_its_own_branch(self):
        trip = NC("F1")
        asked = Ladder()
        asked.rung(NO("S1") & NC("F1") | NO("S2"), coil("Q1"))
        mine = Ladder()
        mine.rung(NO("S1") & trip | NO("S2") & trip, coil("Q1"))
        different = compare(mine, asked)
        assert tell(different.steps) == "Trip F1. Press S2."
        assert different.why == "The way is interrupted: NC F1 (wires 5–4) is open while F1 is tripped."

    def test_a_rule_about_a_device_that_is_not_used_says_so(self):
        (verdict,) = prove(pump(NC("S1") & NO("S2")), TRIP).verdicts
        assert (verdict.outcome, verdict.why) == ("not shown", "F1 is not used in this ladder.")

    def test_a_rule_about_a_load_that_is_not_there_says_so(self):
        ladder = pump(NC("S1") & NO("S2"))
        (verdict,) = prove(ladder, off_while("Q7", "S1", "pressed")).verdicts
        assert (verdict.outcome, verdict.why) == ("not shown", "No rung ends in Q7.")
        (verdict,) = prove(ladder, pulls_in("Q7", when="press S2")).verdicts
        assert (verdict.outcome, verdict.seen, verdict.why) == ("broken", "Q7 stays out", "No rung ends in Q7.")

    def test_a_race_is_told(self):
        ladder = Ladder()
        ladder.rung(NO("S1") & NC("K2"), coil("K1"))
        ladder.rung(NO("S1") & NC("K1"), coil("K2"))
        (verdict,) = prove(ladder, pulls_in("K1", when="press S1")).verdicts
        assert (verdict.outcome, tell(verdict.steps)) == ("broken", "Press S1.")
        assert verdict.why.startswith("It depends on which relay is quicker.")


class TestInterlock:
    def elevator(self, first=None, second=None):
        ladder = Ladder("Apple elevator")
        way1, way2 = NC("S1") & (NO("S2") | NO("Q1")), NC("S1") & (NO("S3") | NO("Q2"))
        ladder.rung(way1 if first is None else way1 & first, coil("Q1"))
        ladder.rung(way2 if second is None else way2 & second, coil("Q2"))
        return ladder

    RULES = (off_while("Q1", "Q2", "in"), off_while("Q2", "Q1", "in"))

    def test_contacts_of_each_in_the_way_of_the_other_keep_it(self):
        proof = prove(self.elevator(NC("Q2"), NC("Q1")), *self.RULES)
        assert [verdict.outcome for verdict in proof.verdicts] == ["holds", "holds"]

    def test_without_them_both_pull_in(self):
        proof = prove(self.elevator(), *self.RULES)
        assert [(v.outcome, tell(v.steps)) for v in proof.verdicts] == [("broken", "Press S2. Press S3.")] * 2

    def test_a_contact_on_one_side_only_is_found_out_in_passing(self):
        # Q1 in, press S3: Q2 pulls in while Q1 is still in, and only then drops Q1 out
        proof = prove(self.elevator(NC("Q2")), *self.RULES)
        assert [(v.outcome, tell(v.steps)) for v in proof.verdicts] == [("broken", "Press S2. Press S3.")] * 2
        assert all(v.why.startswith("For a moment, while the relays change over: ") for v in proof.verdicts)

    def test_buttons_in_the_way_of_the_other_rung_alone_leave_it_to_the_quickness_of_relays(self):
        proof = prove(self.elevator(NC("S3"), NC("S2")), *self.RULES)
        assert {verdict.outcome for verdict in proof.verdicts} == {"broken"}

    def test_a_contactor_that_never_pulls_in_shows_nothing(self):
        proof = prove(self.elevator(NC("Q2"), NC("Q1") & NO("S4") & NC("S4")), *self.RULES)
        assert [verdict.outcome for verdict in proof.verdicts] == ["not shown", "not shown"]


class TestFollows:
    def ladder(self, contacts):
        ladder = pump(NC("S1") & (NO("S2") | NO("Q1")))
        ladder.rung(contacts, lamp("P1"))
        return ladder

    @pytest.mark.parametrize(
        ("contacts", "outcome"),
        [
            (NO("Q1"), ("holds", "")),
            (NC("Q1"), ("broken", "Nothing")),
            (NO("S2"), ("broken", "Press S1. Press S2.")),
            (NC("S1") & (NO("S2") | NO("Q1")), ("holds", "")),
        ],
    )
    def test_the_lamp_is_lit_exactly_while_the_contactor_is_in(self, contacts, outcome):
        (verdict,) = prove(self.ladder(contacts), follows("P1", "Q1", "in")).verdicts
        steps = tell(verdict.steps) or ("Nothing" if verdict.outcome == "broken" else "")
        assert (verdict.outcome, steps) == outcome
        assert verdict.sentence == "P1 is lit exactly while Q1 is in."

    def test_the_supply_off_does_not_count(self):
        (verdict,) = prove(self.ladder(NC("Q1")), follows("P1", "Q1", "out")).verdicts
        assert verdict.holds

    def test_a_contactor_that_never_moves_shows_nothing(self):
        ladder = pump(NO("S1") & NC("S1"))
        ladder.rung(NO("Q1"), lamp("P1"))
        assert prove(ladder, follows("P1", "Q1", "in")).verdicts[0].outcome == "not shown"


class TestMaking:
    @pytest.mark.parametrize(
        "order",
        ["press S2!", "press Q1", "press", "press B1", "Press S2", "", "switch the supply off, switch the supply on"],
    )
    @pytest.mark.parametrize(
        "make",
        [
            lambda order: pulls_in("Q1", when=order),
            lambda order: holds_in("Q1", after=order),
            lambda order: does_not_start("Q1", by=order),
        ],
    )
    def test_an_order_that_no_kind_of_device_understands_is_refused(self, make, order):
        with pytest.raises(LadderError) as found:
            make(order)
        assert "no such order" in found.value.rule

    @pytest.mark.parametrize(
        "make",
        [
            lambda tag: pulls_in(tag, when="press S2"),
            lambda tag: holds_in(tag, after="press S2"),
            lambda tag: does_not_start(tag, by="press S2"),
            lambda tag: off_while(tag, "S1", "pressed"),
            lambda tag: follows(tag, "S1", "pressed"),
        ],
    )
    @pytest.mark.parametrize("tag", ["S1", "M1", "F1"])
    def test_a_device_that_is_no_load_is_refused(self, make, tag):
        with pytest.raises(LadderError) as found:
            make(tag)
        assert found.value.rule == f"{tag} is no load of a control circuit"
        assert found.value.choices == ("Q (contactor)", "K (control relay)", "P (pilot lamp)")

    @pytest.mark.parametrize("make", [off_while, follows])
    @pytest.mark.parametrize(("tag", "position"), [("S1", "in"), ("Q1", "pressed"), ("S1", ""), ("supply", "on")])
    def test_a_position_that_the_device_cannot_have_is_refused(self, make, tag, position):
        with pytest.raises(LadderError) as found:
            make("Q2", tag, position)
        assert found.value.rule == f"{tag} has no such position"


# what each rule says, written again on the words of the second reading
def plain(state, but):
    return "supply" in state and not state & ({"S1", "S2", "F1"} - {but})


def second_reading(bench):
    """Rule -> (fewest orders that break it or None, whether it was put to the test)."""
    broken, tested = dict.fromkeys(ALL), dict.fromkeys(ALL, False)

    def breaks(name, orders):
        if broken[name] is None:
            broken[name] = orders

    for orders, before, moved, after in walk(bench):
        if after is None:
            for name in ALL:
                breaks(name, orders)
            continue
        on = bench.on("Q1", after)
        if before is None:
            if on:
                breaks("start", orders)
            was, before = False, frozenset({"supply"})
        else:
            was = bench.on("Q1", before)
        if moved == "S2" and "S2" in after and plain(before, "S2") and not was:
            tested["start"] = True
            if not on:
                breaks("start", orders)
        if moved == "S2" and "S2" not in after and plain(before, "S2") and was:
            tested["hold"] = True
            if not on:
                breaks("hold", orders)
        for name, device in (("stop", "S1"), ("trip", "F1")):
            tested[name] |= was and device not in before and device in after
            if device in after and on:
                breaks(name, orders)
        free = not after & {"S1", "S2"}
        for name, device, end in (("power", "supply", True), ("reset", "F1", False)):
            if moved != device:
                continue
            if (device in after) == end:
                if not was and on and free:
                    breaks(name, orders)
            else:
                tested[name] |= was and not on
    return broken, tested


class TestAgainstSecondReading:
    @given(ladders(plain=True, most=5))
    @settings(max_examples=150)
    def test_verdicts_and_the_number_of_orders_are_the_same(self, ladder):
        bench = Bench(ladder, ("S1", "S2", "F1"))
        bench.only_what_bears_on("Q1")  # what chatters elsewhere breaks no rule about Q1
        broken, tested = second_reading(bench)
        panel = (Device("S1"), Device("S2"), Device("F1"))
        for name, rule in ALL.items():
            (verdict,) = prove(ladder, rule, devices=panel).verdicts
            wanted = "broken" if broken[name] is not None else "holds" if tested[name] else "not shown"
            assert (name, verdict.outcome) == (name, wanted)
            if verdict.outcome == "broken":
                assert (name, len(verdict.steps)) == (name, broken[name])
                ends, stuck = possible_ends(bench, tuple(step.device for step in verdict.steps))
                on = verdict.seen.endswith(("pulls in", "holds in", "is in"))
                assert stuck if verdict.seen == "the coils chatter" else any(bench.on("Q1", end) == on for end in ends)
