"""What can be done about what went wrong, in commands; this is the only place below which nobody knows any."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from grouper.errors import GrouperError
from grouper.faces.wording.telling import all_told, telling
from grouper.words import Remedy, Said

COMMANDS = {
    Remedy.MAKE_GROUPS: "grouper plan makes them",
    Remedy.MAKE_CLASS: "grouper plan makes it",
    Remedy.NAME_LESSONS: "grouper plan --lessons FILE reads a table of them",
    Remedy.CHANGE_LESSONS: "grouper plan --lessons changes its lessons",
    Remedy.DATE_LESSONS: "give dates in the lessons' table, then run grouper plan with it",
    Remedy.SEE_GROUPS: "see them with grouper lesson",
    Remedy.CHOOSE_ROUND: "say which one: --round 1 to --round {last}",
    Remedy.SAY_WHERE_IT_ENDED: "grouper taught --up-to-round says where it ended",
    Remedy.ADD_ROUNDS_OR_END: "add them, as an export has them; if the lesson ended before, add --up-to-round {held}",
    Remedy.CLOSE_LESSON: (
        "leave what has begun as it is, or close the lesson first with grouper taught --up-to-round {last}"
    ),
    Remedy.PUT_REST: "grouper ran --lesson {lesson} --rest-to N puts that into lesson N",
    Remedy.PLAN_LESSONS: "grouper plan makes its groups",
    Remedy.TAKE_BACK: "take that back with grouper undo",
    Remedy.SAME_STUDENT: (
        "if they are one student, take this back with grouper undo and import with --same {old}={new}"
    ),
    Remedy.WHO_IS_WHO: "say which with grouper import and --same {pairs:or}, or --new {new}",
    Remedy.RESTORE_COPY: "bring back your last copy of it: grouper restore CLASS --from COPY",
    Remedy.GIVE_CLASS_FILE: "give the file that grouper plan made",
    Remedy.SEE_TEMPLATE: "add it; see grouper template",
    Remedy.ADD_HEADERS: "put a row of headers on top: 'name' alone will do, or as grouper template writes them",
    Remedy.SEE_LADDERS: "see grouper tasks --write FILE for how it looks",
    Remedy.GIVE_TASKS: "grouper tasks --set-up makes some, or --like KIND --activity NAME",
    Remedy.CHOOSE_STRAND: "say which one, with --strand; there are {strands}",
    Remedy.PLAN_GAMES: "plan them with grouper games",
    Remedy.PLAN_STATIONS: "plan them with grouper stations",
    Remedy.PLAN_REST: "grouper resume plans the rest again and keeps them",
    Remedy.SAY_SLOTS_OVER: "say it: --played K, {least} or more",
    Remedy.SAY_SLOTS_LEFT: "say how many slots are left: --slots-left N",
    Remedy.CHOOSE_SLOT: "say which one: --slot with one of {slots:or}",
    Remedy.CORRECT_OR_OPEN: (
        "grouper ran corrects how it went, grouper taught --lesson {lesson} --take-back opens it again"
    ),
    Remedy.CHOOSE_KIND: "choose one for each, with --like KIND --activity NAME: {kinds}",
    Remedy.CHOOSE_CLASS: "say which one: --class-name NAME",
    # the packages by name: an extra of grouper would be looked for under that name on a public index
    Remedy.INSTALL_PHONE: "python -m pip install cryptography segno (pipx: pipx inject grouper cryptography segno), "
    "or leave --phone out",
    Remedy.ANY_PORT: "leave --port out to take any that is free",
}


def error_lines(error: GrouperError) -> Iterator[str]:
    """An error for the terminal: what is wrong first, what belongs to it below, then how things stand."""
    tells = telling(error, COMMANDS)
    yield f"grouper: {tells.first}"
    yield from (f"  - {item}" for item in tells.items)
    if tells.standing:
        yield " ".join(tells.standing)


def said_lines(said: Iterable[Said]) -> Iterator[str]:
    """What a verb said, for the terminal."""
    return all_told(said, COMMANDS)
