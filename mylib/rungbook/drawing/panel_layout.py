"""`layout`: a wire list becomes a plan of the panel, with every route, before anything is drawn.

Devices stand in rows, wires run in the channels between the rows and in the gaps between the devices. All upright
pieces in the rows and below or above them stand on a grid, that of every other row shifted by half, so that no two
come to lie on one another; along a channel each wire has a track.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from math import ceil

from rungbook.circuit import Wiring
from rungbook.drawing.cells import line, lines
from rungbook.drawing.metrics import ASCENT, DESCENT, LINE, text_width, wrap
from rungbook.drawing.panel_rows import Unit, rows
from rungbook.drawing.panel_sheet import TOP, Body, PanelPlan, Pin, Route, Sleeve, colour_of
from rungbook.drawing.panel_tracks import Run, run, tracks
from rungbook.drawing.panel_ways import Stand, stands, ways
from rungbook.drawing.sheet import STYLES, Text

UNIT = 16.0  # from one hole of a terminal to the other
TRACK = 10.0  # from one track of a channel to the next
MARGIN = 22.0
LEAST = 740.0  # width of a sheet
_FREE = 8.0  # from a terminal's edge to the sleeve on its wire
_DEEP = 25.0  # length of a sleeve
_ZONE = 43.0  # from the edge of a row to the first track
_BARE = 12.0  # the same where the row has no wire at that edge
_FOOT = 10.0  # below everything
_NARROWEST = 380.0  # of a legend
_HEAD = 60.0  # height of the title and the line below it

LEGEND = (
    "Sleeve on the end of a wire: wire number, below it the colour of the wire. {colours}. "
    "Lines that cross are not joined. A terminal takes two wires at most; an empty ring is a free place.",
    "De-energise, lock out and verify absence of voltage before you touch a terminal. Work under qualified "
    "supervision; local codes and the data sheets of the parts come first.",
)


class _Panel:
    """Where everything comes to stand; made anew by each call of `layout`."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        numbers = [text_width(str(wire.number), STYLES["sleeve"].size, True) for wire in wiring.wires]
        self.unit = max(UNIT, 2 * ceil((max(numbers, default=0.0) + 2) / 2))
        self.rows = rows(wiring, self.unit)
        first = self._lefts({}, 0.0)
        at = stands(self.rows, first)
        self.ways = ways(
            wiring.wires, at, [self._middles(row, places) for row, places in zip(self.rows, first, strict=True)]
        )
        users: dict[tuple[int, int], list[int]] = defaultdict(list)
        for k, way in enumerate(self.ways):
            for place in way.gaps:
                users[place].append(k)
        aside = list(dict.fromkeys(k for (_, gap), ks in sorted(users.items()) if gap == 0 for k in ks))
        self.origin = MARGIN + (self.unit * (len(aside) + 1) if aside else 0.0)
        self.lefts = self._lefts({place: len(ks) for place, ks in users.items() if place[1]}, self.origin)
        self.at = stands(self.rows, self.lefts)
        self.middles = [self._middles(row, places) for row, places in zip(self.rows, self.lefts, strict=True)]
        self.lanes = self._lanes(users, aside)
        self.holes = self._holes()
        self._straighten()
        self.runs = self._runs()
        self.tracks = {channel: tracks(runs) for channel, runs in self.runs.items()}
        self.tops, self.channels = self._levels()

    def _lefts(self, lanes: dict[tuple[int, int], int], origin: float) -> list[list[float]]:
        """Left edge of each unit, row by row; lanes: how many wires pass in a gap."""
        found = []
        for r, row in enumerate(self.rows):
            x = origin + (r % 2) * self.unit / 2
            places = []
            for u, unit in enumerate(row):
                if u:
                    x += self.unit * max(2, lanes.get((r, u), 0) + 1)
                places.append(x)
                x += unit.width
            found.append(places)
        return found

    def _middles(self, row: Sequence[Unit], places: Sequence[float]) -> list[float]:
        """The middle of each gap of a row."""
        rights = [place + unit.width for unit, place in zip(row, places, strict=True)]
        inner = [(right + left) / 2 for right, left in zip(rights, places[1:], strict=False)]
        return [places[0] - self.unit, *inner, rights[-1] + self.unit]

    def _targets(self, k: int) -> list[float]:
        """About where wire k turns: its start, its lanes, its end; x of each."""
        wire = self.wiring.wires[k]
        inner = [self.middles[row][gap] for row, gap in self._steps(k)]
        return [self.at[wire.start].x, *inner, self.at[wire.end].x]

    def _turns(self, k: int) -> list[tuple[bool, bool]]:
        """Of wire k, channel by channel: whether it leaves the channel upwards at its beginning, and at its end."""
        wire, channels = self.wiring.wires[k], self.ways[k].channels
        down, last = channels[0] < channels[-1], len(channels) - 1
        return [
            (
                down if n else self.at[wire.start].row < channel,
                self.at[wire.end].row < channel if n == last else not down,
            )
            for n, channel in enumerate(channels)
        ]

    def _lanes(self, users: dict[tuple[int, int], list[int]], aside: list[int]) -> dict[tuple[int, int, int], float]:
        """(wire, row, gap) -> x of its lane. The wires left of all rows go the farther out the longer they are."""
        found = {}
        for (row, gap), ks in users.items():
            if gap == 0:
                continue
            places = self.lefts[row]
            right = places[gap - 1] + self.rows[row][gap - 1].width
            spare = 0.0
            if gap < len(places):
                spare = (places[gap] - right - self.unit * (len(ks) + 1)) // (2 * self.unit) * self.unit

            def pull(k: int, row: int = row, gap: int = gap) -> tuple[float, int]:
                step = self._steps(k).index((row, gap))
                targets = self._targets(k)
                return (targets[step] + targets[step + 2], k)

            for n, k in enumerate(sorted(ks, key=pull)):
                found[k, row, gap] = right + spare + self.unit * (n + 1)
        for n, k in enumerate(sorted(aside, key=self._outwards)):
            for row, gap in self.ways[k].gaps:
                if gap == 0:
                    found[k, row, 0] = self.origin - self.unit * (n + 1)
        return found

    def _outwards(self, k: int) -> tuple[int, int, float, int]:
        """Sorts the wires left of all rows, the innermost first: few rows passed, ends near to those rows, short."""
        step = next(n for n, (_, gap) in enumerate(self._steps(k)) if gap == 0)
        channels, targets, turns = self.ways[k].channels, self._targets(k), self._turns(k)
        far = sorted([(channels[step], turns[step][0]), (channels[step + 1], turns[step + 1][1])])
        away = far[0][1] + (not far[1][1])
        rows = sum(gap == 0 for _, gap in self.ways[k].gaps)
        return rows, away, targets[step] + targets[step + 2], k

    def _steps(self, k: int) -> list[tuple[int, int]]:
        """The gaps in which wire k changes its channel, one for each change; straight on at the left counts once."""
        found: list[tuple[int, int]] = []
        for place in self.ways[k].gaps:
            if not (found and found[-1][1] == 0 == place[1]):
                found.append(place)
        return found

    def _holes(self) -> dict[tuple[int, int], float]:
        """(wire, 0 at its start or 1 at its end) -> x of the place in the terminal where it ends.

        Of two wires on a terminal the one that leaves to the left has the left hole; a single one has the hole
        nearer to where it goes.
        """
        ends: dict[str, list[tuple[float, int, int]]] = defaultdict(list)
        for k, wire in enumerate(self.wiring.wires):
            targets = self._targets(k)
            ends[wire.start].append((targets[1], k, 0))
            ends[wire.end].append((targets[-2], k, 1))
        found = {}
        for terminal, wires in ends.items():
            x = self.at[terminal].x
            sides = (-1, 1) if len(wires) == 2 else (1 if wires[0][0] > x else -1,)
            for side, (_, k, end) in zip(sides, sorted(wires), strict=True):
                found[k, end] = x + side * self.unit / 2
        return found

    def _straighten(self) -> None:
        """Shift a lane half a unit where its wire then runs straight on through a channel, if nothing is in the way.

        On the other row's grid, it must be seen that nothing else is there: in the gap, and in its other channel.
        """
        half = self.unit / 2
        used: dict[int, list[tuple[float, int]]] = defaultdict(list)  # channel -> x and wire of its upright pieces
        for k, way in enumerate(self.ways):
            xs = self._places(k)
            for n, channel in enumerate(way.channels):
                used[channel] += [(xs[n], k), (xs[n + 1], k)]
        for k, way in enumerate(self.ways):
            for n, (row, gap) in enumerate(self._steps(k)):
                before, x, after = self._places(k)[n : n + 3]
                for there, near, far in ((before, n, n + 1), (after, n + 1, n)):
                    if gap == 0 or abs(there - x) != half or (after if near == n else before) == x:
                        continue
                    beside = used[way.channels[far]] + [
                        (place, wire) for (wire, *at), place in self.lanes.items() if at == [row, gap]
                    ]
                    if all(wire == k or abs(place - there) >= half for place, wire in beside):
                        for channel in (way.channels[near], way.channels[far]):
                            used[channel].remove((x, k))
                            used[channel].append((there, k))
                        self.lanes[k, row, gap] = there
                        break

    def _runs(self) -> dict[int, list[Run]]:
        """Channel -> the pieces of wires along it."""
        found: dict[int, list[Run]] = defaultdict(list)
        for k, way in enumerate(self.ways):
            xs = self._places(k)
            for n, (channel, (first, last)) in enumerate(zip(way.channels, self._turns(k), strict=True)):
                if xs[n] == xs[n + 1]:
                    continue
                found[channel].append(run(k, (xs[n], first), (xs[n + 1], last)))
        return found

    def _places(self, k: int) -> list[float]:
        """x of the upright pieces of wire k: its start, its lanes, its end."""
        return [self.holes[k, 0], *(self.lanes[k, *step] for step in self._steps(k)), self.holes[k, 1]]

    def _levels(self) -> tuple[list[float], dict[int, float]]:
        """Top of each row, and y of the highest track of each channel."""
        used = {(stand.row, stand.channel) for stand in self._wired()}
        y = _HEAD
        tops: list[float] = []
        found: dict[int, float] = {}
        for channel in range(len(self.rows) + 1):
            if channel:
                y += max(unit.height for unit in self.rows[channel - 1])
            many = max(self.tracks.get(channel, [-1])) + 1
            if many:
                y += _ZONE if (channel - 1, channel) in used else _BARE
                found[channel] = y
                y += (many - 1) * TRACK + (_ZONE if (channel, channel) in used else _BARE)
            else:
                y += _BARE
            tops.append(y)
        return tops, found

    def _wired(self) -> list[Stand]:
        return [self.at[end] for wire in self.wiring.wires for end in (wire.start, wire.end)]

    def bodies(self) -> list[list[Body]]:
        """The devices where they stand, row by row."""
        return [
            [
                body.moved(left, self.tops[r])
                for unit, left in zip(row, self.lefts[r], strict=True)
                for body in unit.bodies
            ]
            for r, row in enumerate(self.rows)
        ]

    def routes(self, pins: dict[str, Pin]) -> tuple[Route, ...]:
        """The routes, wire by wire, between the terminals `pins`."""
        level = {
            (one.wire, channel): self.channels[channel] + track * TRACK
            for channel, runs in self.runs.items()
            for one, track in zip(runs, self.tracks[channel], strict=True)
        }
        found = []
        for k, (wire, way) in enumerate(zip(self.wiring.wires, self.ways, strict=True)):
            xs = self._places(k)
            ends = [pins[wire.start], pins[wire.end]]
            points = [(xs[0], ends[0].y)]
            for n, channel in enumerate(way.channels):
                if xs[n] == xs[n + 1]:
                    continue
                y = level[k, channel]
                points += [(xs[n], y), (xs[n + 1], y)]
            points.append((xs[-1], ends[1].y))
            letter = colour_of(wire).letter
            sleeves = [
                _sleeve(pin, x, str(wire.number), letter, self.unit)
                for pin, x in zip(ends, (xs[0], xs[-1]), strict=True)
            ]
            found.append(Route(k + 1, wire, tuple(points), (sleeves[0], sleeves[1])))
        return tuple(found)


def _sleeve(pin: Pin, x: float, number: str, letter: str, unit: float) -> Sleeve:
    """The sleeve on the wire that ends at (x, edge) of `pin`."""
    top = pin.y - _FREE - _DEEP if pin.side == TOP else pin.y + _FREE
    size, small = STYLES["sleeve"].size, STYLES["sleeve letter"].size
    base = top + 1 + ASCENT * size
    texts = (
        line("sleeve", x, base, number),
        line("sleeve letter", x, base + DESCENT * size + ASCENT * small + 0.5, letter),
    )
    return Sleeve((x - unit / 2 + 0.5, top, x + unit / 2 - 0.5, top + _DEEP), texts)


def layout(wiring: Wiring) -> PanelPlan:
    """Return the plan of `wiring`. Equal wirings give equal plans; nothing raises."""
    panel = _Panel(wiring)
    placed = panel.bodies()
    bodies = [body for row in placed for body in row]
    routes = panel.routes({pin.terminal: pin for body in bodies for pin in body.pins})
    xs = [x for route in routes for x, _ in route.points] + [body.box[2] for body in bodies]
    width = max(LEAST, ceil(max(xs) + MARGIN))
    title = wrap(wiring.ladder.title.strip() or "Connections", STYLES["title"].size, width - 2 * MARGIN, 1, True)
    legend, height = _legend(panel, routes, placed[0], width)
    order = tuple(tuple(body.device for body in row) for row in placed)
    return PanelPlan(
        width, height, tuple(bodies), routes, (*lines("title", MARGIN, 14, title, "start"), *legend), order
    )


def _legend(
    panel: _Panel, routes: Sequence[Route], top: Sequence[Body], width: float
) -> tuple[tuple[Text, ...], float]:
    """The legend, beside the first row if there is room, else below all; and the height of the sheet."""
    used = dict.fromkeys(route.colour for route in routes)
    colours = "; ".join(f"{colour.letter} {colour.name}: {colour.meaning}" for colour in used)
    said = [words.format(colours=colours) for words in LEGEND]
    size = STYLES["legend"].size

    def broken(room: float) -> tuple[str, ...]:
        return tuple(row for words in said for row in wrap(words, size, room, 12))

    bottom = panel.tops[-1]
    if 0 not in panel.channels and 1 in panel.channels:
        left, y = top[-1].box[2] + 2 * panel.unit, panel.tops[0]
        if width - MARGIN - left >= _NARROWEST:
            rows = broken(width - MARGIN - left)
            if y + len(rows) * LINE * size < panel.channels[1] - TRACK:
                return lines("legend", left, y, rows, "start"), float(ceil(bottom + _FOOT))
    rows = broken(width - 2 * MARGIN)
    texts = lines("legend", MARGIN, bottom + _FREE, rows, "start")
    return texts, float(ceil(bottom + _FREE + len(rows) * LINE * size + _FOOT))
