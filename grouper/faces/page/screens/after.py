"""After a lesson: it ran as planned, or what differed, put right in a table of labels; and how its rounds went.

The words of a change stand in the bar on top, which students may see at the door: they name a group, and never say how
it went there.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from flask import Blueprint, render_template, request
from werkzeug.wrappers import Response

from grouper.errors import InputError
from grouper.faces.page import state as page
from grouper.faces.page.desk import Done, Verb
from grouper.faces.page.screens.after_view import WORDS, after_view, ways_taken
from grouper.model.ledger import COACH
from grouper.model.noted import TaskResult
from grouper.model.plan import Group, Round
from grouper.model.record import ClassRecord
from grouper.model.unit import RoundKey
from grouper.planning.adjust import reopened, taught
from grouper.planning.admit import with_rest
from grouper.planning.noting import noted, unseen
from grouper.planning.ran import corrected, had_role
from grouper.tasks.choose import as_suggested, out_of, result_of, told_by_points, with_result, with_setting

after = Blueprint("after", __name__, url_prefix="/c/<name>/lesson/<int:number>/after")


@after.get("")
def over(name: str, number: int) -> str:
    shown = page.open_class(name, "today")
    return render_template("after.html", shown=shown, words=WORDS, **after_view(shown.record, number))


@after.post("/as-planned")
def as_planned(name: str, number: int) -> Response:
    """It ran as it stands, up to the round that was chosen."""
    up_to = _got_to()

    def verb(record: ClassRecord) -> Done:
        said = "" if up_to is None else f" up to round {up_to}"
        return taught(record, number, up_to=up_to), f"lesson {number} taught{said}"

    return _change(name, number, verb, lambda record: page.lesson_mark(record, number))


def _got_to() -> int | None:
    """The last round that was held, None where it was the last of the lesson."""
    # Of a lesson that is closed already the last round counts as said too: it may have been cut short before.
    got_to, last = page.whole("got_to", 0), page.whole("last", 0)
    return got_to if 0 < got_to < last or (got_to and page.field("again")) else None


@after.post("/rest")
def rest(name: str, number: int) -> Response:
    target = page.whole("target", 0)
    what = f"what was left of lesson {number} is in lesson {target}"
    return _change(name, number, lambda record: (with_rest(record, number, target), what))


@after.post("/differed")
def differed(name: str, number: int) -> Response:
    """It ran with other groups, given as a label for each student in each round; what was not touched stays."""
    were, now = _labels("was"), _labels("ran")
    changed = {spot: label for spot, label in now.items() if label != were.get(spot)}
    shown = {place: page.field(f"shown-{place}") for place, _ in changed}
    up_to = _got_to()

    def verb(record: ClassRecord) -> Done:
        marks = page.round_marks(record, number)
        for place, mark in shown.items():
            page.check_as_shown(marks.get(place, ""), mark)
        groups: dict[RoundKey, tuple[Group, ...]] = {}
        for round_ in record.plan.of_lesson(number):
            place = record.place_in_lesson(round_.key)
            ran = _as_it_ran(round_, {student: label for (at, student), label in changed.items() if at == place})
            if {g.label: set(g.members) for g in ran} != {g.label: set(g.members) for g in round_.groups}:
                groups[round_.key] = ran
        if number not in record.taught:
            return taught(record, number, groups, up_to), f"lesson {number} taught, with changes"
        if not groups:
            raise InputError("nothing was changed; choose the group of somebody first")
        return corrected(record, groups), f"lesson {number} corrected"

    return page.change("after.over", name, verb, number=number)


def _labels(kind: str) -> dict[tuple[int, str], str]:
    """The label of a student's group by the place of the round in the lesson, from 1, and the student's id."""
    return {
        (int(place), student): label.strip()
        for key, label in request.form.items()
        for start, _, rest in [key.partition("-")]
        for place, _, student in [rest.partition("-")]
        if start == kind and place.isdecimal()
    }


def _as_it_ran(round_: Round, ran: Mapping[str, str]) -> tuple[Group, ...]:
    """The groups of a round where some were elsewhere, by their labels; roles stay where people did."""
    known_before = {group.label: group for group in round_.groups}
    now = {**{student: group.label for group in round_.groups for student in group.members}, **ran}
    groups = []
    for label in dict.fromkeys([*known_before, *now.values()]):
        members = tuple(student for student, own in now.items() if own == label)
        group = known_before.get(label, Group(label, members))
        if set(group.members) != set(members):
            roles = tuple(group.role(student) if student in group.members else "" for student in members)
            group = replace(group, members=members, roles=roles if group.roles else ())
        if label and members:
            groups.append(group)
    return tuple(groups)


@after.post("/note")
def note(name: str, number: int) -> Response:
    """A note on the lesson; an empty one takes it away."""
    text = "\n".join(line.rstrip() for line in request.form.get("note", "").splitlines())
    return _change(name, number, lambda record: (noted(record, number, 0, text), f"note on lesson {number}"))


@after.post("/reopen")
def reopen(name: str, number: int) -> Response:
    return _change(name, number, lambda record: (reopened(record, number), f"lesson {number} not taught after all"))


def _change(name: str, number: int, verb: Verb, mark: Callable[[ClassRecord], str] = page.unit_mark) -> Response:
    """Run a verb on what the page showed, and on nothing else that goes by the same number or label now."""
    return page.change("after.over", name, verb, mark, number=number)


def _change_round(name: str, number: int, what: str, verb: Callable[[ClassRecord, RoundKey], ClassRecord]) -> Response:
    """Run a verb on the round that the form names, as the page showed it; ``what`` has a place for which it is."""
    place = page.whole("place", 0)
    said = what.replace("{round}", f"round {place} of lesson {number}")
    return _change(
        name,
        number,
        lambda record: (verb(record, record.round_at(number, place)), said),
        lambda record: page.round_marks(record, number).get(place, ""),
    )


@after.post("/coached")
def coached(name: str, number: int) -> Response:
    """A name was tapped: that student was the coach, and the others of the group were learners."""
    student = page.field("tapped")

    def verb(record: ClassRecord, key: RoundKey) -> ClassRecord:
        return had_role(record, key, page.known(record, student).id, COACH)

    return _change_round(name, number, "who coached in {round}", verb)


@after.post("/chose")
def chose(name: str, number: int) -> Response:
    """Which of the two ways on its card a group took was tapped; again, and it is not known and counts as the first."""
    label, _, setting = request.form.get("tapped", "").partition("|")

    def verb(record: ClassRecord, key: RoundKey) -> ClassRecord:
        if any(way.taken and way.typed == setting for way in ways_taken(record, key, label)):
            return as_suggested(record, key, label)
        return with_setting(record, key, label, setting)

    return _change_round(name, number, f"what group {label} did in {{round}}", verb)


@after.post("/felt")
def felt(name: str, number: int) -> Response:
    """A word was tapped for a group, or taken back, and what was counted stays; the button says which and of whom."""
    word, _, label = request.form.get("tapped", "").partition(":")

    def verb(record: ClassRecord, key: RoundKey) -> ClassRecord:
        before = result_of(record, key, label)
        if before is None:
            return with_result(record, TaskResult(key, label, word)) if word else record
        left = word or before.tries or before.points is not None
        return with_result(record, replace(before, felt=word)) if left else unseen(record, before)

    return _change_round(name, number, f"how {{round}} went for group {label}", verb)


@after.post("/counted", endpoint="counted")
def count(name: str, number: int) -> Response:
    """Successes of attempts were typed for the groups of a round."""
    return _counted(name, number, ("hits", "tries"), "successes and attempts", "successes", _with_numbers)


@after.post("/points")
def points(name: str, number: int) -> Response:
    return _counted(name, number, ("points", "lost", "out"), "points", "points", _with_points)


Counted = Callable[[ClassRecord, RoundKey, str, tuple[str, ...]], TaskResult | None]
"""Makes of what stands in the fields of a group its result, None where nothing is left to say."""


def _counted(name: str, number: int, kinds: tuple[str, ...], said: str, what: str, made: Counted) -> Response:
    """Only what is other than the page showed counts as typed."""
    labels = {key[6:]: label for key, label in request.form.items() if key.startswith("label-")}
    were, now = (
        {label: tuple(page.field(f"{kind}{each}-{at}") for each in kinds) for at, label in labels.items()}
        for kind in ("was-", "")
    )
    typed = {label: fields for label, fields in now.items() if fields != were.get(label)}

    def verb(record: ClassRecord, key: RoundKey) -> ClassRecord:
        if not typed:
            raise InputError("no number was changed", "type {said} of a group first", said=said)
        for label, fields in typed.items():
            before, after = result_of(record, key, label), made(record, key, label, fields)
            if after is not None:
                record = with_result(record, after)
            elif before is not None:
                record = unseen(record, before)
        return record

    return _change_round(name, number, f"{what} counted in {{round}}", verb)


def _with_numbers(record: ClassRecord, key: RoundKey, label: str, fields: tuple[str, ...]) -> TaskResult | None:
    before, (hits, tries) = result_of(record, key, label), fields
    if not hits and not tries:
        left = before and (before.felt or before.points is not None)
        return replace(before, hits=None, tries=None) if before and left else None
    now = _number(label, hits), _number(label, tries)
    return replace(before, hits=now[0], tries=now[1]) if before else TaskResult(key, label, "", *now)


def _with_points(record: ClassRecord, key: RoundKey, label: str, fields: tuple[str, ...]) -> TaskResult | None:
    """Where points tell hits, these follow them as long as the number of attempts stands there."""
    before, (won, lost, tries) = result_of(record, key, label), fields
    if before and told_by_points(record, before):
        before = replace(before, hits=None, tries=None)
    if not won and not lost:
        return replace(before, points=None, lost=0) if before and before.tells_of_ability else None
    points, off = _number(label, won or "0"), _number(label, lost or "0")
    after = replace(before, points=points, lost=off) if before else TaskResult(key, label, points=points, lost=off)
    return out_of(record, after, _number(label, tries)) if tries else after


def _number(label: str, text: str) -> int:
    if text.isascii() and text.isdecimal() and len(text) < 5:
        return int(text)
    wrong = "group {label}: '{text}' is no number" if text else "group {label}: successes and attempts go together"
    raise InputError(wrong, "write both, such as 7 of 10; nothing was saved", label=label, text=text)
