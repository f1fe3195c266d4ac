"""What an activity is after, in the teacher's words."""

from __future__ import annotations

from grouper.model.unit import Activity
from grouper.rules.coaching import window_in_words


def aim_in_words(activity: Activity) -> str:
    """The aim with its strand and, for coaching, its window.

    Examples
    --------
    >>> aim_in_words(Activity("Game", groups=4, aim="balanced", strand="passing"))
    'even teams in passing'
    """
    strand = activity.strand
    return {
        "fresh": "new partners",
        "balanced": f"even teams in {strand}",
        "coaching": f"one coaches, one learns in {strand}{_window(activity)}",
        "similar": f"alike in {strand}",
        "stay": "the groups before go on",
    }[activity.aim]


def _window(activity: Activity) -> str:
    if activity.min_gap is None and activity.max_gap is None:
        return ""
    return f", gap {window_in_words(activity)}"
