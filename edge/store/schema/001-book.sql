-- The book. Things (water, house, heater) are a label and facts about it; what happens (sheets, households, findings,
-- visits, prices, settings) are rows of their own. Facts and happenings are added, never changed: a correction is a
-- newer fact, or a row that `replaces` another. SI units; days count from 1970-01-01; an uncertain quantity is its
-- median with the 10 and 90 % points, all NULL where nobody knows. `entered` is when the row was written (seconds).

CREATE TABLE water (
    id INTEGER PRIMARY KEY, label TEXT NOT NULL, label_key TEXT NOT NULL UNIQUE,
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;

CREATE TABLE house (
    id INTEGER PRIMARY KEY, label TEXT NOT NULL, label_key TEXT NOT NULL UNIQUE,
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;

CREATE TABLE heater (
    id INTEGER PRIMARY KEY, house_id INTEGER NOT NULL REFERENCES house (id),
    label TEXT NOT NULL, label_key TEXT NOT NULL UNIQUE, -- one that was taken out gets its day behind its label
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX heater_by_house ON heater (house_id);

CREATE TABLE water_fact (
    id INTEGER PRIMARY KEY, water_id INTEGER NOT NULL REFERENCES water (id), field TEXT NOT NULL,
    mid REAL, lo REAL, hi REAL, basis TEXT, word TEXT, ref INTEGER REFERENCES water (id),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK ((mid IS NULL AND lo IS NULL AND hi IS NULL AND basis IS NULL) OR (lo <= mid AND mid <= hi AND basis IN ('default', 'about', 'range', 'given', 'learned')))
) STRICT;
CREATE INDEX water_fact_by_field ON water_fact (water_id, field, id);

CREATE TABLE house_fact (
    id INTEGER PRIMARY KEY, house_id INTEGER NOT NULL REFERENCES house (id), field TEXT NOT NULL,
    mid REAL, lo REAL, hi REAL, basis TEXT, word TEXT, ref INTEGER REFERENCES water (id),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK ((mid IS NULL AND lo IS NULL AND hi IS NULL AND basis IS NULL) OR (lo <= mid AND mid <= hi AND basis IN ('default', 'about', 'range', 'given', 'learned')))
) STRICT;
CREATE INDEX house_fact_by_field ON house_fact (house_id, field, id);

CREATE TABLE heater_fact (
    id INTEGER PRIMARY KEY, heater_id INTEGER NOT NULL REFERENCES heater (id), field TEXT NOT NULL,
    mid REAL, lo REAL, hi REAL, basis TEXT, word TEXT, ref INTEGER REFERENCES water (id),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK ((mid IS NULL AND lo IS NULL AND hi IS NULL AND basis IS NULL) OR (lo <= mid AND mid <= hi AND basis IN ('default', 'about', 'range', 'given', 'learned')))
) STRICT;
CREATE INDEX heater_fact_by_field ON heater_fact (heater_id, field, id);

CREATE TABLE sheet (
    id INTEGER PRIMARY KEY, water_id INTEGER NOT NULL REFERENCES water (id),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX sheet_by_water ON sheet (water_id, day);

CREATE TABLE sheet_cell ( -- as it was given: column with its unit, and text
    sheet_id INTEGER NOT NULL REFERENCES sheet (id), n INTEGER NOT NULL, name TEXT NOT NULL, cell TEXT NOT NULL,
    PRIMARY KEY (sheet_id, n)
) STRICT, WITHOUT ROWID;

CREATE TABLE household ( -- from `day` on; heater_id NULL: every heater of the house
    id INTEGER PRIMARY KEY, house_id INTEGER NOT NULL REFERENCES house (id), heater_id INTEGER REFERENCES heater (id),
    day INTEGER NOT NULL,
    people REAL, people_lo REAL, people_hi REAL, people_basis TEXT,
    hot_m3_s REAL, hot_m3_s_lo REAL, hot_m3_s_hi REAL, hot_m3_s_basis TEXT,
    setpoint_K REAL, setpoint_K_lo REAL, setpoint_K_hi REAL, setpoint_K_basis TEXT,
    note TEXT NOT NULL, source TEXT NOT NULL, replaces INTEGER UNIQUE REFERENCES household (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (people IS NULL OR (people_lo <= people AND people <= people_hi AND people_lo >= 0)),
    CHECK (hot_m3_s IS NULL OR (hot_m3_s_lo <= hot_m3_s AND hot_m3_s <= hot_m3_s_hi AND hot_m3_s_lo >= 0)),
    CHECK (setpoint_K IS NULL OR (setpoint_K_lo <= setpoint_K AND setpoint_K <= setpoint_K_hi AND setpoint_K_lo > 0))
) STRICT;
CREATE INDEX household_by_house ON household (house_id, day);

CREATE TABLE finding (
    id INTEGER PRIMARY KEY, heater_id INTEGER NOT NULL REFERENCES heater (id), day INTEGER NOT NULL, kind TEXT NOT NULL,
    mid REAL NOT NULL, lo REAL NOT NULL, hi REAL NOT NULL, basis TEXT NOT NULL,
    note TEXT NOT NULL, source TEXT NOT NULL, replaces INTEGER UNIQUE REFERENCES finding (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (lo <= mid AND mid <= hi)
) STRICT;
CREATE INDEX finding_by_heater ON finding (heater_id, day);

CREATE TABLE visit (
    id INTEGER PRIMARY KEY, heater_id INTEGER NOT NULL REFERENCES heater (id), day INTEGER NOT NULL, work TEXT NOT NULL,
    spent_s REAL, spent_s_lo REAL, spent_s_hi REAL, spent_s_basis TEXT,
    cost_cents REAL, cost_cents_lo REAL, cost_cents_hi REAL, cost_cents_basis TEXT,
    note TEXT NOT NULL, source TEXT NOT NULL, replaces INTEGER UNIQUE REFERENCES visit (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (spent_s IS NULL OR (spent_s_lo <= spent_s AND spent_s <= spent_s_hi AND spent_s_lo >= 0)),
    CHECK (cost_cents IS NULL OR (cost_cents_lo <= cost_cents AND cost_cents <= cost_cents_hi))
) STRICT;
CREATE INDEX visit_by_heater ON visit (heater_id, day);

CREATE TABLE price ( -- in the unit that the item's name ends with
    id INTEGER PRIMARY KEY, item TEXT NOT NULL, mid REAL NOT NULL, lo REAL NOT NULL, hi REAL NOT NULL, basis TEXT NOT NULL,
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK (lo <= mid AND mid <= hi)
) STRICT;
CREATE INDEX price_by_item ON price (item, id);

CREATE TABLE setting (
    id INTEGER PRIMARY KEY, name TEXT NOT NULL, value TEXT NOT NULL,
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX setting_by_name ON setting (name, id);

CREATE TRIGGER water_fact_stays BEFORE UPDATE ON water_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never changed'); END;
CREATE TRIGGER water_fact_kept BEFORE DELETE ON water_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never removed'); END;
CREATE TRIGGER house_fact_stays BEFORE UPDATE ON house_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never changed'); END;
CREATE TRIGGER house_fact_kept BEFORE DELETE ON house_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never removed'); END;
CREATE TRIGGER heater_fact_stays BEFORE UPDATE ON heater_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never changed'); END;
CREATE TRIGGER heater_fact_kept BEFORE DELETE ON heater_fact BEGIN SELECT RAISE (ABORT, 'facts are added, never removed'); END;
CREATE TRIGGER sheet_stays BEFORE UPDATE ON sheet BEGIN SELECT RAISE (ABORT, 'sheets are added, never changed'); END;
CREATE TRIGGER sheet_kept BEFORE DELETE ON sheet BEGIN SELECT RAISE (ABORT, 'sheets are added, never removed'); END;
CREATE TRIGGER sheet_cell_stays BEFORE UPDATE ON sheet_cell BEGIN SELECT RAISE (ABORT, 'sheets are added, never changed'); END;
CREATE TRIGGER sheet_cell_kept BEFORE DELETE ON sheet_cell BEGIN SELECT RAISE (ABORT, 'sheets are added, never removed'); END;
CREATE TRIGGER household_stays BEFORE UPDATE ON household BEGIN SELECT RAISE (ABORT, 'households are added, never changed'); END;
CREATE TRIGGER household_kept BEFORE DELETE ON household BEGIN SELECT RAISE (ABORT, 'households are added, never removed'); END;
CREATE TRIGGER finding_stays BEFORE UPDATE ON finding BEGIN SELECT RAISE (ABORT, 'findings are added, never changed'); END;
CREATE TRIGGER finding_kept BEFORE DELETE ON finding BEGIN SELECT RAISE (ABORT, 'findings are added, never removed'); END;
CREATE TRIGGER visit_stays BEFORE UPDATE ON visit BEGIN SELECT RAISE (ABORT, 'visits are added, never changed'); END;
CREATE TRIGGER visit_kept BEFORE DELETE ON visit BEGIN SELECT RAISE (ABORT, 'visits are added, never removed'); END;
CREATE TRIGGER price_stays BEFORE UPDATE ON price BEGIN SELECT RAISE (ABORT, 'prices are added, never changed'); END;
CREATE TRIGGER price_kept BEFORE DELETE ON price BEGIN SELECT RAISE (ABORT, 'prices are added, never removed'); END;
CREATE TRIGGER setting_stays BEFORE UPDATE ON setting BEGIN SELECT RAISE (ABORT, 'settings are added, never changed'); END;
CREATE TRIGGER setting_kept BEFORE DELETE ON setting BEGIN SELECT RAISE (ABORT, 'settings are added, never removed'); END;

-- As things stand, for whoever looks in with another tool.
CREATE VIEW heater_now AS
    SELECT h.id, h.label AS heater, o.label AS house, f.field, f.mid, f.lo, f.hi, f.basis, f.word, w.label AS water,
           date(f.day * 86400, 'unixepoch') AS said_on, f.source
    FROM heater h JOIN house o ON o.id = h.house_id JOIN heater_fact f ON f.heater_id = h.id LEFT JOIN water w ON w.id = f.ref
    WHERE f.id = (SELECT max(g.id) FROM heater_fact g WHERE g.heater_id = f.heater_id AND g.field = f.field);
CREATE VIEW house_now AS
    SELECT h.id, h.label AS house, f.field, f.mid, f.lo, f.hi, f.basis, f.word, w.label AS water,
           date(f.day * 86400, 'unixepoch') AS said_on, f.source
    FROM house h JOIN house_fact f ON f.house_id = h.id LEFT JOIN water w ON w.id = f.ref
    WHERE f.id = (SELECT max(g.id) FROM house_fact g WHERE g.house_id = f.house_id AND g.field = f.field);
CREATE VIEW finding_now AS
    SELECT f.id, h.label AS heater, date(f.day * 86400, 'unixepoch') AS found_on, f.kind, f.mid, f.lo, f.hi, f.basis, f.note, f.source
    FROM finding f JOIN heater h ON h.id = f.heater_id WHERE f.id NOT IN (SELECT replaces FROM finding WHERE replaces IS NOT NULL);
CREATE VIEW visit_now AS
    SELECT v.id, h.label AS heater, date(v.day * 86400, 'unixepoch') AS visited_on, v.work, v.spent_s, v.cost_cents, v.note, v.source
    FROM visit v JOIN heater h ON h.id = v.heater_id WHERE v.id NOT IN (SELECT replaces FROM visit WHERE replaces IS NOT NULL);
