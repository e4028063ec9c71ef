import math

import pytest

from rungbook.kit import ALL_KINDS, AUXILIARY_BLOCK, CATALOGUE
from rungbook.kit.catalogue import MODELS
from rungbook.kit.models import INVENTED


def pairs(name):
    return [block.terminals for block in CATALOGUE[name].contacts]


class TestRange:
    def test_no_two_models_have_one_name(self):
        assert len(CATALOGUE) == len(MODELS) == 26

    def test_there_is_a_model_of_every_kind(self):
        assert {model.kind for model in MODELS if model.kind} == set(ALL_KINDS)

    def test_every_accessory_fits_something_that_is_in_the_box(self):
        extras = [model for model in MODELS if not model.kind]
        assert [extra.name for extra in extras] == [
            "auxiliary block 2 NO + 2 NC",
            "mechanical interlock",
            "reversing link set",
            "starter auxiliary 1 NO + 1 NC",
            "starter trip contact 1 NO",
            "button block 1 NC + 1 NO",
            "emergency stop signal 1 NO",
        ]
        assert all(extra.slot and extra.fits for extra in extras)

    def test_every_rating_is_marked_as_invented(self):
        assert {model.source for model in MODELS} == {INVENTED}

    def test_every_rating_is_a_number_above_0(self):
        figures = [(model.name, figure) for model in MODELS for figure in model.ratings]
        assert [entry for entry in figures if not entry[1].value > 0] == []
        assert len(figures) > 40

    @pytest.mark.parametrize("model", [model for model in MODELS if model.kind], ids=lambda model: model.name)
    def test_a_load_has_two_terminals_and_the_figures_of_a_load(self, model):
        load = ALL_KINDS[model.kind].load
        assert (model.coil is not None) == (load == "coil")
        assert (model.lamp is not None) == (load == "lamp")
        if load:
            assert model.supply == {"coil": ("A1", "A2"), "lamp": ("X1", "X2")}[load]

    @pytest.mark.parametrize("model", [model for model in MODELS if model.kind], ids=lambda model: model.name)
    def test_every_contact_closes_as_its_kind_says(self, model):
        kind = ALL_KINDS[model.kind]
        assert [block.closed for block in model.contacts] == [
            kind.closed_in(block.kind, block.terminals) for block in model.contacts
        ]


class TestDevices:
    @pytest.mark.parametrize(
        ("name", "contacts"),
        [
            ("contactor", ["13-14"]),
            (AUXILIARY_BLOCK, ["21-22", "31-32", "43-44", "53-54"]),
            ("overload relay", ["95-96", "97-98"]),
            ("manual motor starter", []),
            ("push button", ["11-12", "23-24"]),
            ("three-position selector", ["13-14", "23-24", "31-32", "41-42"]),
            ("emergency stop", ["11-12", "21-22"]),
            ("eight-pin control relay", ["11-12", "11-14", "21-22", "21-24"]),
            ("multifunction timer", ["15-16", "15-18", "21-22", "21-24"]),
            ("control fuse 2 A", ["1-2"]),
        ],
    )
    def test_the_contacts_of_the_kit(self, name, contacts):
        assert pairs(name) == contacts

    def test_base_pins_of_the_relay_reach_every_terminal_once(self):
        relay = CATALOGUE["eight-pin control relay"]
        assert dict(relay.pins) == {1: "11", 2: "A1", 3: "14", 4: "12", 5: "22", 6: "24", 7: "A2", 8: "21"}
        assert sorted(relay.pins.values()) == sorted(relay.terminals)

    @pytest.mark.parametrize("name", ["contactor", "overload relay", "manual motor starter", "soft starter"])
    def test_main_poles_run_from_line_to_load(self, name):
        assert CATALOGUE[name].poles == (("1/L1", "2/T1"), ("3/L2", "4/T2"), ("5/L3", "6/T3"))

    def test_the_nameplate_of_the_motor_agrees_with_itself(self):
        plate = {figure.name: figure.value for figure in CATALOGUE["200 W training motor"].ratings}
        watts = math.sqrt(3) * plate["voltage, three-phase"] * plate["current"] * plate["power factor"]
        assert watts * plate["efficiency"] == pytest.approx(plate["shaft power"], rel=0.01)
        assert plate["speed"] < 1800  # 120 * 60 / 4 rpm, four poles

    def test_the_motor_lies_within_the_dials_that_protect_it(self):
        for name in ("overload relay", "manual motor starter"):
            dial = CATALOGUE[name].dial
            assert dial.lowest < 1.24 < dial.highest

    def test_the_catalogue_cannot_be_changed(self):
        with pytest.raises(TypeError):
            CATALOGUE["lever"] = MODELS[0]
