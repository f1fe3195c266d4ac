-- games and stations as one event, names that teams are called by; standings on the wall; levers of tasks, the cupboard, adaptations

CREATE TABLE event (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, round INTEGER NOT NULL, legs INTEGER, slots INTEGER, "order" TEXT NOT NULL, duty TEXT NOT NULL,
        play REAL, changeover REAL NOT NULL, method TEXT NOT NULL, played INTEGER NOT NULL, slots_left INTEGER,
        PRIMARY KEY (lesson, activity, kind)) WITHOUT ROWID;
CREATE TABLE event_team (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, number INTEGER NOT NULL, label TEXT NOT NULL, called TEXT,
        PRIMARY KEY (lesson, activity, kind, number), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_place (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, number INTEGER NOT NULL, name TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, kind, number), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_closed (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, at INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, at), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_out (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_short (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_loan (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, slot INTEGER NOT NULL, team INTEGER NOT NULL, lender INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, team, lender), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE assignment (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, slot INTEGER NOT NULL, at INTEGER NOT NULL, duty INTEGER, PRIMARY KEY (lesson, activity, kind, slot, at), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE assigned (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, slot INTEGER NOT NULL, at INTEGER NOT NULL, place INTEGER NOT NULL, team INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, at, place), FOREIGN KEY (lesson, activity, kind, slot, at) REFERENCES assignment DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_result (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, slot INTEGER NOT NULL, at INTEGER NOT NULL, home INTEGER NOT NULL, away INTEGER NOT NULL,
        home_bonus REAL NOT NULL, away_bonus REAL NOT NULL, home_penalty REAL NOT NULL, away_penalty REAL NOT NULL,
        home_lost INTEGER NOT NULL, away_lost INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, kind, slot, at), FOREIGN KEY (lesson, activity, kind, slot, at) REFERENCES assignment DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE event_lineup (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, slot INTEGER NOT NULL, at INTEGER NOT NULL, team INTEGER NOT NULL, place INTEGER NOT NULL,
        student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
        PRIMARY KEY (lesson, activity, kind, slot, at, team, place), FOREIGN KEY (lesson, activity, kind, slot, at) REFERENCES assignment DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
-- What two kinds of play kept apart, each in tables of its own.
INSERT INTO event SELECT lesson, activity, 'games', round, legs, slots, "order", duty, play, changeover, draw,
        played, slots_left FROM games;
INSERT INTO event SELECT lesson, activity, 'stations', round, 1, slots, "order", 'spare', play, changeover,
        method, played, NULL FROM circuit;
INSERT INTO event_team SELECT lesson, activity, 'games', number, label, NULL FROM team;
INSERT INTO event_team SELECT lesson, activity, 'stations', number, label, NULL FROM circuit_group;
WITH RECURSIVE court(number) AS
        (SELECT 1 UNION ALL SELECT number + 1 FROM court WHERE number < (SELECT max(courts) FROM games))
        INSERT INTO event_place
        SELECT lesson, activity, 'games', number, '' FROM games JOIN court ON number <= courts;
INSERT INTO event_place SELECT lesson, activity, 'stations', number, name FROM station;
INSERT INTO event_closed SELECT lesson, activity, 'games', court FROM closed_court;
INSERT INTO event_closed SELECT lesson, activity, 'stations', number FROM station WHERE closed;
INSERT INTO event_out SELECT lesson, activity, 'games', number FROM team WHERE state = 'out';
INSERT INTO event_short SELECT lesson, activity, 'games', number FROM team WHERE state = 'short';
INSERT INTO event_loan SELECT lesson, activity, 'games', slot, team, lender FROM loan;
INSERT INTO assignment SELECT lesson, activity, 'games', slot, court, duty FROM game;
INSERT INTO assignment SELECT DISTINCT lesson, activity, 'stations', slot, station, NULL FROM visit;
INSERT INTO assigned SELECT lesson, activity, 'games', slot, court, 1, home FROM game;
INSERT INTO assigned SELECT lesson, activity, 'games', slot, court, 2, away FROM game;
INSERT INTO assigned SELECT lesson, activity, 'stations', slot, station,
        row_number() OVER (PARTITION BY lesson, activity, slot, station ORDER BY "group"), "group" FROM visit;
INSERT INTO event_result SELECT lesson, activity, 'games', slot, court, home, away, home_bonus, away_bonus,
        home_penalty, away_penalty, home_lost, away_lost FROM result;
INSERT INTO event_lineup SELECT lesson, activity, 'games', slot, court, team, place, student FROM lineup;
DROP TABLE lineup;
DROP TABLE result;
DROP TABLE loan;
DROP TABLE game;
DROP TABLE closed_court;
DROP TABLE team;
DROP TABLE games;
DROP TABLE visit;
DROP TABLE circuit_group;
DROP TABLE station;
DROP TABLE circuit;
CREATE TABLE worked_at (
        lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL, place INTEGER NOT NULL, setting INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, round, label, place),
        FOREIGN KEY (lesson, activity, round, label)
            REFERENCES task_result DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
INSERT INTO worked_at SELECT lesson, activity, round, label, 1, step FROM task_result
        WHERE step IS NOT NULL;
ALTER TABLE task_result DROP COLUMN step;
ALTER TABLE chosen_step RENAME TO chosen_task;
CREATE TABLE chosen_at (
        lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL, place INTEGER NOT NULL, setting INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, round, label, place),
        FOREIGN KEY (lesson, activity, round, label)
            REFERENCES chosen_task DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
INSERT INTO chosen_at SELECT lesson, activity, round, label, 1, step FROM chosen_task;
ALTER TABLE chosen_task DROP COLUMN step;
-- A ladder is one lever; two of its steps may have had the same words, so that each is called by its number.
ALTER TABLE ladder RENAME TO challenge;
CREATE TABLE lever (
        challenge INTEGER NOT NULL REFERENCES challenge DEFERRABLE INITIALLY DEFERRED,
        place INTEGER NOT NULL, name TEXT NOT NULL, kind TEXT NOT NULL,
        PRIMARY KEY (challenge, place)) WITHOUT ROWID;
INSERT INTO lever SELECT place, 1, 'task', '' FROM challenge;
CREATE TABLE lever_setting (
        challenge INTEGER NOT NULL, lever INTEGER NOT NULL, place INTEGER NOT NULL,
        name TEXT NOT NULL, words TEXT NOT NULL, PRIMARY KEY (challenge, lever, place),
        FOREIGN KEY (challenge, lever) REFERENCES lever DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
INSERT INTO lever_setting SELECT ladder, 1, place, 'step ' || place, task FROM ladder_step;
DROP TABLE ladder_step;
CREATE TABLE needed (
        challenge INTEGER NOT NULL, lever INTEGER NOT NULL, lever_setting INTEGER NOT NULL, place INTEGER NOT NULL,
        item TEXT NOT NULL, count INTEGER NOT NULL, each INTEGER NOT NULL,
        PRIMARY KEY (challenge, lever, lever_setting, place),
        FOREIGN KEY (challenge, lever, lever_setting)
            REFERENCES lever_setting DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE cupboard (place INTEGER PRIMARY KEY, item TEXT NOT NULL, count INTEGER NOT NULL);
CREATE TABLE adaptation (
        place INTEGER PRIMARY KEY,
        student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
        kind TEXT NOT NULL, what TEXT NOT NULL);
INSERT INTO setting VALUES ('on_wall', '');
