-- the first form of the class file

CREATE TABLE student (
            key INTEGER PRIMARY KEY, place INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, name TEXT NOT NULL,
            size_band TEXT NOT NULL, availability TEXT NOT NULL,
            first_lesson INTEGER NOT NULL, last_lesson INTEGER);
CREATE TABLE strand (place INTEGER PRIMARY KEY, name TEXT NOT NULL);
CREATE TABLE rating (
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            strand TEXT NOT NULL, value REAL NOT NULL, PRIMARY KEY (student, strand)) WITHOUT ROWID;
CREATE TABLE lesson (number INTEGER PRIMARY KEY, date TEXT NOT NULL);
CREATE TABLE activity (
            lesson INTEGER NOT NULL REFERENCES lesson DEFERRABLE INITIALLY DEFERRED,
            place INTEGER NOT NULL, name TEXT NOT NULL, aim TEXT NOT NULL, size INTEGER, "groups" INTEGER,
            rounds INTEGER NOT NULL, minutes REAL, strand TEXT NOT NULL, min_gap REAL, max_gap REAL,
            caution TEXT NOT NULL, PRIMARY KEY (lesson, place)) WITHOUT ROWID;
CREATE TABLE request (
            place INTEGER PRIMARY KEY, kind TEXT NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            other INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            first_lesson INTEGER, last_lesson INTEGER);
CREATE TABLE absence (
            place INTEGER PRIMARY KEY, lesson INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            state TEXT NOT NULL, since INTEGER NOT NULL, role TEXT NOT NULL);
CREATE TABLE round (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            place INTEGER NOT NULL, pinned INTEGER NOT NULL, as_planned INTEGER NOT NULL,
            PRIMARY KEY (lesson, activity, round)) WITHOUT ROWID;
CREATE TABLE "group" (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            layer TEXT NOT NULL CHECK (layer IN ('now', 'planned')), place INTEGER NOT NULL,
            label TEXT NOT NULL, PRIMARY KEY (lesson, activity, round, layer, place),
            FOREIGN KEY (lesson, activity, round) REFERENCES round DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE seat (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL,
            layer TEXT NOT NULL, "group" INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED, role TEXT,
            PRIMARY KEY (lesson, activity, round, layer, "group", place),
            FOREIGN KEY (lesson, activity, round, layer, "group")
                REFERENCES "group" DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE taught (lesson INTEGER PRIMARY KEY);
CREATE TABLE setting (name TEXT NOT NULL PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE games (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, round INTEGER NOT NULL, courts INTEGER NOT NULL, legs INTEGER, slots INTEGER, "order" TEXT NOT NULL,
        duty TEXT NOT NULL, play REAL, changeover REAL NOT NULL, draw TEXT NOT NULL, played INTEGER NOT NULL,
        slots_left INTEGER, PRIMARY KEY (lesson, activity)) WITHOUT ROWID;
CREATE TABLE team (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, number INTEGER NOT NULL, label TEXT NOT NULL, state TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, number), FOREIGN KEY (lesson, activity) REFERENCES games DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE closed_court (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, court INTEGER NOT NULL, PRIMARY KEY (lesson, activity, court), FOREIGN KEY (lesson, activity) REFERENCES games DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE game (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, slot INTEGER NOT NULL, court INTEGER NOT NULL, home INTEGER NOT NULL, away INTEGER NOT NULL,
        duty INTEGER, PRIMARY KEY (lesson, activity, slot, court), FOREIGN KEY (lesson, activity) REFERENCES games DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE loan (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, slot INTEGER NOT NULL, team INTEGER NOT NULL, lender INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, slot, team, lender), FOREIGN KEY (lesson, activity) REFERENCES games DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE result (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, slot INTEGER NOT NULL, court INTEGER NOT NULL, home INTEGER NOT NULL, away INTEGER NOT NULL,
        home_bonus REAL NOT NULL, away_bonus REAL NOT NULL, home_penalty REAL NOT NULL, away_penalty REAL NOT NULL,
        PRIMARY KEY (lesson, activity, slot, court),
        FOREIGN KEY (lesson, activity, slot, court) REFERENCES game DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE circuit (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, round INTEGER NOT NULL, slots INTEGER, "order" TEXT NOT NULL, play REAL, changeover REAL NOT NULL,
        method TEXT NOT NULL, played INTEGER NOT NULL, PRIMARY KEY (lesson, activity)) WITHOUT ROWID;
CREATE TABLE station (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, number INTEGER NOT NULL, name TEXT NOT NULL, closed INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, number), FOREIGN KEY (lesson, activity) REFERENCES circuit DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE circuit_group (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, number INTEGER NOT NULL, label TEXT NOT NULL,
        PRIMARY KEY (lesson, activity, number), FOREIGN KEY (lesson, activity) REFERENCES circuit DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE visit (
        lesson INTEGER NOT NULL, activity TEXT NOT NULL, slot INTEGER NOT NULL, station INTEGER NOT NULL, "group" INTEGER NOT NULL,
        PRIMARY KEY (lesson, activity, slot, station, "group"), FOREIGN KEY (lesson, activity) REFERENCES circuit DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE change (
            number INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, undo TEXT, lasting TEXT NOT NULL);
CREATE TABLE stamp (only INTEGER PRIMARY KEY CHECK (only = 1), version TEXT NOT NULL);
