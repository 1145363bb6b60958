# What holds is what was said of the latest day, whatever was written down last; and a correction always counts.
. tests/cli/lib.sh
book=$tmp/t.book
day="--today 2026-11-25"
b() { run "$@" --book "$book"; }
now() { sqlite3 "$book" "SELECT round(mid, 6), word, said_on FROM heater_now WHERE field = '$1'" >"$tmp/out"; }

printf 'water,kind,hardness gpg,date\nmain,main,22,2026-03-01\n' >"$tmp/waters.csv"
printf 'house,water\nElm Court 2,main\n' >"$tmp/houses.csv"
printf 'house,fuel,age,volume gal,said_on\nElm Court 2,electric,8,50,2026-05-01\n' >"$tmp/heaters.csv"
b book new
b book import "$tmp" $day
code_is 0 "a book of one heater"

# A visit of last year is written down after this year's.
b visit record "Elm Court 2" day=2026-06-01 drain_bore="3/4 in" relief_works=yes $day
b visit record "Elm Court 2" day=2025-06-01 drain_bore="1/2 in" relief_works=no $day
code_is 0 "an older visit is written down later"
out_has "clear width inside the drain valve: 0.5 in then; what counts is what was said on 2026-06-01: 0.75 in" "the reader is told which of the two counts"
now drain_bore_m
out_has "^0.01905||2026-06-01$" "the newer reading stands"
now relief_works
out_has "|yes|2026-06-01$" "and the newer word"
b visit record "Elm Court 2" day=2024-06-01 baseline=yes refill=47 $day
b visit record "Elm Court 2" day=2023-06-01 baseline=yes refill=40 $day
now baseline_m3
out_has "2024-06-01$" "clean readings go by their day too"
b visit record "Elm Court 2" day=2026-09-01 drain_bore="3/4 in" $day
b visit record "Elm Court 2" day=2026-07-01 drain_bore="5/8 in" $day
now drain_bore_m
out_has "^0.01905||2026-09-01$" "a reading that confirms one is a newer one"

# So with tables.
printf 'house,heater,volume gal,setpoint F,said_on\nElm Court 2,Elm Court 2,40,120,2024-01-01\n' >"$tmp/old.csv"
b book import heaters "$tmp/old.csv" $day
out_has "volume 40 gal at that time; what counts is 50 gal of 2026-05-01" "an older row is kept for its own time"
out_has "1 changed" "and counted"
b book import heaters "$tmp/old.csv" $day
out_has "1 as before" "the same again adds nothing"
now volume_m3
out_has "^0.189271||2026-05-01$" "the newer volume stands"
now setpoint_K
out_has "2024-01-01$" "what nobody said since holds"
printf 'house,heater,volume gal,said_on\nElm Court 2,Elm Court 2,52,2026-05-01\n' >"$tmp/same.csv"
b book import heaters "$tmp/same.csv" $day
out_has "volume 50 gal -> 52 gal" "of the same day the last word is a correction"
now volume_m3
out_has "^0.196841||2026-05-01$" "which counts"
printf 'water,kind,hardness gpg,date\nmain,main,9,2020-03-01\n' >"$tmp/w.csv"
b book import waters "$tmp/w.csv" $day
out_has "a new one at that time; what counts is the sheet of 2026-03-01" "an old sheet does not push a newer one aside"
b book import waters "$tmp/w.csv" $day
out_has "1 as before" "nor is it added twice"
printf 'item,value,day\nelectricity,0.30,2026-05-01\n' >"$tmp/p1.csv"
printf 'item,value,day\nelectricity,0.10,2021-05-01\n' >"$tmp/p2.csv"
b book import prices "$tmp/p1.csv" $day
b book import prices "$tmp/p2.csv" $day
out_has "what counts is .*0.3.* of 2026-05-01" "so with prices"
b book export prices $day
out_has "^electricity_usd_kwh,0.3" "which are given as they stand"

# What is corrected now counts now, though the book has something of a day to come (a clock that was wrong).
b set Elm Court 2 volume 80 --today 2031-01-01
b set Elm Court 2 volume 48 $day
out_has "volume: 48 gal; before: 80 gal (tufa set, 2031-01-01)" "a correction takes back what bears a later day"
now volume_m3
out_has "^0.1817||2026-11-25$" "and counts"
b set price electricity 0.20 --today 2031-01-01
b set price electricity 0.17 $day
out_has '0.17; before: \$0.2' "so it is with prices"
b set units metric --today 2031-01-01
b set units us $day
sqlite3 "$book" "SELECT count(*) FROM setting" >"$tmp/out"
out_has "^2$" "both words stay"
b book export settings $day
out_has "^units,us" "and the last one counts"
b book check
code_is 0 "the book is whole"

# Out and in again.
facts() { sqlite3 "$1" "SELECT heater, field, round(mid, 6), round(lo, 6), round(hi, 6), basis, word FROM heater_now ORDER BY 1, 2"; }
b book export "$tmp/x1" $day
run book new --book "$tmp/u.book"
run book import "$tmp/x1" --book "$tmp/u.book" $day
facts "$book" >"$tmp/f1"
facts "$tmp/u.book" >"$tmp/f2"
true_that "what stands goes out and comes in the same" diff "$tmp/f1" "$tmp/f2"
b book import "$tmp/x1" $day
out_has "0 new, 0 changed" "and says nothing new to the book that it came from"
b ahead Elm Court 2 $day
out_has "48 gal" "the forecast takes what stands"
done_testing
