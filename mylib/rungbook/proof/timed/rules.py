"""Rules about times: how soon, or how late, a load comes on or goes off after an order."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.behaviour.timers import MAX_PRESET, is_number
from rungbook.errors import LadderError
from rungbook.kit import Device
from rungbook.proof.rules.orders import given
from rungbook.proof.rules.rule import Rule, always, never
from rungbook.proof.rules.words import check_load, checked_order, device_of, named


@dataclass(frozen=True)
class TimedRule(Rule):
    """A claim about the time from an order to what a load does. `tested` says of which orders it speaks.

    order: the bench order from which the time counts; device: whose order it is. micro: the time [us]. on: True if the
    load is to come on, False if it is to go off. early: True if it must not do so before the time is up, False if it
    must have done so by then. expected: the claim as a clause.
    """

    order: str = ""
    device: str = ""
    micro: int = 0
    on: bool = True
    early: bool = False
    expected: str = ""


def comes_within(output: str, seconds: float, *, after: str) -> Rule:
    """`output` is on at most `seconds` after the order `after`, if nothing else is touched.

    Exact meaning: wherever any sequence of orders, at any instants, has brought the panel: if the supply is on, every
    other operated device at rest and `output` off, and then the order is given and nothing else touched (a button may
    be let go at any moment), `output` is at rest on at some moment up to `seconds` later, that moment included,
    whichever relay is quicker. Tested if it comes on once.
    Raises LadderError if `output` is no load, `after` is no order, or `seconds` is no time from 1 us to 100 h.
    """
    return _rule("comes_within", output, seconds, after, on=True, early=False)


def stays_off_for(output: str, seconds: float, *, after: str) -> Rule:
    """`output` is off for at least `seconds` after the order `after`, if nothing else is touched.

    Exact meaning: under the conditions of `comes_within`, and if no timer but a flashing one is running when the order
    is given, `output` is off at rest at every moment less than `seconds` after it. Tested if, in such a case, it comes
    on later. Raises LadderError as `comes_within`.
    """
    return _rule("stays_off_for", output, seconds, after, on=True, early=True)


def goes_off_within(output: str, seconds: float, *, after: str) -> Rule:
    """`output` is off at most `seconds` after the order `after`, if nothing else is touched: the end of a run-on.

    Exact meaning: as `comes_within`, with `output` on before the order and off later. Raises LadderError as that.
    """
    return _rule("goes_off_within", output, seconds, after, on=False, early=False)


def stays_on_for(output: str, seconds: float, *, after: str) -> Rule:
    """`output` is on for at least `seconds` after the order `after`, if nothing else is touched: a run-on.

    Exact meaning: as `stays_off_for`, with `output` on before the order and at every moment less than `seconds` after
    it. Tested if, in such a case, it goes off later. Raises LadderError as `comes_within`.
    """
    return _rule("stays_on_for", output, seconds, after, on=False, early=True)


_CLAUSES = {  # (load, is it about coming on, is it "not before") -> the claim
    ("coil", True, False): "pulls in within {time}",
    ("coil", True, True): "stays out for at least {time}",
    ("coil", False, False): "drops out within {time}",
    ("coil", False, True): "holds in for at least {time}",
    ("lamp", True, False): "lights within {time}",
    ("lamp", True, True): "stays dark for at least {time}",
    ("lamp", False, False): "goes dark within {time}",
    ("lamp", False, True): "stays lit for at least {time}",
}


def _rule(thing: str, output: str, seconds: float, after: str, *, on: bool, early: bool) -> TimedRule:
    check_load(thing, output)
    order = checked_order(thing, after)
    if not is_number(seconds) or not 1 <= round(seconds * 1_000_000) <= MAX_PRESET * 1_000_000:
        raise LadderError(thing, "a time is a number of seconds, more than 0 and at most 100 h", seconds, ("5",))
    clause = _CLAUSES[Device(output).spec.load, on, early].format(time=f"{seconds:g} s")
    device = device_of(order)
    return TimedRule(
        f"{output} {clause} after you {named(order)}.",
        output,
        (device,),
        given(order, device, output, on_before=not on),
        never,
        always,
        protects=early and on,
        order=order,
        device=device,
        micro=round(seconds * 1_000_000),
        on=on,
        early=early,
        expected=f"{output} {clause}",
    )
