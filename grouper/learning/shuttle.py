"""The 20 m shuttle run: from the last stage and the age to the oxygen that somebody can take up.

Léger, Mercier, Gadoury and Lambert (1988), The multistage 20 metre shuttle run test for aerobic fitness, Journal of
Sports Sciences 6:93-101 (the text was not read; the formula is as commonly quoted).
"""

from __future__ import annotations

from grouper.errors import InputError

YOUNGEST, ADULT = 8, 18
"""The formula was made for children from 8 years on; grown-ups count as 18 in it."""
MOST_STAGES = 23


def vo2max(stage: float, age: float) -> float:
    """The maximal uptake of oxygen in ml per kg and minute.

    ``31.025 + 3.238 v - 3.248 a + 0.1536 a v`` with the speed v of the last stage in km/h, 8.5 in the first and half a
    km/h more in each, and the age a in years; from 18 on everybody counts as 18.

    Parameters
    ----------
    stage
        The last stage that was completed, from 1; a part of the next may be counted as a fraction.
    age
        In years.

    Raises
    ------
    InputError
        There is no such stage, or the formula was not made for the age.

    Examples
    --------
    >>> round(vo2max(8, 12), 1), round(vo2max(6, 14), 1)
    (53.0, 44.8)
    """
    if not 0 <= stage <= MOST_STAGES:
        raise InputError(
            "stage {stage:g} is none of the shuttle run",
            "its stages are 1 to {most_stages}",
            stage=stage,
            most_stages=MOST_STAGES,
        )
    if not YOUNGEST <= age < 100:
        raise InputError(
            "the shuttle run cannot be read at the age of {age:g}",
            "ages are {youngest} or more, in years",
            age=age,
            youngest=YOUNGEST,
        )
    years, speed = min(age, ADULT), 8 + 0.5 * stage
    return 31.025 + 3.238 * speed - 3.248 * years + 0.1536 * years * speed
