import pytest

from rungbook.errors import LadderError
from rungbook.kit import AUXILIARY_BLOCK, CATALOGUE, TRAINING_KIT, Fitted, Kit, fit


class TestFit:
    def test_contacts_of_the_accessory_follow_those_of_the_device(self):
        fitted = fit("contactor", AUXILIARY_BLOCK)
        assert [(block.terminals, block.kind, set(block.closed)) for block in fitted.contacts] == [
            ("13-14", "NO", {"in"}),
            ("21-22", "NC", {"out"}),
            ("31-32", "NC", {"out"}),
            ("43-44", "NO", {"in"}),
            ("53-54", "NO", {"in"}),
        ]
        assert fitted.terminals[:4] == ("A1", "A2", "13", "14")
        assert fitted.terminals[-8:] == ("21", "22", "31", "32", "43", "44", "53", "54")

    def test_a_starter_signals_by_its_accessories(self):
        fitted = fit("manual motor starter", "starter auxiliary 1 NO + 1 NC", "starter trip contact 1 NO")
        assert {block.terminals: set(block.closed) for block in fitted.contacts} == {
            "13-14": {"on"},
            "21-22": {"off", "tripped"},
            "97-98": {"tripped"},
        }

    def test_an_unknown_model_lists_the_catalogue(self):
        with pytest.raises(LadderError) as found:
            fit("lever")
        assert found.value.choices == tuple(CATALOGUE)

    @pytest.mark.parametrize(
        ("names", "rule"),
        [
            (("push button", AUXILIARY_BLOCK), f"no {AUXILIARY_BLOCK} fits a push button"),
            (
                ("contactor", AUXILIARY_BLOCK, AUXILIARY_BLOCK),
                f"{AUXILIARY_BLOCK} and {AUXILIARY_BLOCK} take the same place (front)",
            ),
            ((AUXILIARY_BLOCK,), "an accessory is fitted to a device and is none itself"),
            (("contactor", None), "no such model in the catalogue"),
        ],
    )
    def test_what_cannot_be_fitted_is_refused(self, names, rule):
        with pytest.raises(LadderError) as found:
            fit(*names)
        assert found.value.rule == rule

    def test_a_device_can_carry_what_it_has_a_free_place_for(self):
        assert [m.name for m in fit("contactor").could_carry()] == [
            AUXILIARY_BLOCK,
            "mechanical interlock",
            "reversing link set",
        ]
        assert [m.name for m in fit("contactor", AUXILIARY_BLOCK).could_carry()] == [
            "mechanical interlock",
            "reversing link set",
        ]
        assert fit("pilot lamp").could_carry() == ()

    def test_two_accessories_with_the_same_terminals_do_not_go_together(self):
        one = CATALOGUE[AUXILIARY_BLOCK]
        other = CATALOGUE["starter auxiliary 1 NO + 1 NC"]
        twin = type(one)("twin", contacts=other.contacts, fits=("contactor",), slot="rear")
        with pytest.raises(LadderError, match="contacts 13-14 and 13-14 share a terminal"):
            Fitted(CATALOGUE["contactor"], (twin,))


class TestKit:
    def test_a_designation_has_the_letter_of_its_kind(self):
        with pytest.raises(LadderError) as found:
            Kit("box", {"K1": fit("contactor")})
        assert found.value.rule == "a contactor has the letter Q (IEC 81346-2)"

    def test_a_designation_is_well_formed(self):
        with pytest.raises(LadderError, match="one capital letter and a number"):
            Kit("box", {"q1": fit("contactor")})

    def test_an_interlock_sits_on_two_contactors(self):
        locked = fit("contactor", "mechanical interlock")
        assert len(Kit("box", {"Q1": locked, "Q2": locked}).devices) == 2
        with pytest.raises(LadderError, match="a mechanical interlock sits on 2 devices; name it on each of them"):
            Kit("box", {"Q1": locked, "Q2": fit("contactor")})

    def test_a_device_that_is_not_there_lists_those_that_are(self):
        with pytest.raises(LadderError) as found:
            Kit("box", {"S1": fit("push button")}).device("Test", "S2")
        assert str(found.value) == "Test: no device S2 in the kit 'box'. Given: 'S2'. Choices: S1."

    def test_a_kit_cannot_be_changed(self):
        with pytest.raises(TypeError):
            TRAINING_KIT.devices["S9"] = fit("push button")

    def test_a_kit_keeps_what_it_was_made_from(self):
        devices = {"S1": fit("push button")}
        kit = Kit("box", devices)
        devices.clear()
        assert list(kit.devices) == ["S1"]

    def test_the_training_kit_has_a_device_of_every_kind(self):
        kinds = {fitted.model.kind for fitted in TRAINING_KIT.devices.values()}
        assert {model.kind for model in CATALOGUE.values() if model.kind} - kinds == set()
