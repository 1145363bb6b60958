-- Bill readings of the utility: what a house used in one unit up to a day. days NULL: since the reading before. flags: 1 an
-- estimate, 2 a new meter, 4 the house stood empty, 8 other people since then.

CREATE TABLE bill_reading (
    id INTEGER PRIMARY KEY, house_id INTEGER NOT NULL REFERENCES house (id), day INTEGER NOT NULL, days REAL CHECK (days > 0),
    unit TEXT NOT NULL, used REAL NOT NULL CHECK (used >= 0), mean_K REAL, cost_cents REAL, flags INTEGER NOT NULL DEFAULT 0,
    note TEXT NOT NULL DEFAULT '', source TEXT NOT NULL, replaces INTEGER REFERENCES bill_reading (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX bill_reading_by_house ON bill_reading (house_id, unit, day);
CREATE INDEX bill_reading_replaced ON bill_reading (replaces);

CREATE TRIGGER bill_reading_stays BEFORE UPDATE ON bill_reading BEGIN SELECT RAISE (ABORT, 'bill readings are added, never changed'); END;
CREATE TRIGGER bill_reading_kept BEFORE DELETE ON bill_reading BEGIN SELECT RAISE (ABORT, 'bill readings are added, never removed'); END;

CREATE VIEW bill_reading_now AS
    SELECT b.id, h.label AS house, date(b.day * 86400, 'unixepoch') AS read_on, b.days, b.unit, b.used, b.mean_K - 273.15 AS mean_temp_C,
           b.cost_cents / 100.0 AS cost_usd, b.flags, b.note, b.source
    FROM bill_reading b JOIN house h ON h.id = b.house_id
    WHERE b.id NOT IN (SELECT replaces FROM bill_reading WHERE replaces IS NOT NULL);
