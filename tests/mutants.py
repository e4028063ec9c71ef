"""Every ladder that differs from a given one by a single contact: swapped, dropped, renamed, or moved in its rung."""

from collections.abc import Iterator

from rungbook.circuit import Contact, Ladder, Part, Rung, Series

Place = tuple[int, ...]


def places(part: Part | None, here: Place = ()) -> list[Place]:
    """Where `part` and every part within it stands, as member numbers from the top."""
    if part is None:
        return []
    inner = [] if isinstance(part, Contact) else part.parts
    return [here, *(place for k, member in enumerate(inner) for place in places(member, (*here, k)))]


def at(part: Part, place: Place) -> Part:
    for k in place:
        part = part.parts[k]
    return part


def put(part: Part, place: Place, new: Part | None) -> Part | None:
    """`part` with `new` in that place; None takes away what stands there."""
    if not place:
        return new
    whole: Part | None = None
    for k, member in enumerate(part.parts):
        kept = put(member, place[1:], new) if k == place[0] else member
        if kept is not None:
            whole = kept if whole is None else whole & kept if isinstance(part, Series) else whole | kept
    return whole


def with_way(ladder: Ladder, number: int, way: Part | None) -> Ladder:
    """The ladder with other contacts on rung `number` (from 0)."""
    new = Ladder(ladder.title, ladder.declared)
    for k, rung in enumerate(ladder.rungs):
        contacts = way if k == number else rung.contacts
        new.rung(*(() if contacts is None else (contacts,)), *rung.loads, note=rung.note)
    return new


def _ways(rung: Rung, tags: tuple[str, ...]) -> Iterator[tuple[str, Part | None]]:
    way = rung.contacts
    for place in places(way):
        contact = at(way, place)
        if not isinstance(contact, Contact):
            continue
        yield "swap", put(way, place, Contact(contact.device, "NC" if contact.kind == "NO" else "NO"))
        rest = put(way, place, None)
        yield "drop", rest
        for tag in tags:
            if tag != contact.device:
                yield "rename", put(way, place, Contact(tag, contact.kind))
        for beside in places(rest):
            yield "move", put(rest, beside, at(rest, beside) & contact)
            yield "move", put(rest, beside, at(rest, beside) | contact)


def single_contact_mutants(ladder: Ladder) -> Iterator[tuple[str, Ladder]]:
    """(kind of mutation, ladder), each different ladder once. Devices to rename to: the inputs and coils used here."""
    tags = (*ladder.inputs(), *ladder.coils())
    for number, rung in enumerate(ladder.rungs):
        seen = [rung.contacts]
        for kind, way in _ways(rung, tags):
            if way not in seen:
                seen.append(way)
                yield kind, with_way(ladder, number, way)


def shuffled(part: Part, chance) -> Part:
    """The same way drawn otherwise: members in another order, at times one that changes nothing put beside another."""
    if isinstance(part, Contact):
        return part
    members = [shuffled(member, chance) for member in part.parts]
    chance.shuffle(members)
    if chance.random() < 0.3:  # a & (a | b) and a | a & b are a
        one, other = chance.choice(members), chance.choice(members)
        members.append(one | other if isinstance(part, Series) else one & other)
    whole = members[0]
    for member in members[1:]:
        whole = whole & member if isinstance(part, Series) else whole | member
    return whole
