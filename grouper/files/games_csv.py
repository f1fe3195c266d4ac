"""Games as a CSV file: a row a game, in order of slot and court."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from grouper.files.csv_text import write_csv
from grouper.model.games_day import Fixture

HEADERS = ("slot", "court", "home", "away", "duty")


def write_games(path: Path, fixtures: Iterable[Fixture]) -> None:
    """Write games with the numbers of the teams; ``duty`` is empty where nobody officiates.

    Raises
    ------
    InputError
        The file cannot be written.
    """
    write_csv(path, [HEADERS, *_rows(fixtures)])


def _rows(fixtures: Iterable[Fixture]) -> Iterator[tuple[str, ...]]:
    for game in fixtures:
        duty = "" if game.duty is None else str(game.duty)
        yield str(game.slot), str(game.court), str(game.home), str(game.away), duty


def write_pair_games(path: Path, games: Iterable[tuple[int, int, tuple[int, int], tuple[int, int]]]) -> None:
    """Write games of two against two, in the same columns: slot, court, and the players of each side, as in ``1+4``."""
    rows = ((str(slot), str(court), _pair(home), _pair(away), "") for slot, court, home, away in games)
    write_csv(path, [HEADERS, *rows])


def _pair(players: tuple[int, int]) -> str:
    return f"{players[0]}+{players[1]}"
