-- The owner's own words on what he hands out: the newest row of a name counts; an empty one goes back to the usual text.

CREATE TABLE wording (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL, words TEXT NOT NULL,
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX wording_by_name ON wording (name, id);

CREATE TRIGGER wording_stays BEFORE UPDATE ON wording BEGIN SELECT RAISE (ABORT, 'wordings are added, never changed'); END;
CREATE TRIGGER wording_kept BEFORE DELETE ON wording BEGIN SELECT RAISE (ABORT, 'wordings are added, never removed'); END;

CREATE VIEW wording_now AS
    SELECT name, words, date(day * 86400, 'unixepoch') AS said_on, source FROM wording w
    WHERE w.id = (SELECT max(n.id) FROM wording n WHERE n.name = w.name);
