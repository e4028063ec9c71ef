"""Which real contact of the kit each contact of a ladder becomes, and which of its terminals lies on which node."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from rungbook.circuit.ladder import Ladder
from rungbook.circuit.parts import INPUTS, LOAD_TERMINALS, Contact, Load
from rungbook.circuit.sharing import Plan, as_drawn, least, plans
from rungbook.circuit.wires import Wired
from rungbook.errors import LadderError
from rungbook.kit import ALL_KINDS, NC_KIND, NO_KIND, OverloadSetting, StarterSetting, contact_kind, parse_setting
from rungbook.kit.inventory import Fitted, Kit
from rungbook.kit.models import ContactBlock
from rungbook.tables import listed

_WORDS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


@dataclass(frozen=True)
class Landed:
    """A contact or load with its nodes (`wired`) and the terminals on them, such as "11" and "14".

    rung: from 1; the first of those that share it.
    """

    wired: Wired
    left: str
    right: str
    rung: int


def plan_on(ladder: Ladder, kit: Kit, moves: bool = True) -> Plan:
    """Return the plan by which `ladder` is wired on `kit`: as drawn if it can be, else with contacts that rungs share.

    Shared is only what is short, after as few changes of order as can be. moves: False leaves every rung in its order.
    Raises LadderError as `allocate`.
    """
    ladder.validate()
    for tag in ladder.devices:
        check_part(ladder, tag, kit.device(f"wire {ladder.title!r}", tag), kit.name)
    drawn = as_drawn(ladder)
    short = [tag for tag in ladder.devices if not carries(drawn.items, tag, kit.devices[tag])]
    if not short:
        return drawn

    def works(plan: Plan) -> bool:
        return all(carries(plan.items, tag, kit.devices[tag]) for tag in (*short, *ladder.devices))

    found = next(filter(works, plans(ladder, short, moves)), None)
    if found is not None:
        return least(found, works)
    shared = next(plans(ladder, short, moves=False))
    for tag in short:
        if carries(shared.items, tag, kit.devices[tag]):
            continue
        try:
            contacts_on(drawn.items, tag, kit.devices[tag])
        except LadderError as error:
            if error.thing != f"wire {tag}":  # it is not told which contact is meant
                raise
            tried = "" if "the kit has none" in error.rule else _tried(drawn, tag)
            raise LadderError(error.thing, error.rule + tried, choices=error.choices) from None
    raise AssertionError(f"{short} are short of contacts, and nothing says so")


def allocate(ladder: Ladder, kit: Kit, plan: Plan | None = None) -> tuple[Landed, ...]:
    """Give every contact and load of `ladder` its terminals on a device of `kit`, in reading order.

    plan: how the rungs are wired; left out `plan_on(ladder, kit)`. What rungs share is given once.

    Terminals that the ladder names are kept. The others get the first free contact in the order of the catalogue
    that closes in the same positions. The two contacts of a changeover are both used only if they meet at one node,
    for they have one terminal in common.

    Raises LadderError if the ladder is not valid, the kit lacks a device or has another kind of that name, a setting
    lies outside its dial, a contact is not told by its kind alone (which position of a selector), named terminals are
    not there, or the kit has too few contacts: then it says which accessory cures that.
    """
    plan = plan or plan_on(ladder, kit)
    first: dict[int, int] = {}
    for number, rung in enumerate(plan.rungs, 1):
        for place in rung.places:
            first.setdefault(place, number)
    blocks: dict[int, ContactBlock] = {}
    for tag in ladder.devices:
        blocks |= contacts_on(plan.items, tag, kit.devices[tag])
    commons = _commons([(wired, blocks[k]) for k, wired in enumerate(plan.items) if k in blocks])
    landed = []
    for k, wired in enumerate(plan.items):
        n = first[k]
        if isinstance(wired.item, Load):
            landed.append(_load(wired, kit.devices[wired.item.device], n))
        else:
            common, other = blocks[k].ends
            node = commons[wired.item.device, common]
            left, right = (common, other) if node == wired.left else (other, common)
            pair = blocks[k].terminals
            named = replace(wired.item, terminals=pair if contact_kind(pair) else "")
            landed.append(Landed(replace(wired, item=named), left, right, n))
    return tuple(landed)


def check_part(ladder: Ladder, tag: str, fitted: Fitted, kit: str) -> None:
    """Raise LadderError if `fitted` is no device of the kind of `tag`, or its dial does not reach the setting."""
    device = ladder.devices[tag]
    if fitted.model.kind != device.kind:
        theirs, ours = _article(fitted.model.kind), _article(device.kind)
        rule = f"{tag} is {theirs} in the kit {kit!r} and {ours} in the ladder"
        raise LadderError(f"wire {ladder.title!r}", rule, tag, (f"Device({tag!r}, {fitted.model.kind!r})",))
    _check_dial(fitted, parse_setting(device), tag)


def contacts_on(items: Sequence[Wired], tag: str, fitted: Fitted) -> dict[int, ContactBlock]:
    """Return place in `items` -> contact of `fitted`, for every contact of `tag`. Raises LadderError as `allocate`."""
    wanted = {k: w for k, w in enumerate(items) if isinstance(w.item, Contact) and w.item.device == tag}
    if not wanted:
        return {}
    return dict(zip(wanted, _choose_or_tell(tag, tuple(wanted.values()), fitted), strict=True))


def carries(items: Sequence[Wired], tag: str, fitted: Fitted) -> bool:
    """True if `fitted` has a contact for every contact of `tag` among `items`."""
    try:
        contacts_on(items, tag, fitted)
    except LadderError:
        return False
    return True


def _tried(drawn: Plan, tag: str) -> str:
    """What there is to say about rungs that could share a contact of `tag`, or ""."""
    rungs: dict[Contact, list[int]] = {}
    beside: list[int] = []
    for n, chain in enumerate(drawn.chains, 1):
        for part in chain:
            if isinstance(part, Contact) and part.device == tag:
                rungs.setdefault(part, []).append(n)
            elif any(one.device == tag for one in part.contacts()) and n not in beside:
                beside.append(n)
    common = sorted({n for places in rungs.values() if len(places) > 1 for n in places})
    if common:
        return f"; that rungs {listed(common)} share one was tried and is not enough"
    if beside and len(beside) + len(rungs) > 1:
        return (
            f"; no rungs can share one, for it stands beside others in rung{'s' * (len(beside) > 1)} {listed(beside)}"
        )
    return ""


def _check_dial(fitted: Fitted, setting: object, tag: str) -> None:
    dial = fitted.model.dial
    if not dial or not isinstance(setting, OverloadSetting | StarterSetting):
        return
    if not dial.lowest <= setting.amps <= dial.highest:
        rule = f"the dial of {tag} goes from {dial.lowest:g} A to {dial.highest:g} A"
        raise LadderError(f"Setting of {tag}", rule, f"{setting.amps:g} A")


def _load(wired: Wired, fitted: Fitted, rung: int) -> Landed:
    assert isinstance(wired.item, Load)
    left, right = fitted.model.supply
    if wired.item.kind in INPUTS:
        left, right = LOAD_TERMINALS[wired.item.kind].split("-")
        if left not in fitted.terminals:
            rule = f"the {fitted.model.name} has no such input, {left}-{right}"
            raise LadderError(str(wired.item), rule, wired.item.device, fitted.terminals)
    return Landed(replace(wired, item=replace(wired.item, terminals=f"{left}-{right}")), left, right, rung)


def _meet(one: Wired, other: Wired) -> set[int]:
    """The nodes at which both end."""
    return {one.left, one.right} & {other.left, other.right}


def _commons(pairs: Sequence[tuple[Wired, ContactBlock]]) -> dict[tuple[str, str], int]:
    """(device, first terminal of a contact) -> its node: where both contacts of a changeover meet, else the left."""
    users: dict[tuple[str, str], list[Wired]] = {}
    for wired, block in pairs:
        users.setdefault((wired.item.device, block.ends[0]), []).append(wired)
    nodes = {}
    for key, (first, *others) in users.items():
        shared = _meet(first, others[0]) if others else {first.left}
        nodes[key] = first.left if first.left in shared else first.right
    return nodes


def _choose_or_tell(tag: str, wanted: Sequence[Wired], fitted: Fitted) -> list[ContactBlock]:
    contacts = [wired.item for wired in wanted if isinstance(wired.item, Contact)]
    for contact in contacts:
        _check_told(tag, contact, fitted)
    chosen = choose(wanted, fitted)
    if chosen is not None:
        return chosen
    cures = [extra.name for extra in fitted.could_carry() if choose(wanted, _with(fitted, extra.name))]
    cure = f"; fit {_article(cures[0])}" if cures else _detour(fitted)
    for kind in (NO_KIND, NC_KIND):
        usual = ALL_KINDS[fitted.model.kind].closed_in(kind)
        timed = any(block.timed for block in fitted.contacts)
        alike = {
            block.terminals
            for block in fitted.contacts
            if block.kind == kind and block.closed == usual and block.timed == timed
        }
        needs = sum(contact.kind == kind and contact.terminals in alike | {""} for contact in contacts)
        has = len(alike)
        if needs > has:
            of = f"{kind} contact{'s' if needs > 1 else ''} of {tag}"
            raise LadderError(
                f"wire {tag}", f"needs {_count(needs)} {of}; the kit has {_count(has) if has else 'none'}{cure}"
            )
    counts = " and ".join(f"{_count(sum(c.kind == kind for c in contacts))} {kind}" for kind in (NO_KIND, NC_KIND))
    rule = (
        f"needs {counts} contacts of {tag}; the two contacts of a changeover have their first terminal in common, so "
        f"both are of use only where they meet at one node{cure}"
    )
    raise LadderError(f"wire {tag}", rule, choices=tuple(block.terminals for block in fitted.contacts))


def _with(fitted: Fitted, name: str) -> Fitted:
    extra = next(extra for extra in fitted.could_carry() if extra.name == name)
    return Fitted(fitted.model, (*fitted.accessories, extra))


def _count(number: int) -> str:
    return _WORDS[number] if number < len(_WORDS) else str(number)


def _article(name: str) -> str:
    return f"an {name}" if name[0] in "aeio" else f"a {name}"


def _detour(fitted: Fitted) -> str:
    if fitted.load == "coil":
        return "; no accessory cures it; a control relay with its coil beside this one gives further contacts"
    return "; no accessory cures it; let it move a control relay and use the contacts of that"


def _check_told(tag: str, contact: Contact, fitted: Fitted) -> None:
    """Raise LadderError if `contact` names terminals that are not there, or must name some to be told."""
    there = {block.terminals: block for block in fitted.contacts}
    spec = ALL_KINDS[fitted.model.kind]
    if contact.terminals:
        if contact.terminals not in there:
            holders = [m.name for m in fitted.could_carry() if contact.terminals in {b.terminals for b in m.contacts}]
            cure = f"; fit {_article(holders[0])}" if holders else ""
            rule = f"the {fitted.model.name} {tag} of the kit has no contact {contact.terminals}{cure}"
            raise LadderError(f"Contact {contact}", rule, contact.terminals, tuple(there))
        return
    alike = [block for block in fitted.contacts if block.kind == contact.kind]
    fitting = [block for block in alike if block.closed == spec.closed_in(contact.kind)]
    if alike and not fitting:
        choices = tuple(f"{block.terminals} (closed in {_places(block)})" for block in alike)
        rule = f"the {contact.kind} contacts of a {fitted.model.kind} are not alike; name its terminals"
        raise LadderError(f"Contact {contact}", rule, choices=choices)


def _places(block: ContactBlock) -> str:
    return " or ".join(sorted(block.closed)) or "no position"


def choose(wanted: Sequence[Wired], fitted: Fitted) -> list[ContactBlock] | None:
    """Return a contact of `fitted` for each of `wanted` (contacts of this one device), or None if there are too few.

    Deterministic: named terminals first, then in reading order the first contact in catalogue order with which the
    rest still works out. Contacts that are alike and untouched are tried once, so that the search stays short.
    """
    blocks = fitted.contacts
    partner = [
        next((b for b, other in enumerate(blocks) if b != a and other.ends[0] == block.ends[0]), None)
        for a, block in enumerate(blocks)
    ]
    order = sorted(range(len(wanted)), key=lambda k: not _contact(wanted[k]).terminals)
    spec = ALL_KINDS[fitted.model.kind]
    if len(wanted) > len(blocks):
        return None
    timed = any(block.timed for block in blocks)
    used: dict[int, int] = {}  # block -> wanted

    def suits(block: ContactBlock, contact: Contact) -> bool:
        if contact.terminals:
            return block.terminals == contact.terminals
        if block.timed != timed:  # without terminals a contact of a timer is its timed one, as on the timeline
            return False
        return block.kind == contact.kind and block.closed == spec.closed_in(contact.kind)

    def place(step: int) -> bool:
        if step == len(order):
            return True
        seen = set()
        for b, block in enumerate(blocks):
            if b in used or not suits(block, _contact(wanted[order[step]])):
                continue
            other = partner[b]
            if other in used:
                assert other is not None
                if not _meet(wanted[order[step]], wanted[used[other]]):
                    continue
            else:
                key = (block.kind, block.closed, block.timed, other is None)
                if key in seen:
                    continue
                seen.add(key)
            used[b] = order[step]
            if place(step + 1):
                return True
            del used[b]
        return False

    if not place(0):
        return None
    found = {k: blocks[b] for b, k in used.items()}
    return [found[k] for k in range(len(wanted))]


def _contact(wired: Wired) -> Contact:
    assert isinstance(wired.item, Contact)
    return wired.item
