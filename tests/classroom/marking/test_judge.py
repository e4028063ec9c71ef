"""Test cells judge answers that are JSON, whatever that JSON claims."""

import pytest

from rungbook.classroom.marking.cage import Cage, Limits
from rungbook.classroom.marking.judge import run_test, taken
from rungbook.grading.handed import Handed


class TestTaken:
    @pytest.mark.parametrize("text", ["{", "[" * 100_000, "1" * 5000])
    def test_text_that_is_no_json_is_no_answer(self, text: str) -> None:
        assert taken("a", Handed("dict", text)) == Handed("dict", problem="Answer a: holds words and numbers only.")

    @pytest.mark.parametrize(("kind", "text"), [("dict", "[1]"), ("Ladder", "7"), ("list", "{}")])
    def test_json_of_another_kind_is_another_type(self, kind: str, text: str) -> None:
        assert taken("a", Handed(kind, text)) == Handed(f"another {kind}")


class TestRunTest:
    def test_the_last_value_is_displayed(self) -> None:
        assert run_test("print('a')\n3", {}) == [
            {"output_type": "stream", "name": "stdout", "text": "a\n"},
            {"output_type": "execute_result", "data": {"text/plain": "3"}, "metadata": {}, "execution_count": None},
        ]

    def test_an_error_shows_no_line_of_the_test(self) -> None:
        (made,) = run_test("secret = 1\nraise ValueError('told')", {})
        assert made["traceback"] == ["ValueError: told"]


def test_a_test_cell_that_never_ends_costs_itself_only() -> None:
    judge = Cage("judge")
    steps = [{"code": "while True: pass", "answers": {}}, {"code": "4", "answers": {}}]
    try:
        ran = judge.run(steps, {}, Limits(cell=1, wall=20, seconds=20))
    finally:
        judge.close()
    assert ran.outputs[0][0][0]["ename"] == "KeyboardInterrupt"
    assert ran.outputs[1][0][0]["data"] == {"text/plain": "4"}
