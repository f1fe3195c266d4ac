"""What a class keeps of levers: taken in, copied to an activity, switched on and off; how points are won and lost, and
what there is to beat in the forms in which nobody is ranked; and what is in the cupboard."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches

from grouper.errors import InputError, require
from grouper.model.levers import At, Challenge, Lever, Store
from grouper.model.record import ClassRecord
from grouper.model.texts import tidy
from grouper.model.unit import RoundKey
from grouper.words import Remedy, folded


def merged(record: ClassRecord, challenges: Sequence[Challenge]) -> ClassRecord:
    """The record with the levers of these activities; those of other activities stay.

    What was seen and chosen goes on to mean the same settings, by their names, as far as they are still there. A way of
    scoring stays where no other is given, and levers stay where none are.
    """
    after, added = record, []
    for new in challenges:
        if old := record.challenge(new.activity):
            rule = new if new.scoring else old
            new = Challenge(new.activity, new.levers or old.levers, rule.scoring, rule.own_rule, old.two_ways)
            after = after if old.levers == new.levers else _carried_on(after, old, new)
        added.append(new)
    kept = (old for old in record.challenges if not any(new.fits(old.activity) for new in added))
    return replace(after, challenges=(*kept, *added))


def scored_as(record: ClassRecord, activity: str, scoring: str, own_rule: str = "") -> ClassRecord:
    """The record with a way of scoring for an activity, by its name; an empty one leaves it open again.

    Results that were entered keep their points; where teams are no longer held against one another they make no table.

    Raises
    ------
    InputError
        There is no such activity or no such way, nothing was chosen that could be taken off, or there are words for the
        rule of no way.
    """
    own = record.challenge(activity)
    # The words that stand there already go with the way that is taken off.
    if own_rule.strip() and not scoring and (own is None or own.own_rule != tidy(own_rule)):
        raise InputError("a rule is for a way of scoring, and none is chosen", "choose the way that comes nearest")
    if scoring and own:
        return _in_place(record, activity, replace(own, scoring=scoring, own_rule=own_rule))
    if scoring:
        return _in_place(record, activity, Challenge(_name(record, activity), (), scoring, own_rule))
    if own is None or not own.scoring:
        raise InputError("no way of scoring was chosen for '{activity}'", activity=activity)
    return _in_place(record, activity, replace(own, scoring="", own_rule="") if own.levers else None)


def class_totals(record: ClassRecord, activity: str) -> dict[int, int]:
    """All points of the class in an activity by lesson, net, of groups and of games; lessons without any are left out.

    It is a sum and nobody's: no group or team can be read off it.
    """
    totals, keys = Counter[int](), _rounds_of(record, activity)
    for result in record.results:
        # A total may be 0, or below: a lesson has one as soon as anything was counted in it.
        if result.net is not None and result.key in keys:
            totals[result.key.lesson] += result.net
    for event in record.games:
        for game in event.scored if folded(event.activity) == folded(activity) else ():
            totals[event.lesson] += sum(game.score.net) if game.score else 0
    return dict(sorted(totals.items()))


def _rounds_of(record: ClassRecord, activity: str) -> frozenset[RoundKey]:
    """The rounds of all activities with this name."""
    return frozenset(key for key in record.unit.keys if folded(record.unit.activity(key).name) == folded(activity))


def last_total(record: ClassRecord, activity: str, lesson: int) -> int | None:
    """The total of the last lesson before this one in which the class had one; None where it had none."""
    before = [total for at, total in class_totals(record, activity).items() if at < lesson]
    return before[-1] if before else None


def own_last(record: ClassRecord, key: RoundKey, student: str) -> int | None:
    """What the student's group had when they last did this activity before a round; None where nothing was counted."""
    keys = _rounds_of(record, record.unit.activity(key).name)
    before = (one for one in reversed(record.results) if one.key < key and one.key in keys and one.net is not None)
    return next((one.net for one in before if student in record.plan.members(one.key, one.label)), None)


def with_two_ways(record: ClassRecord, activity: str, two_ways: bool) -> ClassRecord:
    """The record in which the cards of an activity offer two ways, or one (InputError where it has no levers)."""
    own = record.challenge(activity)
    if own is None or not own.levers:
        raise InputError("'{activity}' has no tasks yet", Remedy.GIVE_TASKS, activity=activity)
    return _in_place(record, activity, replace(own, two_ways=two_ways))


def _in_place(record: ClassRecord, activity: str, new: Challenge | None) -> ClassRecord:
    kept = tuple(one for one in record.challenges if not one.fits(activity))
    return replace(record, challenges=(*kept, new) if new else kept)


def copied(record: ClassRecord, activity: str, like: str, library: Sequence[Challenge]) -> ClassRecord:
    """The record with levers for an activity: those of one of the class's own, or of a kind of the library.

    Raises
    ------
    InputError
        There is no such kind, or no such activity in the unit.
    """
    known = (*record.challenges, *library)
    found = next((one for one in known if one.fits(like)), None)
    if found is None:
        there = _known([one.activity for one in known], like)
        raise InputError("there are no tasks called '{name}'", "{known}", name=like, known=there)
    return merged(record, [Challenge(_name(record, activity), found.levers)])


def set_up(record: ClassRecord, library: Mapping[str, Challenge], kind_of: Callable[[str], str]) -> ClassRecord:
    """The record with levers for every activity that has none, by the kind that its name points to.

    Raises
    ------
    InputError
        No activity without levers is called so that its kind can be told.
    """
    names = dict.fromkeys(one.name for lesson in record.unit.lessons for one in lesson.activities)
    lacking = [name for name in names if not ((own := record.challenge(name)) and own.levers)]
    new = [Challenge(name, library[kind].levers) for name in lacking if (kind := kind_of(name)) in library]
    require(bool(lacking), "every activity has its levers already", "change those that it has")
    if not new:
        unknown = "no kind of activity is told by these names: {names}"
        raise InputError(unknown, Remedy.CHOOSE_KIND, names=", ".join(lacking), kinds=", ".join(library))
    return merged(record, new)


def switched(record: ClassRecord, activity: str, lever: Lever | str) -> ClassRecord:
    """The record with a lever of an activity switched on, in the place of one of its name; by a name alone, off.

    Raises
    ------
    InputError
        The unit has no such activity, it has no such lever, or it would have too many.
    """
    own = record.challenge(activity)
    before = own.levers if own else ()
    name = lever if isinstance(lever, str) else lever.name
    levers = [one for one in before if folded(one.name) != folded(name)]
    if not isinstance(lever, str):
        levers.append(lever)
    elif len(levers) == len(before):
        known = _known([one.name for one in before], name)
        raise InputError("'{activity}' has no lever '{name}'", "{known}", activity=activity, name=name, known=known)
    # The last lever off is no challenge without levers, which there cannot be, but none.
    if not levers:
        return without(record, activity)
    return merged(record, [Challenge(own.activity if own else _name(record, activity), tuple(levers))])


def without(record: ClassRecord, activity: str) -> ClassRecord:
    """The record without the levers of an activity (InputError where it has none); its way of scoring stays."""
    own = record.challenge(activity)
    if own is None or not own.levers:
        known = _known([one.activity for one in record.challenges], activity)
        raise InputError("'{activity}' has no tasks", "{known}", activity=activity, known=known)
    keys = _rounds_of(record, activity)
    chosen = tuple(one for one in record.chosen_tasks if one.key not in keys)
    left = replace(own, levers=(), two_ways=False) if own.scoring else None
    return replace(_in_place(record, activity, left), chosen_tasks=chosen)


def with_success(record: ClassRecord, share: float) -> ClassRecord:
    """The record with another share of attempts that should succeed."""
    return replace(record, settings=replace(record.settings, success=share))


def with_cupboard(record: ClassRecord, stores: Iterable[Store]) -> ClassRecord:
    """The record with what there is, in the place of what was said before of the same things.

    Raises
    ------
    InputError
        A thing appears twice.
    """
    new = tuple(stores)
    names = [folded(store.item) for store in new]
    twice = next((store.item for store in new if names.count(folded(store.item)) > 1), None)
    if twice:
        raise InputError("'{item}' appears twice in the cupboard", "add the two up", item=twice)
    kept = tuple(store for store in record.cupboard if folded(store.item) not in names)
    return replace(record, cupboard=(*kept, *new))


def uncounted(record: ClassRecord) -> tuple[str, ...]:
    """Things that settings need and of which the cupboard does not say how many there are, each once."""
    counted = {folded(store.item) for store in record.cupboard}
    needed = {thing: item for challenge in record.challenges for thing, item in challenge.things.items()}
    return tuple(item for thing, item in needed.items() if thing not in counted)


def _carried_on(record: ClassRecord, old: Challenge, new: Challenge) -> ClassRecord:
    """What was seen of an activity, and what was chosen for it, in the places of its new levers."""
    keys = _rounds_of(record, new.activity)
    results = tuple(
        replace(one, at=carried(one.at, old, new)) if one.key in keys and one.at else one for one in record.results
    )
    moved = (replace(one, at=carried(one.at, old, new)) if one.key in keys else one for one in record.chosen_tasks)
    chosen = tuple(one for one in moved if one.key not in keys or new.holds(one.at))
    return replace(record, results=results, chosen_tasks=chosen)


def carried(at: At, old: Challenge, new: Challenge) -> At:
    """A task in the settings of other levers, by their names; 0 for a lever that it did not have."""
    # A task of other levers than these is of a time before, and means nothing in them.
    if len(at) != len(old.levers):
        return ()
    places = []
    for lever in new.levers:
        was = old.lever(lever.name)
        number = old.levers.index(was) if was else -1
        place = at[number] if was else 0
        setting = was.settings[place - 1] if was and 0 < place <= len(was.settings) else None
        named = [folded(each.name) for each in lever.settings]
        places.append(named.index(folded(setting.name)) + 1 if setting and folded(setting.name) in named else 0)
    return tuple(places) if any(places) else ()


def _name(record: ClassRecord, activity: str) -> str:
    """The name of an activity of the unit, as it is written there."""
    names = [one.name for lesson in record.unit.lessons for one in lesson.activities]
    known = _known(names, activity)
    meant = next((name for name in names if folded(name) == folded(activity)), "")
    require(bool(meant), "the unit has no activity '{activity}'", "{known}", activity=activity, known=known)
    return meant


def _known(names: Sequence[str], wanted: str) -> str:
    near = get_close_matches(wanted, names, n=1)
    listed = ", ".join(f"'{name}'" for name in dict.fromkeys(names))
    return f"did you mean '{near[0]}'?" if near else f"there are {listed}" if names else ""
