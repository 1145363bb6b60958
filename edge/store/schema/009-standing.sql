-- What holds now is what was said of the latest day; of one day, what was entered last. So a reading of last year that is written
-- down today does not push aside this year's. A fact that was wrong, its day too, is taken back by one that `replaces` it.

ALTER TABLE water_fact ADD COLUMN replaces INTEGER REFERENCES water_fact (id);
ALTER TABLE house_fact ADD COLUMN replaces INTEGER REFERENCES house_fact (id);
ALTER TABLE heater_fact ADD COLUMN replaces INTEGER REFERENCES heater_fact (id);
ALTER TABLE price ADD COLUMN replaces INTEGER REFERENCES price (id);
ALTER TABLE setting ADD COLUMN replaces INTEGER REFERENCES setting (id);
CREATE UNIQUE INDEX water_fact_replaced ON water_fact (replaces) WHERE replaces IS NOT NULL;
CREATE UNIQUE INDEX house_fact_replaced ON house_fact (replaces) WHERE replaces IS NOT NULL;
CREATE UNIQUE INDEX heater_fact_replaced ON heater_fact (replaces) WHERE replaces IS NOT NULL;
CREATE UNIQUE INDEX price_replaced ON price (replaces) WHERE replaces IS NOT NULL;
CREATE UNIQUE INDEX setting_replaced ON setting (replaces) WHERE replaces IS NOT NULL;

DROP INDEX water_fact_by_field;
DROP INDEX house_fact_by_field;
DROP INDEX heater_fact_by_field;
DROP INDEX price_by_item;
DROP INDEX setting_by_name;
CREATE INDEX water_fact_by_field ON water_fact (water_id, field, day, id);
CREATE INDEX house_fact_by_field ON house_fact (house_id, field, day, id);
CREATE INDEX heater_fact_by_field ON heater_fact (heater_id, field, day, id);
CREATE INDEX price_by_item ON price (item, day, id);
CREATE INDEX setting_by_name ON setting (name, day, id);

DROP VIEW heater_now;
DROP VIEW house_now;
DROP VIEW travel_now;
DROP VIEW wording_now;
CREATE VIEW heater_now AS
    SELECT h.id, h.label AS heater, o.label AS house, f.field, f.mid, f.lo, f.hi, f.basis, f.word, w.label AS water,
           date(f.day * 86400, 'unixepoch') AS said_on, f.source
    FROM heater h JOIN house o ON o.id = h.house_id JOIN heater_fact f ON f.heater_id = h.id LEFT JOIN water w ON w.id = f.ref
    WHERE f.id = (SELECT g.id FROM heater_fact g WHERE g.heater_id = f.heater_id AND g.field = f.field
                  AND NOT EXISTS (SELECT 1 FROM heater_fact r WHERE r.replaces = g.id) ORDER BY g.day DESC, g.id DESC LIMIT 1);
CREATE VIEW house_now AS
    SELECT h.id, h.label AS house, f.field, f.mid, f.lo, f.hi, f.basis, f.word, w.label AS water,
           date(f.day * 86400, 'unixepoch') AS said_on, f.source
    FROM house h JOIN house_fact f ON f.house_id = h.id LEFT JOIN water w ON w.id = f.ref
    WHERE f.id = (SELECT g.id FROM house_fact g WHERE g.house_id = f.house_id AND g.field = f.field
                  AND NOT EXISTS (SELECT 1 FROM house_fact r WHERE r.replaces = g.id) ORDER BY g.day DESC, g.id DESC LIMIT 1);
CREATE VIEW travel_now AS
    SELECT coalesce(a.label, 'home') AS from_house, coalesce(b.label, 'home') AS to_house, t.drive_s / 60.0 AS minutes,
           t.road_m / 1609.344 AS miles, date(t.day * 86400, 'unixepoch') AS said_on, t.source
    FROM travel t LEFT JOIN house a ON a.id = t.from_house_id LEFT JOIN house b ON b.id = t.to_house_id
    WHERE t.id = (SELECT n.id FROM travel n WHERE n.from_house_id IS t.from_house_id AND n.to_house_id IS t.to_house_id
                  ORDER BY n.day DESC, n.id DESC LIMIT 1);
CREATE VIEW wording_now AS
    SELECT name, words, date(day * 86400, 'unixepoch') AS said_on, source FROM wording w
    WHERE w.id = (SELECT n.id FROM wording n WHERE n.name = w.name ORDER BY n.day DESC, n.id DESC LIMIT 1);
