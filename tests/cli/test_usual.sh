. tests/cli/lib.sh

# What the owner says of all his houses at once stands between a heater's own facts and the built-in default.
book="$tmp/u.book"
day="--today 2026-11-25"
run book new "$book"
printf 'house,street\nOwn 1,Own\nBare 2,Bare\n' >"$tmp/houses.csv"
printf 'heater,house,fuel,age,volume_gal,setpoint_f\nOwn 1,Own 1,electric,8,50,130\nBare 2,Bare 2,electric,8,50,\nGas 2,Bare 2,gas,8,40,\n' >"$tmp/heaters.csv"
run book import "$tmp/houses.csv" "$tmp/heaters.csv" --book "$book" $day
code_is 0 "two houses, of one nobody told the setpoint"
cp "$book" "$tmp/other.book"
figures() { "$tufa" ahead "$1" --json --book "$2" $day | jq -c '[.bed_kg, .bed_kg_by_year, .rate_kg_year, .hot_l_day, .energy_j_year, .options, .hot] | map(select(. != null))'; }
figures "Bare 2" "$book" >"$tmp/bare"
figures "Own 1" "$book" >"$tmp/own"
true_that "there are figures to compare" sh -c "test \$(wc -c <'$tmp/bare') -gt 200"

run set usual electric_setpoint 140 --book "$book" $day
code_is 0 "a setpoint for all of whom none is known"
out_has "140 F; before: 125 F .*the default" "what was taken before is told"
out_has "Legionella" "a setpoint keeps its caution"
figures "Bare 2" "$book" >"$tmp/usual"
"$tufa" set "Bare 2" setpoint 140 --book "$tmp/other.book" $day >"$tmp/out"
figures "Bare 2" "$tmp/other.book" >"$tmp/alone"
true_that "the forecast moves" sh -c "! cmp -s '$tmp/bare' '$tmp/usual'"
true_that "to what the same said of this heater gives" cmp "$tmp/alone" "$tmp/usual"
figures "Own 1" "$book" >"$tmp/own2"
true_that "a heater's own fact comes first" cmp "$tmp/own" "$tmp/own2"
run ahead "Bare 2" --book "$book" $day
out_has "your own default, tufa set" "the view ahead says whose default it was"
run ahead "Gas 2" --book "$book" $day
true_that "a gas heater keeps its own" sh -c "! grep -q 'your own default' '$tmp/out'"

run set usual electric_setpoint '?' --book "$book" $day
out_has "125 F" "a question mark sets it back"
figures "Bare 2" "$book" >"$tmp/back"
true_that "and the forecast with it" cmp "$tmp/bare" "$tmp/back"

# People and cold water go the same way.
"$tufa" set usual people 5 --book "$book" $day >"$tmp/out"
"$tufa" set "Bare 2" people 5 --book "$tmp/other.book" $day >"$tmp/out"
"$tufa" set "Bare 2" setpoint '?' --book "$tmp/other.book" $day >"$tmp/out"
figures "Bare 2" "$book" >"$tmp/usual"
figures "Bare 2" "$tmp/other.book" >"$tmp/alone"
true_that "people usual here are those of a household of which nobody told" cmp "$tmp/alone" "$tmp/usual"
"$tufa" set usual cold_water 60 --book "$book" $day >"$tmp/out"
"$tufa" set "Bare 2" cold_water 60 --book "$tmp/other.book" $day >"$tmp/out"
figures "Bare 2" "$book" >"$tmp/usual"
figures "Bare 2" "$tmp/other.book" >"$tmp/alone"
true_that "and so with cold water" cmp "$tmp/alone" "$tmp/usual"

run book export prices --book "$book" $day
out_has "^usual_people,5,2026-11-25,tufa set" "exported with day and source"
cp "$tmp/out" "$tmp/prices.csv"
run book import "$tmp/prices.csv" --book "$tmp/other.book" $day
code_is 0 "and imported"

run set usual electric_setpoint 300 --book "$book" $day
fails "300 F is refused"
err_has "86 to 194 F" "with what is allowed"
run set usual gas_volume "a lot" --book "$book" $day
fails "words are no volume"
run set usual anode_colour 3 --book "$book" $day
fails "nothing of that name is usual"
done_testing
