"""The class list of a lesson, to tick off: who should be there, and what the teacher wants at hand about each.

With the words for absences, and the roles that students may see: tasks, none of which says how able anybody is or why
they are aside.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from grouper.faces.views.names import full_name, name_order
from grouper.model.ledger import COACH, LEARNER, Ledger, ledger_of
from grouper.model.noted import LATE, Absence
from grouper.model.problem import problem_of
from grouper.model.record import ClassRecord
from grouper.model.sides import FLOATER
from grouper.model.unit import RoundKey
from grouper.rules.turns import TRIO_TURNS


@dataclass(frozen=True)
class AbsenceWords:
    """An absence: ``state`` is away, late or aside; ``when`` the rounds, empty for all; the role of who is aside.

    ``from_start`` where it begins with the lesson; ``limited`` where ``when`` names the rounds that it is for.
    """

    state: str
    when: str = ""
    role: str = ""
    from_start: bool = True
    limited: bool = False

    @property
    def sentence(self) -> str:
        """All in one, such as 'late, here from round 3'."""
        doing = f" as {self.role}" if self.role else ""
        comma = "," if self.when and not self.limited else ""
        state = "sitting out" if self.state == "aside" else self.state
        return f"{state}{doing}{comma} {self.when}".rstrip()


def absence_in_words(absence: Absence) -> AbsenceWords:
    """An absence in words.

    >>> absence_in_words(Absence(1, "ana", "away", role="late", until=2)).sentence
    'late, here from round 3'
    >>> absence_in_words(Absence(1, "ana", "aside", 2, "scorer", 3)).sentence
    'sitting out as scorer in rounds 2 to 3'
    """
    late, since, until = absence.state == "away" and absence.role == LATE, absence.since, absence.until
    from_start = since == 1 and (until is None or absence.state == "away")
    if until is None:
        when = f"from round {since}" if since > 1 else ""
    elif from_start:
        when = f"here from round {until + 1}"
    else:
        when = f"in round {since}" if since == until else f"in rounds {since} to {until}"
    state, role = (LATE, "") if late else (absence.state, absence.role)
    return AbsenceWords(state, when, role, from_start, limited=until is not None and not from_start)


def absences_in_words(record: ClassRecord, lesson: int, student: str) -> tuple[AbsenceWords, ...]:
    """All absences of a student in a lesson, the first first."""
    return tuple(absence_in_words(absence) for absence in by_round(record.absences_of(student, lesson)))


def by_round(absences: Iterable[Absence]) -> tuple[Absence, ...]:
    """Absences in the order of their first rounds."""
    return tuple(sorted(absences, key=lambda absence: absence.since))


HELPER = "helper"
"""Stands for a role that is not on the list."""

SHOWN_ROLES = frozenset(
    {
        *(COACH, LEARNER, HELPER, FLOATER, "observer", "feeder", "worker", "partner", "duty", "assistant", "starter"),
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



def ledger_before(record: ClassRecord, key: RoundKey) -> Ledger:
    """Who has met whom before a round, in the order of play."""
    return ledger_of(round_ for round_ in record.plan.rounds if round_.key < key)


@dataclass(frozen=True)
class AttendanceLine:
    """A student of the class list.

    ``absences`` are empty for those who take part in all rounds; ``missing`` says that they are not expected at the
    beginning; ``ratings`` in the strands of the list, None where not rated; turns are those of earlier lessons.
    """

    name: str
    short_name: str
    absences: tuple[AbsenceWords, ...]
    missing: bool
    ratings: tuple[float | None, ...]
    size_band: str
    trio_turns: int
    coach_turns: int

    @property
    def role_on_wall(self) -> str:
        """What students read as the role of somebody who is aside, where it is another word than the teacher's."""
        asides = [absence.role for absence in self.absences if absence.state == "aside"]
        shown = shown_role(asides[-1], HELPER) if asides else ""
        return "" if not asides or shown == asides[-1] else shown


def attendance_list(
    record: ClassRecord, lesson: int, names: dict[str, str], strands: tuple[str, ...]
) -> tuple[AttendanceLine, ...]:
    """A line for each student who belongs to the class in a lesson, by the alphabet."""
    problem = problem_of(record)
    before = [round_ for round_ in record.plan.rounds if round_.key.lesson < lesson and round_.key in problem.by_key]
    trio, coach, lines = TRIO_TURNS.turns(problem, before), ledger_of(before).coach_turns, []
    for student in record.roster.students:
        if student.belongs_in(lesson):
            absences = absences_in_words(record, lesson, student.id)
            if not absences and student.availability:
                absences = (AbsenceWords(student.availability),)
            missing = any(absence.state in ("away", LATE) and absence.from_start for absence in absences)
            ratings = tuple(student.ratings.get(strand) for strand in strands)
            had = (trio[student.id], coach[student.id])
            shown = (full_name(student), names[student.id], absences, missing, ratings, student.size_band, *had)
            lines.append(AttendanceLine(*shown))
    return tuple(sorted(lines, key=lambda line: (name_order(line.name), name_order(line.short_name))))
