. tests/cli/lib.sh
day=2026-11-25
first() { # first BOOK: the dialogue, its answers from the file that `answers` wrote
    "$tufa" --book "$1" --today $day <"$tmp/answers" >"$tmp/out" 2>"$tmp/err"
    code=$?
    tr '\n' ' ' <"$tmp/out" | tr -s ' ' >"$tmp/flat"
}
flat_has() { if grep -q -e "$1" "$tmp/flat"; then say_result ok "$2"; else say_result fail "$2"; fi; }
heaters() { sqlite3 "$1" 'select count(*) from heater'; }

printf '12\n8 electric, 4 gas\n3, 6, 9, about 12, 15, 18, ?, between 8 and 12, 7, 14, 5, 11\nvery hard\n' >"$tmp/answers"
first "$tmp/a.book"
code_is 0 "four answers make a book and a page"
true_that "with its heaters" test "$(heaters "$tmp/a.book")" = 12
flat_has "To see first" "the few to see first"
flat_has "Why: " "why"
flat_has "To the tenant: " "in words for a tenant"
flat_has "Bring: " "what to bring"
flat_has "Money: .* if done, .* if left" "money if done and if left"
flat_has "What would change this most: " "what would change its mind"
flat_has "Local codes and licensed practice come first" "law comes first"
flat_has "tufa set" "how to correct one thing"
flat_has "water works" "the figure to ask the water works for"
true_that "no line is wider than 96 columns" test -z "$(LC_ALL=C.UTF-8 grep -E '^.{97,}' "$tmp/out")"

run --book "$tmp/a.book" --today $day
code_is 0 "with a book the head of the plan is printed"
out_has "^You have 12 water heaters" "as a letter"
out_has "tufa year" "with what to type next"

printf "don't know\n?\ndon't know\n?\n" >"$tmp/answers"
first "$tmp/b.book"
code_is 0 "don't know is an answer to everything"
true_that "the number of houses is then assumed" test "$(heaters "$tmp/b.book")" = 10

printf 'about 5\ngas\n?\n18\n' >"$tmp/answers"
first "$tmp/c.book"
code_is 0 "about 5, one fuel, one age for all and a figure are understood"
true_that "five heaters" test "$(heaters "$tmp/c.book")" = 5
true_that "all gas" test "$("$tufa" year --book "$tmp/c.book" --today $day --json | jq -r 'select(.kind == "heater") | .fuel' | sort -u)" = gas
flat_has "The same for House" "heaters with the same proposal are told together"
true_that "of like heaters the same is said" test "$("$tufa" year --book "$tmp/c.book" --today $day --json | jq -r 'select(.kind == "heater") | [.action, .cost_done_usd, .cost_left_usd] | @csv' | sort -u | wc -l)" = 1

# Whatever sends a hand to a heater carries its cautions.
worked=0
bare=0
for fuel in electric gas; do
  for age in "?" "about 6" "about 15" "about 20" "4, 9, 13, 17, 22"; do
    rm -f "$tmp/w.book"
    printf '%s\n' 5 "$fuel" "$age" 18 >"$tmp/answers"
    first "$tmp/w.book"
    grep -qE "\): (anode check|clean|flush|change|plan to replace)" "$tmp/flat" || continue
    worked=$((worked + 1))
    grep -q "Cautions" "$tmp/flat" || bare=$((bare + 1))
  done
done
true_that "some pages propose work" test "$worked" -ge 1
true_that "cautions stand with the work" test "$bare" = 0

printf 'many\n-3\n1e9\n4\ncoal\nelectric\nhundred\nbetween 4 and 16\nrock\nhard\n' >"$tmp/answers"
first "$tmp/d.book"
code_is 0 "bad answers are asked again"
flat_has "many" "naming what was not understood"
flat_has "One word will do: electric, gas or propane" "with a hint"
true_that "and the good ones are kept" test "$(heaters "$tmp/d.book")" = 4

printf '3\n' >"$tmp/answers"
first "$tmp/e.book"
code_is 0 "where the input ends, the rest is not known"
flat_has "no more input" "and that is said"
printf '' >"$tmp/answers"
first "$tmp/f.book"
code_is 2 "no input at all makes no book"
true_that "indeed none" test ! -e "$tmp/f.book"
printf '4\nelectric\n1,2,3,4,5\n?\n?\n' >"$tmp/answers"
first "$tmp/g.book"
flat_has "there are more ages than heaters" "more ages than heaters are refused"
{ head -c 300000 /dev/zero | tr '\0' 'x'; printf '\n3\n'; } >"$tmp/answers"
first "$tmp/h.book"
code_is 0 "one endless line is one bad answer"
true_that "cut short where it is repeated" test "$(wc -c <"$tmp/out")" -lt 20000
printf '2\ngas\n5\nhard\n' >"$tmp/answers"
first "$tmp/no/such/folder.book"
fails "a folder that is not there"
err_has "folder.book" "is named"
run --book "$tmp/a.book" --today 2026-13-01
code_is 2 "a day that does not exist is refused"
run --nonsense
code_is 2 "an option that is not there is refused"
done_testing
