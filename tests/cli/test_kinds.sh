# What a house allows besides the heater that stands there, and whether a new one is large enough for its household.
. tests/cli/lib.sh
book=$tmp/b
day=2026-11-25
"$tufa" book new "$book" >/dev/null
cat >"$tmp/houses.csv" <<'CSV'
house,gas,circuit,heat_pump
Fen Row 1,no,,yes
Fen Row 2,,,
Fen Row 3,yes,?,no
Fen Row 4,,no,yes
CSV
cat >"$tmp/heaters.csv" <<'CSV'
house,fuel,age,volume_gal,first_hour_gal
Fen Row 1,electric,14,50,62
Fen Row 2,electric,14,50,
Fen Row 3,electric,14,50,
Fen Row 4,gas,14,40,
CSV
printf 'house,people,from_day\nFen Row 1,2,2020-01-01\nFen Row 3,7,2020-01-01\nFen Row 4,3,2020-01-01\n' >"$tmp/households.csv"
run book import "$tmp/houses.csv" "$tmp/heaters.csv" "$tmp/households.csv" --book "$book" --today $day
code_is 0 "what a house allows is taken in with the table of houses"
run book export houses --book "$book" --today $day
true_that "and given back: no, yes, and nothing where nobody said" sh -c "grep -q '^Fen Row 1,.*no,,yes' '$tmp/out'"
cp "$tmp/out" "$tmp/again.csv"
"$tufa" book new "$tmp/c" >/dev/null
"$tufa" book import houses "$tmp/again.csv" --book "$tmp/c" --today $day >/dev/null
"$tufa" book export houses --book "$tmp/c" --today $day >"$tmp/thrice.csv"
true_that "unchanged by going round" cmp "$tmp/again.csv" "$tmp/thrice.csv"
run set "Fen Row 2" heat_pump perhaps --book "$book" --today $day
fails "neither yes nor no is refused"
err_has "no, yes" "with what is allowed"
run set "Fen Row 2" first_hour 2000 --book "$book" --today $day
fails "a first-hour rating out of range is refused"
err_has "5" "with the range"

json() { "$tufa" ahead "$@" --book "$book" --today $day --json; }
json "Fen Row 1" >"$tmp/1"
json "Fen Row 2" >"$tmp/2"
json "Fen Row 3" >"$tmp/3"
json "Fen Row 4" >"$tmp/4"
says() { jq -r --arg k "$1" '.other_kinds[] | select(.action == $k) | .house_allows' "$2"; }
true_that "no, yes and not known are told apart" test "$(says 'replace by gas' "$tmp/1") $(says 'replace by heat pump' "$tmp/1") $(says 'replace by gas' "$tmp/2")" = "no yes not known"
true_that "what is not known is asked" test "$(jq -r '.other_kinds[] | select(.action == "replace by gas") | .ask' "$tmp/2" | grep -c 'gas line at the heater')" = 1
true_that "a heat pump where gas burns wants a circuit too" test "$(says 'replace by heat pump' "$tmp/4")" = no
true_that "what is ruled out is weighed no more" test "$(jq '[.options[].action] | any(. == "replace by gas")' "$tmp/1")" = false
true_that "what is allowed may be proposed" test "$(jq '.options[] | select(.action == "replace by heat pump") | .allowed' "$tmp/1")" = true
true_that "what is not known is shown and not proposed" test "$(jq '.options[] | select(.action == "replace by heat pump") | .allowed' "$tmp/2")" = false
true_that "where a heat pump saves and may stand it is proposed" test "$(jq -r .action "$tmp/1")" = "replace by heat pump"
true_that "ten years stay within reason where another kind comes next" test "$(jq '.ten_years_mean_usd | . > -20000 and . < 20000' "$tmp/1")" = true
true_that "and no course costs less than the best policy" test "$(jq '.policy_present_usd as $b | all(.options[]; .allowed == false or .present_usd > $b - 0.01)' "$tmp/1")" = true
run ahead "Fen Row 1" --book "$book" --today $day
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has() { if grep -q -e "$1" "$tmp/flat"; then say_result ok "$2"; else say_result fail "$2"; fi; }
flat_has "ruled out, the book says that no gas heater can stand there" "what is ruled out is said with the reason"
flat_has "A circuit of its own[.] " "what a heat pump wants of the panel stands before the work"
flat_has "Where a heat pump heater stands[.] " "and what it wants of its room"
flat_has "by the label, which is enough" "the label's first hour counts before the simulation"
true_that "no line is wider than 96 columns" test -z "$(LC_ALL=C.UTF-8 grep -E '^.{97,}' "$tmp/out")"
run ahead "Fen Row 2" --book "$book" --today $day
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has 'tufa set "Fen Row 2" gas yes' "the answer has its command"
flat_has "nobody said how many people live there" "people that nobody counted are no knowledge"

size() { jq -r --arg k "$1" '.sizes[] | select(.action == $k) | .says' "$2"; }
true_that "two people have enough of 62 gallons" test "$(size 'plan to replace' "$tmp/1")" = enough
true_that "seven are short, and by how much is told" test "$(size 'plan to replace' "$tmp/3") $(jq '.sizes[0].short_l > 20' "$tmp/3")" = "short true"
true_that "without people it is not known" test "$(size 'plan to replace' "$tmp/2")" = "not known"
true_that "more is wanted the more people there are" test "$(jq -s '.[0].sizes[0].busiest_hour_l[1] < .[1].sizes[0].busiest_hour_l[1]' "$tmp/1" "$tmp/3")" = true

year() { "$tufa" year --book "$book" --today $day --json | jq -r "select(.heater == \"$1\") | $2"; }
true_that "the year plan proposes what ahead proposes" test "$(year 'Fen Row 1' .action)" = "$(jq -r .action "$tmp/1")"
true_that "with the same figures, to the cent" test "$(year 'Fen Row 1' ".cost_left_usd - $(jq '.cost_left_usd[1]' "$tmp/1") | fabs < 0.0051")" = true
true_that "a house that was not asked is to be asked" test "$(year 'Fen Row 2' '.other_kind != null and .other_kind_saves_usd_year > 0 and (.other_kind_ask | length) > 20')" = true
true_that "the new heater's size is told there" test "$(year 'Fen Row 1' .size)" = enough
run year --book "$book" --today $day
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has "What to find out: " "the question stands once at its foot"
"$tufa" set "Fen Row 2" gas no --book "$book" --today $day >/dev/null
"$tufa" set "Fen Row 2" heat_pump no --book "$book" --today $day >/dev/null
true_that "once both are ruled out nothing is asked" test "$(year 'Fen Row 2' .other_kind)" = null
"$tufa" set "Fen Row 2" heat_pump '?' --book "$book" --today $day >/dev/null
true_that "an answer can be taken back" test "$(year 'Fen Row 2' .other_kind)" = "replace by heat pump"

quote() { "$tufa" quote "$@" --leaking no --book "$book" --today $day --json; }
true_that "another kind is judged as that kind" test "$(quote 'Fen Row 1' --price 2000 --offered 'heat pump' | jq -r .offered)" = "replace by heat pump"
true_that "one that the house rules out is no, whatever its price" test "$(quote 'Fen Row 1' --price 10 --offered gas | jq -r '"\(.says) \(.house_allows)"')" = "no false"
true_that "one of which nobody spoke is never taken unasked" test "$(quote 'Fen Row 2' --price 10 --offered 'heat pump' | jq -r '"\(.says) \(.house_allows) \(any(.asks[]; .ask == "house"))"')" = "ask first null true"
true_that "where it is allowed a low price is taken" test "$(quote 'Fen Row 1' --price 10 --offered 'heat pump' | jq -r .says)" = take
true_that "a dear one is not" test "$(quote 'Fen Row 1' --price 9000 --offered 'heat pump' | jq -r .says)" = no
true_that "an electric one for an electric one is its like" test "$(quote 'Fen Row 1' --price 900 --offered electric | jq -r .offered)" = "plan to replace"
true_that "what the label says is held against the household" test "$(quote 'Fen Row 3' --price 900 --first-hour 150 | jq -r .size.says) $(quote 'Fen Row 3' --price 900 --first-hour 40 | jq -r .size.says)" = "enough short"
true_that "a larger tank gives more" test "$(quote 'Fen Row 3' --price 900 --offered-volume 80 | jq '.size.first_hour_l')" '!=' "$(quote 'Fen Row 3' --price 900 | jq '.size.first_hour_l')"
run quote "Fen Row 1" --price 2000 --offered 'heat pump' --leaking no --book "$book" --today $day
tr '\n' ' ' <"$tmp/out" >"$tmp/flat"
flat_has "A circuit of its own: " "its cautions stand in the answer"
flat_has "wants about .* in the busiest hour" "and its size"
run quote "Fen Row 1" --price 2000 --offered coal --book "$book" --today $day
fails "a kind that is none is refused"
err_has "heat pump" "with those that are"
run quote "Fen Row 1" --price 100 --for clean --offered gas --book "$book" --today $day
fails "only a replacement offers a heater"
run quote paper "Fen Row 1" --price 2000 --offered 'heat pump' --first-hour 66 --leaking no --book "$book" --today $day -o "$tmp/q.pdf"
code_is 0 "the review on paper takes the same"
true_that "and says the same of its size" sh -c "pdftotext -raw '$tmp/q.pdf' - | tr -s ' \n' ' ' | grep -q 'by the label'"
done_testing
