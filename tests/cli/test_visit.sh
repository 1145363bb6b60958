. tests/cli/lib.sh
book="$tmp/v.book"
printf 'house,street\nElm 4,Elm\n' >"$tmp/houses.csv"
printf 'heater,house,fuel,age,volume_gal\nElm 4 heater,Elm 4,electric,8,50\nElm 4 gas,Elm 4,gas,6,40\n' >"$tmp/heaters.csv"
run book new "$book"
run book import houses "$tmp/houses.csv" --book "$book"
run book import heaters "$tmp/heaters.csv" --book "$book"
code_is 0 "a small book"

run visit plan "Elm 4 heater" --method M4 --book "$book" --today 2026-03-01
code_is 0 "a visit is planned"
out_has "prove dead" "proof of dead is in it"
out_has "1-1/2 in" "socket sizes are named"
out_has "3/4-11.5NH" "thread sizes are named"
out_has "To the household" "the notice is there"
out_has "Closing card" "the closing card is there"
cp "$tmp/out" "$tmp/plan"
true_that "isolation stands before opening" awk '/^isolate/ {i=NR} /^prove dead/ {p=NR} /^open/ {o=NR} END {exit !(i && i < p && p < o)}' "$tmp/plan"
run visit plan "Elm 4 gas" --method flush --book "$book" --today 2026-03-01
out_has "Gas control to off" "gas is shut first"
out_has "Relight as its label" "and lit by the label"
out_has "smoke at the draft hood" "with a spill test"
run visit plan "Elm 4 heater" --kind turnover --book "$book" --today 2026-03-01
out_has "Mark both dials" "a turnover marks the dials"
run visit plan "Elm 4 gas" --kind standing --book "$book" --today 2026-03-01
out_has "before any flame" "hydrogen first"
out_has "without spray" "then the hot flush"
run visit plan "Elm 4 heater" --json --book "$book" --today 2026-03-01
out_has '"steps":\[' "the plan as JSON"
out_has '"expected":\[{' "what meters and rods should read is in it"
out_has '"notice":"To the household at Elm 4. On ________ between ________ and ________' "what nobody said is a blank in the notice"

run set owner "A. Owner" --book "$book" --today 2026-03-01
run set phone "555 0100" --book "$book" --today 2026-03-01
run visit plan "Elm 4 heater" --method M4 --day 2026-03-12 --from 9 --book "$book" --today 2026-03-01
code_is 0 "a visit on a day"
true_that "the notice has day, hours, owner and telephone" awk '/^Notice/ {n=1} n {all = all " " $0} END {gsub(/ +/, " ", all); exit !(all ~ /On Thursday, March 12, 2026 between 9:00 am and [0-9]+:[03]0 [ap]m/ && all ~ /A. Owner, 555 0100/)}' "$tmp/out"
true_that "what to expect before and after" grep -q "in before, .* after the work" "$tmp/out"
true_that "ohms follow from the plate" grep -q "ohms" "$tmp/out"
run visit plan "Elm 4 heater" --day 2026-02-12 --book "$book" --today 2026-03-01
fails "a day that is past is refused"
err_has "day" "by its name"
run visit plan "Elm 4 heater" --day soon --book "$book" --today 2026-03-01
fails "a word for a day is refused"
run visit plan "Elm 4 heater" --from 25 --book "$book" --today 2026-03-01
fails "an hour that is none is refused"
err_has "from" "by its name"
run visit plan "Elm 4 heater" --from "2 pm" --until "1 pm" --book "$book" --today 2026-03-01
fails "an end before the beginning is refused"
printf 'heater,house,fuel,age,volume_gal\nElm 4 old,Elm 4,gas,22,40\n' >"$tmp/old.csv"
run book import heaters "$tmp/old.csv" --book "$book"
run visit plan "Elm 4 old" --book "$book" --today 2026-03-01
out_has "No cleaning is advised here" "a worn tank is better left alone, and the plan says so first"
run visit plan "Elm 4 gas" --method vacuum --book "$book" --today 2026-03-01
fails "a method that cannot work is refused"
err_has "no element hole" "with its reason"
run visit plan "Elm 4 heater" --method magic --book "$book" --today 2026-03-01
fails "an unknown method is refused"
run visit plan "Elm 4 heater" --kind party --book "$book" --today 2026-03-01
fails "an unknown kind is refused"
run visit plan "Oak 9" --book "$book" --today 2026-03-01
fails "an unknown heater is refused"
run visit plan
fails "a plan needs its heater"

run visit stock gasket=4 element=2 --book "$book" --today 2026-03-01
out_has "gasket: 4" "stock is counted in"
run visit record "Elm 4 heater" method=vacuum minutes=95 dry_weight=6.2 slurry="1 gal" probe=0.2,0.3,0.2,0.1,0.2 refill=49.2 baseline=yes parts=gasket:1,element:1 photo=p1.jpg by=owner --book "$book" --today 2026-03-02
code_is 0 "a visit is recorded"
out_has "6.2 lb" "what was kept is told"
out_has "Closing card" "it ends with the closing card"
run visit stock --book "$book" --today 2026-03-02
out_has "gasket: 3" "parts used reduce the stock"
out_has "element: 1" "each of them"
run visit show "Elm 4 heater" --book "$book" --today 2026-03-03
out_has "picture: p1.jpg" "the picture comes back"
out_has "five spots\|5 spots" "the spots of the probe stand together"
out_has "used: 1 of gasket" "and the parts"
run visit show "Elm 4 heater" --json --book "$book" --today 2026-03-03
out_has '"photos":\["p1.jpg"\]' "the picture as JSON"
run visit show "Elm 4 gas" --book "$book" --today 2026-03-03
out_has "no visit" "a heater nobody was at says so"
run visit show "Oak 9" --book "$book" --today 2026-03-03
fails "an unknown heater has no visits"
run visit record "Elm 4 gas" day=2026-02-20 minutes=10 --book "$book" --today 2026-03-02
code_is 0 "an earlier day may be said"
out_has "2026-02-20" "and is kept"
run visit record "Elm 4 gas" day=2026-03-20 minutes=10 --book "$book" --today 2026-03-02
fails "a day to come is refused"
run clean --heater "Elm 4 heater" --json --book "$book" --today 2026-03-02
cp "$tmp/out" "$tmp/before_sieve"
run visit record "Elm 4 heater" over_4mm=0 over_2mm=1 over_1mm=4 lumps=0 --book "$book" --today 2026-03-02
code_is 0 "a sample over kitchen sieves is kept"
run clean --heater "Elm 4 heater" --json --book "$book" --today 2026-03-03
first_share() { grep -o '"method":"flush".*' "$1" | grep -o '"out_kg":{"p10":[^,]*,"p50":[0-9.]*' | head -1 | sed 's/.*p50"://'; }
true_that "a fine sample makes a plain flush take more" awk -v a="$(first_share "$tmp/before_sieve")" -v b="$(first_share "$tmp/out")" 'BEGIN {exit !(b > 1.2 * a)}'
run visit record "Elm 4 heater" over_4mm=60 over_2mm=30 over_1mm=20 --book "$book" --today 2026-03-02
fails "more on the sieves than the sample is refused"
run visit record "Elm 4 heater" pressure=72 flowing="about 50" bucket=6 drain_bore=1/2 drain_pattern=ball rusted=no ohm_lower=12.8 by=owner --book "$book" --today 2026-03-05
code_is 0 "what is measured for good is kept with the visit"
out_has "72 psi" "pressure"
out_has "full port" "kind of valve"
out_has "12.8 ohms" "ohms of the element"
run clean --heater "Elm 4 heater" --json --book "$book" --today 2026-03-05
cp "$tmp/out" "$tmp/measured"
run ahead "Elm 4 heater" --json --book "$book" --today 2026-03-05
code_is 0 "the forecast takes the book as it is then"
run visit record "Elm 4 heater" pressure=900 --book "$book" --today 2026-03-05
fails "a pressure that no house has is refused"
run visit record "Elm 4 heater" drain_pattern=spiral --book "$book" --today 2026-03-05
fails "a valve that nobody makes is refused"
err_has "globe" "with those there are"
run visit record "Elm 4 gas" spill=1 co=0 tub=118 --book "$book" --today 2026-03-05
code_is 0 "spill and CO of a gas heater are kept"
run visit record "Elm 4 heater" dry_wieght=6 --book "$book" --today 2026-03-02
fails "a misspelt key is refused"
err_has "did you mean dry_weight" "and the nearest offered"
run visit record "Elm 4 heater" probe=1,2 --book "$book" --today 2026-03-02
fails "a probe needs five spots"
run visit record "Elm 4 heater" dry_weight=6 parts=gasket:x --book "$book" --today 2026-03-02
fails "a wrong part refuses all"
run visit record "Elm 4 heater" heat_kwh=7.5 --book "$book" --today 2026-03-02
fails "half a heat-up is refused"
run visit record "Elm 4 heater" --book "$book" --today 2026-03-02
fails "nothing to record is told"
run visit stock gasket=-1 --book "$book" --today 2026-03-02
fails "negative stock is refused"
# One figure for the time of a cleaning: the plan of its visit, the decisions, and the method's own minutes with what stands around it.
printf 'house,fuel,age,volume_gal\nElm 9,electric,14,50\n' >"$tmp/nine.csv"
printf 'heater,day,depth\nElm 9,2026-02-01,3\n' >"$tmp/found.csv"
run book new --book "$tmp/nine.book"
run book import heaters "$tmp/nine.csv" --book "$tmp/nine.book" --today 2026-03-02
run book import findings "$tmp/found.csv" --book "$tmp/nine.book" --today 2026-03-02
run visit plan "Elm 9" --json --book "$tmp/nine.book" --today 2026-03-02
cp "$tmp/out" "$tmp/plan"
run ahead "Elm 9" --json --book "$tmp/nine.book" --today 2026-03-02
cp "$tmp/out" "$tmp/ahead"
run clean --heater "Elm 9" --json --book "$tmp/nine.book" --today 2026-03-02
cp "$tmp/out" "$tmp/clean"
true_that "the plan and the decisions count the same hours" test "$(jq -n --slurpfile p "$tmp/plan" --slurpfile a "$tmp/ahead" '($p[0].minutes / 60 - $a[0].cleaning.deep.hours[1]) | fabs < 1e-6')" = true
true_that "of which the method takes what is told of it" test "$(jq -n --slurpfile p "$tmp/plan" --slurpfile c "$tmp/clean" '[$c[0].methods[] | .onsite_min.p50] | any(. - $p[0].work_minutes | fabs < 1e-4)')" = true

run book check --book "$book"
code_is 0 "the book is whole"
done_testing
