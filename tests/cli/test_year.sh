. tests/cli/lib.sh
book=$tmp/demo.book
day=2026-11-25
"$tufa" book new "$book" >/dev/null && "$tufa" book import examples/demo --book "$book" --today $day >"$tmp/out" 2>"$tmp/err"
true_that "the demo district can be imported" test "$(sqlite3 "$book" "select (select count(*) from heater) || '|' || (select count(*) from ended_now where part = 'TANK')")" = "45|11"
true_that "it has 28 houses and three waters" test "$(sqlite3 "$book" 'select (select count(*) from house), (select count(*) from water)')" = "28|3"

run year --book "$book" --today $day
code_is 0 "the plan of the demo is printed"
out_has "^You have 34 water heaters" "it begins like a letter"
out_has "See Orchard Bend 1 first" "a leaking tank comes first"
out_has "a tank that leaks is replaced, whatever the money says" "and the plan says why"
out_has "look first" "a date that nobody knows asks for a look"
out_has "leave, " "what is better left alone is left alone"
out_has "The age of 2 heaters is not known" "what the book lacks is said"
out_has "Not considered: " "what is not considered is said"
out_has "Local codes and licensed practice come first" "law comes first"
out_has "Power off and proved dead" "cautions stand with the work"
cp "$tmp/out" "$tmp/first" # a check overwrites "$tmp/out"
true_that "no line is wider than 96 columns" test -z "$(grep -E '^.{97,}' "$tmp/first")"
true_that "it never promises safety" test -z "$(grep -iw safe "$tmp/first")"
true_that "no word of jargon" test -z "$(grep -iwE 'ccpp|eps|posterior|prior|regret|percentile' "$tmp/first")"
run year --book "$book" --today $day
cp "$tmp/out" "$tmp/again"
true_that "asked again it says the same" cmp "$tmp/again" "$tmp/first"

run year --book "$book" --today $day --json
code_is 0 "the plan as JSON"
cp "$tmp/out" "$tmp/plan"
true_that "every line is JSON" jq -e . "$tmp/plan"
true_that "one line for each heater" test "$(jq -r 'select(.kind == "heater") | .heater' "$tmp/plan" | sort -u | wc -l)" = 34
true_that "ranges are in order" test "$(jq -r 'select(.kind == "heater" and (.cost_left_p10_usd > .cost_left_usd or .cost_left_usd > .cost_left_p90_usd or .bed_kg_p10 > .bed_kg_p90 or .p_tank_leaks_year < 0 or .p_tank_leaks_year > 1))' "$tmp/plan" | wc -l)" = 0
true_that "actions are those of the table" test -z "$(jq -r 'select(.kind == "heater") | .action' "$tmp/plan" | grep -vxE 'leave|flush while young|clean|change elements|anode check|clean and anode|change thermostats|other setpoint|soften|plan to replace|replace by gas|replace by electric|replace by heat pump|look first')"
true_that "the sum counts what is not left alone" test "$(jq -s '[.[] | select(.kind == "heater" and .action != "leave")] | length' "$tmp/plan")" = "$(jq 'select(.kind == "sum") | .visits' "$tmp/plan")"
true_that "a look has no date" test "$(jq -r 'select(.action == "look first" and .due_latest != null)' "$tmp/plan" | wc -l)" = 0
jq -r 'select(.heater == "Kiln Street 2") | .cost_left_usd' "$tmp/plan" >"$tmp/left"
jq -r 'select(.kind == "heater") | [.heater, .action] | @csv' "$tmp/plan" | sort >"$tmp/json.csv"

run year --book "$book" --today $day --csv
code_is 0 "the plan as a table"
cp "$tmp/out" "$tmp/plan.csv"
true_that "a header and one line for each heater" test "$(wc -l <"$tmp/out")" = 35
true_that "with the same actions" test "$(cut -d, -f1,5 "$tmp/plan.csv" | tail -n +2 | tr -d '"' | sort)" = "$(tr -d '"' <"$tmp/json.csv" | sort)"

run ahead Kiln Street 2 --book "$book" --today $day --json
true_that "one heater alone tells the same money" test "$(jq '.cost_left_usd[1] * 100 | round' "$tmp/out")" = "$(jq '. * 100 | round' "$tmp/left")"

# What each heater gives at its setpoint with its bed: like the view ahead, which simulates every month of the one heater.
true_that "every line tells the hot water, its units in the names" test "$(jq -s '[.[] | select(.kind == "heater" and .first_draw_l > 20 and .first_draw_lost_l >= 0 and .recovery_h > 0.2 and .in_j_year > 1e9 and .in_clean_j_year > 1e9 and .setpoint_c > 40 and .hottest_c > .setpoint_c - 1 and (.scald_adult_s == null or .scald_adult_s > 0) and .growth_bottom_h_day >= 0 and .growth_bottom_h_day <= 24 and .growth_mean_h_day <= 24)] | length' "$tmp/plan")" = 34
true_that "the table has them too" grep -q '^heater,.*setpoint_c,first_draw_l,first_draw_lost_l,recovery_h,in_j_year' "$tmp/plan.csv"
for name in "Kiln Street 2" "Linden Row 14 down" "Orchard Bend 4" "Millrace Lane 7 up"; do
  jq -c --arg h "$name" 'select(.heater == $h)' "$tmp/plan" >"$tmp/row"
  "$tufa" ahead "$name" --book "$book" --today $day --json | jq -c .hot >"$tmp/hot"
  true_that "$name gives and costs what the view ahead says" test "$(jq -s '.[0] as $r | .[1] as $h | def near($a; $b; $d): ($a - $b | fabs) <= $d; near($r.in_j_year; $h.in_j_year; 0.02 * $h.in_j_year) and near($r.first_draw_l; $h.first_draw_l; 4) and near($r.first_draw_lost_l; $h.first_draw_lost_l; 4) and near($r.recovery_h; $h.recovery_h; 0.04 * $h.recovery_h) and near($r.hottest_c; $h.hottest_c; 2) and near($r.setpoint_c; $h.setpoint_c; 0.05) and near($r.growth_bottom_h_day; $h.growth_bottom_h_day; 2)' "$tmp/row" "$tmp/hot")" = true
done
true_that "a line in words stands where the tap burns soon" test "$(grep -c 'burns an adult in ' "$tmp/first")" = "$(jq -s '[.[] | select(.kind == "heater" and .scald_adult_s != null and .scald_adult_s <= 5)] | length' "$tmp/plan")"
true_that "and only where a bed takes much" test "$(grep -c 'The bed takes' "$tmp/first")" = "$(jq -s '[.[] | select(.kind == "heater" and .first_draw_lost_l > 11.4)] | length' "$tmp/plan")"

# Prices and lives are the book's.
"$tufa" set price life_gas_years 6 --book "$book" --today $day >/dev/null
run year --book "$book" --today $day --json
true_that "a shorter life of gas tanks makes leaving dearer" test "$(jq -r 'select(.heater == "Kiln Street 2") | .cost_left_usd > '"$(cat "$tmp/left")" "$tmp/out")" = true

# Order: hotter water lays down more.
before=$("$tufa" ahead Linden Row 5 --book "$book" --today $day --json | jq '.rate_kg_year[1]')
"$tufa" set "Linden Row 5" setpoint 150 --book "$book" --today $day >/dev/null
after=$("$tufa" ahead Linden Row 5 --book "$book" --today $day --json | jq '.rate_kg_year[1]')
run year --book "$book" --today $day --json
true_that "and its tap scalds sooner" test "$(jq 'select(.heater == "Linden Row 5") | .scald_adult_s < 5 and .hottest_c > 64' "$tmp/out")" = true
true_that "a hotter tank lays down more" test "$(echo "$before $after" | awk '{print ($2 > $1)}')" = 1

# Bad input.
run year --book "$tmp/nothing.book"
fails "a book that is not there is refused"
err_has "nothing.book" "and named"
echo "no database at all, just words" >"$tmp/words.book"
run year --book "$tmp/words.book"
fails "a file that is no book is refused"
: >"$tmp/empty.book"
run year --book "$tmp/empty.book"
fails "an empty file is refused"
run year --book "$book" --today 2026-02-30
code_is 2 "a day that does not exist is refused"
err_has "2026-02-30" "and named"
run year Linden Row --book "$book"
code_is 2 "words that the command does not take are refused"
"$tufa" book new "$tmp/new.book" >/dev/null
run year --book "$tmp/new.book" --today $day
code_is 0 "a book without heaters has a plan"
out_has "no heater in this book yet" "that says so"
run year --book "$tmp/new.book" --today $day --json
true_that "and an empty one as JSON" test "$(jq 'select(.kind == "sum") | .heaters' "$tmp/out")" = 0
"$tufa" year --book "$book" --today $day >/dev/full 2>"$tmp/err"
code=$?
fails "an output that cannot be written is an error"
done_testing
