"""Which words for roles students may see: tasks, none of which says how able anybody is or why they are aside."""

from __future__ import annotations

from grouper.model.ledger import COACH, LEARNER

HELPER = "helper"
"""Stands for a role that is not on the list."""

SHOWN_ROLES = frozenset(
    {
        *(COACH, LEARNER, HELPER, "observer", "feeder", "worker", "partner", "duty", "assistant", "starter"),
        *("scorer", "scorekeeper", "score keeper", "timekeeper", "time keeper", "timer", "recorder", "counter"),
        *("referee", "umpire", "judge", "line judge", "official", "marshal", "announcer", "reporter", "statistician"),
        *("camera", "photographer", "filming", "music", "dj", "equipment", "equipment manager", "kit", "setter"),
        *("goalkeeper", "server", "ball", "balls", "whistle", "scoreboard", "board", "safety", "stopwatch"),
        *("beobachter", "beobachterin", "helfer", "helferin", "schiedsrichter", "schiedsrichterin", "zeitnehmer"),
        *("zeitnehmerin", "schreiber", "schreiberin", "punkte", "material", "musik", "kamera", "linienrichter"),
        *("observateur", "observatrice", "arbitre", "chronométreur", "chronométreuse", "marqueur", "marqueuse"),
        *("aide", "matériel", "musique", "caméra", "juge", "secrétaire", "photographe"),
        *("observador", "observadora", "árbitro", "árbitra", "cronometrador", "cronometradora", "anotador"),
        *("anotadora", "ayudante", "música", "cámara", "juez", "jueza"),
    }
)


def shown_role(role: str, otherwise: str = "") -> str:
    """The role as students may read it, and another word where it is not on the list.

    Examples
    --------
    >>> shown_role("Scorer"), shown_role("broken arm", HELPER), shown_role("best player")
    ('Scorer', 'helper', '')
    """
    words = " ".join(role.split())
    return words if words.casefold() in SHOWN_ROLES else otherwise
