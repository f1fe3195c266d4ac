"""Why another rating is suggested: one line of plain words, from the same results that the suggestion comes from."""

from __future__ import annotations

from grouper.learning.evidence import Ability
from grouper.learning.learning import Learning
from grouper.learning.team_model import ELO_PER_STEP, Game, expected_score
from grouper.words import counted

SMALLEST = 0.5
"""Fewer points than this round to none."""


def reason_for(learning: Learning, ability: Ability, change: float) -> str:
    """What the games and the tasks of a student's groups showed against what was expected of them.

    ``change`` is that of the rating on the roster. Where a change was taken over before, and what is known by now
    speaks for a part of it alone, the line says so.

    Expected is what the abilities of teammates and opponents, as they are known now, and the student's own, as the
    teacher guessed it, would have brought.
    """
    since_guess = learning.value(ability) - learning.guesses.prior(ability).mean
    if change * since_guess <= 0:
        return f"all results together speak for {'less' if change < 0 else 'more'} than the rating taken over before"
    parts = [part for part in (_of_games(learning, ability, change), _of_taps(learning, ability)) if part]
    return "; ".join(parts)


def _of_games(learning: Learning, ability: Ability, change: float) -> str:
    games = [game for game in learning.games if ability in game.players]
    if not games:
        return ""
    surplus = sum(surplus_of(learning, game, ability) for game in games)
    many = f"in {counted(len(games), 'game')} their {'team' if len(games) == 1 else 'teams'}"
    if surplus * change <= 0 or abs(surplus) < SMALLEST:
        return f"{many} did {'better' if change > 0 else 'less well'} than expected, given who else played"
    how = "better" if surplus > 0 else "worse"
    return f"{many} did {counted(max(1, round(abs(surplus))), 'point')} {how} than expected"


def surplus_of(learning: Learning, game: Game, ability: Ability) -> float:
    """By how many points the result for the student's team is better than expected, counted as a difference."""
    guessed = learning.guesses.prior(ability).mean

    def average(team: tuple[Ability, ...]) -> float:
        return sum(guessed if player == ability else learning.value(player) for player in team) / len(team)

    steps = (average(game.home) - average(game.away)) / learning.guesses.scale.step
    points = game.home_points + game.away_points
    expected = points * (2 * expected_score(ELO_PER_STEP * steps) - 1)
    surplus = game.home_points - game.away_points - expected
    return surplus if ability in game.home else -surplus


def _of_taps(learning: Learning, ability: Ability) -> str:
    results = [tap.result for tap in learning.taps if ability in tap.members]
    felt = [result.felt for result in results if result.felt]
    said = [f"too {word} {_times(felt.count(word))}" for word in ("easy", "hard") if word in felt]
    said += [f"right {_times(felt.count('right'))}"] if "right" in felt else []
    hits = sum(result.hits or 0 for result in results)
    tries = sum(result.tries or 0 for result in results)
    said += [f"{hits} of {tries} attempts succeeded"] if tries else []
    return f"tasks of their groups: {', '.join(said)}" if said else ""


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
