"""Who must all share one group, because requests chain them together."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from grouper.engines.board import Flags


def clusters(glued: Flags, people: Iterable[int]) -> list[list[int]]:
    """Everybody, those side by side who are glued together, be it through others; in the order of ``people``."""
    found: list[list[int]] = []
    left = dict.fromkeys(people)
    while left:
        cluster = [next(iter(left))]
        del left[cluster[0]]
        for person in cluster:
            joining = [int(other) for other in np.flatnonzero(glued[person]) if other in left]
            cluster += joining
            for other in joining:
                del left[other]
        found.append(cluster)
    return found


def chained(glued: Flags) -> Flags:
    """people x people: who are glued together, be it through others."""
    closed = np.zeros_like(glued)
    for cluster in clusters(glued, [int(person) for person in np.flatnonzero(glued.any(axis=1))]):
        closed[np.ix_(cluster, cluster)] = True
    np.fill_diagonal(closed, False)
    return closed
