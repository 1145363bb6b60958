. tests/cli/lib.sh
book="$tmp/p.book"
day="--today 2026-11-25"
run book new "$book"
run book import examples/demo --book "$book" $day
code_is 0 "the demo district"

# words FILE: the text of a PDF on one line, as an independent reader finds it
words() { pdftotext -layout "$1" - | tr -s ' \n\f' ' '; }
text_has() { if words "$1" | grep -q -e "$2"; then say_result ok "$3"; else echo "# no /$2/ in the text of the PDF"; say_result fail "$3"; fi; }
pages_of() { pdfinfo "$1" | sed -n 's/^Pages: *//p'; }

# ---- the job sheet of a visit ----
run sheet Cooper Alley 2 -o "$tmp/sheet.pdf" --book "$book" $day
code_is 0 "a job sheet is made"
out_has "$(pages_of "$tmp/sheet.pdf") pages of Letter" "its pages are as an independent reader counts them"
text_has "$tmp/sheet.pdf" "Job sheet, Cooper Alley 2" "it names its heater"
run sheet Cooper Alley 2 -o "$tmp/again.pdf" --book "$book" $day
true_that "the same book on the same day gives the same bytes" cmp "$tmp/sheet.pdf" "$tmp/again.pdf"
words "$tmp/sheet.pdf" >"$tmp/sheet.txt"
true_that "cautions stand before the first step, and isolation before opening" awk '{
    caution = index($0, "LEAVE: Smell of gas"); first = index($0, "Tell whoever lives there"); gas = index($0, "Gas control to off")
    open = index($0, "Hose on the drain"); card = index($0, "Closing card, before anybody leaves")
    exit !(caution && caution < first && first < gas && gas < open && open < card) }' "$tmp/sheet.txt"

# ---- of a call ----
run call new "Cooper Alley 11" "hot for five minutes, then cold" --complaint runs_out --book "$book" $day
run sheet Cooper Alley 11 -o "$tmp/call.pdf" --book "$book" $day
code_is 0 "a sheet for an open call"
run call show 1 --json --book "$book" $day
next=$(jq -r '.next.test' "$tmp/out")
odds=$(jq -r '.faults[0].probability * 100 | round' "$tmp/out")
true_that "the call has a next reading" test -n "$next"
text_has "$tmp/call.pdf" "Reading 1: What does the red reset button do" "its next reading is the call's"
text_has "$tmp/call.pdf" "$odds in 100" "with the call's odds"
text_has "$tmp/call.pdf" "Reading 3: " "three readings are printed"

# ---- bad input ----
run sheet
fails "a sheet needs its heater"
run sheet Nowhere -o "$tmp/none.pdf" --book "$book" $day
fails "an unknown heater is refused"
true_that "and no file is made" test ! -e "$tmp/none.pdf"
run sheet Cooper Alley 2 --kind party -o "$tmp/none.pdf" --book "$book" $day
fails "an unknown kind is refused"
err_has "clean, turnover, standing" "with what is allowed"
run sheet Cooper Alley 2 -o "$tmp/no/such/folder.pdf" --book "$book" $day
fails "a folder that is not there is told"
cp "$book" "$tmp/mine.book"
run sheet Cooper Alley 2 -o "$tmp/mine.book" --book "$book" $day
fails "a file that is no PDF is not replaced"
true_that "it is as it was" cmp "$book" "$tmp/mine.book"
run sheet Cooper Alley 2 -o "$tmp/sheet.pdf" --book "$book" $day
code_is 0 "an older PDF gives way"
printf '%%PDF-old' >"$tmp/old.pdf"
( trap '' XFSZ; ulimit -f 8; "$tufa" sheet Cooper Alley 2 -o "$tmp/old.pdf" --book "$book" $day >"$tmp/out" 2>"$tmp/err" )
code=$?
fails "a disk that is full is told"
true_that "the older file is whole" test "$(cat "$tmp/old.pdf")" = "%PDF-old"
true_that "and nothing lies beside it" sh -c "! ls $tmp | grep -q 'pdf.new'"
run sheet Cooper Alley 2 -o - --book "$book" $day
true_that "- is standard output" sh -c "head -c 5 $tmp/out | grep -q '%PDF-'"
done_testing
