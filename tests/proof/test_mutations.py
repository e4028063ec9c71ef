"""Every single-contact mutation of every lab solution: proved the same, or refused with orders that a run confirms."""

import ast
from collections import Counter
from pathlib import Path

import pytest

from labs.harness import run_cell
from mutants import single_contact_mutants
from rungbook import NC, NO, Device, Ladder, LadderError, coil, run
from rungbook.classroom.build import instructor_notebook
from rungbook.classroom.labs import find_labs
from rungbook.proof import compare

LABS = find_labs(Path(__file__).parents[2])


def marked_ladders(lab) -> dict[str, Ladder]:
    """The solution's ladders that the lab's test cells mark, by name."""
    namespace: dict = {"__name__": "__main__"}
    found = {}
    for cell in instructor_notebook(lab).cells:
        if cell.cell_type != "code":
            continue
        run_cell(cell.source, namespace)
        for node in ast.walk(ast.parse(cell.source)):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "mark" and node.args:
                name = ast.literal_eval(node.args[0])
                if isinstance(namespace.get(name), Ladder):
                    found[name] = namespace[name]
    return found


SOLUTIONS = {f"{lab.short} {name}": ladder for lab in LABS for name, ladder in marked_ladders(lab).items()}


#: solutions of which no mutation is made, and why; every other one must be definite
LEFT_OUT: dict[str, str] = dict.fromkeys(
    ("lab06 interlock", "lab06 mended", "lab12 elevator", "lab12 by_wire"),
    "with contacts of the contactors alone as interlock, two start buttons held at once are a race: the lab shows it",
)


def open_because(ladder: Ladder) -> str:
    """Why `compare` cannot ask for it: the outcome hangs on which relay is quicker; "" if it can."""
    try:
        found = compare(ladder, ladder)
    except LadderError as problem:
        return str(problem)
    return "" if found else found.why


DEFINITE = {name: ladder for name, ladder in SOLUTIONS.items() if name not in LEFT_OUT}


def fate(mutant: Ladder, asked: Ladder) -> str:
    """ "same", "run differs", or why the run does not decide: "race", "chatter". Fails if the run contradicts."""
    found = compare(mutant, asked)
    if found.outcome == "same":
        return "same"
    assert found.outcome == "different", found
    orders = [step.order for step in found.steps]
    mine, wanted = run(mutant, orders)[-1], run(asked, orders)[-1]
    loads = (*asked.coils(), *asked.lamps())
    if any(mine.positions[tag] != wanted.positions[tag] for tag in loads):
        return "run differs"
    if "race" in mine.note or "It depends on which relay is quicker." in str(found):
        return "race"  # the run lets one of the relays win
    if "chatter" in mine.note:
        return "chatter"
    raise AssertionError(f"{mutant}\n{found}\nThe run shows no difference: {dict(mine.positions)}")


def test_ladders_of_the_first_labs_are_found_and_definite():
    assert {name for name in DEFINITE if name < "lab03"} == {
        "lab01 fan",
        "lab01 lamps",
        "lab01 guarded",
        "lab01 mended",
        "lab02 holding",
        "lab02 emergency",
        "lab02 mended",
    }


def test_every_solution_is_definite_or_is_listed_with_the_reason_why_not():
    found = {name: open_because(ladder) for name, ladder in SOLUTIONS.items()}
    unlisted = {name: reason for name, reason in found.items() if reason and name not in LEFT_OUT}
    assert unlisted == {}, "list it in LEFT_OUT, with the reason, and try its mutations by other means"
    assert [name for name in LEFT_OUT if not found.get(name)] == [], "listed in LEFT_OUT though nothing speaks for it"


@pytest.mark.parametrize("name", DEFINITE)
def test_each_mutation_is_the_same_or_is_refused_with_orders_that_the_run_confirms(name):
    asked = DEFINITE[name]
    fates = Counter((kind, fate(mutant, asked)) for kind, mutant in single_contact_mutants(asked))
    print(f"{name}: {dict(fates)}")
    assert fates["drop", "run differs"] > 0
    assert fates["swap", "same"] == 0


def test_mutations_of_a_holding_circuit_are_all_there():
    ladder = Ladder("", map(Device, ("S1", "S2", "Q1")))  # so that a run knows a button that a mutant lacks
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1")), coil("Q1"))
    found = Counter((kind, fate(mutant, ladder)) for kind, mutant in single_contact_mutants(ladder))
    assert found == {
        ("swap", "run differs"): 3,
        ("drop", "run differs"): 3,
        ("rename", "run differs"): 6,
        ("move", "same"): 2,  # (S2 | Q1) & S1 and S1 & (Q1 | S2): the same circuit drawn otherwise
        ("move", "run differs"): 10,
    }
