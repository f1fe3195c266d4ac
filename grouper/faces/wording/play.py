"""Games, stations and standings in words: what was planned, how good it is beside its bound, and what to change."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from grouper.faces.wording.words import number_in_words, score_in_words, signed
from grouper.games.capacity import CapacityTask, capacity_lines
from grouper.games.days.groups import Active, TooLong, active_in, too_long
from grouper.games.days.season import Season
from grouper.games.doubles import DoublesSchedule
from grouper.games.measure import Measure
from grouper.games.standings import tie_breaks, top_of
from grouper.model.play import Assignment, Event, Points, Timing
from grouper.model.record import ClassRecord
from grouper.words import counted, from_to, listed

SENTENCE_WIDTH = 62


def measure_lines(measures: Iterable[Measure]) -> Iterator[str]:
    """A line for each measure: what it is, what was reached, and whether anything could be better."""
    for measure in measures:
        side = "below" if measure.better == "low" else "above"
        least = f"no schedule can go {side} {_figure(measure.bound, measure)}"
        beside = "proven best" if measure.is_best else least
        yield f"  {measure.sentence:<{SENTENCE_WIDTH}} {_figure(measure.reached, measure):>6}   {beside}"


def _figure(value: float, measure: Measure) -> str:
    return f"{value:.0%}" if measure.key == "active_share" else f"{value:g}"


def heading(event: Event) -> str:
    """One line on games or stations: where they are, then ``event_in_words``."""
    where = f"Lesson {event.lesson}, {event.activity}: " if event.lesson else ""
    return f"{where}{event_in_words(event)}"


def event_in_words(event: Event) -> str:
    """Teams, courts or stations, games, slots and minutes."""
    closed, count = len(event.setback.closed), len(event.places)
    places = counted(count, event.place_word)
    places = f"{count - closed} of {places} open" if closed else places
    teams, slots = counted(len(event.teams), "team" if event.is_games else "group"), counted(event.slots, "slot")
    games = f"{counted(len(event.assignments), 'game')} in " if event.is_games else ""
    return f"{teams}, {places}: {games}{slots}{minutes_in_all(event.timing, event.slots)}"


def too_long_in_words(long: TooLong) -> str:
    """How much longer play is than the time there is, and how many slots fit."""
    fit = f"{long.fit} of {counted(long.slots, 'slot')} fit{'s' if long.fit == 1 else ''}"
    return f"This takes {_minutes(long.takes)} minutes, and there are {_minutes(long.minutes)}: {fit}"


def length_in_words(record: ClassRecord, event: Event) -> str:
    """How much longer play is than the time its activity has; empty where it fits or nothing is known of the time."""
    long = too_long(record, event)
    return too_long_in_words(long) if long else ""


def minutes_in_all(timing: Timing, slots: int) -> str:
    """The minutes that slots take, in brackets; empty where they are not known."""
    whole = timing.minutes_for(slots) if slots else None
    if whole is None or timing.play is None:
        return ""
    change = f", {_minutes(timing.changeover)} to change" if timing.changeover else ""
    return f" ({_minutes(whole)} minutes: {_minutes(timing.play)} each{change})"


def _minutes(value: float) -> str:
    return f"{value:.3g}" if value < 100 else f"{value:.0f}"


def slot_lines(event: Event, after: int = 0) -> Iterator[str]:
    """A line for each slot after the one given: who is at which court or station, who is on duty, and who waits."""
    for slot in range(after + 1, event.slots + 1):
        waiting = ", ".join(event.waiting(slot))
        here = "   ".join(_spot(event, one) for one in event.in_slot(slot))
        yield f"  slot {slot:>2}   {here}" + (f"   waiting: {waiting}" if waiting else "")
    for slot, short, lender in event.loans:
        if slot > after:
            yield f"  in slot {slot} team {event.name(lender)} lends team {event.name(short)} players"


def _spot(event: Event, one: Assignment) -> str:
    labels = [event.name(team) for team in one.teams]
    duty = f" (duty {event.name(one.duty)})" if one.duty is not None else ""
    return f"{event.place_word} {one.place}: {' - '.join(labels) if event.is_games else listed(labels)}{duty}"


def result_in_words(event: Event, game: Assignment) -> str:
    """The result of a game: what decides it, then what made it up, and what is added in the table alone.

    Raises
    ------
    ValueError
        It has none.
    """
    if game.score is None:
        raise ValueError("a game without a score has no result")
    score = game.score
    sides = (
        (game.home, score.home, score.home_lost, score.home_bonus, score.home_penalty),
        (game.away, score.away, score.away_lost, score.away_bonus, score.away_penalty),
    )
    extras = ""
    for number, won, lost, bonus, penalty in sides:
        team = event.name(number)
        extras += f", team {team} won {won:g} and lost {lost:g} in play" if lost else ""
        extras += f", team {team} +{bonus:g} in the table" if bonus else ""
        extras += f", team {team} −{penalty:g} in the table" if penalty else ""
    teams = f"team {event.name(game.home)} - team {event.name(game.away)}"
    return f"Slot {game.slot}, court {game.place}: {teams} {score_in_words(*score.net)}{extras}"


def doubles_heading(schedule: DoublesSchedule, timing: Timing) -> str:
    """One line on two against two: players, courts, games, slots and minutes."""
    players, courts = counted(schedule.players, "player"), counted(schedule.courts, "court")
    games, slots = counted(len(schedule.games), "game"), counted(schedule.slots, "slot")
    return f"Two against two, {players}, {courts}: {games} in {slots}{minutes_in_all(timing, schedule.slots)}"


def doubles_lines(schedule: DoublesSchedule) -> Iterator[str]:
    """A line for each slot: its games by court, and who rests."""
    for slot in range(1, schedule.slots + 1):
        games = [game for game in schedule.games if game.slot == slot]
        sides = (f"court {g.court}: {g.home[0]}+{g.home[1]} - {g.away[0]}+{g.away[1]}" for g in games)
        resting = ", ".join(map(str, schedule.resting(slot)))
        yield f"  slot {slot:>2}   " + "   ".join(sides) + (f"   resting: {resting}" if resting else "")


def capacity_in_words(task: CapacityTask) -> Iterator[str]:
    """Who is active for each way of using the courts, and what to do so that nobody waits."""
    lines = capacity_lines(task)
    yield f"Who is active, of {counted(task.students, 'student')}:"
    for line in lines:
        waits = f"{line.waiting} wait" if line.waiting else "nobody waits"
        made_of = f" ({line.playing_share:.0%} play, {line.on_duty} on duty)" if line.on_duty else ""
        yield f"  {line.choice:<14} {line.active_share:>4.0%} active{made_of}, {waits}: {line.change}"
    best = min(lines, key=lambda line: (line.waiting, -line.playing))
    if lines[0].waiting:
        fewest = "Nobody waits" if not best.waiting else f"Fewest wait ({best.waiting})"
        yield f"{fewest} if you do this: {best.change}."


def active_in_words(active: Active) -> str:
    """How much of the class is active, in a line.

    >>> active_in_words(Active(24, (16, 16), (0, 0)))
    '16 of 24 play at a time: 67% of the class.'
    """
    times = from_to(min(active.playing), max(active.playing))
    average = "" if len(set(active.playing)) == 1 else " on average"
    duty = f", {100 * active.share_with_duty:.0f}% with those on duty" if any(active.on_duty) else ""
    return f"{times} of {active.students} play at a time: {100 * active.share:.0f}% of the class{average}{duty}."


def active_lines(record: ClassRecord, lesson: int) -> Iterator[tuple[str, str]]:
    """Each activity of a lesson with games or stations, and how much of the class is active in it."""
    for event in record.events:
        active = active_in(record, event) if event.lesson == lesson else None
        if active:
            yield event.activity, active_in_words(active)


def team_capacity(event: Event) -> Iterator[str]:
    """How many teams are busy at a time, and what to change to have none wait, where nothing is known of students."""
    teams, courts, helped = len(event.present), len(event.open_places), event.asked.duty != "none"
    playing, waiting = 2 * min(courts, teams // 2), _teams_waiting(teams, courts, helped)
    yield f"At a time {playing} of {teams} teams play, {teams - playing - waiting} on duty, {waiting} waiting."
    if waiting:
        yield f"Nobody waits {_way_out(teams, helped)}."


def _teams_waiting(teams: int, courts: int, helped: bool) -> int:
    """Teams that neither play nor have a duty in a full slot."""
    return max(0, teams - (3 if helped else 2) * min(courts, teams // 2))


def _way_out(teams: int, helped: bool) -> str:
    enough = next((c for c in range(1, teams + 1) if not _teams_waiting(teams, c, helped)), None)
    if enough is not None:
        return f"with {counted(enough, 'court')}: play across on half courts, with smaller sides"
    fewest = next(c for c in range(1, teams + 1) if not _teams_waiting(teams, c, True))
    return f"with {counted(fewest, 'court')} and the team left over on duty"


def worth_in_words(points: Points) -> str:
    """What a game is worth.

    >>> worth_in_words(Points())
    'A win is worth 3, a draw 1, a loss 0.'
    """
    return f"A win is worth {points.win:g}, a draw {points.draw:g}, a loss {points.loss:g}."


def order_in_words(points: Points) -> str:
    """What decides the order of the table, the first thing first."""
    return "The order goes by who has " + "; then ".join(rule.sentence for rule in tie_breaks(points)) + "."


def season_in_words(season: Season) -> str:
    """Which lessons count, and how many of their games are played."""
    lessons = [str(lesson) for lesson in season.lessons]
    word = "Lesson" if len(lessons) == 1 else "Lessons"
    return f"{word} {listed(lessons)}: {season.played} of {season.games} games have a result"


def table_lines(season: Season) -> Iterator[str]:
    """The whole table, for the teacher; then days that do not count, and why."""
    yield season_in_words(season)
    yield "  rank  team      played  won  drawn  lost   scored   diff  bonus  penalty  points"
    for row in season.table:
        scored, apart = score_in_words(row.scored, row.conceded), signed(row.difference)
        games = f"{row.played:>6}  {row.won:>3}  {row.drawn:>5}  {row.lost:>4}  {scored:>7}  {apart:>5}"
        points = f"{row.bonus:>5g}  {row.penalty:>7g}  {number_in_words(row.points):>6}"
        yield f"  {row.rank:>4}  {season.name(row.team):<8}  {games}  {points}"
    yield worth_in_words(season.points)
    yield order_in_words(season.points)
    for event in season.left_out:
        yield f"Not counted: '{event.activity}' in lesson {event.lesson}, whose teams were made of other people."


def top_lines(season: Season, places: int) -> Iterator[str]:
    """The first places alone: what students may see."""
    for row in top_of(season.table, places):
        yield f"  {row.rank}  team {season.name(row.team)}  {number_in_words(row.points)} points"


def progress_lines(season: Season) -> Iterator[str]:
    """Everyone's points lesson by lesson, without a rank: what students may see."""
    for row in season.progress:
        steps = " + ".join(map(number_in_words, row.by_lesson)) + " = " if len(row.by_lesson) > 1 else ""
        yield f"  team {season.name(row.team)}  {steps}{number_in_words(row.total)} points"
