"""Where a student stands on a ladder before anything was seen: by the rating in the strand of the activity."""

from __future__ import annotations

from grouper.model.roster import Roster
from grouper.tasks.response import ability_for

USUAL_SUCCESS = 0.75
"""The share of attempts with which ratings are laid out on the ladder (rule of thumb, common practice: 70-80 %)."""


def starting_ability(roster: Roster, strand: str, student: str, steps: int) -> float:
    """The ability of a student in steps of a ladder.

    The steps are spread evenly over the range of the class: the first is right for the lowest rating, the last for the
    highest. Who is not rated has the middle rating of the class; where nobody is, all stand in the middle.

    Parameters
    ----------
    roster, strand, student
        Whose rating in what.
    steps : int
        How many steps the ladder has.
    """
    return ability_for(USUAL_SUCCESS, 1 + (steps - 1) * relative_rating(roster, strand, student))


def relative_rating(roster: Roster, strand: str, student: str) -> float:
    """A rating within the range of the class, from 0 for the lowest to 1 for the highest."""
    ratings = [person.ratings[strand] for person in roster.active if strand in person.ratings]
    if not ratings or min(ratings) == max(ratings):
        return 0.5
    share = (roster.rating(student, strand) - min(ratings)) / (max(ratings) - min(ratings))
    return min(1.0, max(0.0, share))
