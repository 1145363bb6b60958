. tests/cli/lib.sh
book=$tmp/demo.book
day=2026-11-25
"$tufa" book new "$book" >/dev/null && "$tufa" book import examples/demo --book "$book" --today $day >/dev/null

run ahead Linden Row 9 --book "$book" --today $day
code_is 0 "a heater is found by its name without quotes"
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has() { if grep -q -e "$1" "$tmp/flat"; then say_result ok "$2"; else say_result fail "$2"; fi; } # sentences, whatever the line ends
out_has "^Linden Row 9: electric, 50 gal, 14 years old" "it is described"
out_has "Today the bed is about" "the bed of today"
flat_has "It reaches the lower element" "when the element is reached"
flat_has "the tank leaks in" "the chance of a leak"
flat_has "the lower element burns out in" "the chance of a burnt element"
flat_has "It rests on what was found in this tank" "what it rests on"
flat_has "What would sharpen it most" "what one reading would sharpen it"
out_has "kWh" "energy in the coming year"
out_has "This year: " "what to do"
out_has "\*lower element above the floor" "what is assumed is marked"
out_has "tufa set \"Linden Row 9\"" "and can be corrected in one line"
true_that "no line is wider than 96 columns" test -z "$(LC_ALL=C.UTF-8 grep -E '^.{97,}' "$tmp/out")"
true_that "it never promises safety" test -z "$(grep -iw safe "$tmp/out")"
LC_ALL=C "$tufa" ahead Linden Row 9 --book "$book" --today $day >"$tmp/plain"
true_that "a plain terminal gets a plain chart" test -z "$(LC_ALL=C grep -P '[^\x00-\x7F]' "$tmp/plain")"
run ahead Orchard Bend 4 --book "$book" --today $day
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has "rumble over the burner" "a gas tank rumbles instead"
flat_has "time the burner from cold to its stop" "a gas tank's heating-up can be timed"
flat_has "Gas piping, controls, vents" "gas is kept for the trade"

json() { "$tufa" ahead "$@" --book "$book" --today $day --json; }
json Millrace Lane 3 >"$tmp/m3"
true_that "one JSON object a heater" jq -e . "$tmp/m3"
true_that "bands rise with the years" test "$(jq '[.bed_kg_by_year[][1]] as $m | $m == ($m | sort)' "$tmp/m3")" = true
true_that "twenty years and today" test "$(jq '.bed_kg_by_year | length' "$tmp/m3")" = 21
true_that "low, middle and high stand in order" test "$(jq 'all(.bed_kg_by_year[]; .[0] <= .[1] and .[1] <= .[2])' "$tmp/m3")" = true
true_that "never more than the water can drop" test "$(jq '.rate_kg_year[2] < 0.15 * .hot_l_day[2] * 365.25 / 1000' "$tmp/m3")" = true
true_that "what is known has its source" test "$(jq 'all(.known[]; (.from | length) > 0)' "$tmp/m3")" = true

# More people lay down more, and a softener stops it.
more() { awk -v a="$1" -v b="$2" 'BEGIN { exit !(b > a) }'; }
before=$(json Millrace Lane 3 | jq '.rate_kg_year[1]')
"$tufa" set "Millrace Lane 3" people 6 --book "$book" --today $day >/dev/null
true_that "more people lay down more" more "$before" "$(json Millrace Lane 3 | jq '.rate_kg_year[1]')"
# A finding counts.
prior=$(json Kiln Street 12 | jq '.eps_ref[1]')
printf 'heater,day,dry_weight_lb\nKiln Street 12,2026-06-01,9\n' >"$tmp/findings.csv"
"$tufa" book import findings "$tmp/findings.csv" --book "$book" --today $day >/dev/null
true_that "a heavy find raises the heater's own rate" more "$prior" "$(json Kiln Street 12 | jq '.eps_ref[1]')"
true_that "and the forecast then rests on it" test "$(json Kiln Street 12 | jq -r .rests_on)" = findings
json Kiln Street 12 >/dev/null
"$tufa" ahead Kiln Street 12 --book "$book" --today 2026-01-01 --json >"$tmp/past"
true_that "the book of an earlier day knows nothing of later finds" test "$(jq -r .rests_on "$tmp/past")" != findings

# What could be done, side by side.
json Linden Row 9 >"$tmp/side"
true_that "every course has its cost, its range in order, and its saving" test "$(jq 'all(.options[]; .cost_done_usd[0] <= .cost_done_usd[2] and .gain_range_usd[0] <= .gain_range_usd[2] and .spend_now_usd >= 0)' "$tmp/side")" = true
true_that "the cheapest shares add up to all runs" test "$(jq '[.options[] | select(.allowed) | .best_share] | add | . > 0.999 and . < 1.001' "$tmp/side")" = true
true_that "savings are against leaving it" test "$(jq '(.options[] | select(.action == "leave") | .present_usd) as $l | all(.options[]; (.gain_usd - ($l - .present_usd) | fabs) < 0.01)' "$tmp/side")" = true
true_that "nothing that only some houses allow is proposed" test "$(jq '[.options[] | select(.action | test("replace by|soften|setpoint")) | .allowed] | any' "$tmp/side")" = false
true_that "a year for every planned replacement" test "$(jq '.replace_in_years_usd | length' "$tmp/side")" = 31
true_that "and none cheaper than the best policy" test "$(jq '.policy_present_usd as $b | all(.replace_in_years_usd[]; . > $b - 0.01)' "$tmp/side")" = true
true_that "ten years cost what their range says" test "$(jq '.ten_years_usd[0] < .ten_years_mean_usd and .ten_years_mean_usd < .ten_years_usd[2]' "$tmp/side")" = true
true_that "each reading has its worth, between nothing and knowing everything" test "$(jq '.perfect_reading_worth_usd as $p | (.readings | length) >= 5 and all(.readings[]; .worth_usd >= 0 and .worth_usd <= $p + 0.01 and .cost_usd > 0 and .minutes > 0)' "$tmp/side")" = true
true_that "the one worth most stands first" test "$(jq '[.readings[].worth_usd] | . == (sort | reverse)' "$tmp/side")" = true
true_that "an electric heater's burner is not timed, its anode and its water can be looked at" test "$(jq -c '[.readings[].reading] | [index("heat_up") == null, index("anode") != null, index("lab") != null]' "$tmp/side")" = "[true,true,true]"
run ahead Linden Row 9 --book "$book" --today $day
out_has "^One more reading, before choosing" "what a reading is worth stands in a table"
out_has "take the anode out and see how much of it is left" "an anode look among them"
out_has "have the water tested" "and a lab sheet"
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
out_has "^Side by side" "the courses stand side by side"
flat_has "a planned replacement costs least in 20" "how flat the best year is"
flat_has "expect [$]" "what the coming ten years cost"
flat_has "where Legionella grows instead of" "what another setting does to germs and scalds"
true_that "a cleaning takes hours and leaves a share, each with its range" test "$(jq '.cleaning.deep | .hours[0] < .hours[1] and .hours[1] < .hours[2] and .left_share[0] < .left_share[1] and .left_share[2] < 1' "$tmp/side")" = true
true_that "hours of the option are those of the method" test "$(jq '.cleaning.method != null and any(.options[]; .action == "clean")' "$tmp/side")" = true
flat_has "Cleaning here, readings before and after counted in.*: .* leaves" "and it is said"
cp "$book" "$tmp/rust.book"
"$tufa" set "Linden Row 9" rusted yes --book "$tmp/rust.book" --today $day >/dev/null
"$tufa" ahead Linden Row 9 --book "$tmp/rust.book" --today $day --json >"$tmp/rust"
true_that "a tank that rusts is offered no cleaning, with the reason" test "$(jq '([.options[].action] | any(test("clean|flush|elements")) | not) and (.cleaning.refused | test("worn")) and .cleaning.deep == null' "$tmp/rust")" = true
"$tufa" ahead Linden Row 9 --book "$tmp/rust.book" --today $day | tr '\n' ' ' >"$tmp/flat"
flat_has "Cleaning is not counted for this tank" "in words too"
at_place() { "$tufa" set "Linden Row 9" place "$1" --book "$tmp/rust.book" --today $day >/dev/null; "$tufa" ahead Linden Row 9 --book "$tmp/rust.book" --today $day --json; }
true_that "a leak costs more in a loft than in a garage" more "$(at_place "Garage, north" | jq .policy_present_usd)" "$(at_place "the loft" | jq .policy_present_usd)"
true_that "and the chance is shown as assumed, with what it rests on" test "$(at_place "unfinished basement" | jq -r '.known[] | select(.what == "a leak does damage") | "\(.assumed) \(.from)"')" = "true in a basement: on what stands on its floor; judgement"
true_that "a place that is not known keeps the general figure" test "$(at_place "beneath the stairs" | jq -r '.known[] | select(.what == "a leak does damage") | .value')" = "in 10 % of cases (3 to 30)"
"$tufa" set setting stirrer yes --book "$tmp/rust.book" --today $day >/dev/null
"$tufa" set "Linden Row 9" rusted no --book "$tmp/rust.book" --today $day >/dev/null
true_that "own tools change how it goes" test "$("$tufa" ahead Linden Row 9 --book "$tmp/rust.book" --today $day --json | jq '.cleaning')" != "$(jq '.cleaning' "$tmp/side")"
"$tufa" set price leak_damage 20000 --book "$book" --today $day >/dev/null
dear=$(json Linden Row 9 | jq '.policy_present_usd')
true_that "dearer damage makes nothing cheaper" more "$(jq '.policy_present_usd' "$tmp/side")" "$dear"

run ahead Nowhere 12 --book "$book" --today $day
code_is 2 "a heater that is not there is refused"
err_has "Nowhere 12" "and named"
run ahead --book "$book" --today $day
code_is 2 "no heater named is refused"
run ahead Linden Row 9 --book "$book" --today yesterday
code_is 2 "a day that cannot be read is refused"
run ahead 1 --book "$tmp/none.book"
fails "without a book there is no view"
run ahead "$(printf 'x%.0s' $(seq 3000))" --book "$book" --today $day
code_is 2 "an endless name is refused"
done_testing
