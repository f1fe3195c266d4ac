"""The list of rules, in the order of preference: the one place to add a rule to."""

from __future__ import annotations

from grouper.rules.balanced import Balanced, Similar
from grouper.rules.coaching import Coaching, CoachingGap, CoachingTogether
from grouper.rules.fresh import EarlierUnits, Fresh, FreshInLesson
from grouper.rules.rule import Rule
from grouper.rules.together import Apart, Together
from grouper.rules.turns import SIDE_TURNS, TRIO_TURNS

RULES: tuple[Rule, ...] = (
    Apart(),
    Together(),
    Coaching(),
    CoachingTogether(),
    Balanced(),
    CoachingGap(),
    Similar(),
    Fresh(),
    EarlierUnits(),
    FreshInLesson(),
    TRIO_TURNS,
    SIDE_TURNS,
)
