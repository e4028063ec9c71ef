"""Fault-finding with a meter: what each reading excludes, the best next one, and what a hunt is worth.

Enters: a sound `Ladder` or `Board`, and the acts of a person on that board with one hidden fault. Leaves: readings in
V and ohm, the suspects that are left after each, the best strategy (readings needed), and a share of points. Logic
only, without a notebook: `bench` puts it into a student's hands, `grading` judges with it.

`leads` names where a meter can be put, `rig` is a board in a person's hands, `suspects` what can be wrong and how an
answer names it, `stages` the stated set of operations and readings, `evidence` what each suspect shows there,
`partition` how readings divide what is left, `search` a hunt act by act, `account` what its acts had shown, `seal` the
token that hides the fault, `case` all of that for one circuit, `judge` the marks.
"""

from rungbook.proof.hunt.account import Account, Step, account, best_hunt
from rungbook.proof.hunt.case import Case
from rungbook.proof.hunt.evidence import Evidence, NextReading
from rungbook.proof.hunt.judge import Judgement, judge
from rungbook.proof.hunt.leads import Leads
from rungbook.proof.hunt.partition import Best, Cost, Tree, best_division, bits, division, told_apart
from rungbook.proof.hunt.rig import Rig
from rungbook.proof.hunt.seal import lab_key, seal, unseal
from rungbook.proof.hunt.search import BUDGET, Row, Search
from rungbook.proof.hunt.stages import Probe, Stage, stages
from rungbook.proof.hunt.suspects import Claims, number_of, suspects

__all__ = [
    "BUDGET",
    "Account",
    "Best",
    "Case",
    "Claims",
    "Cost",
    "Evidence",
    "Judgement",
    "Leads",
    "NextReading",
    "Probe",
    "Rig",
    "Row",
    "Search",
    "Stage",
    "Step",
    "Tree",
    "account",
    "best_division",
    "best_hunt",
    "bits",
    "division",
    "judge",
    "lab_key",
    "number_of",
    "seal",
    "stages",
    "suspects",
    "told_apart",
    "unseal",
]
