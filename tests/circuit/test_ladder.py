import pytest

from rungbook import NC, NO, Device, Ladder, LadderError, coil, count_down, lamp, reset
from rungbook.circuit import Rung


@pytest.fixture
def pump():
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
    ladder.rung(NO("Q1"), lamp("P1", "green"), note="running")
    return ladder


class TestReading:
    def test_rungs_stand_in_the_order_in_which_they_were_added(self, pump):
        assert [rung.note for rung in pump.rungs] == ["", "running"]
        assert pump.rungs[1] == Rung(NO("Q1"), (lamp("P1", "green"),), "running")

    def test_rung_returns_the_rung(self):
        ladder = Ladder()
        assert ladder.rung(NO("S1"), coil("Q1")) == ladder.rungs[0]

    def test_devices_coils_lamps_and_inputs_in_reading_order(self, pump):
        assert list(pump.devices) == ["S1", "S2", "Q1", "F1", "P1"]
        assert pump.coils() == ("Q1",)
        assert pump.lamps() == ("P1",)
        assert pump.inputs() == ("S1", "S2", "F1")

    def test_undeclared_devices_are_the_usual_kind_of_their_letter(self, pump):
        assert pump.declared is None
        assert pump.devices["S1"] == Device("S1", "push button")

    def test_declared_devices_are_as_declared_and_unused_ones_do_not_count(self):
        panel = [Device("S1", "emergency stop", "red"), Device("S2"), Device("Q1")]
        ladder = Ladder("Mill", panel)
        ladder.rung(NC("S1"), coil("Q1"))
        assert ladder.devices == {"S1": panel[0], "Q1": panel[2]}
        assert ladder.declared == tuple(panel)
        assert ladder.rungs[0].device("S1").kind == "emergency stop"

    def test_a_rung_without_contacts_hangs_its_load_between_the_rails(self):
        ladder = Ladder()
        ladder.rung(lamp("P1", "white"))
        assert ladder.rungs[0].contacts is None
        assert ladder.rungs[0].all_contacts() == ()
        ladder.validate()

    def test_loads_stand_side_by_side(self):
        ladder = Ladder()
        ladder.rung(NO("S1"), coil("Q1"), lamp("P1"))
        assert [load.device for load in ladder.rungs[0].loads] == ["Q1", "P1"]

    def test_it_prints_as_it_is_typed(self, pump):
        assert repr(pump) == (
            "Ladder('Wash pump')\n"
            "   1  rung(NC('S1') & (NO('S2') | NO('Q1')) & NC('F1'), coil('Q1'))\n"
            "   2  rung(NO('Q1'), lamp('P1', 'green'), note='running')"
        )

    def test_equal_ladders_are_equal_and_any_change_shows(self, pump):
        def again(title="Wash pump", note="running", make=NO, colour="green", devices=None):
            ladder = Ladder(title, devices)
            ladder.rung(NC("S1") & (make("S2") | NO("Q1")) & NC("F1"), coil("Q1"))
            ladder.rung(NO("Q1"), lamp("P1", colour), note=note)
            return ladder

        assert again() == pump
        assert again(title="Press pump") != pump
        assert again(note="") != pump
        assert again(make=NC) != pump
        assert again(colour="red") != pump
        assert again(devices=[Device(tag) for tag in pump.devices]) != pump
        assert pump != "Wash pump"

    def test_one_contact_object_used_in_two_places_is_two_contacts(self):
        trip = NC("F1")
        ladder = Ladder()
        ladder.rung((NO("S1") & trip) | (NO("S2") & trip), coil("Q1"))
        first, second = (contact for contact in ladder.rungs[0].all_contacts() if contact.device == "F1")
        assert first == second
        assert first is not second


class TestRefusedRung:
    """Each refusal names what is wrong, and leaves the ladder as it was."""

    @pytest.mark.parametrize(
        ("parts", "message"),
        [
            (
                (),
                "Rung 3: is empty: a rung needs a load, and contacts before it. Choices: rung(NO('S1'), coil('Q1')).",
            ),
            (
                (NO("S3"),),
                "Rung 3: has no load at its end: it would short the supply when its contacts close. "
                "Choices: coil('Q1'), lamp('P1', 'green').",
            ),
            (
                (NO("S3"), coil("Q1")),
                "Rung 3: coil Q1 already ends rung 1; a coil is wired once. "
                "Put the second path in parallel on that rung with |. Given: 'Q1'.",
            ),
            (
                (NO("S3"), lamp("P1")),
                "Rung 3: lamp P1 already ends rung 2; a lamp is wired once. "
                "Put the second path in parallel on that rung with |. Given: 'P1'.",
            ),
            (
                (NO("S3"), coil("Q2"), coil("Q2")),
                "Rung 3: coil Q2 already ends rung 3; a coil is wired once. "
                "Put the second path in parallel on that rung with |. Given: 'Q2'.",
            ),
            (
                (coil("Q2"), NO("S3")),
                "Rung 3: coil('Q2') stands in a contact's place: contacts come before loads. Given: \"NO('S3')\".",
            ),
            (
                (NO("S3"), coil("Q2"), NO("S4"), coil("Q3")),
                "Rung 3: coil('Q2') stands in a contact's place: contacts come before loads. Given: \"NO('S4')\".",
            ),
            (
                (NO("S3"), NO("S4"), coil("Q2")),
                "Rung 3: contacts are one argument: join them with & (series) or | (parallel). Given: \"NO('S4')\".",
            ),
            (
                ("S3", coil("Q2")),
                "Rung 3: argument 1 is neither contact nor load. Given: 'S3'. "
                "Choices: NO('S1'), NC('S1'), coil('Q1'), lamp('P1').",
            ),
            (
                (NO("S3"), [coil("Q2")]),
                "Rung 3: argument 2 is neither contact nor load. Given: [coil('Q2')]. "
                "Choices: NO('S1'), NC('S1'), coil('Q1'), lamp('P1').",
            ),
            (
                (NO("S3"), *(coil(f"K{n}") for n in range(1, 12))),
                "Rung 3: at most 10 loads on one rung. Given: 11.",
            ),
        ],
    )
    def test_what_is_wrong_with_its_parts(self, pump, parts, message):
        before = pump.rungs
        with pytest.raises(LadderError) as found:
            pump.rung(*parts)
        assert str(found.value) == message
        assert pump.rungs == before

    @pytest.mark.parametrize(
        ("note", "rule"),
        [
            ("x" * 201, "the note may have at most 200 characters, this has 201"),
            ("a\nb", "the note must be one line of printable characters"),
            (None, "the note must be text"),
        ],
    )
    def test_a_note_is_one_short_line(self, pump, note, rule):
        before = pump.rungs
        with pytest.raises(LadderError) as found:
            pump.rung(NO("S3"), coil("Q2"), note=note)
        assert (found.value.thing, found.value.rule) == ("Rung 3", rule)
        assert pump.rungs == before

    def test_200_rungs_fit_and_201_do_not(self):
        ladder = Ladder()
        for n in range(1, 201):
            ladder.rung(NO("S1"), coil(f"K{n}"))
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("S1"), coil("K201"))
        assert str(found.value) == "Rung 201: at most 200 rungs. Given: 201."
        assert len(ladder.rungs) == 200


class TestClosedPanel:
    def panel(self):
        return Ladder("Mill", [Device("S1"), Device("Q1"), Device("P1", colour="green")])

    def test_a_contact_of_a_device_that_is_not_there_lists_what_is(self):
        ladder = self.panel()
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("S1") & NO("Q3"), coil("Q1"))
        assert str(found.value) == "Contact NO('Q3'): no device Q3 on this panel. Choices: P1, Q1, S1."
        assert ladder.rungs == ()

    def test_a_load_that_is_not_there_lists_what_is(self):
        ladder = self.panel()
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("S1"), coil("K1"))
        assert str(found.value) == "coil('K1'): no device K1 on this panel. Choices: P1, Q1, S1."
        assert ladder.rungs == ()

    def test_a_lens_is_the_one_on_the_panel(self):
        ladder = self.panel()
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("S1"), lamp("P1", "red"))
        assert (
            str(found.value)
            == "lamp('P1', 'red'): the lens of P1 on this panel is green. Given: 'red'. Choices: green."
        )
        ladder.rung(NO("S1"), lamp("P1", "green"))
        assert len(ladder.rungs) == 1

    def test_an_empty_panel_allows_nothing(self):
        with pytest.raises(LadderError, match="no device S1 on this panel"):
            Ladder("", []).rung(NO("S1"), coil("Q1"))


class TestMaking:
    def test_a_device_declared_twice_is_refused(self):
        with pytest.raises(LadderError) as found:
            Ladder("Mill", [Device("S1"), Device("S1", "emergency stop")])
        assert found.value.rule == "device S1 is declared twice"

    @pytest.mark.parametrize("devices", [["S1"], "S1", [None], [("S1", "push button")]])
    def test_what_is_no_device_is_refused(self, devices):
        with pytest.raises(LadderError) as found:
            Ladder("Mill", devices)
        assert found.value.rule == "devices are listed as Device records"
        assert found.value.choices == ("Device('S1')",)

    def test_200_devices_fit_and_201_do_not(self):
        assert len(Ladder("", (Device(f"S{n}") for n in range(1, 201))).declared) == 200
        with pytest.raises(LadderError, match="at most 200 devices"):
            Ladder("", (Device(f"S{n}") for n in range(1, 202)))

    @pytest.mark.parametrize("title", ["x" * 201, "a\nb", None, 5])
    def test_a_title_is_one_short_line(self, title):
        with pytest.raises(LadderError) as found:
            Ladder(title)
        assert found.value.rule.startswith("the title m")


class TestTerminals:
    def test_one_pair_of_a_device_in_two_places_is_refused(self):
        ladder = Ladder()
        ladder.rung(NO("S1") | NO("Q1", "13-14"), coil("Q1"))
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("Q1", "13-14"), lamp("P1"))
        assert str(found.value) == (
            "Contact NO('Q1', '13-14'): terminals 13-14 already stand on rung 1; one contact is one place."
        )
        assert len(ladder.rungs) == 1

    def test_also_twice_on_one_rung(self):
        with pytest.raises(LadderError, match="already stand on rung 1"):
            Ladder().rung(NO("S1", "13-14") | NO("S1", "13-14"), coil("Q1"))

    def test_rungs_that_begin_with_the_same_contacts_share_them(self):
        ladder = Ladder()
        ladder.rung(NC("S1", "11-12") & (NO("S2", "13-14") | NO("S3", "13-14")) & NO("S4"), coil("Q1"))
        ladder.rung(NC("S1", "11-12") & NO("S4"), coil("Q2"))
        ladder.rung(NC("S1", "11-12") & (NO("S2", "13-14") | NO("S3", "13-14")), coil("Q3"))
        assert len(ladder.rungs) == 3

    @pytest.mark.parametrize(
        "way",
        [
            NO("S4") & NC("S1", "11-12"),
            NC("F1", "95-96") & NC("S1", "11-12"),
            NC("S1", "11-12") | NO("S4"),
            NC("S1", "11-12") & NO("S4") & NC("F1", "95-96"),
            NC("S1", "11-12") & NC("S1", "11-12"),
        ],
    )
    def test_anywhere_else_the_same_pair_is_refused(self, way):
        ladder = Ladder()
        ladder.rung(NC("S1", "11-12") & NC("F1", "95-96") & NO("S2"), coil("Q1"))
        with pytest.raises(LadderError, match=r"already stand on rung [12]; one contact is one place"):
            ladder.rung(way, coil("Q2"))

    def test_behind_a_contact_without_terminals_nothing_is_shared(self):
        ladder = Ladder()
        ladder.rung(NO("S4") & NC("S1", "11-12"), coil("Q1"))
        with pytest.raises(LadderError, match="terminals 11-12 already stand on rung 1"):
            ladder.rung(NO("S4") & NC("S1", "11-12"), coil("Q2"))

    def test_another_pair_or_another_device_or_none_is_fine(self):
        ladder = Ladder()
        ladder.rung((NO("S1", "13-14") | NO("Q1", "13-14")) & NC("S1", "21-22"), coil("Q1"))
        ladder.rung(NO("Q1", "23-24") & NO("Q1") & NO("Q1"), lamp("P1"))
        assert len(ladder.rungs) == 2


class TestFinishedLadder:
    def test_no_rungs_is_no_ladder(self):
        with pytest.raises(LadderError) as found:
            Ladder("Wash pump").validate()
        assert str(found.value) == ("Ladder 'Wash pump': has no rungs yet; add one with .rung(contacts, load).")

    @pytest.mark.parametrize("tag", ["K7", "Q7"])
    def test_a_contact_whose_coil_is_on_no_rung_is_refused(self, pump, tag):
        pump.rung(NO("S3") & NC(tag), coil("Q2"))
        with pytest.raises(LadderError) as found:
            pump.validate()
        assert found.value.thing == f"Contact NC('{tag}') on rung 3"
        assert found.value.rule == f"no device {tag} with a coil in this ladder, so nothing moves the contact"
        assert found.value.choices[1] == "coils here: Q1, Q2"

    def test_a_coil_may_stand_below_its_contact(self):
        ladder = Ladder()
        ladder.rung(NO("K1"), lamp("P1"))
        ladder.rung(NO("S1"), coil("K1"))
        ladder.validate()
        assert ladder.coils() == ("K1",)


class TestFurtherInputs:
    def ladder(self, kind, setting):
        return Ladder("Filling line", [Device("B1"), Device("S2"), Device("K5", kind, setting=setting)])

    def test_coil_reset_and_count_down_of_one_device_stand_beside_each_other(self):
        ladder = self.ladder("counter", "up-down 3")
        for contact, load in ((NO("B1"), coil("K5")), (NC("B1"), count_down("K5")), (NO("S2"), reset("K5"))):
            ladder.rung(contact, load)
        ladder.validate()
        assert (ladder.coils(), ladder.lamps()) == (("K5",), ())

    @pytest.mark.parametrize(("make", "word"), [(reset, "reset input"), (count_down, "down input")])
    def test_each_input_is_wired_once(self, make, word):
        ladder = self.ladder("counter", "up-down 3")
        ladder.rung(NO("S2"), make("K5"))
        with pytest.raises(LadderError) as found:
            ladder.rung(NO("B1"), make("K5"))
        assert found.value.rule.startswith(f"{word} K5 already ends rung 1; a {word} is wired once")
        assert len(ladder.rungs) == 1

    def test_a_reset_without_a_coil_of_the_same_device_is_not_valid(self):
        ladder = self.ladder("counter", "up 3")
        ladder.rung(NO("S2"), reset("K5"))
        with pytest.raises(LadderError) as found:
            ladder.validate()
        assert found.value.thing == "reset('K5') on rung 1"
        assert found.value.rule == "the coil of K5 is on no rung, so there is nothing for this input to act on"
        ladder.rung(NO("B1"), coil("K5"))
        ladder.validate()

    @pytest.mark.parametrize(
        ("kind", "setting", "resets", "counts_down"),
        [
            ("counter", "up 3", True, False),
            ("counter", "down 3", True, False),
            ("counter", "up-down 3", True, True),
            ("counter", "", True, False),
            ("timer relay", "cumulative on-delay 2 s", True, False),
            ("timer relay", "on-delay 2 s", False, False),
            ("timer relay", "", False, False),
            ("control relay", "", False, False),
        ],
    )
    def test_a_declared_device_has_the_inputs_of_its_kind_and_setting(self, kind, setting, resets, counts_down):
        for make, has in ((reset, resets), (count_down, counts_down)):
            ladder = self.ladder(kind, setting)
            if has:
                ladder.rung(NO("S2"), make("K5"))
            else:
                with pytest.raises(LadderError) as found:
                    ladder.rung(NO("S2"), make("K5"))
                assert "input is that of a counter" in found.value.rule
                assert found.value.value.startswith(kind)
                assert found.value.choices[0].startswith("Device('K5', 'counter'")
                assert ladder.rungs == ()

    def test_an_undeclared_device_is_asked_later(self):
        ladder = Ladder("Filling line")
        ladder.rung(NO("B1"), coil("K5"))
        ladder.rung(NO("S2"), reset("K5"))
        ladder.validate()
