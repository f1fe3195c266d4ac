"""What learning from games is worth: classes with hidden true skills, six lessons of games, and the teams after them.

``python tests/bench/learning.py [PART ...]`` (all parts: some four minutes) writes the tables of
``docs/quality/learning.md``; the parts are ``main``, ``certainty``, ``grid``, ``worlds``, ``choices`` and ``planner``.
All seeds are fixed: 0, 1, 2 ...
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

import numpy as np

sys.path.append(str(Path(__file__).resolve().parents[1]))
sys.path.append(str(Path(__file__).resolve().parents[1] / "learning"))

from hidden_class import SCALE, AsTrial, Change, HiddenClass, World, balance, by_the_tool, lessons_played
from planned_class import planned_balance, ratings_of, unit_taught
from report import table

from grouper.faces.views.suggestions_view import CERTAINTIES
from grouper.learning.evidence import Trial
from grouper.learning.guesses import GUESS_SPREAD
from grouper.learning.suggest import WORTH
from grouper.learning.team_model import ELO_PER_STEP, LIKENESS, Game, trial_of

PAGE = Path(__file__).resolve().parents[2] / "docs" / "quality" / "learning.md"
SEEDS, PLANNED_SEEDS = 200, 12
INNER_80 = 1.2816
"""Within so many standard deviations lie 80 % of a normal distribution."""


@dataclass(frozen=True)
class Seen:
    """One class: apart and lopsided by first guess, learned ratings and truth; changes a lesson; truths within 80 %."""

    apart: tuple[float, float, float]
    lopsided: tuple[float, float, float]
    changed: float
    covered: float
    changes: tuple[Change, ...] = ()


def seen(world: World, seed: int, as_trial: AsTrial = by_the_tool, spread: float = GUESS_SPREAD) -> Seen:
    """One class, taught and looked at."""
    hidden = HiddenClass(world, seed)
    learned = lessons_played(hidden, as_trial, spread)
    after = [balance(hidden, ratings) for ratings in (hidden.guess, learned.ratings, hidden.truth)]
    covered = np.abs(learned.values - hidden.truth) <= INNER_80 * learned.uncertainty
    apart, lopsided = (tuple(getattr(each, what) for each in after) for what in ("apart", "lopsided"))
    changed = len(learned.changes) / world.lessons
    return Seen(apart, lopsided, changed, float(covered.mean()), learned.changes)


HEAD = (
    "", "apart: first guess", "learned", "true ratings", "gain, 95 % interval", "of what could be gained",
    "lopsided: first guess", "learned", "true ratings", "changes a lesson", "in the 80 % interval",
)


def row(name: str, classes: Sequence[Seen]) -> tuple[object, ...]:
    """What many classes say, in a row of the table."""
    apart, lopsided = (np.array([getattr(each, what) for each in classes]) for what in ("apart", "lopsided"))
    guess, learned, true = apart.mean(0)
    gain = f"{guess - learned:.3f} ± {half_width(apart[:, 0] - apart[:, 1]):.3f}"
    share = f"{100 * (guess - learned) / (guess - true):.0f} %"
    covered = f"{100 * np.mean([each.covered for each in classes]):.0f} %" if classes[0].covered >= 0 else None
    changed = float(np.mean([each.changed for each in classes])) if classes[0].changed >= 0 else None
    shares = (f"{100 * value:.1f} %" for value in lopsided.mean(0))
    return (name, float(guess), float(learned), float(true), gain, share, *shares, changed, covered)


def half_width(differences: Iterable[float]) -> float:
    """Half of the 95 % interval of a mean."""
    values = np.array(list(differences))
    return float(1.96 * values.std(ddof=1) / np.sqrt(len(values)))


def many(world: World, as_trial: AsTrial = by_the_tool, spread: float = GUESS_SPREAD) -> list[Seen]:
    """Many classes of a world."""
    return [seen(world, seed, as_trial, spread) for seed in range(SEEDS)]


def main_part() -> str:
    """The usual class: balance and calibration."""
    return table(HEAD, [row("28 students, 6 teams, 6 lessons", many(World()))])


CERTAINTY_WORLDS = {
    "teams of 4 and 5, guess off by 1 step": World(),
    "teams of 4 and 5, guess off by 0.5 steps": World(noise=0.5),
    "12 pairs, guess off by 1 step": World(people=24, teams=12),
    "12 pairs, guess off by 0.5 steps": World(people=24, teams=12, noise=0.5),
}


def certainty_part() -> str:
    """How often a suggestion comes nearer to the truth, by the words that it is shown with."""
    rows = []
    for name, world in CERTAINTY_WORLDS.items():
        changes = [change for each in many(world) for change in each.changes]
        most = float("inf")
        for least, word in CERTAINTIES:
            nearer = [change.nearer for change in changes if least <= change.sure < most]
            rows.append((name, word, len(nearer), f"{100 * np.mean(nearer):.0f} %" if nearer else None))
            most = least
    return table(("", "certainty", "suggestions", "nearer to the truth than the rating before"), rows)


def counted(number: float, noun: str) -> str:
    """A number with its noun."""
    return f"{number:g} {noun}" if number == 1 else f"{number:g} {noun}s"


def grid_part() -> str:
    """How good the first guess is, and how many games there are."""
    worlds = [(noise, lessons) for noise in (0.5, 1.0, 1.5) for lessons in (1, 3, 6, 12)]
    rows = []
    for noise, lessons in worlds:
        name = f"guess off by {counted(noise, 'step')}, {counted(lessons, 'lesson')}"
        rows.append(row(name, many(World(noise=noise, lessons=lessons))))
    return table(HEAD, rows)


WORLDS = {
    "a step is worth half as much as the tool thinks": World(elo_per_step=50),
    "a step is worth twice as much": World(elo_per_step=200),
    "4 points a game": World(points=4),
    "30 points a game": World(points=30),
    "form of the day and the game twice as large": World(day_form=0.4, game_form=0.6),
    "24 students, 8 teams of 3": World(people=24, teams=8),
    "24 students, 12 pairs": World(people=24, teams=12),
    "30 students, 4 teams of 7 or 8": World(people=30, teams=4),
    "every two teams meet twice a lesson": World(legs=2),
}


def worlds_part() -> str:
    """Classes that play otherwise than the tool's model has it."""
    return table(HEAD, [row(name, many(world)) for name, world in WORLDS.items()])


def by(elo_per_step: float, likeness: float) -> AsTrial:
    """A game as evidence with other constants."""
    return lambda game: trial_of(game, SCALE.step, elo_per_step, likeness)


def by_wins(game: Game) -> Trial:
    """A game as won, drawn or lost alone, by the curve that suits games of a dozen points."""
    weights = trial_of(game, SCALE.step, 2 * ELO_PER_STEP).weights
    margin = game.home_points - game.away_points
    return Trial(weights, 0.5 + 0.5 * float(np.sign(margin)), 1.0)


def choices_part() -> str:
    """What was chosen, beside what else could have been."""
    tried: dict[str, Callable[[], list[Seen]]] = {
        f"chosen: points, likeness {LIKENESS:g}, worth {WORTH:g}, guess off by {GUESS_SPREAD:g}": _tried(by_the_tool),
        "wins, draws and losses alone": lambda: many(World(), by_wins),
        **{f"likeness {value:g}": _tried(by(ELO_PER_STEP, value)) for value in (0.0, 0.05, 0.2)},
        **{f"guess held to be off by {value:g} steps": _tried(by_the_tool, value) for value in (0.7, 1.4)},
        **{f"worth {value:g}": _with_worth(value) for value in (0.0, 0.6, 0.8, 1.0)},
    }
    classes = {name: run() for name, run in tried.items()}
    chosen = next(iter(classes.values()))
    rows = [(*row(name, own), against(own, chosen)) for name, own in classes.items()]
    return table((*HEAD, "gain against what was chosen"), rows)


def against(classes: Sequence[Seen], chosen: Sequence[Seen]) -> str | None:
    """How much nearer the teams are than with what was chosen, class by class, with its 95 % interval."""
    nearer = [two.apart[1] - one.apart[1] for one, two in zip(classes, chosen, strict=True)]
    return f"{np.mean(nearer):+.3f} ± {half_width(nearer):.3f}" if any(nearer) else None


def _tried(as_trial: AsTrial, spread: float = GUESS_SPREAD) -> Callable[[], list[Seen]]:
    return lambda: many(World(), as_trial, spread)


def _with_worth(value: float) -> Callable[[], list[Seen]]:
    def run() -> list[Seen]:
        with patch("grouper.learning.suggest.WORTH", value):
            return many(World())

    return run


def planner_part() -> str:
    """The usual class with the real planner, records and suggestions, and the same seeds with the stand-in."""
    planned, quick = [], []
    for seed in range(PLANNED_SEEDS):
        hidden = HiddenClass(World(), seed)
        learned = ratings_of(unit_taught(hidden))
        after = [planned_balance(hidden, ratings) for ratings in (hidden.guess, learned, hidden.truth)]
        apart, lopsided = (tuple(getattr(each, what) for each in after) for what in ("apart", "lopsided"))
        planned.append(Seen(apart, lopsided, -1, -1))
        quick.append(seen(World(), seed))
    rows = [row(f"the planner, {PLANNED_SEEDS} classes", planned), row("the stand-in, the same classes", quick)]
    return table(HEAD, rows)


PARTS = {
    "main": main_part,
    "certainty": certainty_part,
    "grid": grid_part,
    "worlds": worlds_part,
    "choices": choices_part,
    "planner": planner_part,
}


def write(part: str, text: str) -> None:
    """Put a part in its place on the page."""
    begin, end = f"<!-- {part} begins -->", f"<!-- {part} ends -->"
    page = PAGE.read_text(encoding="utf-8")
    head, rest = page.split(begin)
    PAGE.write_text(f"{head}{begin}\n{text}\n{end}{rest.split(end)[1]}", encoding="utf-8")


if __name__ == "__main__":
    for part in sys.argv[1:] or PARTS:
        made = PARTS[part]()
        print(made, flush=True)
        write(part, made)
