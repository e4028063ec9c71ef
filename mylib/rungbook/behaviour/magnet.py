"""The armature of one coil: when voltage moves it, and when each kind of its contacts changes over."""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.kit.ratings import CoilRating

Planned = tuple[int, tuple[tuple[int, bool], ...], str]


@dataclass
class Magnet:
    """One coil with its armature.

    tag: designation. load: number of its load. nc, no: numbers of its contacts. phase: "out", "pulling" (armature on
    its way in), "in", "dropping" (on its way out). What has started is finished unless the voltage turns back first.
    """

    tag: str
    load: int
    nc: tuple[int, ...]
    no: tuple[int, ...]
    rating: CoilRating
    slower: int = 0  # than a coil of this rating at its best [us]
    phase: str = "out"

    def answer(self, share: float) -> list[Planned] | None:
        """What the armature does at `share` of its rated voltage: a new plan that replaces the old, or None to go on.

        A plan is a list of (delay [us], (contact number, closed) …, word for the position reached or "").
        """
        rating = self.rating
        if self.phase in ("out", "dropping") and share >= rating.pull_in:
            late = self.phase == "dropping"
            self.phase = "pulling"
            if late:  # the NO contacts have not opened yet, or have: closing them again takes the way that is left
                return [(self._micro(rating.operates - rating.nc_opens), self._closed_in(True), "in")]
            opens = tuple((number, False) for number in self.nc)
            return [
                (self._micro(rating.nc_opens), opens, ""),
                (self._micro(rating.operates), self._closed_in(True), "in"),
            ]
        if self.phase in ("in", "pulling") and share < rating.drop_out:
            late = self.phase == "pulling"
            self.phase = "dropping"
            closes = tuple((number, True) for number in self.nc)
            if late:  # the armature turns back before it has arrived
                return [(self._micro(rating.releases - rating.no_opens), closes, "out")]
            opens = tuple((number, False) for number in self.no)
            return [(self._micro(rating.no_opens), opens, "out"), (self._micro(rating.releases), closes, "")]
        return None

    def _micro(self, seconds: float) -> int:
        return round(seconds * 1_000_000) + self.slower

    def _closed_in(self, pulled: bool) -> tuple[tuple[int, bool], ...]:
        """All contacts as they stand with the armature in (NC open, NO closed)."""
        return (*((number, False) for number in self.nc), *((number, pulled) for number in self.no))

    def arrive(self, word: str) -> None:
        """Note that the armature has arrived at "in" or left for "out"."""
        self.phase = word
