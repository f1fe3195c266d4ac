"""For the teacher's sheet: if somebody is away, who moves where, round by round; and a rule for two and three away."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby

from grouper.faces.views.names import name_order
from grouper.faces.views.students import lesson_names
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.if_away import ASK, FILL_UP, JOIN, NOTHING, PAIR_UP, Rule, foreseen
from grouper.words import listed

NOBODY = "–"
ASK_IN_WORDS = "ask the tool"

KINDS = {
    PAIR_UP: "Pair up",
    JOIN: "Join",
    FILL_UP: "Fill up",
}
MEANINGS = {
    PAIR_UP: "those left alone work together. Where they are to be kept apart, or one is left alone: join.",
    JOIN: "each who is left alone goes to the three that has lost somebody; if there is none, by the row of who is "
    "away; if that cannot be, to the first of the groups named. It must be a pair then, with nobody to be kept apart.",
    FILL_UP: "a group that has lost two gets one student, one that has lost three gets two: of those named the first "
    "who is there, whose own group has not lost two, and who is to be kept apart from nobody in it.",
}


@dataclass(frozen=True)
class AwayRow:
    """A student, and in each column who moves where if they are away."""

    name: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class RuleRow:
    """Rounds, and what to do in them where two, and where three, are away."""

    rounds: str
    two: str
    three: str


@dataclass(frozen=True)
class IfAwayView:
    """The table; ``columns`` are rounds, several in one where the same moves are made; ``meanings`` explain the words
    that the rules use."""

    columns: tuple[str, ...]
    rows: tuple[AwayRow, ...]
    rules: tuple[RuleRow, ...]
    meanings: tuple[tuple[str, str], ...]


def if_away_view(record: ClassRecord, lesson: int) -> IfAwayView | None:
    """Who moves where in a lesson if somebody is away; None where nothing is to come or nobody takes part."""
    ahead = foreseen(record, lesson)
    if not ahead.rows:
        return None
    names = lesson_names(record, lesson)
    moves = {key: [row.moves and row.moves[key] for row in ahead.rows] for key in ahead.rounds}
    columns = [tuple(keys) for _, keys in groupby(ahead.rounds, key=moves.__getitem__)]
    rows = [
        AwayRow(names[row.student], tuple(_cell(names, row.moves, column[0]) for column in columns))
        for row in ahead.rows
    ]
    alike = [tuple(keys) for _, keys in groupby(ahead.rounds, key=lambda key: ahead.rules[key])]
    used = {rule.kind for rules in ahead.rules.values() for rule in rules}
    used |= {JOIN} if PAIR_UP in used else set()
    return IfAwayView(
        columns=tuple(_rounds(record, column) for column in columns),
        rows=tuple(sorted(rows, key=lambda row: name_order(row.name))),
        rules=tuple(
            RuleRow(_rounds(record, keys), *(_rule(names, rule) for rule in ahead.rules[keys[0]])) for keys in alike
        ),
        meanings=tuple((KINDS[kind], MEANINGS[kind]) for kind in KINDS if kind in used),
    )


def _cell(names: dict[str, str], moves: object, key: RoundKey) -> str:
    if not isinstance(moves, dict):
        return ASK_IN_WORDS
    return ", ".join(f"{names[student]} → {label}" for student, label in moves[key]) or NOBODY


def _rounds(record: ClassRecord, keys: tuple[RoundKey, ...]) -> str:
    first, last = (record.place_in_lesson(key) for key in (keys[0], keys[-1]))
    return str(first) if first == last else f"{first} to {last}"


def _rule(names: dict[str, str], rule: Rule) -> str:
    if rule.kind in (ASK, NOTHING):
        return ASK_IN_WORDS if rule.kind == ASK else "nobody moves"
    helpers = [names.get(helper, helper) for helper in rule.helpers] if rule.kind == FILL_UP else list(rule.helpers)
    who = f": {', '.join(helpers)}" if rule.kind == FILL_UP else f"; groups {', '.join(helpers)}"
    but = "; or ".join(listed([names[student] for student in away]) for away in rule.exceptions)
    return KINDS[rule.kind] + (who if helpers else "") + (f". Ask the tool with {but} away" if but else "")
