"""The tables of a class file, and the numbered steps that bring an older file to today's form.

A student's id and name stand in the one table ``student``; every other table names the student by an internal whole
number. Places count from 1 and keep the order of what is a tuple in the record. Some column names are SQL's own words,
so that names are always quoted. A round has two layers of groups, as they stand now and as they were planned; the
second is left out where the round says that it is still as planned, which halves the work of reading most files.
"""

from __future__ import annotations

from dataclasses import dataclass

APPLICATION_ID = 0x67727570
"""Marks an SQLite file as a class file ('grup' in ASCII, a number of our own)."""


@dataclass(frozen=True)
class Migration:
    """What brings a file from the version before to this one: a word on it, and SQL statements in order.

    ``losses`` come before these: what the new form does not take as it was, of which the teacher is told.
    """

    what: str
    statements: tuple[str, ...]
    losses: tuple[Loss, ...] = ()


@dataclass(frozen=True)
class Loss:
    """What a new form does not take: in which rows of a table, what becomes of them, and that in words."""

    table: str
    where: str
    change: str
    words: str

    @property
    def count(self) -> str:
        """The statement that counts the rows."""
        return f"SELECT count(*) FROM {self.table} WHERE {self.where}"

    @property
    def statement(self) -> str:
        """The statement that changes them."""
        return f"{self.change} WHERE {self.where}"


_OF_GAMES = "FOREIGN KEY (lesson, activity) REFERENCES games DEFERRABLE INITIALLY DEFERRED"
_OF_CIRCUIT = "FOREIGN KEY (lesson, activity) REFERENCES circuit DEFERRABLE INITIALLY DEFERRED"
_KEY = "lesson INTEGER NOT NULL, activity TEXT NOT NULL"

_PLAY = (
    f"""CREATE TABLE games (
        {_KEY}, round INTEGER NOT NULL, courts INTEGER NOT NULL, legs INTEGER, slots INTEGER, "order" TEXT NOT NULL,
        duty TEXT NOT NULL, play REAL, changeover REAL NOT NULL, draw TEXT NOT NULL, played INTEGER NOT NULL,
        slots_left INTEGER, PRIMARY KEY (lesson, activity)) WITHOUT ROWID""",
    f"""CREATE TABLE team (
        {_KEY}, number INTEGER NOT NULL, label TEXT NOT NULL, state TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, number), {_OF_GAMES}) WITHOUT ROWID""",
    f"""CREATE TABLE closed_court (
        {_KEY}, court INTEGER NOT NULL, PRIMARY KEY (lesson, activity, court), {_OF_GAMES}) WITHOUT ROWID""",
    f"""CREATE TABLE game (
        {_KEY}, slot INTEGER NOT NULL, court INTEGER NOT NULL, home INTEGER NOT NULL, away INTEGER NOT NULL,
        duty INTEGER, PRIMARY KEY (lesson, activity, slot, court), {_OF_GAMES}) WITHOUT ROWID""",
    f"""CREATE TABLE loan (
        {_KEY}, slot INTEGER NOT NULL, team INTEGER NOT NULL, lender INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, slot, team, lender), {_OF_GAMES}) WITHOUT ROWID""",
    f"""CREATE TABLE result (
        {_KEY}, slot INTEGER NOT NULL, court INTEGER NOT NULL, home INTEGER NOT NULL, away INTEGER NOT NULL,
        home_bonus REAL NOT NULL, away_bonus REAL NOT NULL, home_penalty REAL NOT NULL, away_penalty REAL NOT NULL,
        PRIMARY KEY (lesson, activity, slot, court),
        FOREIGN KEY (lesson, activity, slot, court) REFERENCES game DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    f"""CREATE TABLE circuit (
        {_KEY}, round INTEGER NOT NULL, slots INTEGER, "order" TEXT NOT NULL, play REAL, changeover REAL NOT NULL,
        method TEXT NOT NULL, played INTEGER NOT NULL, PRIMARY KEY (lesson, activity)) WITHOUT ROWID""",
    f"""CREATE TABLE station (
        {_KEY}, number INTEGER NOT NULL, name TEXT NOT NULL, closed INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, number), {_OF_CIRCUIT}) WITHOUT ROWID""",
    f"""CREATE TABLE circuit_group (
        {_KEY}, number INTEGER NOT NULL, label TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, number), {_OF_CIRCUIT}) WITHOUT ROWID""",
    f"""CREATE TABLE visit (
        {_KEY}, slot INTEGER NOT NULL, station INTEGER NOT NULL, "group" INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, slot, station, "group"), {_OF_CIRCUIT}) WITHOUT ROWID""",
)
"""Games and stations."""

_FIRST = Migration(
    "the first form of the class file",
    (
        """CREATE TABLE student (
            key INTEGER PRIMARY KEY, place INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, name TEXT NOT NULL,
            size_band TEXT NOT NULL, availability TEXT NOT NULL,
            first_lesson INTEGER NOT NULL, last_lesson INTEGER)""",
        "CREATE TABLE strand (place INTEGER PRIMARY KEY, name TEXT NOT NULL)",
        """CREATE TABLE rating (
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            strand TEXT NOT NULL, value REAL NOT NULL, PRIMARY KEY (student, strand)) WITHOUT ROWID""",
        "CREATE TABLE lesson (number INTEGER PRIMARY KEY, date TEXT NOT NULL)",
        """CREATE TABLE activity (
            lesson INTEGER NOT NULL REFERENCES lesson DEFERRABLE INITIALLY DEFERRED,
            place INTEGER NOT NULL, name TEXT NOT NULL, aim TEXT NOT NULL, size INTEGER, "groups" INTEGER,
            rounds INTEGER NOT NULL, minutes REAL, strand TEXT NOT NULL, min_gap REAL, max_gap REAL,
            caution TEXT NOT NULL, PRIMARY KEY (lesson, place)) WITHOUT ROWID""",
        """CREATE TABLE request (
            place INTEGER PRIMARY KEY, kind TEXT NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            other INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            first_lesson INTEGER, last_lesson INTEGER)""",
        """CREATE TABLE absence (
            place INTEGER PRIMARY KEY, lesson INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            state TEXT NOT NULL, since INTEGER NOT NULL, role TEXT NOT NULL)""",
        """CREATE TABLE round (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            place INTEGER NOT NULL, pinned INTEGER NOT NULL, as_planned INTEGER NOT NULL,
            PRIMARY KEY (lesson, activity, round)) WITHOUT ROWID""",
        """CREATE TABLE "group" (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            layer TEXT NOT NULL CHECK (layer IN ('now', 'planned')), place INTEGER NOT NULL,
            label TEXT NOT NULL, PRIMARY KEY (lesson, activity, round, layer, place),
            FOREIGN KEY (lesson, activity, round) REFERENCES round DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
        """CREATE TABLE seat (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            layer TEXT NOT NULL, "group" INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, role TEXT,
            PRIMARY KEY (lesson, activity, round, layer, "group", place),
            FOREIGN KEY (lesson, activity, round, layer, "group")
                REFERENCES "group" DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
        "CREATE TABLE taught (lesson INTEGER PRIMARY KEY)",
        "CREATE TABLE setting (name TEXT NOT NULL PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
        *_PLAY,
        """CREATE TABLE change (
            number INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, undo TEXT, lasting TEXT NOT NULL)""",
        "CREATE TABLE stamp (only INTEGER PRIMARY KEY CHECK (only = 1), version TEXT NOT NULL)",
    ),
)

_PAST_KEY = "unit INTEGER NOT NULL, lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL"

_AFTER_LESSONS = Migration(
    "notes, how tasks went, ladders, ratings that were learnt, earlier units; absences that end before the lesson",
    (
        "ALTER TABLE absence ADD COLUMN until INTEGER",
        """CREATE TABLE note (
            lesson INTEGER NOT NULL, place INTEGER NOT NULL, text TEXT NOT NULL,
            PRIMARY KEY (lesson, place)) WITHOUT ROWID""",
        """CREATE TABLE task_result (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            felt TEXT NOT NULL, hits INTEGER, tries INTEGER, step INTEGER,
            PRIMARY KEY (lesson, activity, round, label)) WITHOUT ROWID""",
        "CREATE TABLE ladder (place INTEGER PRIMARY KEY, activity TEXT NOT NULL)",
        """CREATE TABLE ladder_step (
            ladder INTEGER NOT NULL REFERENCES ladder DEFERRABLE INITIALLY DEFERRED,
            place INTEGER NOT NULL, along TEXT NOT NULL, task TEXT NOT NULL,
            PRIMARY KEY (ladder, place)) WITHOUT ROWID""",
        """CREATE TABLE learnt (
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, strand TEXT NOT NULL,
            guess REAL, value REAL NOT NULL, through INTEGER NOT NULL, since INTEGER NOT NULL,
            PRIMARY KEY (student, strand)) WITHOUT ROWID""",
        f"""CREATE TABLE past_round (
            {_PAST_KEY}, date TEXT NOT NULL, name TEXT NOT NULL, in_pairs INTEGER NOT NULL,
            PRIMARY KEY (unit, lesson, activity, round)) WITHOUT ROWID""",
        f"""CREATE TABLE past_group (
            {_PAST_KEY}, place INTEGER NOT NULL, label TEXT NOT NULL,
            PRIMARY KEY (unit, lesson, activity, round, place),
            FOREIGN KEY (unit, lesson, activity, round)
                REFERENCES past_round DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
        f"""CREATE TABLE past_seat (
            {_PAST_KEY}, "group" INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, role TEXT,
            PRIMARY KEY (unit, lesson, activity, round, "group", place),
            FOREIGN KEY (unit, lesson, activity, round, "group")
                REFERENCES past_group DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
        "INSERT INTO setting VALUES ('half-life', '12.0'), ('success', '0.75')",
    ),
)

_WHO_IT_WAS_ABOUT = Migration(
    "steps of tasks that the teacher chose and for whom, and who played in the games with a result",
    (
        """CREATE TABLE chosen_step (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            step INTEGER NOT NULL, PRIMARY KEY (lesson, activity, round, label)) WITHOUT ROWID""",
        """CREATE TABLE chosen_for (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            place INTEGER NOT NULL, student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            PRIMARY KEY (lesson, activity, round, label, place),
            FOREIGN KEY (lesson, activity, round, label)
                REFERENCES chosen_step DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
        f"""CREATE TABLE lineup (
            {_KEY}, slot INTEGER NOT NULL, court INTEGER NOT NULL, team INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            PRIMARY KEY (lesson, activity, slot, court, team, place),
            FOREIGN KEY (lesson, activity, slot, court)
                REFERENCES result DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    ),
)

_BEYOND = 10_000_000
_LEFT_OUT = "beyond 10,000,000, left out"
_WITHIN_TODAYS_RULES = (
    Loss("rating", f"abs(value) > {_BEYOND}", "DELETE FROM rating", f"rating {_LEFT_OUT}"),
    Loss(
        "learnt",
        f"abs(value) > {_BEYOND} OR abs(guess) > {_BEYOND}",
        "DELETE FROM learnt",
        f"rating learnt from results {_LEFT_OUT}",
    ),
    Loss("student", "trim(name) = ''", "UPDATE student SET name = 'student ' || key", "blank name, now a number"),
    Loss(
        "student",
        "length(name) > 100",
        "UPDATE student SET name = substr(name, 1, 100)",
        "name of a student, cut at 100 letters",
    ),
    Loss(
        "activity",
        "length(name) > 120",
        "UPDATE activity SET name = substr(name, 1, 120)",
        "name of an activity, cut at 120 letters",
    ),
)
"""Earlier forms took any rating and any name; the copy that is made before still has them."""

_AS_THE_DAY_WENT = Migration(
    "lessons that ended early, rounds that have begun, changes to do again, points lost in play, ratings in words",
    (
        "CREATE TABLE ended (lesson INTEGER PRIMARY KEY, after INTEGER NOT NULL, rest_in INTEGER)",
        "CREATE TABLE begun (lesson INTEGER PRIMARY KEY, place INTEGER NOT NULL, date TEXT NOT NULL)",
        "CREATE TABLE undone (number INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, redo TEXT NOT NULL)",
        "ALTER TABLE result ADD COLUMN home_lost INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE result ADD COLUMN away_lost INTEGER NOT NULL DEFAULT 0",
        "INSERT INTO setting VALUES ('scale', '')",
    ),
    _WITHIN_TODAYS_RULES,
)

_EVENT = f"{_KEY}, kind TEXT NOT NULL"
_OF_EVENT = "FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED"
_SPOT = f"{_EVENT}, slot INTEGER NOT NULL, at INTEGER NOT NULL"
_OF_SPOT = "FOREIGN KEY (lesson, activity, kind, slot, at) REFERENCES assignment DEFERRABLE INITIALLY DEFERRED"

_OF_GAMES_ALONE = ("lineup", "result", "loan", "game", "closed_court", "team", "games")
_OF_CIRCUITS_ALONE = ("visit", "circuit_group", "station", "circuit")

_EVENTS = (
    f"""CREATE TABLE event (
        {_EVENT}, round INTEGER NOT NULL, legs INTEGER, slots INTEGER, "order" TEXT NOT NULL, duty TEXT NOT NULL,
        play REAL, changeover REAL NOT NULL, method TEXT NOT NULL, played INTEGER NOT NULL, slots_left INTEGER,
        PRIMARY KEY (lesson, activity, kind)) WITHOUT ROWID""",
    f"""CREATE TABLE event_team (
        {_EVENT}, number INTEGER NOT NULL, label TEXT NOT NULL, called TEXT,
        PRIMARY KEY (lesson, activity, kind, number), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_place (
        {_EVENT}, number INTEGER NOT NULL, name TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, kind, number), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_closed (
        {_EVENT}, at INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, at), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_out (
        {_EVENT}, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_short (
        {_EVENT}, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_loan (
        {_EVENT}, slot INTEGER NOT NULL, team INTEGER NOT NULL, lender INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, team, lender), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE assignment (
        {_SPOT}, duty INTEGER, PRIMARY KEY (lesson, activity, kind, slot, at), {_OF_EVENT}) WITHOUT ROWID""",
    f"""CREATE TABLE assigned (
        {_SPOT}, place INTEGER NOT NULL, team INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, at, place), {_OF_SPOT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_result (
        {_SPOT}, home INTEGER NOT NULL, away INTEGER NOT NULL,
        home_bonus REAL NOT NULL, away_bonus REAL NOT NULL, home_penalty REAL NOT NULL, away_penalty REAL NOT NULL,
        home_lost INTEGER NOT NULL, away_lost INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, at), {_OF_SPOT}) WITHOUT ROWID""",
    f"""CREATE TABLE event_lineup (
        {_SPOT}, team INTEGER NOT NULL, place INTEGER NOT NULL,
        student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
        PRIMARY KEY (lesson, activity, kind, slot, at, team, place), {_OF_SPOT}) WITHOUT ROWID""",
    # What two kinds of play kept apart, each in tables of its own.
    """INSERT INTO event SELECT lesson, activity, 'games', round, legs, slots, "order", duty, play, changeover, draw,
        played, slots_left FROM games""",
    """INSERT INTO event SELECT lesson, activity, 'stations', round, 1, slots, "order", 'spare', play, changeover,
        method, played, NULL FROM circuit""",
    "INSERT INTO event_team SELECT lesson, activity, 'games', number, label, NULL FROM team",
    "INSERT INTO event_team SELECT lesson, activity, 'stations', number, label, NULL FROM circuit_group",
    """WITH RECURSIVE court(number) AS
        (SELECT 1 UNION ALL SELECT number + 1 FROM court WHERE number < (SELECT max(courts) FROM games))
        INSERT INTO event_place
        SELECT lesson, activity, 'games', number, '' FROM games JOIN court ON number <= courts""",
    "INSERT INTO event_place SELECT lesson, activity, 'stations', number, name FROM station",
    "INSERT INTO event_closed SELECT lesson, activity, 'games', court FROM closed_court",
    "INSERT INTO event_closed SELECT lesson, activity, 'stations', number FROM station WHERE closed",
    "INSERT INTO event_out SELECT lesson, activity, 'games', number FROM team WHERE state = 'out'",
    "INSERT INTO event_short SELECT lesson, activity, 'games', number FROM team WHERE state = 'short'",
    "INSERT INTO event_loan SELECT lesson, activity, 'games', slot, team, lender FROM loan",
    "INSERT INTO assignment SELECT lesson, activity, 'games', slot, court, duty FROM game",
    "INSERT INTO assignment SELECT DISTINCT lesson, activity, 'stations', slot, station, NULL FROM visit",
    "INSERT INTO assigned SELECT lesson, activity, 'games', slot, court, 1, home FROM game",
    "INSERT INTO assigned SELECT lesson, activity, 'games', slot, court, 2, away FROM game",
    """INSERT INTO assigned SELECT lesson, activity, 'stations', slot, station,
        row_number() OVER (PARTITION BY lesson, activity, slot, station ORDER BY "group"), "group" FROM visit""",
    """INSERT INTO event_result SELECT lesson, activity, 'games', slot, court, home, away, home_bonus, away_bonus,
        home_penalty, away_penalty, home_lost, away_lost FROM result""",
    "INSERT INTO event_lineup SELECT lesson, activity, 'games', slot, court, team, place, student FROM lineup",
    *(f"DROP TABLE {table}" for table in (*_OF_GAMES_ALONE, *_OF_CIRCUITS_ALONE)),
)

_GROUP_OF_ROUND = "lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL"

_LEVERS = (
    f"""CREATE TABLE worked_at (
        {_GROUP_OF_ROUND}, place INTEGER NOT NULL, setting INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, round, label, place),
        FOREIGN KEY (lesson, activity, round, label)
            REFERENCES task_result DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    """INSERT INTO worked_at SELECT lesson, activity, round, label, 1, step FROM task_result
        WHERE step IS NOT NULL""",
    "ALTER TABLE task_result DROP COLUMN step",
    "ALTER TABLE chosen_step RENAME TO chosen_task",
    f"""CREATE TABLE chosen_at (
        {_GROUP_OF_ROUND}, place INTEGER NOT NULL, setting INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, round, label, place),
        FOREIGN KEY (lesson, activity, round, label)
            REFERENCES chosen_task DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    "INSERT INTO chosen_at SELECT lesson, activity, round, label, 1, step FROM chosen_task",
    "ALTER TABLE chosen_task DROP COLUMN step",
    # A ladder is one lever; two of its steps may have had the same words, so that each is called by its number.
    "ALTER TABLE ladder RENAME TO challenge",
    """CREATE TABLE lever (
        challenge INTEGER NOT NULL REFERENCES challenge DEFERRABLE INITIALLY DEFERRED,
        place INTEGER NOT NULL, name TEXT NOT NULL, kind TEXT NOT NULL,
        PRIMARY KEY (challenge, place)) WITHOUT ROWID""",
    "INSERT INTO lever SELECT place, 1, 'task', '' FROM challenge",
    """CREATE TABLE lever_setting (
        challenge INTEGER NOT NULL, lever INTEGER NOT NULL, place INTEGER NOT NULL,
        name TEXT NOT NULL, words TEXT NOT NULL, PRIMARY KEY (challenge, lever, place),
        FOREIGN KEY (challenge, lever) REFERENCES lever DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    "INSERT INTO lever_setting SELECT ladder, 1, place, 'step ' || place, task FROM ladder_step",
    "DROP TABLE ladder_step",
    """CREATE TABLE needed (
        challenge INTEGER NOT NULL, lever INTEGER NOT NULL, lever_setting INTEGER NOT NULL, place INTEGER NOT NULL,
        item TEXT NOT NULL, count INTEGER NOT NULL, each INTEGER NOT NULL,
        PRIMARY KEY (challenge, lever, lever_setting, place),
        FOREIGN KEY (challenge, lever, lever_setting)
            REFERENCES lever_setting DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID""",
    "CREATE TABLE cupboard (place INTEGER PRIMARY KEY, item TEXT NOT NULL, count INTEGER NOT NULL)",
    """CREATE TABLE adaptation (
        place INTEGER PRIMARY KEY,
        student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
        kind TEXT NOT NULL, what TEXT NOT NULL)""",
)

_PLAY_AND_LEVERS = Migration(
    "games and stations as one event, names that teams are called by; "
    "standings on the wall; levers of tasks, the cupboard, adaptations",
    (*_EVENTS, *_LEVERS, "INSERT INTO setting VALUES ('on_wall', '')"),
)

_NEXT = Migration(
    "sides that differ on purpose; ways of scoring, points of groups, two ways to choose from",
    (
        "ALTER TABLE activity ADD COLUMN sides TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE activity ADD COLUMN edge INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE challenge ADD COLUMN scoring TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE challenge ADD COLUMN own_rule TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE challenge ADD COLUMN two_ways INTEGER NOT NULL DEFAULT 0",
        "ALTER TABLE task_result ADD COLUMN points INTEGER",
        "ALTER TABLE task_result ADD COLUMN lost INTEGER NOT NULL DEFAULT 0",
        f"""CREATE TABLE event_across (
            {_EVENT}, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), {_OF_EVENT}) WITHOUT ROWID""",
    ),
)
"""What the next form of the file has: a word on it, and one statement a line for each new table or column.

It is extended until it is released; a form that is out in the world is never changed again.
"""

MIGRATIONS = (_FIRST, _AFTER_LESSONS, _WHO_IT_WAS_ABOUT, _AS_THE_DAY_WENT, _PLAY_AND_LEVERS, _NEXT)
"""All forms, the first one first: what brings a file of one to the next."""
