-- steps of tasks that the teacher chose and for whom, and who played in the games with a result

CREATE TABLE chosen_step (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            step INTEGER NOT NULL, PRIMARY KEY (lesson, activity, round, label)) WITHOUT ROWID;
CREATE TABLE chosen_for (
            lesson INTEGER NOT NULL, activity INTEGER NOT NULL, round INTEGER NOT NULL, label TEXT NOT NULL,
            place INTEGER NOT NULL, student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            PRIMARY KEY (lesson, activity, round, label, place),
            FOREIGN KEY (lesson, activity, round, label)
                REFERENCES chosen_step DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
CREATE TABLE lineup (
            lesson INTEGER NOT NULL, activity TEXT NOT NULL, slot INTEGER NOT NULL, court INTEGER NOT NULL, team INTEGER NOT NULL, place INTEGER NOT NULL,
            student INTEGER NOT NULL REFERENCES student DEFERRABLE INITIALLY DEFERRED,
            PRIMARY KEY (lesson, activity, slot, court, team, place),
            FOREIGN KEY (lesson, activity, slot, court)
                REFERENCES result DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
