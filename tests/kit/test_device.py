import pytest

from rungbook.errors import LadderError
from rungbook.kit import KIND_OF_LETTER, Device, check_tag

LETTERS = (
    "S (push button), B (limit switch), F (overload relay), Q (contactor), K (control relay), P (pilot lamp), "
    "M (motor), T (control transformer)"
)


class TestDesignation:
    @pytest.mark.parametrize("tag", ["S1", "B9", "F10", "Q999", "K1", "P20", "M1"])
    def test_one_letter_and_1_to_999_is_a_designation(self, tag):
        assert check_tag("x", tag) == tag
        assert Device(tag).tag == tag

    @pytest.mark.parametrize(
        "tag", ["", "S", "S0", "S01", "S1000", "s1", "SS1", "S-1", " S1", "S1 ", "S1\n", "S１", "1S"]
    )
    def test_any_other_form_is_refused(self, tag):
        with pytest.raises(LadderError) as found:
            Device(tag)
        assert found.value.rule == "a designation is one capital letter and a number from 1 to 999, such as S1"
        assert found.value.value == tag
        assert found.value.choices == (LETTERS,)

    def test_a_letter_without_a_kind_is_refused(self):
        with pytest.raises(LadderError) as found:
            Device("X1")
        assert str(found.value) == (
            f"Device('X1'): the letter X stands for no kind of device here. Given: 'X1'. Choices: {LETTERS}."
        )

    @pytest.mark.parametrize("tag", [None, 1, True, 1.5, b"S1", ["S1"], {"S1": 1}])
    def test_a_designation_that_is_no_text_is_refused(self, tag):
        with pytest.raises(LadderError) as found:
            Device(tag)
        assert found.value.rule == "a device is named by text such as 'S1'"
        assert found.value.choices == ("S", "B", "F", "Q", "K", "P", "M", "T")

    def test_a_very_long_designation_is_not_printed_in_full(self):
        with pytest.raises(LadderError) as found:
            Device("S" * 100_000)
        assert len(str(found.value)) < 500


class TestKind:
    @pytest.mark.parametrize(("letter", "kind"), KIND_OF_LETTER.items())
    def test_left_out_the_letter_decides(self, letter, kind):
        assert Device(f"{letter}1").kind == kind

    def test_a_declared_kind_stands(self):
        assert Device("S1", "emergency stop").kind == "emergency stop"
        assert Device("S1", "emergency stop").spec.rest == "reset"

    def test_an_unknown_kind_lists_the_kinds(self):
        with pytest.raises(LadderError) as found:
            Device("S1", "lever")
        assert (found.value.thing, found.value.rule, found.value.value) == (
            "Device('S1')",
            "unknown kind of device",
            "lever",
        )
        assert found.value.choices == (
            "push button",
            "two-position selector",
            "emergency stop",
            "limit switch",
            "overload relay",
            "contactor",
            "control relay",
            "pilot lamp",
            "motor",
            "control transformer",
            "three-position selector",
            "manual motor starter",
            "fuse",
            "timer relay",
            "counter",
            "soft starter",
            "drive",
            "programmable relay",
        )

    def test_a_kind_of_another_letter_lists_the_kinds_of_this_letter(self):
        with pytest.raises(LadderError) as found:
            Device("S1", "contactor")
        assert found.value.rule == "a contactor has the letter Q (IEC 81346-2)"
        assert found.value.choices == (
            "push button",
            "two-position selector",
            "emergency stop",
            "three-position selector",
        )

    @pytest.mark.parametrize("kind", [5, ["push button"], True])
    def test_a_kind_that_is_no_text_is_refused(self, kind):
        with pytest.raises(LadderError, match="unknown kind of device"):
            Device("S1", kind)


class TestColourAndLabel:
    def test_an_unknown_colour_lists_the_colours(self):
        with pytest.raises(LadderError) as found:
            Device("S1", colour="pink")
        assert str(found.value) == (
            "Device('S1'): unknown colour. Given: 'pink'. Choices: red, yellow, green, blue, white, grey, black."
        )

    def test_a_colour_that_is_no_text_is_refused(self):
        with pytest.raises(LadderError, match="unknown colour"):
            Device("S1", colour=None)

    def test_a_label_of_200_characters_fits_and_201_do_not(self):
        assert Device("S1", label="x" * 200).label == "x" * 200
        with pytest.raises(LadderError, match="the label may have at most 200 characters, this has 201"):
            Device("S1", label="x" * 201)

    @pytest.mark.parametrize("label", ["two\nlines", "tab\there", "\x1b[31m", "\ud800", "\u202e"])
    def test_a_label_with_letters_that_do_not_print_is_refused(self, label):
        with pytest.raises(LadderError, match="the label must be one line of printable characters"):
            Device("S1", label=label)

    def test_a_label_that_is_no_text_is_refused(self):
        with pytest.raises(LadderError, match="the label must be text"):
            Device("S1", label=5)

    def test_the_name_in_a_sentence_carries_the_plate(self):
        assert Device("S2", label="start").name == "S2 (start)"
        assert Device("S2").name == "S2"


class TestRecord:
    def test_equal_devices_are_one_in_a_set(self):
        assert len({Device("S1"), Device("S1", "push button"), Device("S2")}) == 2

    def test_a_device_cannot_be_changed(self):
        with pytest.raises(AttributeError):
            Device("S1").kind = "contactor"
