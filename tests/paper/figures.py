"""Figures on every document, as an independent reader of PDFs finds them, against those of the command that answers the same
question as JSON: figures.py PROGRAM TABLES. Units are converted here by their definitions, not by the program. TAP."""
import csv
import json
import os
import re
import subprocess
import sys
import tempfile

program, tables = sys.argv[1:3]
folder = tempfile.TemporaryDirectory()
book = os.path.join(folder.name, "f.book")
AT = ["--book", book, "--today", "2026-11-25"]
LB, GAL, INCH, PSI = 0.45359237, 3.785411784e-3, 0.0254, 6894.757293168
number = failed = 0


def check(holds, name, seen=""):
    global number, failed
    number += 1
    failed += not holds
    print(f"{'ok' if holds else 'not ok'} {number} - {name}")
    if not holds:
        print("# seen: " + str(seen)[:300].replace("\n", " "))


def run(*words):
    return subprocess.run([program, *words], check=True, capture_output=True, text=True).stdout


def ask(*words):
    return [json.loads(line) for line in run(*words, "--json", *AT).splitlines()]


def paper(*words):
    pdf = os.path.join(folder.name, "d.pdf")
    run(*words, "-o", pdf, *AT)
    text = subprocess.run(["pdftotext", "-raw", pdf, "-"], check=True, capture_output=True, text=True).stdout
    return re.sub(r"\s+", " ", text)


def rounds_to(printed, value):
    """Whether `value` may be printed so: within half of the last digit that was not rounded away."""
    bare = printed.replace(",", "").replace("$", "")
    if "." in bare:
        step = 10.0 ** -len(bare.split(".")[1])
    else:
        digits = bare.lstrip("-")
        step = 10.0 ** (len(digits) - len(digits.rstrip("0")) if digits.strip("0") else 0)
    return abs(float(bare) - value) <= 0.505 * step


FIGURE = r"(-?\$?[0-9][0-9,]*(?:\.[0-9]+)?)"


def figures(name, text, pattern, *values):
    """The figures that the pattern (F for each) finds are these values."""
    found = re.search(pattern.replace("#", FIGURE), text)
    holds = bool(found) and len(found.groups()) == len(values) and all(rounds_to(f, v) for f, v in zip(found.groups(), values))
    check(holds, name, (found.groups() if found else text[:200], values))


assert rounds_to("1.2", 1.24) and not rounds_to("1.2", 1.26) and rounds_to("$2,600", 2648.0) and not rounds_to("$2,640", 2648.0)

run("book", "new", book)
run("book", "import", tables, *AT)
HEATER = "Cooper Alley 2"

# ---- job sheet of a visit, turnover sheet, notice ----
plan, ahead = ask("visit", "plan", HEATER)[0], ask("ahead", HEATER)[0]
sheet = paper("sheet", HEATER)
out = plan["out_kg"]
figures("sheet: sediment out", sheet, r"sediment out, dry: # lb \(likely # to #\)", *(out[k] / LB for k in ("p50", "p10", "p90")))
figures("sheet: water used", sheet, r"water used: # gal", plan["water_L"]["p50"] * 1e-3 / GAL)
depth = next(e for e in plan["expected"] if e["quantity"] == "length")
figures("sheet: depth of the bed before and after", sheet, r"depth of the bed, mean of the spots: # to # in before, # to # in after",
        *(depth[w][p] / INCH for w in ("before", "after") for p in ("p10", "p90")))
refill = next(e for e in plan["expected"] if e["what"].startswith("water to refill"))
figures("sheet: water to refill", sheet, r"refill the drained tank: # to # gal", *(refill["after"][p] / GAL for p in ("p10", "p90")))
figures("sheet: hot water in one draw", sheet, r"from all hot: # gal", ahead["hot"]["first_draw_l"] * 1e-3 / GAL)
figures("sheet: time until it is hot", sheet, r"until it is hot: # min", 60.0 * ahead["hot"]["recovery_h"])
steps = [s for s in plan["steps"] if s["phase"] != "closing card"]
check(all(re.search(rf"\b{i + 1} (?:[A-Z][a-z ,]+\. )?{re.escape(s['words'][:25])}", sheet) for i, s in enumerate(steps)), "sheet: each step under its number",
      [s["words"] for i, s in enumerate(steps) if not re.search(rf"\b{i + 1} (?:[A-Z][a-z ,]+\. )?{re.escape(s['words'][:25])}", sheet)])
turn, turnover = ask("visit", "plan", HEATER, "--kind", "turnover")[0], paper("turnover", HEATER)
figures("turnover: hot water in one draw", turnover, r"from all hot: # gal", ahead["hot"]["first_draw_l"] * 1e-3 / GAL)
last = [s for s in turn["steps"] if s["phase"] != "closing card"]
check(f"{len(last)} {last[-1]['words'][:25]}" in turnover, "turnover: as many steps as its plan", len(last))
notice = paper("notice", HEATER, "--day", "2026-12-10")
figures("notice: hours without hot water", notice, r"Hot water is off for about # hours", float(re.search(r"about (\d+) hours", plan["notice"]).group(1)))
check(plan["minutes"] / 60.0 <= float(re.search(r"about (\d+) hours", notice).group(1)) < plan["minutes"] / 60.0 + 1.5, "notice: not shorter than the plan, and hardly longer", plan["minutes"])

# ---- job sheet of a call ----
run("call", "new", "Cooper Alley 11", "hot for five minutes, then cold", "--complaint", "runs_out", *AT)
call, sheet = ask("call", "show", "1")[0], paper("sheet", "Cooper Alley 11")
likely = re.findall(r"(\d+) in 100", re.search(r"It may be: (.*?)\. [JR]", sheet).group(1))
check(len(likely) >= 3 and all(rounds_to(f, 100.0 * c["probability"]) for f, c in zip(likely, call["faults"])), "call: odds of what it may be", likely)
figures("call: minutes of the next reading", sheet, r"Reading 1: [^.]*\(# min\)", call["next"]["minutes"])
odds = re.findall(r"\(((?:under )?\d+) in 100\):", re.search(r"Reading 1: (.*?)As read", sheet).group(1))
worth = [o["probability"] for o in call["next"]["outcomes"] if o["probability"] >= 0.005]
check(len(odds) == len(worth) and all("under" in f or rounds_to(f, 100.0 * p) for f, p in zip(odds, worth)), "call: odds of each result", (odds, worth))

# ---- house card and record ----
rows = {r["heater"]: r for r in csv.DictReader(run("book", "export", "heaters", *AT).splitlines())}
card, known = paper("card", HEATER), rows[HEATER]
figures("card: volume", card, r"\[volume_gal\] book: # gal", float(known["volume_gal"]))
figures("card: setpoint", card, r"\[setpoint_f\] book: # F", float(known["setpoint_f"]))
record = paper("record", "Cooper Alley 11")
weighed = [r for r in csv.DictReader(run("book", "export", "findings", *AT).splitlines()) if r["heater"] == "Cooper Alley 11" and r.get("dry_weight_lb")]
check(len(weighed) > 0, "record: there are weighings")
for r in weighed:
    figures(f"record: weighed on {r['day']}", record, rf"{r['day']} sediment taken out, weighed dry # lb", float(r["dry_weight_lb"]))

# ---- year plan ----
year, text = [r for r in ask("year") if r["kind"] == "heater"], paper("year", "paper")
cells = re.findall(rf"\$([0-9,]+) \(\$([0-9,]+) to \$([0-9,]+)\) \$([0-9,]+) \(\$([0-9,]+) to \$([0-9,]+)\)", text)
KEYS = [f"cost_{w}{p}_usd" for w in ("done", "left") for p in ("", "_p10", "_p90")]
check(len(cells) == len(year), "year: a row for each heater", (len(cells), len(year)))
wrong = [(c, [r[k] for k in KEYS]) for c, r in zip(cells, year) if not all(rounds_to(f, r[k]) for f, k in zip(c, KEYS))]
check(not wrong, "year: what is done and left costs what the command says, row by row", wrong[:2])
figures("year: heaters", text, r"You have # water heaters", len(year))

# ---- round sheet ----
lines = ask("rounds", "--seconds", "1")
first = min((r for r in lines if r["kind"] == "round"), key=lambda r: (r["day"], r["round"]))
text = paper("rounds", "sheet", "--seconds", "1")
figures("round: visits, hours and miles", text, r"# visits?, # hours, # mi", first["visits"], first["hours"], first["miles"])
begins = sorted(v["begin_min"] for v in lines if v["kind"] == "visit" and v["day"] == first["day"] and v["round"] == first["round"])
clocks = [int(h) % 12 * 60 + int(m) + (720 if half == "pm" else 0) for h, m, half in re.findall(r"(\d+):(\d\d) (am|pm)", text.split("Tenant", 1)[1])]
start = int(re.search(r"begin at (\d+):", text).group(1)) * 60
check(len(clocks) >= len(begins) and all(any(abs(start + b - c) <= 5.0 for c in clocks) for b in begins), "round: each stop at its time", (clocks, begins))

# ---- quote review ----
quote = ask("quote", HEATER, "--price", "1800")[0]
text = paper("quote", "paper", HEATER, "--price", "1800")
even = quote["break_even_range_usd"]
figures("quote: where it breaks even", text, r"breaks even at # \(# to #\)", even[1], even[0], even[2])
figures("quote: by how much", text, r"no, by about #;", -quote["by_usd"])
figures("quote: usual price", text, r"usually costs # to #;", quote["usual_usd"][0], quote["usual_usd"][2])
figures("quote: runs in which it is the better", text, r"better in # of 10 runs", 10.0 * quote["better_share"])

# ---- account ----
run("account", "add", HEATER, "paid=240.10", "to=a plumber", "for=relief valve", "day=2026-05-02", *AT)
run("account", "add", HEATER, "paid=17.35", "to=a store", "for=anode", "hours=1.5", "day=2026-06-02", *AT)
run("account", "add", "all", "paid=31.00", "to=a store", "for=hose", "miles=12.4", "day=2026-07-02", *AT)
money, text = ask("account", "2026")[0], paper("account", "paper", "2026")
total = text.split("All of 2026", 1)[1]
figures("account: paid", total, r"Paid #", money["all"]["cents"] / 100.0)
figures("account: miles", total, r"Miles #", money["all"]["tenth_miles"] / 10.0)
hours = re.search(r"hours and minutes (\d+):(\d\d)", total)
check(hours and int(hours[1]) * 60 + int(hours[2]) == money["all"]["minutes"], "account: own time", total[:120])
for mark in ("upkeep", "repaired", "replaced"):
    figures(f"account: {mark}", total, rf"\b{mark} #", money["all"][f"{mark}_cents"] / 100.0)
for house in money["houses"]:
    title = house["house"] or "For all houses"
    figures(f"account: {title}", text.split(title, 1)[1], r"together #", house["cents"] / 100.0)

print(f"1..{number}")
sys.exit(1 if failed else 0)
