"""What the feedback says of a wrong sample, a run of the student's own ladder shows too; so does the picture."""

import re
from pathlib import Path

import pytest

from labs.harness import marked
from rungbook import Ladder, run
from rungbook.classroom.labs import find_labs
from rungbook.classroom.samples import Sample, load_samples
from rungbook.grading import first_to_mend
from rungbook.grading.panel import on_panel
from rungbook.kit import Device
from rungbook.proof.tell import does

ROOT = Path(__file__).parents[2]
WRONG = [(lab, s) for lab in find_labs(ROOT) for s in load_samples(lab) if s.marks and s.others != "blank"]
# "Press S2. Let S2 go. Q1 drops out. Expected: …": the orders, and what one load does
_SEEN = re.compile(r"(?P<orders>.*\. |)(?P<seen>(?P<tag>[QKP]\d+) [a-z ]+)\. Expected: (?P<expected>([^.]|\.\d)+)\.")
_IN_TIME = r"{} (within|for at least) [0-9.]+ s"
_ROW = re.compile(r"([A-Z]\d+|supply)( asked)? +.*?(\w+) \W?_*=*\Z", re.ASCII)


def findings(lab, sample: Sample) -> list[tuple[Ladder, str]]:
    """(the student's ladder on the panel of the exercise, what was printed) of each test cell that marks a ladder."""
    return [
        (on_panel(one.answer, list(one.site)) if one.answer.rungs else one.answer, one.printed)
        for one in marked(lab, sample.student).values()
        if isinstance(one.answer, Ladder)
    ]


@pytest.mark.parametrize(("lab", "sample"), WRONG, ids=[f"{lab.short}-{sample.student}" for lab, sample in WRONG])
def test_the_printed_orders_run_on_the_students_ladder_show_what_the_feedback_says(lab, sample: Sample) -> None:
    for ladder, printed in findings(lab, sample):
        said = _SEEN.match(first_to_mend(printed))
        if said is None:
            continue  # nothing to mend, or no orders: a lens, an unfinished ladder
        orders = said["orders"].replace("Nothing is touched. ", "")
        trace = run(ladder, orders)
        words = Device(said["tag"]).spec.positions
        on = [words.index(moment.positions[said["tag"]]) == 1 for moment in trace.moments]
        assert bool(trace[-1].note) is ("It depends on which relay is quicker." in first_to_mend(printed))
        if any(device.spec.timed for device in ladder.declared or ()):  # what was before the last wait is no moment
            befores: tuple[bool | None, ...] = (True, False) if orders else (None,)
            seen = {does(said["tag"], before, on[-1]) for before in befores}
            expected = [does(said["tag"], before, not on[-1]) for before in befores]
            late = [_IN_TIME.format(claim) for claim in (*expected, *(does(said["tag"], b, b) for b in (True, False)))]
            if said["seen"].startswith(f"{said['tag']} is "):
                seen, expected = {f"{said['tag']} is {words[on[-1]]}"}, [f"{said['tag']} is {words[not on[-1]]}"]
            assert said["seen"] in seen
            assert any(re.fullmatch(claim, said["expected"]) for claim in (*expected, *late)), said["expected"]
        else:
            before = on[-2] if orders else None
            told = [does(said["tag"], before, now) for now in (on[-1], not on[-1])]
            if said["seen"].startswith(f"{said['tag']} is "):  # a moment of a story: where it stands, not what it does
                told = [f"{said['tag']} is {words[now]}" for now in (on[-1], not on[-1])]
            assert told == [said["seen"], said["expected"]]
        rows = [row.groups() for row in map(_ROW.match, printed.splitlines()) if row]
        assert bool(rows) is bool(orders), "a picture goes with orders"
        for tag, asked, word in rows:
            if tag == "supply":
                continue
            seen = trace[-1].positions[tag]
            assert word == (words[not on[-1]] if asked else seen), printed


def test_most_wrong_ladders_have_orders_to_replay() -> None:
    said = [_SEEN.match(first_to_mend(printed)) for lab, s in WRONG for _, printed in findings(lab, s)]
    assert sum(one is not None for one in said) >= 2 * len(find_labs(ROOT))


def test_pictures_fit_a_feedback_page() -> None:
    for lab, sample in WRONG:
        for _, printed in findings(lab, sample):
            picture = printed.partition("\norder ")[2].partition("\n\n")[0].splitlines()
            assert len(picture) <= 14
            assert all(len(line) <= 92 for line in picture)
