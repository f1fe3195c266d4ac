"""Courts: which game goes where, so that every team plays on every court about equally often.

Balanced tournament designs are rounds of 2n teams on n courts with no team more than twice on a court. They exist for
all n but 2 (P. J. Schellenberg, G. H. J. van Rees and S. A. Vanstone, The existence of balanced tournament designs, Ars
Combinatoria 3, 1977). Here the rounds stay those of the circle method, so that breaks stay at their minimum.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random

from grouper.games.rounds import Pair, Slots, catalogued

Use = Counter[tuple[int, int]]
Courts = list[list[int]]

MOST_SWEEPS = 600
MOST_SWAPS_TRIED = 2_500_000
UPHILL = 0.1
"""How often at first an exchange is made that costs a little, so that the search gets out of a hollow."""
IDLE = (0, 0)


def settled_courts(slots: Slots, courts: Sequence[int], use: Use | None = None) -> Courts:
    """A court for every game of every slot.

    Parameters
    ----------
    slots : list of list of pairs
    courts : sequence of int
        The courts that can be used; no slot has more games than there are courts.
    use : Counter of (team, court), optional
        How often teams were on courts already.

    Returns
    -------
    list of list of int
        The court of each game, in the shape of ``slots``; the sum over teams and courts of the squares of use is a
        minimum that no exchange of two courts in a slot improves.
    """
    table = _CourtTable(slots, courts, use or Counter())
    rng, sweeps = Random(0), table.sweeps()
    best, fewest = table.courts_of_games(), table.uneven()
    for sweep in range(sweeps):
        if not fewest:
            break
        table.swap_everywhere(rng, uphill=UPHILL * (1 - sweep / sweeps))
        if table.uneven() < fewest:
            best, fewest = table.courts_of_games(), table.uneven()
    return best


class _CourtTable:
    """Which game (or nothing) is on which court in each slot, with the use of courts so far."""

    def __init__(self, slots: Slots, courts: Sequence[int], use: Use) -> None:
        self.slots = slots
        self.courts = list(courts)
        most = max((team for games in slots for pair in games for team in pair), default=0)
        self.use = [[use[team, court] for court in self.courts] for team in range(most + 1)]
        self.places: list[list[Pair]] = []
        # Game by game on the court that its teams have used least; a slot has IDLE for an empty court.
        for games in slots:
            row = [IDLE] * len(self.courts)
            for one, two in games:
                used = {c: self.use[one][c] + self.use[two][c] for c, there in enumerate(row) if there == IDLE}
                court = min(used, key=used.__getitem__)
                row[court] = (one, two)
                self._count((one, two), court, 1)
            self.places.append(row)

    def _count(self, pair: Pair, court: int, step: int) -> None:
        if pair != IDLE:
            for team in pair:
                self.use[team][court] += step

    def sweeps(self) -> int:
        """How many sweeps over all slots are worth their time."""
        swaps = len(self.places) * len(self.courts) * (len(self.courts) - 1) // 2
        return min(MOST_SWEEPS, MOST_SWAPS_TRIED // max(1, swaps))

    def uneven(self) -> int:
        """How far teams' uses of their most and least used court differ by more than one, summed over teams."""
        return sum(max(0, max(row) - min(row) - 1) for row in self.use)

    def swap_everywhere(self, rng: Random, uphill: float) -> None:
        """Exchange two courts in a slot wherever that evens out, now and then where it costs a little (annealing)."""
        for row in self.places:
            for a in range(len(row)):
                for b in range(a + 1, len(row)):
                    gain = self._gain(row[a], a, b) + self._gain(row[b], b, a)
                    # What changes nothing is done every other time, what costs a little seldom.
                    if gain > 0 or (gain > -3 and rng.random() < (0.5, uphill, uphill / 4)[-gain]):
                        self._swap(row, a, b)

    def _gain(self, pair: Pair, here: int, there: int) -> int:
        """By how much half the sum of squares falls when a game changes courts."""
        if pair == IDLE:
            return 0
        first, second = self.use[pair[0]], self.use[pair[1]]
        return first[here] - first[there] + second[here] - second[there] - 2

    def _swap(self, row: list[Pair], a: int, b: int) -> None:
        for pair, here, there in ((row[a], a, b), (row[b], b, a)):
            self._count(pair, here, -1)
            self._count(pair, there, 1)
        row[a], row[b] = row[b], row[a]

    def courts_of_games(self) -> Courts:
        return [
            [self.courts[row.index(pair)] for pair in games] for games, row in zip(self.slots, self.places, strict=True)
        ]


def courts_of_rounds(rounds: Slots, teams: int) -> Courts:
    """A court for each game of one leg of circle rounds, all courts in use.

    Odd ``teams``: everyone exactly twice on every court. Even: at most twice, where the rounds allow a design that is
    known here (up to 22 teams, and 2n teams with 2n - 1 no multiple of 3); else as even as exchanges make it.
    """
    if teams % 2:
        return [list(range(1, len(games) + 1)) for games in rounds]
    design = _design(teams)
    if design is None:
        return settled_courts(rounds, range(1, teams // 2 + 1))
    return [[court + 1 for court in design[centre]] for centre in reversed(range(teams - 1))]


def _design(teams: int) -> Courts | None:
    """For each centre, the court (from 0) of the game k steps around it; ``None`` where no design is at hand."""
    if (teams - 1) % 3:
        m = teams - 1
        design = [list(range(teams // 2)) for _ in range(m)]
        for centre in range(1, m):
            k = min(2 * centre % m, -2 * centre % m)
            design[centre][0], design[centre][k] = k, 0
        return design
    half = catalogued("courts").get(teams)
    # Round -a has the courts of round a, so that half of them are kept.
    return half and [half[min(centre, teams - 1 - centre)] for centre in range(teams - 1)]
