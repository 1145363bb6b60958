-- What goes with a visit: pictures by where they lie, and parts. Stock is the sum of its moves: bought and counted in,
-- used out. A correction is one more move.

CREATE TABLE visit_photo (
    id INTEGER PRIMARY KEY, visit_id INTEGER NOT NULL REFERENCES visit (id), file TEXT NOT NULL,
    entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX visit_photo_by_visit ON visit_photo (visit_id);

CREATE TABLE stock_move (
    id INTEGER PRIMARY KEY, item TEXT NOT NULL, change REAL NOT NULL, visit_id INTEGER REFERENCES visit (id),
    day INTEGER NOT NULL, source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX stock_move_by_item ON stock_move (item, id);

CREATE TRIGGER visit_photo_stays BEFORE UPDATE ON visit_photo BEGIN SELECT RAISE (ABORT, 'pictures are added, never changed'); END;
CREATE TRIGGER visit_photo_kept BEFORE DELETE ON visit_photo BEGIN SELECT RAISE (ABORT, 'pictures are added, never removed'); END;
CREATE TRIGGER stock_move_stays BEFORE UPDATE ON stock_move BEGIN SELECT RAISE (ABORT, 'moves are added, never changed'); END;
CREATE TRIGGER stock_move_kept BEFORE DELETE ON stock_move BEGIN SELECT RAISE (ABORT, 'moves are added, never removed'); END;

CREATE VIEW stock_now AS SELECT item, sum(change) AS pieces, max(date(day * 86400, 'unixepoch')) AS last_move FROM stock_move GROUP BY item;
