"""Tasks that fit and handicaps, in words for the teacher alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import TYPE_CHECKING

from grouper.faces.wording.words import points_in_words
from grouper.model.levers import At, Challenge
from grouper.model.noted import TaskResult
from grouper.tasks.handicap import EvenWay, Handicap, Play
from grouper.words import listed, short

if TYPE_CHECKING:
    # Looked at by name alone: what works it out brings numpy along, and this is read before most commands.
    from grouper.tasks.choose import Way
    from grouper.tasks.fitting import Short
    from grouper.tasks.rounds import GroupTask
    from grouper.tasks.success import Effect, Seen
    from grouper.tasks.uneven import Levelled

MOST_SEEN = 3
"""A reason is one line: no more results than that are told."""

SURE = 0.8
"""A lever is said to move a class most where that is so sure."""

_FELT = {"easy": "too easy", "right": "right", "hard": "too hard"}


def went_in_words(result: TaskResult) -> str:
    """How a task went: '7 of 10', or 'too easy', or '12 points'."""
    if result.tries:
        return f"{result.hits} of {result.tries}"
    return _FELT[result.felt] if result.felt else points_in_words(result.points or 0, result.lost)


def settings_in_words(challenge: Challenge, at: At) -> str:
    """A task by the names of its settings: 'distance far, ball small'; 'step 2' where there is one lever."""
    if len(at) != len(challenge.levers):
        return "a task that is not known"
    if len(challenge.levers) == 1:
        return f"step {at[0]}"
    named = [f"{lever.name} {lever.settings[k - 1].name}" for lever, k in zip(challenge.levers, at, strict=True) if k]
    return ", ".join(named)


def reason_in_words(task: GroupTask, names: Mapping[str, str]) -> str:
    """Why this task, in one line: what was seen last, or the rating that it starts from, and what is expected."""
    return f"{_because(task, names)}; about {task.expected:.0%} expected"


def _because(task: GroupTask, names: Mapping[str, str]) -> str:
    if not task.seen and task.rating is None:
        why = f"nobody is rated in {task.strand}" if task.strand else "the activity goes by no rating"
        return f"nothing seen yet, and {why}, so the middle"
    if not task.seen:
        return f"nothing seen yet, {task.strand} {task.rating:.3g} on average"
    if len(task.seen) == 1 and not task.unseen:
        return _seen_in_words(task, task.seen[0])
    told = [f"{_seen_in_words(task, seen)} ({listed(_names(seen.members, names))})" for seen in task.seen[:MOST_SEEN]]
    more = len(task.seen) - MOST_SEEN
    rest = [f"{more} more"] if more > 0 else []
    new = [f"{listed(_names(task.unseen, names))}: nothing seen yet"] if task.unseen and not rest else []
    return "; ".join([*told, *rest, *new])


def _seen_in_words(task: GroupTask, seen: Seen) -> str:
    """What was seen, and at what: where there are several levers just those that are other now."""
    went = f"{went_in_words(seen.result)} last time"
    if len(task.challenge.levers) == 1:
        return f"{went_in_words(seen.result)} at step {seen.at[0]} last time"
    other = [
        lever.settings[then - 1].name
        for lever, then, now in zip(task.challenge.levers, seen.at, task.at, strict=True)
        if then and then != now
    ]
    return f"{went} ({', '.join(other)})" if other else went


def _names(members: tuple[str, ...], names: Mapping[str, str]) -> list[str]:
    return [names.get(member, member) for member in members]


def step_in_words(task: GroupTask) -> str:
    """Where its levers stand: 'step 3 of 6', 'ball: large to small', 'your choice; step 3 is suggested'."""
    if len(task.challenge.levers) == 1:
        said = f"step {task.at[0]} of {task.challenge.counts[0]}"
    else:
        said = _changed_in_words(task)
    if task.other:
        ((lever, now, then),) = task.ways
        said = f"{said}; to choose: {lever.name} {' or '.join(lever.settings[k - 1].name for k in sorted((now, then)))}"
    if task.suggested is None:
        return said
    if task.suggested == task.at:
        return f"{said}, your choice; as is suggested"
    levers = zip(task.challenge.levers, task.at, task.suggested, strict=True)
    other = ", ".join(f"{lever.name} {lever.settings[k - 1].name}" for lever, now, k in levers if now != k)
    if len(task.challenge.levers) == 1:
        other = settings_in_words(task.challenge, task.suggested)
    return f"{said}, your choice; {other} is suggested"


def _changed_in_words(task: GroupTask) -> str:
    """Which levers are other than all at work had last; nothing where they had different ones or none."""
    if not task.had:
        return "to begin with"
    if len(task.had) > 1:
        return "they had different tasks before"
    changes = [
        f"{lever.name} {lever.settings[then - 1].name} \u2192 {lever.settings[now - 1].name}"
        for lever, then, now in zip(task.challenge.levers, task.had[0], task.at, strict=True)
        if then and then != now
    ]
    return "changed: " + ", ".join(changes) if changes else "as before"


def shared_reason(tasks: Iterable[GroupTask], names: Mapping[str, str]) -> str:
    """The reason where it is one and the same for several groups, as before the first lesson; else empty."""
    reasons = [reason_in_words(task, names) for task in tasks]
    return reasons[0] if len(reasons) > 1 and len(set(reasons)) == 1 else ""


def adapted_in_words(task: GroupTask, names: Mapping[str, str]) -> str:
    """For whom something is kept in this task; empty where it is for nobody."""
    return f"kept for {listed(_names(task.adapted, names))}" if task.adapted else ""


def task_lines(tasks: Mapping[str, GroupTask], order: list[str], names: Mapping[str, str]) -> Iterator[str]:
    """Two lines a group: its task, and below it what is changed and the reason; one that all share stands once."""
    width = max((len(label) for label in order), default=0)
    shared = shared_reason(tasks.values(), names)
    if shared:
        yield f"  for all groups: {shared}"
    for label in order:
        task = tasks[label]
        reason = "" if shared else f": {reason_in_words(task, names)}"
        kept = f"; {adapted_in_words(task, names)}" if task.adapted else ""
        yield f"  {label:<{width}}  {task.card}"
        yield f"  {'':<{width}}  {step_in_words(task)}{reason}{kept}"


def lay_out_in_words(things: Sequence[tuple[str, int]]) -> str:
    """What a round takes: '6 × large soft ball, 4 × cones', as things are called; empty where it takes nothing."""
    return ", ".join(f"{count} × {item}" for item, count in things)


def short_in_words(short: Short) -> str:
    """What the cupboard does not allow, whatever is chosen."""
    return (
        f"{short.missing} more '{short.item}' would be needed, and there are {short.count}; "
        f"lend some, use fewer groups at a time, or switch off the lever that needs them."
    )


def way_in_words(way: Way) -> str:
    """A way to make a task easier or harder, what is to be fetched for it, and what to expect."""
    moved = [f"fetch {lay_out_in_words(way.fetch)}"] if way.fetch else []
    moved += [f"put back {lay_out_in_words(way.put_back)}"] if way.put_back else []
    enough = [] if way.enough else ["not enough in the cupboard"]
    rest = f" ({'; '.join([*moved, *enough, f'about {way.expected:.0%}'])})"
    return f"{way.lever} {way.setting}{rest}"


def effects_in_words(effects: Sequence[Effect], seen: int) -> Iterator[str]:
    """Which lever moves this class most, and how sure that is."""
    if not seen:
        yield "Nothing seen yet: which lever moves this class most shows after a lesson or two of results."
        return
    first = effects[0]
    likely, least, most = first.drop(0.85)
    if len(effects) > 1 and first.most < SURE:
        strongest = listed([effect.lever for effect in effects[:2]])
        yield f"Not clear yet which lever moves this class most; {strongest} look strongest."
    else:
        yield (
            f"{first.lever} moves this class most: from end to end 85% become about {likely:.0%} "
            f"({least:.0%} to {most:.0%})."
        )


def play_in_words(play: Play) -> str:
    """How games are played: 'games to 11 points', 'about 20 points in all'."""
    zone = f", {play.zone:.0%} of the weaker team's points from the zone, counting double" if play.zone else ""
    what = f"games on time with about {play.points} points in all" if play.timed else f"games to {play.points} points"
    return what + zone


def where_in_words(game: Levelled) -> str:
    """The slot and court of a game; empty where none is planned."""
    pairing = game.pairing
    return f"slot {pairing.slot}, court {pairing.court}" if pairing.slot else ""


def game_in_words(game: Levelled, play: Play) -> str:
    """Who starts with what, and whether a plan with even teams would call the two even."""
    even = f"; even teams, {short(game.apart)} apart" if game.even else ""
    return handicap_in_words(game.weaker, game.stronger, game.handicap, play) + even


def ways_in_words(game: Levelled) -> str:
    """Four ways side by side to even a game, and what each would bring; empty where it is even as it is."""
    if all(way.changes_nothing for way in game.ways):
        return ""
    said = ", or ".join(f"{_way_to_even(way, game)} ({way.after:.0%})" for way in game.ways)
    return f"or even it by one of these: {said}"


_AS_IT_IS = {"start": "nobody starts ahead", "zone": "no zone", "target": "the same target", "player": "nobody more"}


def _way_to_even(way: EvenWay, game: Levelled) -> str:
    if way.changes_nothing:
        return _AS_IT_IS[way.kind]
    if way.kind == "start":
        who = game.weaker if way.amount >= 0 else game.stronger
        return f"{abs(way.amount):g} to start with for {who}"
    if way.kind == "zone":
        return f"a zone that counts double for {way.amount:.0%} of {game.weaker}'s points"
    if way.kind == "target":
        if way.learnt:
            return f"{way.learnt} (as results of this class tell; the easier one for {game.weaker})"
        return f"a target {way.amount:g} times as wide for {game.weaker} (a guess)"
    return f"{way.amount:g} more in {game.weaker} (a guess)"


def why_even_teams_start(games: Iterable[Levelled]) -> str:
    """Why two even teams may be given a start; empty where none is."""
    if not any(game.even and game.handicap.start for game in games):
        return ""
    return (
        "Even teams have averages that are close; over all points of a game a small difference adds up, so that a "
        "start can still be right. Where the ratings are rough, even teams play without one."
    )


def handicap_in_words(weaker: str, stronger: str, found: Handicap, play: Play) -> str:
    """Who starts with what, and the weaker team's chance to win before and after."""
    if not found.start and not play.zone:
        return f"{weaker} - {stronger}: no start needed (team {weaker} wins {found.before:.0%} as it is)"
    who = weaker if found.start >= 0 else stronger
    points = "1 point" if abs(found.start) == 1 else f"{abs(found.start)} points"
    start = f"team {who} starts with {points}" if found.start else "no start"
    zone = f", zone for team {weaker}" if play.zone else ""
    chances = f"team {weaker} wins {found.before:.0%} as it is, {found.after:.0%} then"
    return f"{weaker} - {stronger}: {start}{zone} ({chances})"
