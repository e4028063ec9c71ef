"""Nodal analysis: potentials of nodes from the admittances between them and the currents fed into them.

Gaussian elimination in the form of the star-mesh transformation: a node goes, and its neighbours are joined instead.
The diagonal of the matrix is never stored but summed from what is left, so nothing is subtracted and a small
admittance beside a large one is not lost. With a positive real part in every admittance no such sum is 0, whatever
the order; the order taken is fewest neighbours first, which keeps a ladder sparse, and a row exchange is never needed.
"""

from __future__ import annotations

from heapq import heapify, heappop, heappush


class Admittances:
    """Admittances between nodes 0 … size-1 [S]: `beside[k]` maps each neighbour of k to the admittance between them."""

    __slots__ = ("beside",)

    def __init__(self, size: int) -> None:
        self.beside: list[dict[int, complex]] = [{} for _ in range(size)]

    def join(self, a: int, b: int, siemens: complex) -> None:
        """Add an admittance [S] between `a` and `b`; between a node and itself it changes nothing."""
        if a != b:
            total = self.beside[a].get(b, 0j) + siemens
            self.beside[a][b] = self.beside[b][a] = total


def potentials(admittances: Admittances, injected: list[complex]) -> tuple[list[int], list[complex]]:
    """Return (island of each node, potential of each node [V]) for the currents `injected` into the nodes [A].

    Uses up both arguments. Nodes that admittances join form an island, named by one of its nodes, whose potential is
    0 V. The currents into an island must add up to 0; an island without any has potential 0 throughout.
    """
    beside = admittances.beside
    island = list(range(len(beside)))
    volts = [0j] * len(beside)
    heap = [(len(near), node) for node, near in enumerate(beside) if near]
    heapify(heap)
    gone: list[tuple[int, list[tuple[int, complex]], complex]] = []
    done: set[int] = set()
    while heap:
        degree, node = heappop(heap)
        if node in done or degree != len(beside[node]) or not degree:
            continue  # an older entry, or the last node of its island
        done.add(node)
        near = list(beside[node].items())
        total = sum(siemens for _, siemens in near)
        gone.append((node, near, total))
        for place, (other, siemens) in enumerate(near):
            mine = beside[other]
            del mine[node]
            share = siemens / total if len(near) > 1 else 1  # exactly 1, so that a dead end has exactly 0 V
            injected[other] += share * injected[node]
            for third, more in near[:place]:
                mine[third] = beside[third][other] = mine.get(third, 0j) + share * more
        for other, _ in near:
            heappush(heap, (len(beside[other]), other))
    for node, near, total in reversed(gone):
        first = near[0][0]
        drops = sum(siemens * (volts[other] - volts[first]) for other, siemens in near[1:])
        volts[node] = volts[first] + (injected[node] + drops) / total  # exactly the neighbours' if they are equal
        island[node] = island[first]
    return island, volts
