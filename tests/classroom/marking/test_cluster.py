"""The same tasks sent to a Dask cluster give the same marks."""

import pytest

from classroom.small_class import FULL, Class, notebook
from rungbook.classroom.marking.engine import How
from rungbook.errors import LadderError


def test_marks_are_those_of_a_run_without_a_cluster(walls: None, new: Class) -> None:
    distributed = pytest.importorskip("distributed")
    for student in ("a", "b", "c"):
        new.hand_in(student, notebook(new.lab))
    new.hand_in("broken", b"{")
    with distributed.LocalCluster(n_workers=1, threads_per_worker=2, processes=True, dashboard_address=None) as cluster:
        marking = new.mark(How(cluster=cluster.scheduler_address, progress=False))
    assert sorted(entry["student"] for entry in marking.entries) == ["a", "b", "broken", "c"]
    for student in ("a", "b", "c"):
        assert new.grades(student) == FULL


def test_an_address_at_which_nothing_answers_is_named(new: Class) -> None:
    pytest.importorskip("distributed")
    new.hand_in("a", notebook(new.lab))
    with pytest.raises(LadderError, match="no scheduler answers"):
        new.mark(How(cluster="tcp://127.0.0.1:9", progress=False))
