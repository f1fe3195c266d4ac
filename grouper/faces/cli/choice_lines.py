"""Plans to pick from, a line each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from grouper.planning.several import Choice
from grouper.words import counted


def choice_lines(choices: Sequence[Choice], class_name: str, seed: int | None, effort: str) -> Iterator[str]:
    """For each plan what it is worth and the command that takes it; newest partners first."""
    if len(choices) == 1:
        yield "There is nothing to trade: one plan is best in both respects."
    for number, choice in enumerate(choices, start=1):
        yield f"{number}. {choice_in_words(choice)}"
        yield f"   grouper plan {class_name} --prefer {choice.prefer or 'usual'}{_options(seed, effort)}"


def choice_in_words(choice: Choice) -> str:
    """What a plan is worth, in a line."""
    worst = choice.fairness.worst_spread
    even = f"; teams {choice.unevenness:.2f} apart on average, {worst.spread:.2f} at worst" if worst else ""
    fair = choice.fairness
    most = f"no two meet more than {counted(fair.most_meetings, 'time')}"
    return f"{counted(fair.repeats, 'repeat')} (cost {fair.meeting_cost}, {most}){even}"


def _options(seed: int | None, effort: str) -> str:
    with_seed = "" if seed is None else f" --seed {seed}"
    return with_seed + ("" if effort == "usual" else f" --effort {effort}")
