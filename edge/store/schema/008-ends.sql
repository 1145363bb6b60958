-- Ends: a heater or a part of it that leaked, burnt out, wore out, or was taken out while it worked. put_in is the day on which what
-- ended had been put in; NULL: with the heater.

CREATE TABLE ended (
    id INTEGER PRIMARY KEY, heater_id INTEGER NOT NULL REFERENCES heater (id), day INTEGER NOT NULL, part TEXT NOT NULL, how TEXT NOT NULL,
    put_in REAL, put_in_lo REAL, put_in_hi REAL, put_in_basis TEXT,
    note TEXT NOT NULL, source TEXT NOT NULL, replaces INTEGER UNIQUE REFERENCES ended (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (put_in IS NULL OR (put_in_lo <= put_in AND put_in <= put_in_hi))
) STRICT;
CREATE INDEX ended_by_heater ON ended (heater_id, day);

CREATE TRIGGER ended_stays BEFORE UPDATE ON ended BEGIN SELECT RAISE (ABORT, 'ends are added, never changed'); END;
CREATE TRIGGER ended_kept BEFORE DELETE ON ended BEGIN SELECT RAISE (ABORT, 'ends are added, never removed'); END;

CREATE VIEW ended_now AS
    SELECT e.id, h.label AS heater, date(e.day * 86400, 'unixepoch') AS ended_on, e.part, e.how, date(e.put_in * 86400, 'unixepoch') AS put_in, e.note, e.source
    FROM ended e JOIN heater h ON h.id = e.heater_id WHERE e.id NOT IN (SELECT replaces FROM ended WHERE replaces IS NOT NULL);
