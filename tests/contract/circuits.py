"""Circuits that every reading must agree on. One line a rung: `S2'` is a normally closed contact, `>` ends in loads.

Control circuits of the trade as taught (common practice), logic forms, helping relays, and shapes made to be awkward.
"""

import re

from rungbook import NC, NO, Ladder, coil, lamp

CIRCUITS = {
    # one contact, one load
    "make contact": "S1 > Q1",
    "break contact": "S1' > Q1",
    "lamp on the rail": "> P1",
    "coil on the rail": "> Q1 ; Q1 > P1",
    # logic forms
    "and": "S1 & S2 > P1",
    "or": "S1 | S2 > P1",
    "nand": "S1' | S2' > P1",
    "nor": "S1' & S2' > P1",
    "exclusive or": "S1 & S2' | S1' & S2 > P1",
    "equal": "S1 & S2 | S1' & S2' > P1",
    "majority": "S1 & S2 | S2 & S3 | S1 & S3 > P1",
    "never": "S1 & S1' > P1",
    "always": "S1 | S1' > P1",
    "implication": "S1' | S2 > P1",
    "product of sums": "(S1 | S2) & (S3 | S4) > P1",
    "sum of products": "S1 & S2 | S3 & S4 > P1",
    "nested": "S1 & (S2 | S3 & (S4 | S5')) > P1",
    "deep": "S1 | S2 & (S3 | S4 & (S5 | S6 & (S7 | S8))) > P1",
    "wide": "S1 & S2 | S3 & S4 | S5 & S6 | S7 & S8 > P1",
    # two-wire and three-wire control
    "two-wire": "S1 & F1' > Q1 ; Q1 > P1 ; Q1' > P2",
    "two-wire, two places": "(S1 | S2) & F1' > Q1",
    "two-wire with limit": "S1 & B1' & F1' > Q1",
    "holding": "S1' & (S2 | Q1) & F1' > Q1 ; Q1 > P1",
    "holding, start dominant": "S2 | S1' & Q1 > Q1",
    "holding, two stations": "S1' & S3' & (S2 | S4 | Q1) & F1' > Q1",
    "holding, three stations": "S1' & S3' & S5' & (S2 | S4 | S6 | Q1) & F1' > Q1 ; Q1 > P1 ; Q1' > P2",
    "holding with emergency stop": "S9' & S1' & (S2 | Q1) & F1' > Q1 ; Q1 > P1 ; F1 > P3",
    "holding, trip lamp": "S1' & (S2 | Q1) & F1' > Q1 ; F1 > P1",
    "seal around both": "(S1' & S2 | Q1) & F1' > Q1",
    "no holding": "S1' & S2 & F1' > Q1",
    "stop as make contact": "S1 & (S2 | Q1) > Q1",
    "two loads": "S1' & (S2 | Q1) > Q1, P1",
    "three loads": "S1' & (S2 | Q1) > Q1, Q2, P1",
    # jog and selectors
    "jog without holding": "S1' & (S2 | S3' & Q1 | S3) & F1' > Q1",
    "jog by relay": "S1' & (S2 | K1) > K1 ; K1 | S3 > Q1 ; Q1 > P1",
    "hand off": "(S1 | S2 & B1) & F1' > Q1",
    "hold to run, two hands": "S1 & S2 & B1' > Q1",
    # sequence
    "second only after first": "S1' & (S2 | Q1) > Q1 ; S3' & (S4 | Q2) & Q1 > Q2",
    "three in order": "S1' & (S2 | Q1) > Q1 ; Q1 & (S3 | Q2) > Q2 ; Q2 & (S4 | Q3) > Q3",
    "stop in reverse order": "(S1' | Q2) & (S2 | Q1) > Q1 ; S3' & (S4 | Q2) & Q1 > Q2",
    "relay chain": "S1 > K1 ; K1 > K2 ; K2 > K3 ; K3 > K4 ; K4 > P1",
    "relay chain, inverted": "S1 > K1 ; K1' > K2 ; K2' > K3 ; K3' > P1",
    "permissive": "B1 & B2' > K1 ; S1' & (S2 | Q1) & K1 > Q1 ; K1' > P1",
    "first out": "S1 & K2' | K1 > K1 ; S2 & K1' & S1' | K2 > K2",
    "master relay": "S9' & (S8 | K1) > K1 ; K1 & S1' & (S2 | Q1) > Q1 ; K1 & S3' & (S4 | Q2) > Q2",
    # reversing
    "reversing, electrical interlock": "S1' & (S2 | Q1) & Q2' > Q1 ; S1' & (S3 | Q2) & Q1' > Q2",
    "reversing, buttons": "S1' & (S2 | Q1) & S3' & Q2' & F1' > Q1 ; S1' & (S3 | Q2) & S2' & Q1' & F1' > Q2",
    "reversing with limits": "S1' & (S2 | Q1) & B1' & Q2' > Q1 ; S1' & (S3 | Q2) & B2' & Q1' > Q2",
    "reversing, no interlock": "S1' & (S2 | Q1) > Q1 ; S1' & (S3 | Q2) > Q2",
    "to and fro": "S1' & (S2 | B2 | Q1) & B1' & Q2' > Q1 ; S1' & (B1 | Q2) & B2' & Q1' > Q2",
    # relays among themselves
    "two relays and lamps": "S1 | K1 & S2' > K1 ; K1 & S3 > K2 ; K1 & K2' > P1 ; K2 > P2",
    "set and reset": "S1 > K1 ; S2 > K2 ; (K1 | K3) & K2' > K3 ; K3 > P1",
    "binary half": "S1 & K1' | K2 & S1' > K2 ; K2 & S1' | K1 & S1 > K1",
    "lamp test": "S1 | Q1 > P1 ; S1 | Q1' > P2 ; S2 & S1' > Q1",
    "lock out after trip": "F1 | K1 & S1' > K1 ; S2 & K1' > Q1 ; K1 > P1",
    "one lamp of three": "S1 & S2' & S3' > P1 ; S1' & S2 & S3' > P2 ; S1' & S2' & S3 > P3",
    "coil that is on at rest": "S1' > K1 ; K1' > Q1 ; Q1' & K1 > P1",
    "all off relay": "S1' & S2' & S3' > K1 ; K1' > P1",
    "contact shared by two rungs": "S1 & S2 > Q1 ; S1 & S3 > Q2 ; S1' > P1",
    "twelve contacts in series": "S1 & S2 & S3' & S4' & S5' & S6' & S7' & S8' & B1' & B2' & F1' & F2' > Q1",
    "twelve contacts in parallel": "S1 | S2 | S3 | S4 | S5 | S6 | S7 | S8 | B1 | B2 | F1 | F2 > Q1",
    "ladder of branches": "(S1 | S2 & S3') & (S4 | S5 & (S6' | S7)) & (F1' | S8) > Q1 ; Q1 & S1 | Q1' & S2 > P1",
}

_CONTACT = re.compile(r"([A-Z]\d+)('?)")


def build(name: str) -> Ladder:
    """The ladder of a circuit by its name."""
    ladder = Ladder(name)
    for line in CIRCUITS[name].split(";"):
        way, loads = line.split(">")
        code = _CONTACT.sub(lambda found: f"{'NC' if found[2] else 'NO'}({found[1]!r})", way).strip()
        contacts = [eval(code, {"NO": NO, "NC": NC})] if code else []
        ends = [lamp(tag) if tag.startswith("P") else coil(tag) for tag in loads.replace(" ", "").split(",")]
        ladder.rung(*contacts, *ends)
    return ladder
