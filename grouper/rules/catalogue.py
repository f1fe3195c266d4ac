"""The list of rules, in the order of preference: the one place to add a rule to."""

from __future__ import annotations

from grouper.rules.apart import Apart
from grouper.rules.balanced import Balanced
from grouper.rules.coaching import Coaching
from grouper.rules.coaching_gap import CoachingGap
from grouper.rules.coaching_together import CoachingTogether
from grouper.rules.earlier_units import EarlierUnits
from grouper.rules.fresh import Fresh
from grouper.rules.fresh_in_lesson import FreshInLesson
from grouper.rules.rule import Rule
from grouper.rules.similar import Similar
from grouper.rules.together import Together
from grouper.rules.trio_turns import TrioTurns

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
    TrioTurns(),
)
