"""Reads an iCalendar file with a library of its own and prints each entry as one line of JSON."""
import json
import sys

import icalendar

raw = open(sys.argv[1], "rb").read()
calendar = icalendar.Calendar.from_ical(raw)
assert calendar.name == "VCALENDAR" and str(calendar["VERSION"]) == "2.0" and str(calendar["PRODID"])
lines = raw.split(b"\r\n")
assert lines[-1] == b"" and not any(b"\n" in line or b"\r" in line for line in lines), "a line does not end with CR LF"
assert max(len(line) for line in lines) <= 75, "a line is longer than 75 octets"
raw.decode("utf-8")
for line in lines:
    line.decode("utf-8")  # no fold parts a character
for entry in calendar.walk("VEVENT"):
    assert entry["DTSTAMP"].dt.tzinfo is not None, "DTSTAMP is not in UTC"
    print(json.dumps({"uid": str(entry["UID"]), "start": str(entry["DTSTART"].dt), "end": str(entry["DTEND"].dt), "made": str(entry["DTSTAMP"].dt),
                      "title": str(entry["SUMMARY"]), "place": str(entry.get("LOCATION", "")), "words": str(entry.get("DESCRIPTION", ""))}))
