"""What is known of everybody's ability in a strand, once all results are taken together; the ratings that this suggests
to the teacher, and what becomes of the record where they are accepted.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import cached_property

from grouper.games.days.groups import members_of
from grouper.learning.about import events_played, named, strand_of, strands_seen
from grouper.learning.evidence import Ability, Prior, Unknown
from grouper.learning.guesses import Guesses, Scale
from grouper.learning.posterior import Posterior, posterior_of
from grouper.learning.taps import Tap, demands, taps_about, trials_of_taps
from grouper.learning.team_model import ELO_PER_STEP, Game, expected_score, trial_of
from grouper.model.noted import Learnt
from grouper.model.record import ClassRecord
from grouper.model.roster import Student
from grouper.words import counted


@dataclass(frozen=True)
class Learning:
    """A strand's guesses, the results that speak about it, and what follows from both."""

    guesses: Guesses
    games: tuple[Game, ...]
    taps: tuple[Tap, ...]

    @cached_property
    def posterior(self) -> Posterior:
        """What is most likely, and how sure that is."""
        players = [player for game in self.games for player in game.players]
        workers = [member for tap in self.taps for member in tap.members]
        priors: dict[Unknown, Prior] = {who: self.guesses.prior(who) for who in dict.fromkeys([*players, *workers])}
        step, success = self.guesses.scale.step, self.guesses.record.settings.success
        trials = [trial_of(game, step) for game in self.games]
        trials += trials_of_taps(self.taps, step, success)
        return posterior_of({**priors, **demands(self.guesses, self.taps)}, trials)

    def value(self, ability: Ability) -> float:
        """What is most likely; the guess where there is no result."""
        return self.posterior.mean(ability) if self.seen(ability) else self.guesses.prior(ability).mean

    def uncertainty(self, ability: Ability) -> float:
        """How far the truth may be off, in units of the scale (standard deviation)."""
        return self.posterior.spread(ability) if self.seen(ability) else self.guesses.prior(ability).spread

    def seen(self, ability: Ability) -> bool:
        """Whether there is a result of this student."""
        return ability in self.posterior.unknowns

    @property
    def through(self) -> int:
        """The last lesson with a result; 0 where there is none."""
        lessons = [game.lesson for game in self.games] + [tap.result.key.lesson for tap in self.taps]
        return max(lessons, default=0)


def learn(record: ClassRecord, strand: str) -> Learning:
    """Everything that results tell about a strand."""
    guesses = Guesses(record, strand)
    return Learning(guesses, tuple(games_about(guesses)), tuple(taps_about(guesses)))


def games_about(guesses: Guesses) -> Iterator[Game]:
    """The games of the strand with a result, in the order of play.

    The points are those of play: one that a team lost, as in a danger zone, is one for the other side, so that the
    difference is that of the result. Bonus and penalty points are given for other things than ability. A game in which
    a team has nobody any more is left out. Where a hit brings more than a point there are fewer hits than points, and
    the result is as much less sure.
    """
    record = guesses.record
    for event, key in events_played(record):
        if strand_of(record, key) != guesses.strand:
            continue
        # Where some scores know who played, one that does not is of teams that were not there when it was entered.
        from_before = not any(game.lineup for game in event.scored)
        teams = members_of(record, event) if from_before else (frozenset(),) * len(event.teams)
        scoring = record.scoring(event.activity)
        per_hit = scoring.most if scoring else 1
        for game in event.scored:
            sides = game.lineup or (teams[game.home - 1], teams[game.away - 1])
            home, away = (tuple(guesses.ability(who, event.lesson) for who in sorted(side)) for side in sides)
            if (score := game.score) and home and away:
                points = (score.home + score.away_lost, score.away + score.home_lost)
                yield Game(event.lesson, home, away, *points, per_hit)


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
