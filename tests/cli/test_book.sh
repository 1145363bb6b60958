# The book from new to export and back, and one thing corrected.
. tests/cli/lib.sh
book=$tmp/t.book
day="--today 2026-11-25"
b() { run "$@" --book "$book"; }
dump() { sqlite3 "$1" .dump | grep -v '^PRAGMA'; }

cat >"$tmp/waters.csv" <<'CSV'
Water,Kind,pH,Ca (mg/L),Alkalinity mg/L as CaCO3,Hardness (gpg),Lab,Date
North main,main,7.9,79,200..240,,Invented lab,2025-03-01
Ridge well,well,,,,about 25,,
CSV
cat >"$tmp/houses.csv" <<'CSV'
House,Street,Water,Pressure (psi)
Linden Row 5,Linden Row,North main,about 55
Linden Row 9,Linden Row,north  MAIN,?
CSV
cat >"$tmp/heaters.csv" <<'CSV'
house;heater;fuel;age;tank size gal;setpoint F;note
Linden Row 5;;electric;about 10;50;125;"one; with ""quotes"" and, commas"
Linden Row 9;Linden Row 9 up;natural gas;2015..2019;40;?;
Linden Row 9;Linden Row 9 down;Electric;2012-06;between 40 and 50;120..130;
Orchard Bend 1;;propane;?;;;made with its heater
CSV
cat >"$tmp/households.csv" <<'CSV'
house,heater,since,people,hot water gal/day
Linden Row 5,,2022-01-01,3,
Linden Row 9,Linden Row 9 up,6/30/2023,about 4,60..90
CSV
cat >"$tmp/findings.csv" <<'CSV'
heater,day,dry weight lb,depth in,slurry gal,refill gal,note
Linden Row 5,2026-05-02,about 2.5,1 1/2,0.4,48,milky
Linden Row 9 up,2026-05-03,,2..3,,,
CSV
cat >"$tmp/visits.csv" <<'CSV'
heater,day,work,minutes,cost
Linden Row 5,2026-05-02,flushed,90,$12.50
Linden Row 9 down,2026-05-03,lower element,1.5 h,about 18
CSV
printf 'item,value\nelectricity,16 cents\ngas_usd_therm,1.1..1.5\ndiscount,4 %%\n' >"$tmp/prices.csv"
printf 'setting,value\nunits,US\n' >"$tmp/settings.csv"

b book
code_is 2 "without a book there is nothing to look at"
b book new
code_is 0 "a new book is made"
true_that "it is an SQLite file that other tools read" sqlite3 "$book" "SELECT count(*) FROM heater_now"
b book new
fails "a book that is there is not replaced"
b book import "$tmp" --dry-run $day
code_is 0 "a dry run goes through"
out_has "A dry run: nothing was kept" "and says that it kept nothing"
b book
out_has "0 waters, 0 houses, 0 heaters" "nor did it"
b book import "$tmp" $day
code_is 0 "a folder of tables is taken"
out_has "18 new, 0 changed, 0 as before, 0 refused" "each row is counted"
out_has "line 3 .*new .*Linden Row 9 up" "each row has its line"
b book import "$tmp" $day
out_has "0 new, 0 changed, 18 as before, 0 refused" "the same again changes nothing"
b book
out_has "2 waters, 3 houses, 4 heaters" "the book counts what is in it"

# Values in SI, with their spread and their source.
q() { sqlite3 "$book" "$1" >"$tmp/out" 2>"$tmp/err"; }
q "SELECT round(mid/0.003785411784, 6), basis, source FROM heater_now WHERE heater = 'Linden Row 9 down' AND field = 'volume_m3'"
out_has "^45.0|range|heaters.csv$" "a range is kept as its middle and ends"
q "SELECT round(lo*1.8 - 459.67, 6), round(hi*1.8 - 459.67, 6) FROM heater_now WHERE heater = 'Linden Row 9 down' AND field = 'setpoint_K'"
out_has "^120.0|130.0$" "temperatures are kept in kelvin"
q "SELECT date(mid*86400, 'unixepoch') FROM heater_now WHERE heater = 'Linden Row 5' AND field = 'installed_day'"
out_has "^2016-11-25$" "an age is kept as the day of installing"
q "SELECT said_on, source FROM house_now WHERE house = 'Linden Row 9' AND field = 'water'"
out_has "^2026-11-25|houses.csv$" "every fact has its day and source"

# Out and back in.
b book export "$tmp/out1" $day
code_is 0 "all tables are given"
run book new --book "$tmp/u.book"
run book import "$tmp/out1" --book "$tmp/u.book" $day
code_is 0 "and taken again"
run book export "$tmp/out2" --book "$tmp/u.book" $day
true_that "what was given, taken and given again is the same" diff -r "$tmp/out1" "$tmp/out2"
facts() { sqlite3 "$1" "SELECT heater, field, round(mid, 9), round(lo, 9), round(hi, 9), basis, word, water FROM heater_now ORDER BY 1, 2"; }
facts "$book" >"$tmp/f1"
facts "$tmp/u.book" >"$tmp/f2"
true_that "the facts of both books are alike" diff "$tmp/f1" "$tmp/f2"
run set units metric --book "$tmp/u.book" $day
run book export "$tmp/out3" --book "$tmp/u.book" $day
true_that "a metric book gives its tables in metric units" grep -q "volume_l,setpoint_c" "$tmp/out3/heaters.csv"
run book new --book "$tmp/v.book"
run book import "$tmp/out3" --book "$tmp/v.book" $day
facts "$tmp/v.book" >"$tmp/f3"
true_that "which mean the same" diff "$tmp/f1" "$tmp/f3"
b book export heaters --blank
out_has "^house,heater,fuel,installed,volume_gal,setpoint_f" "a blank form has the columns with their units"
b book export heaters "$tmp/out1/heaters.csv"
fails "export replaces nothing"

# A correction.
b set "Linden Row 5" age "about 12" $day
code_is 0 "one thing is corrected"
out_has "2014.*before: 2016.*heaters.csv, 2026-11-25.*stays in the book" "and what was said before is told"
out_has "What that changed" "and what that changed"
out_has "  trouble: .* (before: .*)" "such as when trouble comes"
q "SELECT count(*) FROM heater_fact WHERE field = 'installed_day' AND heater_id = 1"
out_has "^2$" "both stay in the book"
b set Linden Row 5 age "about 12" $day
out_has "says so already" "the same again adds nothing"
b set Linden age 3 $day
fails "a name that several have is not taken"
err_has "Linden Row 9 up" "and they are listed"
b set 1 volume "66 gal" $day
out_has "Linden Row 5 volume: 66 gal" "a number names a heater as well"
b set "Linden Row 5" people "between 2 and 5" $day
out_has "people: 3.5 (likely 2 to 5); before: 3" "so are the people of its house"
b set "Linden Row 5" pressure "60 psi" $day
out_has "pressure: 60 psi; before: 55 psi" "and its house"
b set "Linden Row 5" hardness "about 20" $day
code_is 0 "and what is known of its water"
out_has "in the plan\|nothing of what is proposed" "with what that means for all on that water"
b set "Linden Row 5" place attic $day
out_has "if left alone, over the coming years: .* (before: " "an attic's ceiling makes a leak dear"
b set "Linden Row 5" notice_days 3 $day
out_has "changes nothing in its forecast" "some corrections change nothing"
b set "Linden Row 5" setpoint "about 140 F" --json $day
out_has '"field":"setpoint".*"changed":\[{"what":' "the answer comes as JSON too"
b set "Linden Row 5" setpoint 125 $day
out_has "Legionella.*" "a setpoint carries its caution"
out_has "scalds" "of both kinds"
b set "Linden Row 5" setpont 120 $day
err_has "did you mean setpoint" "the nearest field is offered"
b set "Linden Row 5" volume 4000 $day
code_is 2 "what cannot be is refused"
err_has 'volume "4000".*2 to 500 gal' "with field, value and what is allowed"
b set price electricity "17 cents" $day
out_has '0.17; before: \$0.16' "a price is changed"
b set price life_electric 14 $day
code_is 0 "so is a life"
b set units furlongs
err_has "us or metric" "settings know their values"
b set "Linden Row 5" taken_out 2026-11-20 $day
code_is 0 "a heater is taken out"
printf 'house,heater,fuel\nLinden Row 5,Linden Row 5,electric\n' >"$tmp/next.csv"
b book import heaters "$tmp/next.csv" $day
out_has "1 new" "and its name is free for the next one"
q "SELECT count(*) FROM heater WHERE label = 'Linden Row 5 (out 2026-11-20)'"
out_has "^1$" "while it keeps its own history"

# The demo district: every kind of table out and back in.
for k in 1 2; do run book new --book "$tmp/demo$k.book"; done
run book import examples/demo --book "$tmp/demo1.book" $day
code_is 0 "the demo district is taken"
run book export "$tmp/demo-out1" --book "$tmp/demo1.book" $day
run book import "$tmp/demo-out1" --book "$tmp/demo2.book" $day
run book export "$tmp/demo-out2" --book "$tmp/demo2.book" $day
true_that "and comes back the same by way of its tables" diff -r "$tmp/demo-out1" "$tmp/demo-out2"

b book backup "$tmp/copy.book"
code_is 0 "a copy is made"
run book --book "$tmp/copy.book"
out_has "The book is whole" "which is a book"
dump "$book" >"$tmp/d1"
dump "$tmp/copy.book" >"$tmp/d2"
true_that "with the same in it" cmp "$tmp/d1" "$tmp/d2"
b book backup "$tmp/copy.book"
fails "a copy replaces nothing"
b book import "$tmp/houses.csv" --json $day
out_has '"kept":true.*"as_before":1' "the report comes as JSON too"
printf 'house,fuel\nBack Lane 2,electric\n' | "$tufa" book import heaters - --book "$book" $day >"$tmp/out" 2>"$tmp/err"
code=$?
out_has "1 new" "standard input is taken"
b book chek
err_has "did you mean .tufa book check" "the nearest command is offered"
done_testing
