-- sides that differ on purpose; ways of scoring, points of groups, two ways to choose from

ALTER TABLE activity ADD COLUMN sides TEXT NOT NULL DEFAULT '';
ALTER TABLE activity ADD COLUMN edge INTEGER NOT NULL DEFAULT 0;
ALTER TABLE challenge ADD COLUMN scoring TEXT NOT NULL DEFAULT '';
ALTER TABLE challenge ADD COLUMN own_rule TEXT NOT NULL DEFAULT '';
ALTER TABLE challenge ADD COLUMN two_ways INTEGER NOT NULL DEFAULT 0;
ALTER TABLE task_result ADD COLUMN points INTEGER;
ALTER TABLE task_result ADD COLUMN lost INTEGER NOT NULL DEFAULT 0;
CREATE TABLE event_across (
            lesson INTEGER NOT NULL, activity TEXT NOT NULL, kind TEXT NOT NULL, team INTEGER NOT NULL, PRIMARY KEY (lesson, activity, kind, team), FOREIGN KEY (lesson, activity, kind) REFERENCES event DEFERRABLE INITIALLY DEFERRED) WITHOUT ROWID;
