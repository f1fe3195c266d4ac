"""Tasks that fit: what groups would do, the levers and the cupboard they come from, and what is kept for a child."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from flask import Blueprint, Response, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from grouper.errors import InputError
from grouper.faces.page.desk import Done, Verb
from grouper.faces.page.state import change, field, file_sent, open_class, task_mark, whole
from grouper.faces.views.cards import RISK, RISK_OF_PLACES, task_cards
from grouper.faces.views.cautions import DEFERS, CautionNote, caution_notes
from grouper.faces.views.names import label_order
from grouper.faces.views.students import lesson_names
from grouper.faces.views.tasks_of_class import adaptation_in_words, idle_lines, known_items, named_lines
from grouper.faces.wording import tasks as wording
from grouper.files.levers import check_words, default_levers, kind_like, levers_csv, read_levers
from grouper.files.words.levers import kind_of_activity
from grouper.model.levers import Adaptation, Challenge, Lever, Store
from grouper.model.plan import Round
from grouper.model.record import ClassRecord
from grouper.model.scoring import SCORINGS, scoring_called
from grouper.tasks.adapt import adapted, not_adapted
from grouper.tasks.choose import as_suggested, ways, with_setting
from grouper.tasks.kept import copied, merged, scored_as, switched, with_cupboard, with_success, with_two_ways, without
from grouper.tasks.rounds import round_tasks, success_now
from grouper.words import folded, listed


@dataclass(frozen=True)
class LeverLine:
    """A lever of an activity, or one that it could have: its settings from easy to hard, and whether it is on."""

    name: str
    settings: tuple[str, ...]
    on: bool


@dataclass(frozen=True)
class ActivityTasks:
    """An activity of the unit: the kind of its levers (empty where none could be told), these, and what they do; how
    points count in it (way, number of points, the teacher's own words, the sentence), and whether cards offer two ways.
    """

    name: str
    kind: str
    levers: tuple[LeverLine, ...]
    moves: tuple[str, ...]
    scoring: str = ""
    worth: int | None = None
    own_rule: str = ""
    rule: str = ""
    two_ways: bool = False

    @property
    def is_on(self) -> bool:
        return any(lever.on for lever in self.levers)


@dataclass(frozen=True)
class GroupLine:
    """A group's task with what is changed and the reason, for the teacher alone.

    ``easier`` and ``harder`` are ways to change it, the least to rearrange first: what is typed for each, and what it
    says. ``chosen`` says that the teacher chose it.
    """

    label: str
    members: str
    task: str
    step: str
    reason: str
    easier: tuple[tuple[str, str], ...]
    harder: tuple[tuple[str, str], ...]
    chosen: bool
    kept: str = ""


@dataclass(frozen=True)
class RoundTasks:
    """A round whose activity has tasks, with the reason where all groups share it, the mark of who is where, what is to
    be laid out, and what is missing for it."""

    place: int
    activity: str
    reason: str
    mark: str
    groups: tuple[GroupLine, ...]
    lay_out: str = ""
    short: tuple[str, ...] = ()


@dataclass(frozen=True)
class TasksView:
    """The tasks of a class.

    ``library`` are the kinds of levers that an activity can be given; ``lessons`` those with groups; ``lesson`` the
    one whose groups are shown, None for none; ``named`` are sentences on tasks that name a student or belong to no
    activity; ``cupboard`` has each thing with how many there are, None where that is not said; ``kept`` is what is kept
    for whom: id, name, as it is taken off again, in words; ``students`` are those of the class by id and name;
    ``cautions`` are what to settle before the lesson that is shown.
    """

    success: int
    activities: tuple[ActivityTasks, ...]
    library: tuple[str, ...]
    lessons: tuple[int, ...]
    lesson: int | None
    rounds: tuple[RoundTasks, ...]
    named: tuple[str, ...]
    cupboard: tuple[tuple[str, int | None], ...]
    kept: tuple[tuple[str, str, str, str], ...]
    students: tuple[tuple[str, str], ...]
    cautions: tuple[CautionNote, ...] = ()


def tasks_view(record: ClassRecord, library: Sequence[Challenge], lesson: int | None) -> TasksView:
    """The view; where the lesson has no groups none are shown."""
    planned = tuple(each.number for each in record.unit.lessons if record.plan.of_lesson(each.number))
    shown = lesson if lesson in planned else None
    names = lesson_names(record, shown) if shown else {}
    # Each name stands for itself, whatever direction its script and those beside it run in (Unicode UAX 9, isolates).
    isolated = {student: f"\u2068{name}\u2069" for student, name in names.items()}
    rounds = [_of_round(record, round_, isolated) for round_ in record.plan.of_lesson(shown)] if shown else []
    # The activities of the lesson that is shown come first.
    lessons = sorted(record.unit.lessons, key=lambda each: (each.number != shown, each.number))
    activities = dict.fromkeys(one.name for each in lessons for one in each.activities)
    return TasksView(
        round(100 * record.settings.success),
        tuple(_of_activity(record, library, name) for name in activities),
        tuple(dict.fromkeys(each.activity for each in (*library, *record.challenges))),
        planned,
        shown,
        tuple(each for each in rounds if each.groups),
        (*named_lines(record), *idle_lines(record)),
        known_items(record),
        tuple(
            (one.student, record.roster.name(one.student), one.what, adaptation_in_words(record, one))
            for one in record.adaptations
        ),
        tuple((student.id, record.roster.name(student.id)) for student in record.roster.active),
        caution_notes(record, shown, names) if shown else (),
    )


def _of_activity(record: ClassRecord, library: Sequence[Challenge], name: str) -> ActivityTasks:
    own, scoring = record.challenge(name), record.scoring(name)
    # The kind that its levers are of, or that its name points to; its own name for levers of the class.
    kind = kind_like(own, library) or own.activity if own and own.levers else kind_of_activity(name)
    offered = next((each for each in library if each.fits(kind)), None)
    levers = [*(own.levers if own else ()), *(offered.levers if offered else ())]
    first = {folded(lever.name): lever for lever in reversed(levers)}
    lines = (
        LeverLine(lever.name, tuple(s.name for s in lever.settings), bool(own and own.lever(lever.name)))
        for lever in dict.fromkeys(first[folded(lever.name)] for lever in levers)
    )
    success = success_now(record, own) if own and own.levers else None
    moves = tuple(wording.effects_in_words(success.effects(), len(success.seen))) if success and success.seen else ()
    shown = ActivityTasks(name, kind, tuple(lines), moves)
    if own is None:
        return shown
    shown = replace(shown, own_rule=own.own_rule, rule=own.rule, two_ways=own.two_ways)
    return replace(shown, scoring=scoring.key, worth=scoring.own_worth) if scoring else shown


def _of_round(record: ClassRecord, round_: Round, names: dict[str, str]) -> RoundTasks:
    found = round_tasks(record, round_.key)
    members = {group.label: listed([names[student] for student in group.members]) for group in round_.groups}
    shared = wording.shared_reason(found.tasks.values(), names)
    lines = []
    for label in sorted(found.tasks, key=label_order):
        task = found.tasks[label]
        easier, harder = (
            tuple(
                (f"{way.lever}:{way.setting}", wording.way_in_words(way)) for way in ways(record, round_.key, label, up)
            )
            for up in (False, True)
        )
        reason = "" if shared else wording.reason_in_words(task, names)
        chosen, kept = task.suggested is not None, wording.adapted_in_words(task, names)
        told = (task.card, wording.step_in_words(task), reason)
        lines.append(GroupLine(label, members[label], *told, easier, harder, chosen, kept))
    place, name = record.place_in_lesson(round_.key), record.unit.activity(round_.key).name
    mark = task_mark(record, round_.key.lesson, place)
    short = tuple(wording.short_in_words(each) for each in found.short)
    return RoundTasks(place, name, shared, mark, tuple(lines), wording.lay_out_in_words(found.lay_out), short)


tasks = Blueprint("tasks", __name__, url_prefix="/c/<name>/tasks")


@tasks.get("")
def look(name: str) -> str:
    """The tasks of the activities, and of the groups of a lesson."""
    shown = open_class(name, "unit")
    view = tasks_view(shown.record, default_levers(), request.args.get("lesson", shown.today, type=int))
    return render_template("tasks.html", shown=shown, view=view, scorings=SCORINGS, defers=DEFERS)


@tasks.get("/cards")
def cards(name: str) -> str:
    shown = open_class(name, "unit")
    lesson = request.args.get("lesson", shown.today, type=int)
    if lesson is None:
        raise InputError("say which lesson's tasks; choose one on the page of tasks")
    at_places = request.args.get("as") == "places"
    view = task_cards(shown.record, lesson, at_places)
    risk = RISK_OF_PLACES if at_places else RISK
    return render_template("task_cards.html", shown=shown, view=view, risk=risk, at_places=at_places)


@tasks.get("/file")
def file(name: str) -> Response:
    """The tasks of the class, or those that come along, as a table to change."""
    own = open_class(name, "unit").record.challenges
    answer = Response(levers_csv(own or default_levers()), mimetype="text/csv")
    answer.headers["Content-Disposition"] = 'attachment; filename="tasks.csv"'
    return answer


@tasks.post("/file")
def from_file(name: str) -> AnyResponse:
    """Tasks from a table, in the place of those of the same activities."""
    reading = read_levers(file_sent("a file of tasks"))
    return _done(name, lambda record: (merged(record, reading.challenges), f"tasks read: {reading.summary}"))


@tasks.post("/give")
def give(name: str) -> AnyResponse:
    """An activity is given the levers of a kind, or none any more."""
    activity, like = field("activity"), field("like")

    def verb(record: ClassRecord) -> Done:
        if not like:
            return without(record, activity), f"no tasks for '{activity}'"
        return copied(record, activity, like, default_levers()), f"tasks for '{activity}'"

    return _done(name, verb)


@tasks.post("/step")
def step(name: str) -> AnyResponse:
    """Another setting for a group's task, or the suggested task again; the button says which, and for whom."""
    lesson, place = whole("lesson", 0), whole("place", 0)
    label, _, setting = request.form.get("tapped", "").partition("|")

    def verb(record: ClassRecord) -> Done:
        key = record.round_at(lesson, place)
        done = with_setting(record, key, label, setting) if setting else as_suggested(record, key, label)
        return done, f"the task of group {label} in round {place} of lesson {lesson}"

    return _done(name, verb, lambda record: task_mark(record, lesson, place))


@tasks.post("/success")
def success(name: str) -> AnyResponse:
    share = whole("success", 0)
    return _done(name, lambda record: (with_success(record, share / 100), f"{share}% of attempts should succeed"))


@tasks.post("/lever")
def lever(name: str) -> AnyResponse:
    activity, called, like = field("activity"), field("lever"), field("kind")

    def verb(record: ClassRecord) -> Done:
        own = record.challenge(activity)
        new = None if own and own.lever(called) else _offered(record, like, called)
        return switched(record, activity, new or called), f"a lever of the tasks for '{activity}'"

    return _done(name, verb)


def _offered(record: ClassRecord, kind: str, called: str) -> Lever | None:
    library: tuple[Challenge, ...] = (*default_levers(), *record.challenges)
    return next((found for one in library if one.fits(kind) and (found := one.lever(called))), None)


@tasks.post("/scoring")
def scoring(name: str) -> AnyResponse:
    activity, way, worth, rule = field("activity"), field("way"), field("worth"), field("rule")
    check_words(rule)
    numbered = bool(way and worth and scoring_called(way).ranked)

    def verb(record: ClassRecord) -> Done:
        return scored_as(record, activity, f"{way} {worth}" if numbered else way, rule), f"points in '{activity}'"

    return _done(name, verb)


@tasks.post("/ways")
def two_ways(name: str) -> AnyResponse:
    activity, two = field("activity"), field("two") == "yes"
    said = f"cards of '{activity}' {'offer two ways' if two else 'have one task'}"
    return _done(name, lambda record: (with_two_ways(record, activity, two), said))


@tasks.post("/cupboard")
def cupboard(name: str) -> AnyResponse:
    """How many there are of the things that are typed in; an empty number is not said, and then there is enough."""
    items, counts = request.form.getlist("item"), request.form.getlist("count")
    typed = [(item.strip(), count.strip()) for item, count in zip(items, counts, strict=False) if item.strip()]
    for item, count in typed:
        if count and not (count.isascii() and count.isdecimal() and len(count) < 6):
            raise InputError(
                "'{text}' is no number of {item}",
                "write how many there are, such as 12; nothing was saved",
                text=count,
                item=item,
            )
    stores = [Store(item, int(count)) for item, count in typed if count]
    said = "what is in the cupboard"
    return _done(name, lambda record: (with_cupboard(replace(record, cupboard=()), stores), said))


@tasks.post("/kept")
def kept(name: str) -> AnyResponse:
    """Something is kept for a student, or no longer."""
    student, kind, what = field("student"), field("kind"), field("what")
    if kind == "also":
        check_words(what)

    def verb(record: ClassRecord) -> Done:
        # The words stand in the bar on top, which students may see at the door: nobody is named.
        said = "what is kept for a student"
        if kind == "off":
            return not_adapted(record, student, what), said
        return adapted(record, [Adaptation(student, kind, what)]), said

    return _done(name, verb)


def _done(name: str, verb: Verb, mark: Callable[[ClassRecord], str] | None = None) -> AnyResponse:
    """The change is made, and the page shows the lesson that it showed."""
    return change("tasks.look", name, verb, mark, lesson=whole("lesson", 0) or None)
