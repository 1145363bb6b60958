-- Calls of tenants. A call is one row; all that is said, read, advised, undone and found is added behind it, in order.
-- An event that `undoes` another takes it back; nothing is overwritten.

CREATE TABLE call (
    id INTEGER PRIMARY KEY, heater_id INTEGER NOT NULL REFERENCES heater (id), day INTEGER NOT NULL, words TEXT NOT NULL,
    source TEXT NOT NULL, entered INTEGER NOT NULL DEFAULT (unixepoch())
) STRICT;
CREATE INDEX call_by_heater ON call (heater_id, day);

CREATE TABLE call_event (
    id INTEGER PRIMARY KEY, call_id INTEGER NOT NULL REFERENCES call (id), day INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('voiced', 'denied', 'known', 'read', 'advised', 'made_safe', 'found', 'closed', 'undone')),
    name TEXT NOT NULL, value REAL, word TEXT, undoes INTEGER UNIQUE REFERENCES call_event (id),
    entered INTEGER NOT NULL DEFAULT (unixepoch()),
    CHECK ((kind = 'undone') = (undoes IS NOT NULL))
) STRICT;
CREATE INDEX call_event_by_call ON call_event (call_id, id);

CREATE TRIGGER call_stays BEFORE UPDATE ON call BEGIN SELECT RAISE (ABORT, 'calls are added, never changed'); END;
CREATE TRIGGER call_kept BEFORE DELETE ON call BEGIN SELECT RAISE (ABORT, 'calls are added, never removed'); END;
CREATE TRIGGER call_event_stays BEFORE UPDATE ON call_event BEGIN SELECT RAISE (ABORT, 'calls are added, never changed'); END;
CREATE TRIGGER call_event_kept BEFORE DELETE ON call_event BEGIN SELECT RAISE (ABORT, 'calls are added, never removed'); END;
