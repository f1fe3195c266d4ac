"""Ratings that are suggested to the teacher, and what becomes of the record where they are accepted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from grouper.learning.about import named, strands_seen
from grouper.learning.evidence import Ability
from grouper.learning.guesses import Scale
from grouper.learning.learning import Learning, learn
from grouper.learning.team_model import ELO_PER_STEP, Game, expected_score
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.words import counted

WORTH = 0.4
"""A change is suggested from so many standard deviations of what is known on; chosen by simulation."""


@dataclass(frozen=True)
class Suggestion:
    """Another rating for a student.

    Parameters
    ----------
    student, strand
        Whose (id), in what.
    now
        The rating on the roster, None where there is none.
    suggested
        The rating that is suggested: rounded, and within the scale.
    uncertainty
        How far the truth may be off, in units of the scale (standard deviation).
    reason
        In one line of plain words.
    learnt
        What is kept when it is accepted, so that no result counts twice; None where it comes from a test, which is a
        new guess.
    """

    student: str
    strand: str
    now: float | None
    suggested: float
    uncertainty: float
    reason: str
    learnt: Learnt | None = None


def suggestions(record: ClassRecord, strand: str | None = None) -> tuple[Suggestion, ...]:
    """What the results of games and tasks suggest, in the order of strands and students of the roster.

    Parameters
    ----------
    record : ClassRecord
    strand : str or None
        Just this one, and results that speak about no strand count for it; all strands that results speak about where
        it is None.

    Raises
    ------
    InputError
        There is no such strand, or it has no scale.
    """
    known = named(record, strand) if strand is not None else record
    found: list[Suggestion] = []
    for seen in strands_seen(record) if strand is None else (strand,):
        learning = learn(known, seen)
        for student in record.roster.active if learning.through else ():
            found.extend(_of_student(learning, student))
    return tuple(found)


def _of_student(learning: Learning, student: Student) -> Iterator[Suggestion]:
    guesses = learning.guesses
    ability, now = guesses.now(student.id), guesses.rating_in_use(student.id)
    value, uncertainty = learning.value(ability), learning.uncertainty(ability)
    suggested = worth_suggesting(guesses.scale, now, value, uncertainty)
    if suggested is not None:
        learnt = Learnt(student.id, guesses.strand, guesses.guess(ability), suggested, learning.through, ability.since)
        reason = reason_for(learning, ability, suggested - now)
        yield Suggestion(
            student.id, guesses.strand, guesses.rating(student.id), suggested, uncertainty, reason, learnt
        )


def worth_suggesting(scale: Scale, now: float, value: float, uncertainty: float) -> float | None:
    """The rating to suggest in place of the one in use (``now``), or None where the change is not worth it.

    Worth it is a change that a teacher would see, by half a step or more once it is rounded, and that is not small
    against how far the truth may be off.

    Examples
    --------
    >>> worth_suggesting(Scale(1, 5), 3, 3.7, 0.8), worth_suggesting(Scale(1, 5), 3, 3.2, 0.8)
    (3.5, None)
    """
    suggested = scale.rounded(value)
    # A finer grain than half a step, as on a scale to 100, is what the teacher would see there.
    seen = abs(suggested - now) >= min(scale.grain, scale.step / 2) * (1 - 1e-9)
    return suggested if seen and abs(value - now) >= WORTH * uncertainty else None


def accepted(record: ClassRecord, chosen: Iterable[Suggestion]) -> ClassRecord:
    """The record with these suggestions as ratings, and with the teacher's guess kept for what is learnt next.

    Where a strand was named for results that speak about none, accept into ``about.named(record, strand)``, so that
    they go on counting for it.
    """
    for suggestion in chosen:
        roster, strand, learnt = record.roster, suggestion.strand, suggestion.learnt
        if strand not in roster.strands:
            roster = replace(roster, strands=(*roster.strands, strand))
        person = roster.by_id[suggestion.student]
        roster = roster.with_student(replace(person, ratings={**person.ratings, strand: suggestion.suggested}))
        record = replace(record, roster=roster)
        if learnt is not None:
            others = [one for one in record.learnt if (one.student, one.strand) != (learnt.student, learnt.strand)]
            places = {student.id: place for place, student in enumerate(roster.students)}
            kept = sorted([*others, learnt], key=lambda each: (places.get(each.student, len(places)), each.strand))
            record = replace(record, learnt=tuple(kept))
    return record


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
        return f"all results together speak for {'less' if change < 0 else 'more'} than the rating accepted before"
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
