import pytest

from rungbook import Device
from rungbook.drawing.panel_faces import body
from rungbook.kit import TRAINING_KIT


def edges(tag, **more):
    """Names of the terminals at the upper and the lower edge, from the left."""
    model = TRAINING_KIT.devices[tag].model
    face = body(Device(tag, model.kind), "", TRAINING_KIT.devices[tag], 16.0, **more)
    pins = sorted(face.pins, key=lambda pin: pin.x)
    return [" ".join(pin.name for pin in pins if pin.side == side) for side in ("top", "bottom")]


class TestTerminals:
    def test_a_contactor_has_poles_coil_and_the_contacts_of_its_block(self):
        assert edges("Q1") == ["1/L1 3/L2 5/L3 A1 A2 13 21 31 43 53", "2/T1 4/T2 6/T3 14 22 32 44 54"]

    def test_what_hangs_below_covers_the_lower_poles(self):
        assert edges("Q1", covered=True)[1] == "14 22 32 44 54"

    def test_an_overload_relay_has_its_contacts_below(self):
        assert edges("F1") == ["", "95 96 97 98"]

    def test_a_changeover_has_its_common_terminal_below(self):
        assert edges("K1") == ["A1 12 14 22 24", "A2 11 21"]

    def test_a_timer_has_its_reset_input(self):
        assert edges("K4") == ["A1 16 18 22 24 R1", "A2 15 21 R2"]

    @pytest.mark.parametrize("tag", [tag for tag, one in TRAINING_KIT.devices.items() if one.terminals])
    def test_every_device_of_the_kit_shows_every_terminal_once(self, tag):
        fitted = TRAINING_KIT.devices[tag]
        face = body(Device(tag, fitted.model.kind), "", fitted, 16.0)
        shown = sorted(pin.name for pin in face.pins)
        hidden = {end for pole in fitted.model.poles for end in pole} if tag == "F1" else set()
        assert shown == sorted(set(fitted.terminals) - hidden)

    @pytest.mark.parametrize("tag", list(TRAINING_KIT.devices))
    def test_places_for_wires_stand_on_whole_units(self, tag):
        fitted = TRAINING_KIT.devices[tag]
        face = body(Device(tag, fitted.model.kind, label="press pump"), "", fitted, 16.0)
        assert all(x % 16 == 0 for pin in face.pins for x, _ in pin.holes)
        assert face.box[2] % 16 == 0


class TestWords:
    def test_contacts_are_told_apart_by_words_but_a_fuse_has_none(self):
        written = {}
        for tag in ("S1", "F2"):
            fitted = TRAINING_KIT.devices[tag]
            face = body(Device(tag, fitted.model.kind), "", fitted, 16.0)
            written[tag] = [text.words for text in face.texts if text.words in ("NO", "NC")]
        assert written == {"S1": ["NC", "NO"], "F2": []}

    def test_colour_plate_setting_and_model_are_written(self):
        fitted = TRAINING_KIT.devices["K4"]
        face = body(Device("K4", "timer relay", label="agitator", setting="on-delay 5 s"), "", fitted, 16.0)
        assert [text.words for text in face.texts][-4:] == ["K4", "agitator", "on-delay 5 s", "multifunction timer"]
        button = body(Device("S1", label="stop"), "red", TRAINING_KIT.devices["S1"], 16.0)
        assert [text.words for text in button.texts][-4:] == ["S1", "R", "stop", "push button"]
        assert len(button.rings) == 1
