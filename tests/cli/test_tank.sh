. tests/cli/lib.sh
one() { printf '%s\n' "$1" >"$tmp/case.json"; run tank "$tmp/case.json" --json; }
says() { if jq -e "$1" "$tmp/out" >/dev/null 2>&1; then say_result ok "$2"; else echo "# not true: $1"; say_result fail "$2"; fi; }
refuses() { one "$1"; code_is 2 "refused: $3"; err_has "$2" "the message names it: $3"; true_that "nothing is printed: $3" test ! -s "$tmp/out"; }

# A day of the reference tank: keys, energy, nulls.
day='"pattern":"medium","mixing_l":0,"density_kg_m3":987,"heat_capacity_j_kg_k":4182'
one "{\"id\":\"day\",$day}"
code_is 0 "a case is simulated"
for key in id in_kwh delivered_kwh lost_kwh stored_kwh balance_j min_outlet_c max_outlet_c mean_outlet_c litres_above_40c \
    first_cutout_min first_full_cutout_min lower_on_min upper_on_min limit_trip_min relief_l growth_hours; do
    says "has(\"$key\")" "the result has $key"
done
says '.id == "day" and .limit_trip_min == null and .relief_l == 0 and (has("series") | not)' "what did not happen is null"
says '(.in_kwh - .delivered_kwh - .lost_kwh - .stored_kwh | fabs) < 1e-6 * .in_kwh' "energy closes to 1e-6"
says '(.in_kwh - 9.0412 | fabs) < 0.18 and (.min_outlet_c - 51.47 | fabs) < 0.7' "as the reference program has it"
run tank "$tmp/case.json" --json --series
says '(.series | length) == 1441 and (.series[3].outlet_c - 51.99 | fabs) < 0.7' "the series has every minute"

# Many at once keep their order; an array and a pretty-printed object are read alike.
i=0; while [ $i -lt 300 ]; do echo "{\"id\":\"t$i\",\"volume_l\":$((100 + i)),\"pattern\":\"low\"}"; i=$((i + 1)); done >"$tmp/many.json"
"$tufa" tank - --json <"$tmp/many.json" >"$tmp/many.out" 2>"$tmp/err"; code=$?
code_is 0 "300 cases from standard input"
true_that "one line a case, in order" sh -c "test \"\$(jq -r .id '$tmp/many.out' | tr '\n' ' ' | cut -c1-12)\" = 't0 t1 t2 t3 ' && test \"\$(wc -l <'$tmp/many.out')\" = 300"
jq -s . "$tmp/many.json" >"$tmp/array.json"
"$tufa" tank "$tmp/array.json" --json >"$tmp/out2" 2>"$tmp/err"
true_that "a list gives the same" cmp "$tmp/many.out" "$tmp/out2"
head -1 "$tmp/many.json" | jq . >"$tmp/pretty.json"
"$tufa" tank "$tmp/pretty.json" --json >"$tmp/out2" 2>"$tmp/err"
true_that "an object over several lines gives the same" sh -c "head -1 '$tmp/many.out' | cmp - '$tmp/out2'"

# Faults, several at once.
one '{"changes":["lower_thermostat_stuck_on"],"hours":24}'
says '.limit_trip_min > 60 and .relief_l == 0' "a stuck thermostat trips the limit"
one '{"changes":["lower_thermostat_stuck_on","limit_welded"],"hours":24}'
says '.limit_trip_min == null and .relief_l > 100' "with a welded limit the relief valve lets out"
one '{"changes":[{"id":"lower_element_earthed","size":1,"fault_ohm":0}],"hours":8}'
says '(.in_kwh - 1.125 * 5.96 | fabs) < 0.3 and .lower_on_min == 0 and .limit_trip_min > 300' "a grounded element heats without being asked"
one '{"pattern":"medium","changes":[{"id":"hot_drip","size":1},{"id":"bed","size":30}]}'
says '(.more.drip_kwh - 1.05 | fabs) < 0.1' "a litre an hour of hot drip is 1.05 kWh a day"
one '{"fuel":"gas","pattern":"medium","changes":["upper_element_open"]}'
code_is 0 "a change that a gas tank cannot have does nothing"

# Words.
printf '{"fuel":"gas","bed_l":6,"pattern":"high","changes":["insulation_wet"]}' >"$tmp/case.json"
run tank "$tmp/case.json"
code_is 0 "words instead of JSON"
out_has "insulation wet" "it says what is wrong"
out_has "first-hour rating" "it says what the tank can give"
out_has "bed$\|bed |" "the bed is in the drawing"
out_has "burner" "the burner is in the drawing"
cp "$tmp/out" "$tmp/words"
true_that "tufa never says safe" sh -c "! grep -qiw safe '$tmp/words'"

# Refusals, each by name.
refuses '{"volume":190}' 'volume_l' "an unknown key, with the nearest"
refuses '{"volume_l":-5}' 'volume_l.*-5' "a number out of range"
refuses '{"volume_l":"big"}' 'volume_l.*big' "a text where a number belongs"
refuses '{"pattern":"mediun"}' 'medium' "an unknown pattern"
refuses '{"changes":["dip_tube_los"]}' 'dip_tube_lost' "an unknown change"
refuses '{"changes":[{"id":"bed","size":5000}]}' 'size.*5000' "a size out of range"
refuses '{"changes":[{"id":"limit_open","size":1}]}' 'size' "a size for a change that has none"
refuses '{"draws":[{"start_min":0}]}' 'litres' "a draw without litres"
refuses '{"draws":[{"start_min":0,"liters":5}]}' 'liters' "an unknown key in a draw"
refuses '{"draws":[],"pattern":"low"}' 'draws' "draws and a pattern together"
refuses '{"density_kg_m3":987}' 'density' "density without heat capacity"
refuses '{"upper_height_m":3}' 'upper_height_m' "an element above the tank"
refuses '{"bed_l":180}' 'bed' "a bed that leaves no water"
refuses '{"id":"a","id":"b"}' 'duplicate' "a key twice"
refuses '{"hours":1e9}' 'hours' "too many hours"
refuses '[1,2]' 'object' "a list of numbers"
refuses '{"volume_l":190' 'never closed' "JSON that ends too soon"
refuses '' 'no case' "an empty file"
run tank /no/such/file --json
fails "a file that is not there"
printf '{"id":"good"}\n{"id":"bad","hour":1}\n{"id":"last"}\n' >"$tmp/case.json"
run tank "$tmp/case.json" --json
code_is 2 "one bad case among good ones is told"
cp "$tmp/out" "$tmp/good.out"
true_that "and the others are answered" sh -c "test \"\$(jq -r .id '$tmp/good.out' | tr '\n' ' ')\" = 'good last '"

# From the book.
mkdir "$tmp/b"
printf 'label,hardness_mg_l\nNorth,400\n' >"$tmp/b/waters.csv"
printf 'house,water\nLane 1,North\n' >"$tmp/b/houses.csv"
printf 'heater,house,fuel,installed,volume_gal\nLane 1,Lane 1,electric,2012,50\nLane 1 rear,Lane 1,gas,2016,40\n' >"$tmp/b/heaters.csv"
run book new "$tmp/t.book"
run book import "$tmp/b" --book "$tmp/t.book"
code_is 0 "a small book"
run tank --heater "Lane 1" --book "$tmp/t.book" --today 2026-02-10 --json --rating
says '.id == "Lane 1" and .in_kwh > 5 and .in_kwh < 20 and (.balance_j | fabs) < 1' "a heater of the book with its bed"
run tank --heater "Lane 1 rear" --book "$tmp/t.book"
out_has "Bottom plate" "in words"
run tank --heater "Lane 9" --book "$tmp/t.book"
fails "a heater that the book does not know"
run ahead "Lane 1" --book "$tmp/t.book" --json
says '.hot.first_draw_l > 80 and .hot.recovery_h > 0.5 and .hot.growth_bottom_h_day >= 0 and .hot.in_j_year > 5e9' "the view ahead tells what the tank gives"
done_testing
