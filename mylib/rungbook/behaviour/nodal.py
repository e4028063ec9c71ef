"""Nodal analysis: potentials of nodes from the admittances and e.m.f.s between them.

Gaussian elimination in the form of the star-mesh transformation: a node goes, and its neighbours are joined instead.
The diagonal of the matrix is never stored but summed from what is left, and an e.m.f. stays with its branch instead
of becoming two currents of opposite sign. So no small number is lost as the difference of two large ones: potentials
are right to rounding against the largest e.m.f., whatever the admittances. With a positive real part in every
admittance no diagonal is 0 in any order; the order taken is fewest neighbours first, which keeps a ladder sparse, and
rows are never exchanged.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush

_Gone = list[tuple[int, list[tuple[int, tuple[complex, complex]]], complex]]


class Joints:
    """What joins nodes 0 … size-1: `beside[a][b]` is (admittance [S], current that a short from a to b takes [A])."""

    __slots__ = ("beside",)

    def __init__(self, size: int) -> None:
        self.beside: list[dict[int, tuple[complex, complex]]] = [{} for _ in range(size)]

    def join(self, a: int, b: int, siemens: complex, volts: complex = 0j) -> None:
        """Add an admittance [S] between `a` and `b` with an e.m.f. from `b` up to `a` [V]; on one node: nothing."""
        if a != b:
            self._add(a, b, siemens, siemens * volts)

    def _add(self, a: int, b: int, siemens: complex, amps: complex) -> None:
        old, before = self.beside[a].get(b, (0j, 0j))
        siemens, amps = old + siemens, before + amps
        self.beside[a][b], self.beside[b][a] = (siemens, amps), (siemens, -amps)

    def _eliminate(self, kept: tuple[int, ...] = ()) -> _Gone:
        """Take out every node that has neighbours, save `kept`: (node, its neighbours then, sum of admittances)."""
        beside = self.beside
        heap = [(len(near), node) for node, near in enumerate(beside) if near]
        heapify(heap)
        gone: _Gone = []
        done = set(kept)
        while heap:
            degree, node = heappop(heap)
            if node in done or not degree or degree != len(beside[node]):
                continue  # an older entry, or the last node of its island
            done.add(node)
            near = list(beside[node].items())
            total = sum(siemens for _, (siemens, _) in near)
            gone.append((node, near, total))
            for place, (other, (siemens, amps)) in enumerate(near):
                del beside[other][node]
                share = siemens / total
                for third, (more, flow) in near[:place]:
                    self._add(other, third, share * more, share * flow - amps * (more / total))
            for other, _ in near:
                heappush(heap, (len(beside[other]), other))
        return gone

    def potentials(self) -> tuple[list[int], list[complex]]:
        """Return (island of each node, potential of each node [V]). Uses the joints up.

        Nodes that joints join form an island, named by one of its nodes, whose potential is 0 V.
        """
        island = list(range(len(self.beside)))
        volts = [0j] * len(self.beside)
        for node, near, total in reversed(self._eliminate()):
            first = near[0][0]
            amps = sum(siemens * (volts[other] - volts[first]) + flow for other, (siemens, flow) in near)
            volts[node] = volts[first] + amps / total  # exactly the neighbours' if they are equal
            island[node] = island[first]
        return island, volts

    def between(self, a: int, b: int) -> complex | None:
        """Return the admittance between two different nodes seen from outside [S]; None if nothing joins them.

        Uses the joints up.
        """
        self._eliminate((a, b))
        found = self.beside[a].get(b)
        return None if found is None else found[0]
