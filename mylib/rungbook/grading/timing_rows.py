"""What every device did, as rows of a timing diagram: hands above, then loads that change, then the one in question."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rungbook.behaviour import SUPPLY
from rungbook.grading.timing import Row, timing_picture
from rungbook.kit import ALL_KINDS, Device

AT_REST = "at rest"

Words = Mapping[str, str]  # designation -> word, at one moment


def picture_of(
    devices: Mapping[str, Device],
    orders: Sequence[str],
    moved: Mapping[str, object],
    words: Sequence[Words],
    output: str,
    asked: tuple[str, ...],
    times: Sequence[str] = (),
) -> str:
    """The diagram of what every device did. words: positions at the end of each column. asked: "" where nothing is."""

    def row(tag: str, label: str, column: Sequence[str]) -> Row:
        low = "off" if tag == SUPPLY else devices[tag].spec.rest
        return Row(label, tuple(column), tuple(bool(word) and word != low for word in column))

    def lane(tag: str) -> Row:
        return row(tag, tag, [word.get(tag, "") for word in words])

    loads = [tag for tag, device in devices.items() if ALL_KINDS[device.kind].load and tag in words[0]]
    changing = [tag for tag in loads if tag != output and len({word.get(tag, "") for word in words}) > 1]
    below = [lane(output), *([row(output, f"{output} asked", asked)] if any(asked) else [])]
    above = [lane(tag) for tag in moved if tag != output]
    return timing_picture(orders, above, below, also=[lane(tag) for tag in changing], times=times)
