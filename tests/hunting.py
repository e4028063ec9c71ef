"""The wash pump for hunts, and faults of it by their sentence."""

from functools import cache

from rungbook import NC, NO, Ladder, coil, lamp
from rungbook.proof.hunt import Case, Rig


def wash_pump():
    """The holding circuit of lab 02."""
    ladder = Ladder("Wash pump")
    ladder.rung(NC("S1") & (NO("S2") | NO("Q1", "13-14")) & NC("F1", "95-96"), coil("Q1"))
    ladder.rung(NO("Q1", "23-24"), lamp("P1", "green"))
    return ladder


@cache
def wash_case():
    return Case(wash_pump(), "lab07")


def fault_of(case, device, words):
    """The fault that an answer names."""
    (found,) = case.claims.faults(case.claims.read(device, words))
    return found


def faulty(device, words, case=None):
    """The board with the fault that an answer names, in hand."""
    case = case or wash_case()
    return Rig(case.board, case.leads, fault_of(case, device, words))


def token_of(device, words, salt=""):
    case = wash_case()
    return case.token(fault_of(case, device, words), salt)
