import pytest

from rungbook import Device, LadderError
from rungbook.behaviour import possible_steps, read_script, tell
from rungbook.kit import KINDS

PANEL = {
    tag: Device(tag, kind)
    for tag, kind in {
        "S1": "push button",
        "S2": "two-position selector",
        "S3": "emergency stop",
        "B1": "limit switch",
        "F1": "overload relay",
        "Q1": "contactor",
    }.items()
}


class TestSteps:
    def test_every_device_has_its_two_moves_and_the_supply_comes_last(self):
        assert [step.order for step in possible_steps(PANEL.values())] == [
            "press S1",
            "let S1 go",
            "turn S2 on",
            "turn S2 off",
            "strike S3",
            "unlatch S3",
            "reach B1",
            "leave B1",
            "trip F1",
            "reset F1",
            "switch the supply off",
            "switch the supply on",
        ]

    def test_what_was_done_is_told_in_the_past(self):
        assert [step.past for step in possible_steps([PANEL["S1"], PANEL["F1"]])] == [
            "S1 was pressed",
            "S1 was let go",
            "F1 tripped",
            "F1 was reset",
            "the supply was switched off",
            "the supply was switched on",
        ]

    def test_every_operated_kind_is_on_this_panel(self):
        assert {d.kind for d in PANEL.values()} >= {kind.name for kind in KINDS.values() if kind.operated}


class TestReading:
    @pytest.mark.parametrize("step", possible_steps(PANEL.values()), ids=str)
    def test_every_order_is_read_back(self, step):
        assert read_script(step.order, PANEL) == (step,)
        assert read_script([step.order], PANEL) == (step,)
        assert read_script(tell([step]), PANEL) == (step,)

    def test_a_told_sequence_is_read_back(self):
        steps = possible_steps(PANEL.values())
        assert tell(steps[:3]) == "Press S1. Let S1 go. Turn S2 on."
        assert read_script(tell(steps), PANEL) == steps

    @pytest.mark.parametrize(
        "script",
        [
            "press S1, let S1 go",
            "press S1; let S1 go",
            "press S1\nlet S1 go\n",
            "Press S1. Let S1 go.",
            "  PRESS   s1 ,, Let S1  Go ",
            ["press S1", "Let S1 go."],
            ("press S1", "", "let S1 go"),
        ],
    )
    def test_commas_dots_lines_blanks_and_capitals_do_not_matter(self, script):
        assert [step.order for step in read_script(script, PANEL)] == ["press S1", "let S1 go"]

    @pytest.mark.parametrize("script", ["", " , . ; \n", [], [""]])
    def test_nothing_is_no_step(self, script):
        assert read_script(script, PANEL) == ()

    @pytest.mark.parametrize("order", ["press S9", "turn S1 on", "press Q1", "push S1", "pressS1", "press S1 twice"])
    def test_an_unknown_order_lists_the_legal_ones(self, order):
        with pytest.raises(LadderError) as found:
            read_script(f"press S1, {order}", {"S1": PANEL["S1"]})
        assert str(found.value) == (
            f"Script: no such order here. Given: '{order}'. "
            "Choices: press S1, let S1 go, switch the supply off, switch the supply on."
        )

    @pytest.mark.parametrize("script", [[5], [None], ["press S1", ["let S1 go"]]])
    def test_an_order_that_is_no_text_is_refused(self, script):
        with pytest.raises(LadderError, match="Script: orders are text"):
            read_script(script, PANEL)

    @pytest.mark.parametrize("script", [None, 5])
    def test_a_script_that_is_neither_text_nor_a_list_is_refused(self, script):
        with pytest.raises(LadderError) as found:
            read_script(script, PANEL)
        assert (found.value.rule, found.value.value) == ("orders are text", script)

    def test_1000_steps_fit_and_1001_do_not(self):
        assert len(read_script("press S1," * 1000, PANEL)) == 1000
        with pytest.raises(LadderError) as found:
            read_script("press S1," * 1001, PANEL)
        assert str(found.value) == "Script: at most 1000 steps. Given: 1001."
