-- notes, how tasks went, ladders, ratings that were learnt, earlier units; absences that end before the lesson

ALTER TABLE absence ADD COLUMN until INTEGER;
CREATE TABLE note (
            lesson INTEGER NOT NULL, place INTEGER NOT NULL, text TEXT NOT NULL,
            PRIMARY KEY (lesson, place)) WITHOUT ROWID;
CREATE TABLE task_result (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            felt TEXT NOT NULL, hits INTEGER, tries INTEGER, step INTEGER,
            PRIMARY KEY (lesson, activity, round, label)) WITHOUT ROWID;
CREATE TABLE ladder (place INTEGER PRIMARY KEY, activity TEXT NOT NULL);
CREATE TABLE ladder_step (
            ladder INTEGER NOT NULL REFERENCES ladder DEFERRABLE INITIALLY DEFERRED,
            place INTEGER NOT NULL, along TEXT NOT NULL, task TEXT NOT NULL,
            PRIMARY KEY (ladder, place)) WITHOUT ROWID;
CREATE TABLE learnt (
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, strand TEXT NOT NULL,
            guess REAL, value REAL NOT NULL, through INTEGER NOT NULL, since INTEGER NOT NULL,
            PRIMARY KEY (student, strand)) WITHOUT ROWID;
CREATE TABLE past_round (
            unit INTEGER NOT NULL, lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, date TEXT NOT NULL, name TEXT NOT NULL, in_pairs INTEGER NOT NULL,
            PRIMARY KEY (unit, lesson, activity, round)) WITHOUT ROWID;
CREATE TABLE past_group (
            unit INTEGER NOT NULL, lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, place INTEGER NOT NULL, label TEXT NOT NULL,
            PRIMARY KEY (unit, lesson, activity, round, place),
            FOREIGN KEY (unit, lesson, activity, round)
                REFERENCES past_round DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE past_seat (
            unit INTEGER NOT NULL, lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, "group" INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, role TEXT,
            PRIMARY KEY (unit, lesson, activity, round, "group", place),
            FOREIGN KEY (unit, lesson, activity, round, "group")
                REFERENCES past_group DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
INSERT INTO setting VALUES ('half-life', '12.0'), ('success', '0.75');
