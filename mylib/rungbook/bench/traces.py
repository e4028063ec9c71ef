"""The trace of a bench as it grows: a lane of levels for each device, and rows of words."""

from __future__ import annotations

from collections import deque

from rungbook.behaviour import MICRO, SUPPLY, Plant, Timeline

WINDOW = 30.0  # what the lanes show at most, up to now [s]
ROWS = 100  # what the list of changes shows at most


class Traces:
    """Reads the changes of one timeline as they come, each once, and keeps what is to be shown of them.

    An entry of a lane is (time [s], level, word); the first one is where the device stood when the window begins.
    level: 0 at rest, 1 away from it, 0.5 for a motor that coasts.
    """

    def __init__(self, timeline: Timeline, plant: Plant | None) -> None:
        self._timeline, self._plant = timeline, plant
        self._read = [0, 0, 0]  # changes, findings of the plant, chatters
        self._count = 0
        self._rows: deque[tuple[int, float, str]] = deque(maxlen=ROWS)
        self._news: list[str] = []
        self._rests = {SUPPLY: "off"} | {tag: device.spec.rest for tag, device in timeline.devices.items()}
        self._words = {SUPPLY: timeline.position(SUPPLY)} | dict(timeline.positions())
        for tag in () if plant is None else plant.drives:
            self._rests[tag] = self._words[tag] = "standing"
        self._lanes = {tag: deque([(0.0, self._level(tag, word), word)]) for tag, word in self._words.items()}
        self._moved = {tag: lane[0][1] > 0 for tag, lane in self._lanes.items()}

    def _level(self, tag: str, word: str) -> float:
        if word.startswith("coasting"):
            return 0.5
        return float(word not in (self._rests[tag], "fuse blown", "fuse replaced"))

    def read(self) -> None:
        """Take in what has happened since the last call."""
        timeline, findings = self._timeline, [] if self._plant is None else self._plant.findings
        first, second, third = self._read
        said = []
        for change in timeline.changes[first:]:
            said.append((change.time / MICRO, f"{change.device} {change.state}"))
            if change.device in self._lanes:
                level = self._level(change.device, change.state)
                self._lanes[change.device].append((change.time / MICRO, level, change.state))
                self._words[change.device] = change.state
                self._moved[change.device] = True
        said += [(time / MICRO, sentence) for time, sentence in findings[second:]]
        said += [(chatter.time / MICRO, str(chatter)) for chatter in timeline.chatters[third:]]
        self._read = [len(timeline.changes), len(findings), len(timeline.chatters)]
        for time, words in sorted(said, key=lambda one: one[0]):
            self._count += 1
            self._rows.append((self._count, time, words))
            self._news.append(words)

    def news(self) -> tuple[str, ...]:
        """What was read since the last call, in words, one clause each."""
        said, self._news = tuple(self._news), []
        return said

    def word(self, tag: str) -> str:
        """Where `tag` (a device, a motor, the supply) is, by what was read."""
        return self._words[tag]

    @property
    def count(self) -> int:
        """Number of things read so far."""
        return self._count

    def shown(self) -> dict[str, object]:
        """The lanes of the last `WINDOW` seconds and the last rows (number, time [s], words), as plain data.

        A lane of a device that has always been at rest is left out.
        """
        since = self._timeline.now / MICRO - WINDOW
        for lane in self._lanes.values():
            while len(lane) > 1 and lane[1][0] <= since:
                lane.popleft()
        lanes = [[tag, [list(one) for one in lane]] for tag, lane in self._lanes.items() if self._moved[tag]]
        return {"lanes": lanes, "rows": [list(row) for row in self._rows]}
