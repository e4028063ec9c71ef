"""Variants of every lab that has them: each gives its own solution full marks, and not another variant's.

A spread is tried in which every word becomes everything that it may become.
"""

import copy
from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest
from nbformat.notebooknode import NotebookNode

from labs.harness import marks
from rungbook.classroom.build import instructor_notebook, released_notebook
from rungbook.classroom.labs import Lab, find_labs
from rungbook.classroom.samples import Sample, filled, load_samples
from rungbook.classroom.variants import load_pools
from rungbook.grading.variants import Variant, choose, how_many

LABS = [lab for lab in find_labs(Path(__file__).parents[2]) if lab.variants.is_file()]
SECRET = b"the secret of these tests"


@cache
def spread(lab: Lab) -> tuple[Variant, ...]:
    """Few variants of invented students, in which every word becomes everything that it may become."""
    pools = load_pools(lab)
    wanted = {pair for pool in pools for n in range(pool.count) for pair in pool.choice(n).items()}
    all_of_them = [choose(pools, SECRET, lab.name, f"student {number}") for number in range(200)]
    found = []
    while wanted:
        found.append(max(all_of_them, key=lambda one: len(wanted & set(one.becomes.items()))))
        assert wanted & set(found[-1].becomes.items()), wanted
        wanted -= set(found[-1].becomes.items())
    return tuple(found)


CASES = [(lab, variant) for lab in LABS for variant in spread(lab)]
NAMES = [f"{lab.short}-{variant.name}" for lab, variant in CASES]


@cache
def notebooks(lab: Lab, variant_name: str) -> tuple[NotebookNode, NotebookNode]:
    """Of one of the variants tried: the instructor's notebook and the released one."""
    (variant,) = [one for one in spread(lab) if one.name == variant_name]
    source = instructor_notebook(lab, variant)
    return source, released_notebook(source)


def points(lab: Lab, variant: Variant, sample: Sample, answers_of: Variant | None = None) -> dict[str, float]:
    """Test cell -> points, of `sample` marked in `variant`; its solutions may be those of another variant."""
    source, released = notebooks(lab, variant.name)
    solved, _ = notebooks(lab, (answers_of or variant).name)
    results = marks(filled(lab, sample, solved, copy.deepcopy(released)), source)
    for cell, text in sample.says.items():
        assert text in results[cell].first
    return {cell: result.points for cell, result in results.items()}


def some_of(lab: Lab, variant: Variant) -> list[Sample]:
    """The samples that are tried in this variant: over the variants of the spread each one has its turn."""
    samples = load_samples(lab, variant)
    here, variants = [one.name for one in spread(lab)].index(variant.name), len(spread(lab))
    return [sample for number, sample in enumerate(samples) if number % variants == here]


def full_marks(lab: Lab, variant: Variant) -> dict[str, float]:
    cells = [cell for cell in notebooks(lab, variant.name)[0].cells if "nbgrader" in cell.metadata]
    return {cell["id"]: cell.metadata.nbgrader.points for cell in cells if cell.metadata.nbgrader.locked}


@pytest.mark.parametrize(
    ("lab", "variant"),
    [  # the first of each lab in every run
        pytest.param(lab, variant, id=name, marks=[] if variant == spread(lab)[0] else [pytest.mark.long])
        for (lab, variant), name in zip(CASES, NAMES, strict=True)
    ],
)
def test_a_variants_samples_get_the_marks_and_the_feedback_of_the_lab_as_it_stands(lab: Lab, variant: Variant) -> None:
    full = full_marks(lab, variant)
    for sample in (Sample("yew", "Y", "solution"), *some_of(lab, variant)):
        expected = {c: sample.marks.get(c, most if sample.others == "solution" else 0) for c, most in full.items()}
        assert points(lab, variant, sample) == expected, sample.student


@pytest.mark.parametrize("lab", LABS, ids=[lab.short for lab in LABS])
def test_a_solution_passed_on_to_another_variant_loses_marks(lab: Lab) -> None:
    for one, other in pairwise(spread(lab)):
        assert one.becomes != other.becomes
        got, full = points(lab, other, Sample("yew", "Y", "passed on"), answers_of=one), full_marks(lab, other)
        assert any(got[cell] < most for cell, most in full.items()), (one, other)


@pytest.mark.parametrize("lab", LABS, ids=[lab.short for lab in LABS])
def test_there_are_enough_variants_for_a_class(lab: Lab) -> None:
    assert how_many(load_pools(lab)) >= 20
