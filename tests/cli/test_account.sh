. tests/cli/lib.sh
cd "$tmp" || exit 1
B="--book b --today 2026-12-30"
"$tufa" book new b >/dev/null && "$tufa" book import "$here/examples/demo" $B >/dev/null
house=$(sqlite3 b "SELECT label FROM house ORDER BY id LIMIT 1")
other=$(sqlite3 b "SELECT label FROM house ORDER BY id LIMIT 1 OFFSET 1")
heater=$(sqlite3 b "SELECT label FROM heater WHERE house_id = (SELECT id FROM house ORDER BY id LIMIT 1) LIMIT 1")

run account add "$house" paid=240.55 to="a plumber" for="new relief valve, \"brass\"" receipt=r1.jpg miles=24.3 day=2026-03-14 $B
code_is 0 "a contractor's bill is kept in plain words"
out_has 'contractor.s bill' "as what it is"
run account add "$house" paid=0.10 for="washer" day=2026-03-15 $B
run account add "$other" paid=1999.99 to="a plumber" for="gas heater set" mark=replaced receipt="invoice 7" day=2026-07-02 $B
run account add "$other" hours=1.75 miles=8 for="let the plumber in" day=2026-07-02 $B
run account add stock paid=86.40 for="12 elements" day=2026-01-09 $B
code_is 0 "stock for the van belongs to no house"
run visit record "$heater" method=flush minutes=95 cost=14.20 parts=gasket:1 photo=p1.jpg miles=11.2 paid=60 to="a helper" receipt=r2.jpg day=2026-05-05 $B
code_is 0 "a visit keeps its miles and what was paid on it"
out_has "account of the year" "and says where that went"

run account 2026 --json $B
code_is 0 "the account of a year"
cp out account.json
want=$(sqlite3 b "SELECT (SELECT coalesce(sum(cents), 0) FROM expense WHERE id NOT IN (SELECT replaces FROM expense WHERE replaces IS NOT NULL) AND strftime('%Y', day * 86400, 'unixepoch') = '2026') + (SELECT coalesce(sum(cast(round(cost_cents) AS INTEGER)), 0) FROM visit WHERE id NOT IN (SELECT replaces FROM visit WHERE replaces IS NOT NULL) AND strftime('%Y', day * 86400, 'unixepoch') = '2026')")
true_that "its sum to the cent is what SQLite adds up" jq -e --argjson w "$want" '.all.cents == $w' account.json
true_that "rows add up to the houses, and houses to all" jq -e '([.rows[].cents // 0] | add) == .all.cents and ([.houses[].cents] | add) == .all.cents' account.json
true_that "so do minutes and miles" jq -e '([.rows[].minutes // 0] | add) == .all.minutes and ([.rows[].tenth_miles // 0] | add) == .all.tenth_miles and .all.minutes == 200 and .all.tenth_miles == 435' account.json
true_that "repaired, replaced and upkeep add up" jq -e '.all | .upkeep_cents + .repaired_cents + .replaced_cents == .cents and .replaced_cents == 199999' account.json
true_that "pictures of a visit stand with it" jq -e 'any(.rows[]; .visit and .receipt == "p1.jpg")' account.json
true_that "parts from the van stand with the visit" jq -e 'any(.rows[]; .visit and (.what | contains("gasket 1")))' account.json
true_that "a helper's bill is a contractor's, with its receipt" jq -e 'any(.rows[]; .kind == "contractor" and .cents == 6000 and .receipt == "r2.jpg" and .mark == "upkeep")' account.json

run account 2026 --csv $B
cp out account.csv
true_that "the table has the same sum, by an independent reader" python3 -c "
import csv, decimal
rows = list(csv.DictReader(open('account.csv', newline='')))
total = sum(decimal.Decimal(r['amount_usd'] or 0) for r in rows)
assert total * 100 == $want, total
assert any(r['what'] == 'new relief valve, \"brass\"' for r in rows)
assert {r['mark'] for r in rows} <= {'upkeep', 'repaired', 'replaced'}
"
run account 2026 $B
out_has "no tax advice" "it says that it is no tax advice"
out_has "2 payments have neither receipt nor picture" "and what has no receipt"
out_has "For all houses" "stock has a place of its own"

run account paper 2026 $B -o a.pdf
code_is 0 "the account on paper"
true_that "its sum is that of the table" sh -c "pdftotext -raw a.pdf - | tr -s ' \n' ' ' | grep -q -F \"Paid \$(awk -v c=$want 'BEGIN { printf \"\$%d,%03d.%02d\", c / 100000, c / 100 % 1000, c % 100 }')\""
true_that "it says that it is no tax advice" sh -c "pdftotext -raw a.pdf - | tr -s ' \n' ' ' | grep -q 'no tax advice'"
run account paper soon $B -o never.pdf
fails "a word is no year on paper either"

row=$(jq '[.rows[] | select(.what == "washer") | .row][0]' account.json)
run account add corrects="$row" paid=1.10 $B
code_is 0 "a row is corrected"
run account 2026 --json $B
true_that "the sum follows to the cent" jq -e --argjson w "$want" '.all.cents == $w + 100' out
true_that "what was said before stays in the book" sh -c "[ \"\$(sqlite3 b 'SELECT cents FROM expense WHERE id = $row')\" = 10 ]"
run account add corrects="$row" paid=5 $B
fails "a row is corrected once; then the newer one"
true_that "nothing in the book can be changed behind its back" sh -c "! sqlite3 b 'UPDATE expense SET cents = 1' 2>/dev/null && ! sqlite3 b 'DELETE FROM expense' 2>/dev/null"

run book export expenses e.csv $B
"$tufa" book new c >/dev/null && "$tufa" book import "$here/examples/demo" --book c --today 2026-12-30 >/dev/null
run book import expenses e.csv --book c --today 2026-12-30
code_is 0 "expenses go out and come in"
true_that "nothing is lost on the way" sh -c "sqlite3 b 'SELECT day, kind, mark, what, who, cents, round(metres, 3), round(seconds, 3), receipt FROM expense WHERE id NOT IN (SELECT replaces FROM expense WHERE replaces IS NOT NULL) ORDER BY day, what' >1; sqlite3 c 'SELECT day, kind, mark, what, who, cents, round(metres, 3), round(seconds, 3), receipt FROM expense ORDER BY day, what' >2; cmp 1 2 && [ -s 1 ]"
run book import expenses e.csv --book c --today 2026-12-30
out_has "0 new, 0 changed" "taken twice they are the same"
sed 's/1999.99/1899.99/' e.csv >e2.csv
run book import expenses e2.csv --book c --today 2026-12-30
out_has "1 changed" "a row that says otherwise is a correction"
true_that "which adds a row" sh -c "[ \"\$(sqlite3 c 'SELECT count(*) FROM expense WHERE replaces IS NOT NULL')\" = 1 ]"

run account 1999 $B
code_is 0 "a year of which nothing is known is no error"
out_has "Nothing stands in the book for 1999" "and says so"
run account twenty $B
fails "a word is no year"
err_has "four digits" "what a year looks like is said"
run account add "$house" $B
fails "nothing to keep is refused"
run account add "$house" paid=12 $B
fails "a payment for nothing is refused"
err_has "say what it was for" "in plain words"
run account add "$house" paid="about 12" for=x $B
fails "a rough amount is no amount of an account"
run account add "$house" paid=12 for=x day=2027-05-05 $B
fails "a day in the future is refused"
run account add "$house" paid=12 for=x kin=fee $B
fails "an unknown key is refused"
err_has "did you mean kind" "with the nearest"
run account add "No Such House 1" paid=12 for=x $B
fails "an unknown house is refused"
run account add corrects=9999 paid=1 $B
fails "a row that is not there is not corrected"
done_testing
