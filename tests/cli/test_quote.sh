. tests/cli/lib.sh
cd "$tmp" || exit 1
num() { jq -r "$1" "$tmp/out"; }

run quote --fuel electric --age 'about 9' --price 1850 --leaking no
code_is 0 "a quote is answered without a book"
true_that "the first line says no and by how much" sh -c 'head -1 out | grep -q "^No, by about \$[0-9,]*"'
out_has "breaks even at" "it says where it breaks even, with a range"
out_has "Local codes and licensed practice come first" "local law comes first"
true_that "it makes no book" test ! -e tufa.book

run quote --fuel electric --age 'about 9' --price 1850 --leaking no --json
even=$(num .break_even_usd)
true_that "JSON adds up: break-even less price is the gain" jq -e '(.break_even_usd - .price_usd - .by_usd) | fabs < 1e-6' out
true_that "and so is the difference of the two courses" jq -e '(.instead_cost_usd - .quote_cost_usd - .by_usd) | fabs < 1e-6' out
run quote --fuel electric --age 'about 9' --price "$(echo "$even" | awk '{printf "%.2f", $1 - 5}')" --leaking no --json
true_that "five dollars under it the sign has flipped" jq -e '.by_usd > 0' out
run quote --fuel electric --age 'about 9' --price 150 --leaking no
true_that "a price that is right is taken" sh -c 'head -1 out | grep -q "^Take it"'

run quote --fuel electric --age 9 --price 1850
out_has "^Ask first whether the tank itself leaks" "not knowing whether it leaks is asked before a no"
run quote --fuel gas --age 12 --price 1300 --leaking yes
true_that "what must be done stands first" sh -c 'head -1 out | grep -q "^The tank itself leaks"'
out_has "^Take it" "a usual price for what must be replaced is taken"
run quote --fuel gas --age 12 --price 6000 --leaking yes --json
true_that "a leaking tank is never kept, at any price" jq -e '.says == "ask first" and .must_replace' out
run quote --fuel gas --age 12 --price 200 --for clean --leaking yes
out_has "^No, by its whole price" "a leaking tank is not cleaned"
run quote --fuel gas --age 12 --price 100 --unsafe flue
true_that "an unsafe flue comes first" sh -c 'head -1 out | grep -q "flue is unsafe"'
out_has "everyone out" "with what to do about carbon monoxide"
run quote --fuel electric --age 12 --price 90 --for limit --unsafe limit --json
true_that "the repair of the limit itself is not refused" jq -e '.must_refer and .says != "no"' out

run quote --fuel electric --age 12 --leaking no --line heater=900 --line "permit: \$100" --line "haul away 300" --line "code upgrade=250" --json
true_that "without a price the lines are added up" jq -e '.price_usd == 1550' out
true_that "lines are marked usual and high" jq -e '[.lines[] | select(.line == "permit" or .line == "haul_away") | .mark] == ["usual", "high"]' out
true_that "what a complete job has and this one has not is absent" jq -e '[.lines[] | select(.mark == "absent") | .line] | (index("labor") != null and index("fittings") != null)' out
true_that "each of them is asked for" jq -e '[.asks[] | select(.ask == "line") | .line] | (index("labor") != null and index("pan") != null)' out
true_that "code work is asked for its clause" jq -e 'any(.asks[]; .ask == "clause")' out
run quote --fuel electric --age 12 --leaking no --line heater=900
out_has "absent" "the lines stand in the text too"

run quote --fuel electric --age 5 --for magnet --price 400
out_has "^No, by its whole price, \$400" "what has no evidence is worth nothing"
out_has "US Army laboratory" "and its source is named"
run quote --fuel gas --age 5 --price 300 --for "gas valve"
code_is 0 "a part may be named outright"
run quote --fuel electric --age 9 --price 700 --leaking no --warranty 6 --json; six=$(num .by_usd)
run quote --fuel electric --age 9 --price 700 --leaking no --warranty 12 --json; twelve=$(num .by_usd)
true_that "a longer warranty is worth more" awk "BEGIN { exit !($twelve > $six) }"

run quote --fuel coal --price 100
fails "an unknown fuel is refused"
err_has "electric, gas, propane" "with what would be understood"
run quote --price 100
fails "without heater or fuel it is refused"
err_has "fuel" "and says what is missing"
run quote --fuel gas
fails "without a price it is refused"
err_has "price" "and says what is missing there"
run quote --fuel gas --price=-5
fails "a negative price is refused"
run quote --fuel gas --line radiator=50
fails "an unknown line is refused"
err_has "expansion_tank" "with the lines that are known"
run quote --fuel gas --price 100 --leaking perhaps
fails "neither yes nor no is refused"
run quote --fuel electric --price 100 --for "gas valve"
fails "a gas valve is no part of an electric heater"
run quote "Mill Lane 3" --price 100
fails "a heater without a book is refused"

"$tufa" book new b >/dev/null && "$tufa" book import "$here/examples/demo" --book b >/dev/null
run quote "Cooper Alley 11" --price 2400 --leaking no --book b --json
code_is 0 "a heater of the book"
true_that "by its name" jq -e '.heater == "Cooper Alley 11" and .says == "no"' out
run quote "Cooper Alley 11" --price 900 --age 5 --book b
fails "what the book knows is not said again"
err_has "tufa set" "it says how to correct it"
run quote "Cooper Aley 11" --price 900 --book b
fails "a name that is not there is refused"
"$tufa" set price heater_electric 200 --book b >/dev/null
run quote --fuel electric --age 9 --price 1850 --leaking no --book b --json
true_that "prices of the book count without a heater too" jq -e --argjson e "$even" '.break_even_usd < $e - 50' out

run quote "Cooper Alley 11" --price 2400 --leaking no --book b --json
first=$(num .words | tr -d ' ')
run quote paper "Cooper Alley 11" --price 2400 --leaking no --line heater=900 --line permit=400 --book b -o r.pdf
code_is 0 "the review on paper"
true_that "it is one sheet" sh -c "pdfinfo r.pdf | grep -q '^Pages: *1$'"
pdftotext -raw r.pdf - | tr -d ' \n\f' >r.txt
true_that "with the same first line" grep -q -F -e "$(echo "$first" | cut -c1-40)" r.txt
true_that "with every line that was given" sh -c "grep -q 'theheateritself' r.txt && grep -q 'permitandinspection' r.txt && grep -q 'high' r.txt"
run quote paper --fuel gas --age 12 --price 900 --leaking yes --book b -o s.pdf
code_is 0 "also for a heater that is not in the book"
true_that "what leaks stands before the money there too" sh -c "pdftotext -raw s.pdf - | tr -s ' \n' ' ' | awk '{ d = index(\$0, \"The tank itself leaks\"); m = index(\$0, \"breaks even\"); exit !(d && m && d < m) }'"
run quote paper --fuel gas --book b -o t.pdf
fails "without a price there is nothing to review"
true_that "and no file" test ! -e t.pdf
done_testing
