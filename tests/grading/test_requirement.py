import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, lamp
from rungbook.circuit.power import reversing
from rungbook.grading import Finding, lens, must, picks, predicts, same_as
from rungbook.proof import no_short_between_phases, off_while, pulls_in


def pump(contacts=None, colour="green"):
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) if contacts is None else contacts, coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", colour))
    return ladder


class TestFinding:
    def test_what_to_say_in_order(self):
        found = Finding(0, "Press S2.", "Q1 stays out", "Q1 pulls in", "The way is open.")
        assert found.parts() == ("Press S2. Q1 stays out.", "Expected: Q1 pulls in.", "The way is open.")
        assert Finding(0, because="The way is open.").parts() == ("The way is open.",)
        assert Finding(0, "Press S2.", "the coils chatter").parts() == ("Press S2. The coils chatter.",)
        assert Finding(0, "In the row S1 on:", "you wrote 'in'").parts() == ("In the row S1 on: you wrote 'in'.",)

    @pytest.mark.parametrize(("share", "met"), [(1, True), (0.99, False), (0, False)])
    def test_it_is_met_if_all_is_earned(self, share, met):
        assert Finding(share).met is met


class TestMust:
    def test_a_rule_that_holds_is_met(self):
        assert must(off_while("Q1", "S1", "pressed"), 5).judge(pump(), ()).met

    def test_a_broken_rule_tells_the_orders_and_where_to_look(self):
        found = must(off_while("Q1", "S1", "pressed"), 5, "rung 1").judge(pump(NO("S1")), ())
        assert (found.earned, found.done, found.seen, found.expected, found.look) == (
            0,
            "Press S1.",
            "Q1 pulls in",
            "Q1 stays out",
            "rung 1",
        )

    def test_a_rule_that_is_never_put_to_the_test_earns_nothing(self):
        found = must(off_while("Q1", "S1", "pressed"), 5).judge(pump(NO("S2")), ())
        assert (found.earned, found.because) == (
            0,
            "Q1 is out whenever S1 is pressed: not shown. S1 is not used in this ladder.",
        )

    def test_the_devices_of_the_exercise_are_on_the_panel_though_the_ladder_forgot_them(self):
        found = must(off_while("Q1", "S1", "pressed"), 5).judge(pump(NO("S2")), (Device("S1"),))
        assert (found.done, found.seen) == ("Press S2. Press S1.", "Q1 holds in")

    def test_chatter_at_rest_is_told_though_nothing_was_done(self):
        found = must(pulls_in("Q1", when="press S2"), 5).judge(pump(NC("Q1") | NO("S2")), ())
        assert (found.done, found.seen) == ("Nothing is touched.", "the coils chatter")


def elevator(up=(), down=()):
    ladder = Ladder("Apple elevator")
    for tag, start, lock in (("Q1", "S2", up), ("Q2", "S3", down)):
        way = NC("S1") & (NO(start) | NO(tag))
        for contact in lock:
            way = way & contact
        ladder.rung(way, coil(tag))
    return ladder


class TestMustOnThePowerSide:
    ASK = must(no_short_between_phases(), 10, "the interlock", power=reversing())

    def test_an_interlock_of_contactors_is_met(self):
        assert self.ASK.judge(elevator([NC("Q2")], [NC("Q1")]), ()).met

    def test_without_one_the_orders_and_the_short_are_told(self):
        found = self.ASK.judge(elevator(), ())
        assert (found.earned, found.done, found.expected, found.look) == (
            0,
            "Press S2. Press S3.",
            "no two phases are joined",
            "the interlock",
        )
        assert found.seen.startswith("L1 and L3 are shorted: ")

    def test_buttons_alone_short_for_a_moment_while_the_contactors_change_over(self):
        found = self.ASK.judge(elevator([NC("S3")], [NC("S2")]), ())
        assert found.because.startswith("For a moment, while the relays change over: ")

    def test_an_interlock_of_armatures_counts(self):
        ask = must(no_short_between_phases(), 10, power=reversing(), mechanical_interlock=[("Q1", "Q2")])
        assert ask.judge(elevator(), ()).met

    def test_an_answer_that_lacks_a_contactor_earns_nothing_and_waits_for_nobody(self):
        found = self.ASK.judge(pump(), ())
        assert (found.earned, found.because, found.undecided) == (0, "No rung ends in Q2.", False)

    def test_no_power_circuit_is_refused_when_the_exercise_is_written(self):
        with pytest.raises(LadderError, match=r"must: power is a PowerCircuit\. Given: 'reversing'"):
            must(no_short_between_phases(), 10, power="reversing")


class TestSameAs:
    def test_the_same_is_met_and_another_is_told(self):
        ask = same_as(pump(), 5)
        assert ask.judge(pump((NO("Q1") | NO("S2")) & NC("S1")), ()).met
        found = ask.judge(pump(NC("S1") & NO("S2")), ())
        assert (found.done, found.seen, found.expected) == ("Press S2. Let S2 go.", "Q1 drops out", "Q1 holds in")

    def test_it_names_the_loads_of_the_asked_ladder_or_those_chosen(self):
        assert same_as(pump(), 5).sentence == "Q1 and P1 do as asked in every case."
        assert same_as(pump(), 5, ["P1"]).sentence == "P1 does as asked in every case."


class TestLens:
    ASK = lens("P1", 2, ["green"], "the pump runs")

    def test_the_right_colour_is_met(self):
        assert self.ASK.judge(pump(), ()).met

    def test_another_colour_says_what_it_means(self):
        found = self.ASK.judge(pump(colour="red"), ())
        assert (found.earned, found.seen, found.expected) == (0, "The lens of P1 is red", "green")
        assert found.because == "By IEC 60073 red means danger or fault. P1 tells: the pump runs."

    def test_no_colour_is_not_met(self):
        assert self.ASK.judge(pump(colour=""), ()).seen == "P1 has no colour"

    @pytest.mark.parametrize(("colour", "met"), [("green", True), ("red", False), ("black", False)])
    def test_a_colour_declared_with_the_device_counts_as_the_lens(self, colour, met):
        ladder = Ladder("", [Device("S1"), Device("P1", colour=colour)])
        ladder.rung(NO("S1"), lamp("P1"))
        assert self.ASK.judge(ladder, ()).met is met

    def test_no_lamp_is_not_met(self):
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q1"))
        assert self.ASK.judge(ladder, ()).because == "No rung ends in P1."

    def test_a_colour_that_no_lamp_has_is_the_instructors_mistake(self):
        with pytest.raises(LadderError, match="unknown colour of a lamp"):
            lens("P1", 2, ["black"], "x")


class TestPredicts:
    def test_what_is_right_is_found_by_doing_it(self):
        ask = predicts(pump(), "P1", ["press S2, let S2 go", "press S1"], 4)
        assert ask.judge({"press S2, let S2 go": "lit", "press S1": "dark"}, ()).met

    def test_a_wrong_word_is_told_with_the_reason(self):
        found = predicts(pump(), "Q1", ["press S2, let S2 go"], 4).judge({"press S2, let S2 go": "out"}, ())
        assert found.parts() == (
            "Press S2. Let S2 go. You wrote 'out'.",
            "Expected: Q1 is in.",
            "Current flows through NC S1, NO Q1 to Q1.",
        )

    def test_a_word_that_is_none_lists_the_words(self):
        found = predicts(pump(), "Q1", ["press S2"], 4).judge({"press S2": "on"}, ())
        assert found.seen == "You wrote 'on'; the words are out and in"

    @pytest.mark.parametrize("script", ["press S2, press S2", "press S9"])
    def test_a_script_that_cannot_be_done_is_the_instructors_mistake(self, script):
        with pytest.raises(LadderError):
            predicts(pump(), "Q1", [script], 4)

    def test_so_is_a_race(self):
        ladder = Ladder()
        ladder.rung(NO("S1") & NC("K2"), coil("K1"))
        ladder.rung(NO("S1") & NC("K1"), coil("K2"))
        with pytest.raises(LadderError, match="the script must be possible and have one outcome"):
            predicts(ladder, "K1", ["press S1"], 4)

    def test_so_is_a_ladder_that_chatters_at_rest_no_script_and_an_output_that_is_not_there(self):
        ladder = Ladder()
        ladder.rung(NC("K1"), coil("K1"))
        with pytest.raises(LadderError, match="the ladder must come to rest"):
            predicts(ladder, "K1", [""], 4)
        with pytest.raises(LadderError, match="needs at least one script"):
            predicts(pump(), "Q1", [], 4)
        with pytest.raises(LadderError, match="no device Q9 on this ladder"):
            predicts(pump(), "Q9", ["press S2"], 4)


class TestPicks:
    def test_capitals_in_the_right_words_do_not_matter(self):
        ask = picks({"stop": ("NC",)}, 4, {})
        assert all(ask.judge({"stop": word}, ()).met for word in ("NC", "nc", " Nc "))

    def test_a_wrong_word_is_told_with_the_reason_of_its_field(self):
        ask = picks({"stop": ("NC",), "start": ("NO",)}, 4, {"start": "A start closes."})
        found = ask.judge({"stop": "NC", "start": "NC"}, ())
        assert (found.earned, found.parts()) == (0.5, ("start: you wrote 'NC'.", "A start closes."))

    def test_part_of_a_right_word_is_wrong(self):
        ask = picks({"stop": ("nc",)}, 4, {})
        assert [ask.judge({"stop": word}, ()).earned for word in ("n", "", "ncc", None, ["nc"])] == [0] * 5

    @pytest.mark.parametrize("right", [{}, {"stop": "nc"}, {"stop": ()}, {"stop": ("",)}, {"stop": (1,)}])
    def test_no_field_or_no_words_is_the_instructors_mistake(self, right):
        with pytest.raises(LadderError, match="picks: "):
            picks(right, 4, {})
