. tests/cli/lib.sh
. tests/cli/paper.sh

# ---- the job sheet of a visit ----
run sheet Cooper Alley 2 -o "$tmp/sheet.pdf" --book "$book" $day
code_is 0 "a job sheet is made"
out_has "$(pages_of "$tmp/sheet.pdf") pages of Letter" "its pages are as an independent reader counts them"
text_has "$tmp/sheet.pdf" "Job sheet, Cooper Alley 2" "it names its heater"
run sheet Cooper Alley 2 -o "$tmp/again.pdf" --book "$book" $day
true_that "the same book on the same day gives the same bytes" cmp "$tmp/sheet.pdf" "$tmp/again.pdf"
for h in "Cooper Alley 2" "Linden Row 14 up" "Kiln Street 6" "Orchard Bend 4"; do
    for k in clean turnover standing; do
        run sheet "$h" --kind $k -o "$tmp/leaf.pdf" --book "$book" $day
        true_that "one leaf, both sides: $k at $h" test "$(pages_of "$tmp/leaf.pdf")" -le 2
        true_that "in type that a head-torch reads, no line over the foot: $k at $h" sh -c "pdftotext -bbox '$tmp/leaf.pdf' - | sed -n 's/.*yMin=\"\([0-9.]*\)\" .*yMax=\"\([0-9.]*\)\">.*/\1 \2/p' | awk '
            \$1 > 742 { foot++; next } \$2 > 744 { bad = 1 } { h = sprintf(\"%.1f\", \$2 - \$1); n[h]++; all++ }
            END { for (h in n) if (n[h] > most) { most = n[h]; usual = h } exit bad || usual < 9.0 * 1.16 || !foot }'"
    done
done
words "$tmp/sheet.pdf" >"$tmp/sheet.txt"
true_that "cautions stand before the first step, and isolation before opening" awk '{
    caution = index($0, "LEAVE: Smell of gas"); first = index($0, "Tell whoever lives there"); gas = index($0, "Gas control to off")
    open = index($0, "Hose on the drain"); card = index($0, "Closing card, before anybody leaves")
    exit !(caution && caution < first && first < gas && gas < open && open < card) }' "$tmp/sheet.txt"
json visit plan "Cooper Alley 2" >"$tmp/plan"
true_that "each step of the plan stands on it" sh -c "jq -r '.steps[] | select(.phase != \"closing card\") | .words // .step // .do' '$tmp/plan' | while read -r step; do
    grep -q -F -e \"\$(echo \"\$step\" | cut -c1-24)\" '$tmp/sheet.txt' || exit 1; done"
true_that "the plan has steps" sh -c "test \$(jq '.steps | length' '$tmp/plan') -gt 20"
true_that "each thing of the kit" sh -c "jq -r '.kit[].what' '$tmp/plan' | while read -r item; do
    grep -q -F -e \"\$(echo \"\$item\" | cut -c1-14)\" '$tmp/sheet.txt' || exit 1; done"
true_that "each caution of the plan" sh -c "jq -r '.cautions[].title' '$tmp/plan' | grep -v 'Closing card' | while read -r title; do
    tr -d ' ' <'$tmp/sheet.txt' | grep -q -F -e \"\$(echo \"\$title\" | cut -c1-11 | tr -d ' ')\" || exit 1; done"
out_kg=$(jq -r '.out_kg.p50' "$tmp/plan")
said=$(sed -n 's/.*sediment out, dry: \([0-9.]*\) lb.*/\1/p' "$tmp/sheet.txt")
true_that "pounds out are those of the plan" awk -v kg="$out_kg" -v lb="$said" 'BEGIN { x = kg / 0.45359237; exit !(lb > 0 && lb - x < 0.06 && x - lb < 0.06) }'

# ---- of a call ----
run call new "Cooper Alley 11" "hot for five minutes, then cold" --complaint runs_out --book "$book" $day
run sheet Cooper Alley 11 -o "$tmp/call.pdf" --book "$book" $day
code_is 0 "a sheet for an open call"
json call show 1 >"$tmp/view"
odds=$(jq -r '.faults[0].probability * 100 | round' "$tmp/view")
jq -r '.next.test' "$tmp/view" >"$tmp/next"
title=$(awk -F'|' -v id="$(cat "$tmp/next")" '$2 == " `" id "` " { gsub(/^ | $/, "", $3); print $3; exit }' docs/faults.md)
true_that "the call has a next reading" test -n "$title"
text_has "$tmp/call.pdf" "Reading 1: $title" "its first reading is the call's next"
text_has "$tmp/call.pdf" "$odds in 100" "with the call's odds"
text_has "$tmp/call.pdf" "Reading 3: " "three readings are printed"
true_that "on one leaf, both sides" test "$(pages_of "$tmp/call.pdf")" -le 2
text_has "$tmp/call.pdf" "hot for five minutes, then cold" "in the tenant's words"
text_lacks "$tmp/call.pdf" "meter_lower_W" "no id of a table is left in its sentences"
run sheet Cooper Alley 11 --kind clean -o "$tmp/clean.pdf" --book "$book" $day
text_lacks "$tmp/clean.pdf" "Reading 1: " "another visit may be planned all the same"
run sheet Cooper Alley 2 --kind call -o "$tmp/none.pdf" --book "$book" $day
fails "without an open call there is no sheet for one"

text_has "$tmp/call.pdf" "Go on to reading 2." "one result leads on to the second"

# Where the stop is the whole answer nothing on the sheet leads a hand to the heater.
run call new "Orchard Bend 4" "it smells of gas" --complaint gas_smell --book "$book" $day
run sheet Orchard Bend 4 -o "$tmp/leave.pdf" --book "$book" $day
code_is 0 "a sheet for a smell of gas"
text_has "$tmp/leave.pdf" "LEAVE" "says to leave"
text_lacks "$tmp/leave.pdf" "Reading 1" "has no reading"
text_lacks "$tmp/leave.pdf" "Gas control to off" "and no work"

# ---- notice ----
run set setting owner "R. Åkesson-Đoković" --book "$book" $day
run set setting phone "555 0117" --book "$book" $day
run notice Cooper Alley 2 --day 2026-12-01 --from 9 --until 1pm -o "$tmp/notice.pdf" --book "$book" $day
code_is 0 "a notice is made"
out_has "given by 2026-11-29" "by when it must be given is told to the owner"
true_that "on one page" test "$(pages_of "$tmp/notice.pdf")" = 1
text_has "$tmp/notice.pdf" "Tuesday, December 1, 2026 between 9:00 am and 1:00 pm" "day and hours"
text_has "$tmp/notice.pdf" "R. Åkesson-Đoković, 555 0117" "name and telephone, in letters of any language"
text_has "$tmp/notice.pdf" "For the file" "a strip to keep"
run set "Cooper Alley 2" notice_days 10 --book "$book" $day
run notice Cooper Alley 2 --day 2026-12-01 -o "$tmp/late.pdf" --book "$book" $day
out_has "too late for this day" "a day that comes too soon for the rule of the house is told"
run notice Cooper Alley 2 -o "$tmp/blank.pdf" --book "$book" $day
text_has "$tmp/blank.pdf" "On ________ between ________ and ________ I come to" "what was not said is a line to write on"
run notice Cooper Alley 2 --kind call -o "$tmp/look.pdf" --book "$book" $day
text_has "$tmp/look.pdf" "I come to look at the water heater and mend it" "a notice for a call"
run notice Cooper Alley 2 --day yesterday -o "$tmp/none.pdf" --book "$book" $day
fails "what is no day is refused"
run notice Cooper Alley 2 --from 13pm -o "$tmp/none.pdf" --book "$book" $day
fails "what is no hour is refused"

run notice text --book "$book" $day
out_has "usual text" "the text can be looked at"
printf 'Dear people of {house},\n\nI come on {day}. %s\n\nYours, {owner}\n' "ein Wort, слово, λέξη" >"$tmp/mine.txt"
run notice text "$tmp/mine.txt" --book "$book" $day
code_is 0 "and replaced by one's own"
run notice Cooper Alley 2 -o "$tmp/own.pdf" --book "$book" $day
text_has "$tmp/own.pdf" "Dear people of Cooper Alley 2, I come on ________. ein Wort, слово, λέξη Yours, R. Åkesson-Đoković" "which then stands on the notice"
run visit plan "Cooper Alley 2" --book "$book" $day
out_has "Dear people of Cooper Alley 2" "in the plan of the visit too"
printf 'Pay {rent} now.\n' >"$tmp/bad.txt"
run notice text "$tmp/bad.txt" --book "$book" $day
fails "a place that nothing fills is refused"
err_has "{rent}" "and named"
: >"$tmp/empty.txt"
run notice text "$tmp/empty.txt" --book "$book" $day
fails "an empty file is no text"
run notice text "$tmp/nowhere.txt" --book "$book" $day
fails "a file that is not there is told"
head -c 7000 /dev/zero | tr '\0' 'a' >"$tmp/long.txt"
run notice text "$tmp/long.txt" --book "$book" $day
fails "seven thousand letters are too many"
run book export wordings --book "$book" $day
cp "$tmp/out" "$tmp/wordings.csv"
out_has "Dear people" "own words go out with the book"
run book new "$tmp/other.book"
run book import "$tmp/wordings.csv" --book "$tmp/other.book" $day
code_is 0 "and into another"
run book export wordings --book "$tmp/other.book" $day
true_that "unchanged" cmp "$tmp/out" "$tmp/wordings.csv"
head -c 5900 /dev/zero | tr '\0' 'b' | sed 's/b\{9\}/bbbbbbbb /g' >"$tmp/long.txt"
echo "Last word: heartwood." >>"$tmp/long.txt"
run notice text "$tmp/long.txt" --book "$book" $day
code_is 0 "a long text is kept"
run notice Cooper Alley 2 -o "$tmp/long.pdf" --book "$book" $day
true_that "it goes on to a second page" test "$(pages_of "$tmp/long.pdf")" = 2
text_has "$tmp/long.pdf" "Last word: heartwood." "to its last word"
true_that "with every word whole" sh -c "test \$(pdftotext -layout '$tmp/long.pdf' - | tr -s ' \n\f' '\n' | grep -c '^b\{8\}\$') = \$(tr -s ' \n' '\n' <'$tmp/long.txt' | grep -c '^b\{8\}\$')"
run notice text --usual --book "$book" $day
run notice text --book "$book" $day
out_has "usual text" "the usual text comes back"

# ---- house card: its fields are the columns of the import ----
run card -o "$tmp/card.pdf" --book "$book" $day
code_is 0 "a blank card"
true_that "one heater a side" test "$(pages_of "$tmp/card.pdf")" = 1
words "$tmp/card.pdf" | tr -d ' ' >"$tmp/card.txt"
run book export heaters --blank --book "$book" $day
tr ',' '\n' <"$tmp/out" >"$tmp/columns"
missing=0
for c in fuel installed volume_gal setpoint_f element_w burner_btu_h drain_pattern relief_works leaking place; do
    grep -q -x -F -e "$c" "$tmp/columns" && grep -q -F -e "[$c]" "$tmp/card.txt" || { missing=1; echo "# $c"; }
done
true_that "names on it are those that the import reads" test $missing = 0
true_that "no name on it is unknown to the import" sh -c "
    for k in heaters houses households findings; do '$tufa' book export \$k --blank --book '$book' | tr ',' '\n'; done >'$tmp/all'
    grep -o '\[[a-z_0-9]*\]' '$tmp/card.txt' | tr -d '[]' | grep -v '^brackets$' | while read -r c; do grep -q -x -F -e \"\$c\" '$tmp/all' || { echo \"# \$c\"; exit 1; }; done"
run card Cooper Alley 11 -o "$tmp/known.pdf" --book "$book" $day
text_has "$tmp/known.pdf" "book: 50 gal" "what the book knows stands on the card of a heater"
true_that "still one side" test "$(pages_of "$tmp/known.pdf")" = 1

# ---- turnover ----
run turnover Cooper Alley 2 -o "$tmp/turn.pdf" --book "$book" $day
code_is 0 "a turnover sheet"
text_has "$tmp/turn.pdf" "Date on the CO and smoke alarms" "alarms are on it"
text_has "$tmp/turn.pdf" "Mark the dial" "dials too"

# ---- record ----
run set "Cooper Alley 11" volume "52 gal" --book "$book" --today 2026-11-26
run call new "Cooper Alley 11" "lukewarm" --complaint lukewarm --book "$book" --today 2026-11-26
run call undo 3 --book "$book" --today 2026-11-26
run record Cooper Alley 11 -o "$tmp/record.pdf" --book "$book" --today 2026-11-27
code_is 0 "a record"
text_has "$tmp/record.pdf" "50 gal (corrected by a later line)" "what was said first, marked"
text_has "$tmp/record.pdf" "52 gal" "what counts now"
text_has "$tmp/record.pdf" "heaters.csv" "with its source"
text_has "$tmp/record.pdf" "(taken back later)" "what was taken back in a call stays"
"$tufa" book export findings --book "$book" >"$tmp/findings.csv"
weight=$(awk -F, 'NR == 1 { for (i = 1; i <= NF; i++) if ($i ~ /^dry_weight/) w = i } $1 == "Cooper Alley 11" { print $w }' "$tmp/findings.csv" | head -1)
true_that "there is a weighing to compare" test -n "$weight"
text_has "$tmp/record.pdf" "2023-04-20 sediment taken out, weighed dry $weight lb" "findings with their day are those of the book"
for w in should recommend "worth work" save; do text_lacks "$tmp/record.pdf" "$w" "nothing is advised: no \"$w\""; done

# A cell that no page can hold goes on, with all of its words.
set --
for i in 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 21 22 23 24; do
    set -- "$@" photo="$(printf 'porch %02d of the house 1 2 3 4 5 6 7 8 a b c d e f g h i j k l m n o p q r s t u v w x y z a b c d e f g h i j k l m n o p q r s t u v w x y z end%02d.jpg' "$i" "$i")"
done
run visit record "Cooper Alley 2" kind=clean minutes=90 "$@" --book "$book" --today 2026-11-21
code_is 0 "a visit with many pictures"
run record Cooper Alley 2 -o "$tmp/tall.pdf" --book "$book" $day
true_that "a row over more than a page keeps every word" test "$(pdftotext -raw "$tmp/tall.pdf" - | tr -s ' \n\f' ' ' | grep -o 'end[0-9][0-9].jpg' | wc -l)" = 24
true_that "begun on one page and ended on another" sh -c "pdftotext -raw -l 1 '$tmp/tall.pdf' - | grep -q 'end01' && pdftotext -raw -f 2 '$tmp/tall.pdf' - | grep -q 'end24' && ! pdftotext -raw -f 2 '$tmp/tall.pdf' - | grep -q 'end01'"
true_that "and nothing is printed past the foot" sh -c "pdftotext -bbox '$tmp/tall.pdf' - | sed -n 's/.*yMax=\"\([0-9.]*\)\">.*/\1/p' | awk '\$1 > 780 { bad = 1 } END { exit bad }'"

# ---- paper and units ----
run set setting paper A4 --book "$book" $day
run set setting units metric --book "$book" $day
run sheet Cooper Alley 2 -o "$tmp/a4.pdf" --book "$book" $day
out_has "of A4" "A4 by a setting"
true_that "its size is that of ISO 216" sh -c "pdfinfo '$tmp/a4.pdf' | grep -q '595.2.* x 841.8'"
kg=$(words "$tmp/a4.pdf" | sed -n 's/.*sediment out, dry: \([0-9.]*\) kg.*/\1/p')
true_that "kilograms in a metric book, the same mass" awk -v kg="$kg" -v want="$out_kg" 'BEGIN { exit !(kg > 0 && kg - want < 0.06 && want - kg < 0.06) }'
run set setting units us --book "$book" $day
run set setting paper letter --book "$book" $day

# ---- letters of other languages, and hostile ones ----
printf 'house,street\n"Łódź <b>&amp; Ωmega 3","Straße %%s"\n' >"$tmp/houses.csv"
printf 'heater,house,fuel,age,volume_gal,note\n"Łódź <b>&amp; Ωmega 3","Łódź <b>&amp; Ωmega 3",electric,8,50,"ein sehr langes Wort: Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"\n' >"$tmp/heaters.csv"
run book import "$tmp/houses.csv" "$tmp/heaters.csv" --book "$book" $day
code_is 0 "a house with an odd name"
run sheet "Łódź" -o "$tmp/odd.pdf" --book "$book" $day
text_has "$tmp/odd.pdf" "Job sheet, Łódź <b>&amp; Ωmega 3" "its letters print as they are"
run record "Łódź" -o "$tmp/odd.pdf" --book "$book" $day
true_that "a word wider than its column is broken, not cut" sh -c "pdftotext -layout '$tmp/odd.pdf' - | tr -d ' \n\f' | grep -q 'Donaudampf.*betriebswerk.*gesellschaft'"
(cd "$tmp" && "$tufa" card Łódź --book "$book" $day >"$tmp/out" 2>"$tmp/err")
code=$?
code_is 0 "without -o a name is made"
out_has '^house-card-.*mega-3.pdf' "out of letters that every system takes"

# ---- letters that no font has: told with the text, on the terminal and on the sheet ----
mkdir "$tmp/fonts"
cat >"$tmp/fonts.conf" <<END
<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>/usr/share/fonts/truetype/dejavu</dir><cachedir>$tmp/fonts</cachedir></fontconfig>
END
printf 'house,street\n"राम 山田 7","Straße"\n' >"$tmp/houses.csv"
printf 'heater,house,fuel,age,volume_gal\n"राम 山田 7","राम 山田 7",electric,8,50\n' >"$tmp/heaters.csv"
run book import "$tmp/houses.csv" "$tmp/heaters.csv" --book "$book" $day
FONTCONFIG_FILE="$tmp/fonts.conf"
export FONTCONFIG_FILE
run card "राम" -o "$tmp/boxes.pdf" --book "$book" $day
code_is 0 "a name in letters that no font has still makes its card"
out_has 'No font on this computer has every letter of .*राम 山田 7' "the text is named"
true_that "told once" test "$(grep -c 'No font' "$tmp/out")" = 1
true_that "at the foot of the sheet too" sh -c "pdftotext -raw '$tmp/boxes.pdf' - | tr '\n' ' ' | grep -q 'No font on this computer has every letter'"
run card "Łódź" -o "$tmp/odd.pdf" --book "$book" $day
true_that "letters that are there are not told of" sh -c "! grep -q 'No font' '$tmp/out'"
unset FONTCONFIG_FILE
if fc-list ':lang=hi' 2>/dev/null | grep -q . && fc-list ':lang=ja' | grep -q .; then
    run card "राम" -o "$tmp/boxes.pdf" --book "$book" $day
    true_that "another font lends its letters" sh -c "! grep -q 'No font' '$tmp/out'"
fi

# ---- bad input ----
run sheet
fails "a sheet needs its heater"
run sheet Nowhere -o "$tmp/none.pdf" --book "$book" $day
fails "an unknown heater is refused"
true_that "and no file is made" test ! -e "$tmp/none.pdf"
run sheet Cooper -o "$tmp/none.pdf" --book "$book" $day
fails "half a name is not enough"
err_has "Cooper Alley 11" "and the heaters that have it are told"
run sheet Cooper Alley 2 --kind party -o "$tmp/none.pdf" --book "$book" $day
fails "an unknown kind is refused"
err_has "clean, turnover, standing" "with what is allowed"
run sheet Cooper Alley 2 --method vacuum -o "$tmp/none.pdf" --book "$book" $day
fails "a method that cannot work is refused"
run year paper Cooper -o "$tmp/none.pdf" --book "$book" $day
fails "a document of the whole book takes no name"
run sheet Cooper Alley 2 -o "$tmp/no/such/folder.pdf" --book "$book" $day
fails "a folder that is not there is told"
run sheet Cooper Alley 2 -o
fails "-o needs a file"
run set setting paper A5 --book "$book" $day
fails "A5 is no sheet of ours"
cp "$book" "$tmp/mine.book"
cp "$book" "$tmp/kept.book"
run sheet Cooper Alley 2 -o "$tmp/mine.book" --book "$book" $day
fails "a file that is no PDF is not replaced"
true_that "it is as it was" cmp "$tmp/kept.book" "$tmp/mine.book"
run sheet Cooper Alley 2 -o "$tmp/sheet.pdf" --book "$book" $day
code_is 0 "an older PDF gives way"
printf '%%PDF-old' >"$tmp/old.pdf"
(trap '' XFSZ; ulimit -f 8; "$tufa" sheet Cooper Alley 2 -o "$tmp/old.pdf" --book "$book" $day >"$tmp/out" 2>"$tmp/err")
code=$?
fails "a disk that is full is told"
true_that "the older file is whole" test "$(cat "$tmp/old.pdf")" = "%PDF-old"
true_that "and nothing lies beside it" sh -c "! ls '$tmp' | grep -q 'pdf.new'"
run sheet Cooper Alley 2 -o - --book "$book" $day
true_that "- is standard output" sh -c "head -c 5 '$tmp/out' | grep -q '%PDF-'"
[ -w /dev/full ] && { "$tufa" sheet Cooper Alley 2 -o - --book "$book" $day >/dev/full 2>"$tmp/err"; code=$?; fails "an output that cannot be written is told"; }
done_testing
