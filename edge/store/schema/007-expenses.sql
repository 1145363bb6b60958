-- Money, miles and hours that go with a house (or, without one, with all of them: stock for the van) and are not told by a
-- visit. Whole cents. `mark` is how it stands in the account of a year: upkeep, repaired, replaced.

CREATE TABLE expense (
    id INTEGER PRIMARY KEY, house_id INTEGER REFERENCES house (id), heater_id INTEGER REFERENCES heater (id),
    day INTEGER NOT NULL, kind TEXT NOT NULL CHECK (kind IN ('contractor', 'parts', 'fee', 'own', 'other')),
    mark TEXT NOT NULL CHECK (mark IN ('upkeep', 'repaired', 'replaced')),
    what TEXT NOT NULL, who TEXT NOT NULL DEFAULT '',
    cents INTEGER, metres REAL CHECK (metres >= 0), seconds REAL CHECK (seconds >= 0),
    receipt TEXT NOT NULL DEFAULT '', note TEXT NOT NULL DEFAULT '', source TEXT NOT NULL,
    replaces INTEGER UNIQUE REFERENCES expense (id), entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (cents IS NOT NULL OR metres IS NOT NULL OR seconds IS NOT NULL)
) STRICT;
CREATE INDEX expense_by_house ON expense (house_id, day);

CREATE TRIGGER expense_stays BEFORE UPDATE ON expense BEGIN SELECT RAISE (ABORT, 'expenses are added, never changed'); END;
CREATE TRIGGER expense_kept BEFORE DELETE ON expense BEGIN SELECT RAISE (ABORT, 'expenses are added, never removed'); END;

CREATE VIEW expense_now AS
    SELECT e.id, h.label AS house, w.label AS heater, date(e.day * 86400, 'unixepoch') AS spent_on, e.kind, e.mark, e.what, e.who, e.cents,
           e.metres / 1609.344 AS miles, e.seconds / 3600.0 AS hours, e.receipt, e.note, e.source
    FROM expense e LEFT JOIN house h ON h.id = e.house_id LEFT JOIN heater w ON w.id = e.heater_id
    WHERE e.id NOT IN (SELECT replaces FROM expense WHERE replaces IS NOT NULL);
