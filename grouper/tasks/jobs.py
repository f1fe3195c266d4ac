"""Who is there and takes no part, hurt or without kit, has a role that is of use, and a task of its own to read."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.words import folded

CUES = {
    "Throwing and catching": ("the arm goes on after the ball", "hands give way as the ball comes"),
    "Dribbling": ("eyes are up, off the ball", "the ball is touched softly and stays near"),
    "Striking": ("they stand side on", "eyes stay on the ball until it is struck"),
    "Net game": ("they are back in the middle after each hit", "the ball goes to where nobody is"),
    "Invasion game": ("those without the ball move into free space", "whoever has the ball looks up first"),
    "Target game": ("they stand the same way each time", "eyes stay on the target while the arm swings"),
    "Running": ("arms swing straight to the front", "feet land softly and quickly"),
    "Jumping": ("arms swing up with the jump", "knees bend in a soft landing"),
    "Balance": ("eyes stay on one spot", "the whole body is still and tight"),
    "Rope skipping": ("the wrists turn the rope, not the arms", "jumps are low and on the front of the feet"),
    "Circuit": ("each movement is slow and whole", "breathing goes on all the time"),
}
"""Two things to look for, by kind of activity: common practice, no source."""


@dataclass(frozen=True)
class Job:
    """A role beside the groups, and what to do in it, for whoever has it to read.

    ``looking`` is the same with two cues of the activity's kind in it, where a job has something to look for.
    """

    role: str
    task: str
    known_as: frozenset[str] = frozenset()
    looking: str = ""

    def what_to_do(self, kind: str = "", rule: str = "") -> str:
        """The task in an activity of a kind (one of CUES, or empty), with the rule for points that holds there."""
        if self.role == SCORER and rule:
            return f"{self.task} {rule}"
        return self.looking.format(*CUES[kind]) if self.looking and kind in CUES else self.task


SCORER = "scorer"
JOBS = (
    Job(
        SCORER,
        "Keep the score where all can see it, and say it aloud after each point or turn.",
        frozenset({"scorekeeper", "score keeper", "recorder", "counter", "schreiber", "schreiberin", "marqueur"}),
    ),
    Job(
        "coach",
        "Watch one group for a round. Tell them one thing that goes well and one thing to try next; look whether it "
        "helped, then go to the next group.",
        frozenset({"observer", "beobachter", "beobachterin", "observateur", "observatrice", "observador"}),
        "Watch one group for a round. Look for two things: {}; {}. Tell them which of the two goes well and which to "
        "try next; look whether it helped, then go to the next group.",
    ),
    Job(
        "timekeeper",
        "Call the start, the half and the last ten seconds, and see that everybody has had a turn.",
        frozenset({"time keeper", "timer", "stopwatch", "zeitnehmer", "zeitnehmerin", "chronométreur"}),
    ),
    Job(
        "camera",
        "If your teacher says that you may film: one attempt of each group, show it to them at once and delete it. "
        "If not, draw where each of their attempts went.",
        frozenset({"filming", "photographer", "kamera", "caméra", "cámara", "photographe"}),
        "If your teacher says that you may film: one attempt of each group, show it to them at once, look together "
        "for two things ({}; {}), and delete it. If not, draw where each of their attempts went.",
    ),
)
"""In the order in which they are dealt out; that they keep somebody in the lesson is common practice, no source."""


def job_in(record: ClassRecord, key: RoundKey, student: str) -> Job | None:
    """The role and the task of a student in a round; None for whoever is not aside in it.

    What the teacher said goes first. Where nothing was said, or only what is for the teacher alone, whoever is aside in
    a lesson gets what they have had least, and not what another one has already as far as that goes.
    """
    if record.state(record.roster.by_id[student], key) != "aside":
        return None
    return _known(role_said(record, student, key)) or _dealt(record, key.lesson)[student]


def role_said(record: ClassRecord, student: str, key: RoundKey) -> str:
    """What the teacher said that a student does in a round instead of taking part; empty for nothing."""
    place = record.place_in_lesson(key)
    covering = (absence.role for absence in record.absences_of(student, key.lesson) if absence.covers(place))
    return next(covering, "")


def _known(role: str) -> Job | None:
    return next((job for job in JOBS if folded(role) in (job.role, *job.known_as)), None)


def _dealt(record: ClassRecord, lesson: int) -> dict[str, Job]:
    """The jobs of everybody who is aside in some round of a lesson, by what they had in the lessons before it."""
    had: Counter[tuple[str, str]] = Counter()
    now: dict[str, Job] = {}
    for each in record.unit.lessons:
        if each.number > lesson:
            break
        now, taken = {}, Counter[str]()
        aside = (s.id for s in record.roster.students if any(record.state(s, key) == "aside" for key in each.keys))
        for student in sorted(aside):
            roles = (_known(absence.role) for absence in record.absences_of(student, each.number))
            told = next(filter(None, roles), None)
            # Who had a job least gets it, and of these the one that the fewest others have today.
            now[student] = told or min(JOBS, key=lambda job: (had[student, job.role], taken[job.role]))
            taken[now[student].role] += 1
            had[student, now[student].role] += 1
    return now



def jobs_in(record: ClassRecord, key: RoundKey) -> dict[str, Job]:
    """The jobs of a round by student (id), whoever is in a group left out."""
    round_ = record.plan.by_key.get(key)
    seated = set(round_.students) if round_ else set()
    found = ((student.id, job_in(record, key, student.id)) for student in record.roster.students)
    return {student: job for student, job in found if job and student not in seated}
