-- lessons that ended early, rounds that have begun, changes to do again, points lost in play, ratings in words

CREATE TABLE ended (lesson INTEGER PRIMARY KEY, after INTEGER NOT NULL, rest_in INTEGER);
CREATE TABLE begun (lesson INTEGER PRIMARY KEY, place INTEGER NOT NULL, date TEXT NOT NULL);
CREATE TABLE undone (number INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, redo TEXT NOT NULL);
ALTER TABLE result ADD COLUMN home_lost INTEGER NOT NULL DEFAULT 0;
ALTER TABLE result ADD COLUMN away_lost INTEGER NOT NULL DEFAULT 0;
INSERT INTO setting VALUES ('scale', '');
