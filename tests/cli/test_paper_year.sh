. tests/cli/lib.sh
. tests/cli/paper.sh

# ---- year plan ----
run year paper -o "$tmp/year.pdf" --book "$book" $day
code_is 0 "the year plan on paper"
"$tufa" year --json --book "$book" $day >"$tmp/year.json"
true_that "every heater stands on it" sh -c "pdftotext -layout '$tmp/year.pdf' - | grep -c 'look again\|this year\|before any\|by [A-Z]' >'$tmp/n'; test \$(cat '$tmp/n') -ge \$(grep -c '\"heater\"' '$tmp/year.json')"
text_has "$tmp/year.pdf" "Year plan" "letters that lean on each other stay one word for a reader"
"$tufa" year --book "$book" $day >"$tmp/year.txt"
spend=$(tr -s ' \n' ' ' <"$tmp/year.txt" | sed -n 's/.*of driving and \(\$[0-9,]*\) for parts.*/\1/p')
true_that "the plan has its sum" test -n "$spend"
text_has "$tmp/year.pdf" "of driving and $spend for parts" "its sum is that of the command"

# ---- round, quote, account ----
"$tufa" rounds --json --seconds 1 --book "$book" $day >"$tmp/rounds.json"
run rounds sheet --seconds 1 -o "$tmp/round.pdf" --book "$book" $day
code_is 0 "a round sheet"
first=$(jq -r 'select(.kind == "round") | .day' "$tmp/rounds.json" | sort | head -1)
true_that "there is a first round" test -n "$first"
text_has "$tmp/round.pdf" "Round, $first" "it is the next one"
jq -r --arg day "$first" 'select(.kind == "visit" and .day == $day) | .heater' "$tmp/rounds.json" >"$tmp/stops"
true_that "each of its stops stands on it" sh -c "test -s '$tmp/stops' && pdftotext -raw '$tmp/round.pdf' - | tr -s ' \n' ' ' >'$tmp/round.txt' && while read -r h; do grep -q -F -e \"\$h\" '$tmp/round.txt' || exit 1; done <'$tmp/stops'"
last=$(jq -r 'select(.kind == "round") | .day' "$tmp/rounds.json" | sort | tail -1)
run rounds sheet --seconds 1 --day "$last" -o "$tmp/last.pdf" --book "$book" $day
text_has "$tmp/last.pdf" "Round, $last" "another day's by --day"
run rounds sheet --seconds 1 --day 2027-11-24 -o "$tmp/none.pdf" --book "$book" $day
fails "a day without a round is refused"
err_has "$first" "and the days that have one are told"
run rounds sheet --day soon -o "$tmp/none.pdf" --book "$book" $day
fails "what is no day is refused"

run quote paper Cooper Alley 11 --price 1850 --line heater=900 --line "permit=120; labor=830" -o "$tmp/quote.pdf" --book "$book" $day
code_is 0 "a quote review"
true_that "on one page" test "$(pages_of "$tmp/quote.pdf")" = 1
"$tufa" quote "Cooper Alley 11" --price 1850 --line heater=900 --line permit=120 --line labor=830 --json --book "$book" $day >"$tmp/quote.json"
text_has "$tmp/quote.pdf" "$(jq -r .words "$tmp/quote.json" | tr -s ' \n' ' ' | sed 's/ $//')" "its first words are those of the command"
true_that "so are its questions" sh -c "jq -r '.asks[].words' '$tmp/quote.json' | cut -c1-30 >'$tmp/asks'; test -s '$tmp/asks'; pdftotext -raw '$tmp/quote.pdf' - | tr -s ' \n' ' ' >'$tmp/quote.txt'; while read -r q; do grep -q -F -e \"\$q\" '$tmp/quote.txt' || exit 1; done <'$tmp/asks'"
run quote paper Cooper Alley 11 --price 1850 --line bribe=900 -o "$tmp/none.pdf" --book "$book" $day
fails "a line that no quote has is refused"
run quote paper Cooper Alley 11 -o "$tmp/none.pdf" --book "$book" $day
fails "a quote needs a price"
(cd "$tmp" && mkdir -p empty && cd empty && "$tufa" quote paper --fuel electric --age 9 --price 1850 --leaking no -o q.pdf $day >"$tmp/out" 2>"$tmp/err")
code=$?
code_is 0 "a quote may be reviewed before there is a book"
(cd "$tmp/empty" && "$tufa" card -o c.pdf $day >"$tmp/out" 2>"$tmp/err")
code=$?
code_is 0 "so may a blank card be printed"

run account add "Cooper Alley 11" paid=240.10 to="a plumber" for="relief valve" day=2026-05-02 --book "$book" $day
run account add "Cooper Alley 2" paid=17.35 to="a store" for="anode" day=2026-06-02 receipt=r1.jpg --book "$book" $day
run account paper 2026 -o "$tmp/account.pdf" --book "$book" $day
code_is 0 "the account of a year"
cents=$("$tufa" account 2026 --json --book "$book" $day | jq .all.cents)
text_has "$tmp/account.pdf" "Paid \$$(awk -v c="$cents" 'BEGIN { printf "%.2f", c / 100 }')" "its sum is to the cent that of the command"
text_has "$tmp/account.pdf" "receipt: r1.jpg" "with receipts"
run account paper 1066 -o "$tmp/none.pdf" --book "$book" $day
fails "the year 1066 is refused"

done_testing
