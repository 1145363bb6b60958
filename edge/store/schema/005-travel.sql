-- Drives that somebody timed: between two houses, or between a house and home (NULL). The newest row of a pair counts; one way
-- stands for the other where only one is there.

CREATE TABLE travel (
    id INTEGER PRIMARY KEY, from_house_id INTEGER REFERENCES house (id), to_house_id INTEGER REFERENCES house (id),
    drive_s REAL NOT NULL CHECK (drive_s >= 0), road_m REAL CHECK (road_m >= 0),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (from_house_id IS NOT to_house_id)
) STRICT;
CREATE INDEX travel_by_pair ON travel (from_house_id, to_house_id, id);

CREATE TRIGGER travel_stays BEFORE UPDATE ON travel BEGIN SELECT RAISE (ABORT, 'drives are added, never changed'); END;
CREATE TRIGGER travel_kept BEFORE DELETE ON travel BEGIN SELECT RAISE (ABORT, 'drives are added, never removed'); END;

CREATE VIEW travel_now AS
    SELECT coalesce(a.label, 'home') AS from_house, coalesce(b.label, 'home') AS to_house, t.drive_s / 60.0 AS minutes,
           t.road_m / 1609.344 AS miles, date(t.day * 86400, 'unixepoch') AS said_on, t.source
    FROM travel t LEFT JOIN house a ON a.id = t.from_house_id LEFT JOIN house b ON b.id = t.to_house_id
    WHERE NOT EXISTS (SELECT 1 FROM travel n WHERE n.from_house_id IS t.from_house_id AND n.to_house_id IS t.to_house_id AND n.id > t.id);
