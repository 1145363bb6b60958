. tests/cli/lib.sh
cd "$tmp" || exit 1

run treatments
code_is 0 "treatments are told without a book"
out_has "^magnet: " "magnets among them"
out_has "US Army" "with what a public body found"
true_that "and with what nobody looked up again" sh -c "tr -s ' \\n' ' ' <out | grep -q 'From memory, not verified'"
true_that "every treatment names its source" sh -c "[ \$(grep -c 'Source: ' out) = \$(grep -c 'Evidence: ' out) ] && [ \$(grep -c 'Source: ' out) -ge 5 ]"
out_has "A fair trial in two houses" "and what a fair trial looks like"

run treatments --json
# the same by awk: least share seen in 8 of 10, from the three spreads
jq -r '.trials[] | [.pairs, .swap, .least_share] | @tsv' out >trials
sds=$(jq -r '[.log_sd_between, .log_sd_season, .log_sd_weighed] | @tsv' out)
true_that "the least share that is seen follows from the spreads" awk -v sds="$sds" 'BEGIN { split(sds, s, "\t") }
    { one = 2 * (s[2]^2 + s[3]^2); v = ($2 == "true" ? one / 2 : one + 2 * s[1]^2) / $1
      want = 1 - exp(-(1.959964 + 0.841621) * sqrt(v)); d = want - $3; if (d < -1e-5 || d > 1e-5) bad = 1; n++ } END { exit bad || n != 6 }' trials
true_that "changing sides sees smaller effects, and so do more houses" jq -e '.trials as $t | $t[1].least_share < $t[0].least_share and $t[4].least_share < $t[2].least_share and $t[2].least_share < $t[0].least_share' out
between=$(jq .log_sd_between out)

"$tufa" book new b >/dev/null && "$tufa" book import "$here/examples/demo" --book b >/dev/null
run treatments --book b --json
true_that "with a book two of its heaters are named" jq -e '.houses | length == 2 and .[0] != .[1]' out
true_that "which stand on one water" sh -c 'a=$(jq -r ".houses[0]" out) b=$(jq -r ".houses[1]" out); w() { sqlite3 b "SELECT (SELECT ref FROM house_fact f WHERE f.house_id = h.house_id AND f.field = '"'water'"' ORDER BY f.id DESC LIMIT 1) FROM heater h WHERE h.label = '"'"'$1'"'"'"; }; [ -n "$(w "$a")" ] && [ "$(w "$a")" = "$(w "$b")" ]'
true_that "what was found in them narrows what lies between" jq -e --argjson b "$between" '.log_sd_between < $b' out
run treatments --book nowhere
fails "a book that is not there is refused"
done_testing
