. tests/cli/lib.sh
book="$tmp/l.book"
today="--book $book --today 2026-03-01"
cat >"$tmp/waters.csv" <<'END'
water,kind,ph,hardness_gpg,alkalinity_mg_l_caco3
Main,main,7.9,22,280
END
cat >"$tmp/houses.csv" <<'END'
house,street,water
Elm 1,Elm,Main
Elm 2,Elm,Main
Elm 3,Elm,Main
Elm 4,Elm,Main
Oak 9,Oak,
END
cat >"$tmp/heaters.csv" <<'END'
heater,house,fuel,installed,volume_gal,taken_out,taken_out_why
A,Elm 1,electric,2014,50,,
B,Elm 2,electric,2015,50,,
C,Elm 3,electric,2016,50,,
D,Elm 4,electric,2015,50,,
G,Elm 4,gas,2012,40,,
H,Oak 9,propane,2014,40,,
Lone,Oak 9,electric,2013,50,,
Old 1,Elm 1,electric,2002,50,2014-01-10,leak
Old 2,Elm 2,electric,2004,50,2015-02-10,leak
Old 3,Elm 3,electric,2003,50,2016-03-10,planned
Old 4,Elm 4,electric,2001,50,2015-03-01,
END
run book new "$book"
# shellcheck disable=SC2086
run book import "$tmp/waters.csv" "$tmp/houses.csv" "$tmp/heaters.csv" $today
code_is 0 "the tables are taken"

ratio_of() { # ratio_of HEATER: how many times the usual it lays down
    # shellcheck disable=SC2086
    "$tufa" learned "$1" $today --json | sed 's/.*"times": *{"p50": *\([0-9.]*\).*/\1/; s/.*"times":{"p50":\([0-9.]*\).*/\1/'
}
# shellcheck disable=SC2086
run learned D $today
code_is 0 "a heater without findings is told"
out_has "from published studies" "it rests on studies"
alone=$(ratio_of D)
printf 'heater,day,dry_weight_lb,share_out_percent\nA,2025-05-01,60,95\nB,2025-05-02,55,95\nC,2025-05-03,50,95\n' >"$tmp/findings.csv"
# shellcheck disable=SC2086
run book import findings "$tmp/findings.csv" $today
code_is 0 "three weights are taken"
taught=$(ratio_of D)
true_that "what was weighed next door teaches a tank that nobody opened ($alone, then $taught times)" awk "BEGIN { exit !($taught > 1.15 * $alone) }"
# shellcheck disable=SC2086
run learned D $today
out_has "3 other heaters on Main" "and it says by how many"
# shellcheck disable=SC2086
run ahead D $today
out_has "found in other tanks on the same water" "the view ahead says what it rests on"
# shellcheck disable=SC2086
run learned Lone $today
out_has "Nobody said which water" "a heater of no named water learns from none"
# shellcheck disable=SC2086
run learned G $today
out_has "published figures differ" "a gas tank says that its loss is not known"

before=$(ratio_of A)
# shellcheck disable=SC2086
run visit record A day=2026-02-01 depth=30 $today
# shellcheck disable=SC2086
run learned A $today
out_has "set aside" "a finding that contradicts the rest is set aside"
out_has "it lies [0-9.]* times its usual" "with how far off it lies"
after=$(ratio_of A)
true_that "and not averaged in ($before, then $after)" awk "BEGIN { r = $after / $before; exit !(r > 0.97 && r < 1.03) }"
# shellcheck disable=SC2086
run ahead A $today
out_has "1 finding is set aside" "the view ahead says so"
# shellcheck disable=SC2086
run learned $today
out_has "A  .* 1 set aside" "the list of the water too"

# shellcheck disable=SC2086
run set D baseline 49.5 $today
# shellcheck disable=SC2086
run visit record D day=2026-02-10 refill=45.5 $today
# shellcheck disable=SC2086
run learned D $today
out_has "water it took to refill" "a refill against its own clean one is a finding"
# shellcheck disable=SC2086
run set G baseline_heat_up "50 min" $today
# shellcheck disable=SC2086
run visit record G day=2026-02-10 depth=2.5 heat_up=62 $today
# shellcheck disable=SC2086
run learned G $today
out_has "by its own heat-up times" "a heat-up against its own clean one teaches what the bed costs in gas"
out_has "1.24 times its clean time" "it is told as what it is"
# shellcheck disable=SC2086
run learned $today
out_has "1 gas heater was timed from cold to the burner" "what it taught of the gas that a bed costs stands for the whole book"
# shellcheck disable=SC2086
run learned G $today --json
true_that "its own time is not in what it began at" test "$(jq '.gas_loss_times == 1 and .gas_loss_neighbours == 0 and (.gas_loss_before_share_kg.p50 < .gas_loss_share_kg.p50)' "$tmp/out")" = true
# shellcheck disable=SC2086
run learned H $today --json
true_that "another gas heater, on no named water, begins where it leads" test "$(jq '.gas_loss_times == 0 and .gas_loss_neighbours == 1 and .gas_loss_before_share_kg.p50 > 0.011 and .gas_loss_share_kg == .gas_loss_before_share_kg' "$tmp/out")" = true
# shellcheck disable=SC2086
run learned H $today
out_has "heat-up times of 1" "and says so"
# shellcheck disable=SC2086
run learned $today --json
true_that "the book has prior, middle and each heater of it" test "$(jq '.gas_loss | .usual_share_kg.p50 > 0.0089 and .usual_share_kg.p50 < 0.009 and (.found | length) == 1 and .share_kg.p90 <= 0.04' "$tmp/out")" = true

# shellcheck disable=SC2086
run learned $today
out_has "electric tanks no end is written down" "what ended before the book began is not counted"
# shellcheck disable=SC2086
run set setting records_since 2010 $today
code_is 0 "since when the records are whole can be said"
# shellcheck disable=SC2086
run learned $today
out_has "Of your electric tanks 9 were watched and 2 failed" "then lives are counted, with entry ages"
out_has "1 taken out while" "a planned one is no failure"
out_has "without a word why and counts" "one without a word is named"
out_has "by your records alone" "the curve of the records stands beside the fit"
# shellcheck disable=SC2086
run learned $today --json
out_has '"product_limit": *\[{' "the same as JSON"
true_that "which is JSON" python3 -c "import json, sys; json.load(open('$tmp/out'))"
# shellcheck disable=SC2086
run visit record B ended="tank:leaked,lower element:burnt out" $today
code_is 0 "a visit records what ended and how"
out_has "out of service from this day" "a tank's end takes the heater out of service"
# shellcheck disable=SC2086
run learned $today
out_has "9 were watched and 3 failed" "and counts"
out_has "1 lower element burnt out" "as the element does"
# shellcheck disable=SC2086
run book export ends --book "$book"
out_has "B,2026-03-01,tank,leaked" "ends are given back as a table"

awk 'BEGIN { print "heater,house,fuel,installed,volume_gal,taken_out,taken_out_why"
             for (i = 1; i <= 8; i++) printf "Gone %d,Elm 1,gas,200%d,40,201%d-03-01,leak\n", i, i, i }' >"$tmp/gone.csv"
# shellcheck disable=SC2086
run learned $today
true_that "a leak or two says nothing of beds" sh -c "! grep -q 'the leaks say' '$tmp/out'"
# shellcheck disable=SC2086
run book import heaters "$tmp/gone.csv" $today
# shellcheck disable=SC2086
run learned $today
out_has "gas and propane tanks the leaks say" "many leaks say what a bed does to a tank's life"

for bad in "ended=tank" "ended=chimney:leaked" "ended=tank:bored"; do
    # shellcheck disable=SC2086
    run visit record A "$bad" $today
    fails "refused: $bad"
    err_has "ended" "and named"
done
# shellcheck disable=SC2086
run set setting records_since soon $today
fails "a day that is none is refused"
err_has "a year or a day" "with what is allowed"
# shellcheck disable=SC2086
run learned Nobody $today
fails "an unknown heater is refused"
printf 'heater,day,part,how\nA,2025-01-01,tank,\n' >"$tmp/ends.csv"
# shellcheck disable=SC2086
run book import ends "$tmp/ends.csv" $today
fails "an end without a how is refused"
printf 'heater,day,part,how,put_in\nA,2025-01-01,thermostat,failed,2026\n' >"$tmp/ends.csv"
# shellcheck disable=SC2086
run book import ends "$tmp/ends.csv" $today
fails "what was put in after it ended is refused"
done_testing
