. tests/cli/lib.sh
book=$tmp/calls.book
printf 'house,street,restore_hours,at_risk\nMill Lane 3,Mill Lane,,\nQuarry Road 8,Quarry Road,24,yes\nLinden Row 14,Linden Row,72,\n' >"$tmp/houses.csv"
printf 'house,heater,fuel,age,volume_gal,element_w\nMill Lane 3,Mill Lane 3,gas,12,40,\nQuarry Road 8,Quarry Road 8,gas,7,40,\nLinden Row 14,Linden Row 14,electric,9,50,4500\n' >"$tmp/heaters.csv"
run book new "$book"
run book import houses "$tmp/houses.csv" --book "$book" --today 2026-11-20
code_is 0 "houses with the town's time to restore are taken"
run book import heaters "$tmp/heaters.csv" --book "$book" --today 2026-11-20

call() { run call "$@" --book "$book" --today 2026-11-23; }

call new "Linden Row 14" "One short shower and it is cold" --complaint runs_out --complaint slow_recovery
code_is 0 "a call is taken down"
out_has "Next reading" "and the first reading is named"
out_has "Hot water tonight" "and hot water for tonight"
call new "Mill Lane 3" "It smells of gas down there" --complaint gas_smell
out_has "LEAVE: Gas" "danger is the whole answer"
out_has "Told the tenant" "the advice is written down with its time"
call new "Quarry Road 8" "No hot water since the morning" --complaint no_hot
call new "Linden Row 14" "x" --complaint pilot_out
code_is 2 "a gas complaint about an electric heater is refused"
call new "Linden Row 14" "x" --complaint runs_outt
err_has "did you mean runs_out" "the nearest complaint is offered"
call new "Linden Row 99" "x" --complaint runs_out
fails "an unknown heater is refused"

true_that "danger stands first, then the house with people at risk, then the rest" sh -c "'$tufa' call today --book '$book' --today 2026-11-23 | grep '^[0-9]\. Call' | tr '\n' ' ' | grep -q 'Mill Lane.*Quarry Road.*Linden Row'"
call today
out_has "The town allows 24 hours" "the town's time stands with its source"
out_has "Bring:" "what to bring is said for the first two"
true_that "the third call is told no more than its turn" sh -c "'$tufa' call today --json --book '$book' --today 2026-11-23 | tail -1 | grep -q '\"when\":\"days\"'"

call read 1 litres_to_40 13gal
code_is 0 "a reading is taken in gallons"
out_has "What each reading did" "it says what changed"
out_has "times likelier" "and by how much"
call read 1 litres_to_40 "12..14 gal"
code_is 0 "between two figures is a reading too"
call undo 1
call read 1 litres 13gal
err_has "did you mean litres_to_40" "a part of a name finds the reading"
call read 1 ohm_lower OL
out_has "over 99 in 100  Lower element burnt out" "a meter without a reading settles it"
call read 1 tap_hot 300F
code_is 2 "an impossible reading is refused"
err_has "33.8 to 210.2 F" "in the unit that was typed"
call read 1 tap_hot 50V
err_has "does not fit" "a wrong unit is refused"
call read 1 mV_open 20mV
err_has "gas heaters" "a gas reading on an electric heater is refused"
call read 1 tap_hot "?"
code_is 0 "not known is an answer"
call undo 1
out_has "Taken back: ohm_lower" "the newest entry is taken back"
call show 1 --json
out_has '"moved":\[{"test":"litres_to_40"' "the explanation names each reading"
true_that "what was undone is gone" sh -c "! '$tufa' call show 1 --json --book '$book' | grep -q '\"test\":\"ohm_lower\",\"log'"
before=$("$tufa" call show 1 --json --book "$book" --today 2026-11-23 | sed 's/.*"fault":"lower_tstat_open","probability":\([0-9.]*\).*/\1/')
call close 1
code_is 2 "a call is closed with what was found"
call close 1 --found lower_tstat_opn
err_has "did you mean lower_tstat_open" "the nearest fault is offered"
call close 1 --found lower_tstat_open
code_is 0 "a call is closed"
call read 1 tap_hot 50C
fails "a closed call takes no reading"
call new "Linden Row 14" "Again one short shower" --complaint runs_out --complaint slow_recovery
call read 4 litres_to_40 13gal
after=$("$tufa" call show 4 --json --book "$book" --today 2026-11-23 | sed 's/.*"fault":"lower_tstat_open","probability":\([0-9.]*\).*/\1/')
true_that "what was found raises its own odds next time" awk "BEGIN {exit !($after > $before)}"
call told 2 "I come at four; leave the valve as it is"
code_is 0 "what the tenant was told is kept"
call show 2
out_has 'Told the tenant 20.*I come at four' "with its time"
call told 2 "$(printf '%0500d' 0)"
code_is 2 "more than the book keeps in one place is refused, not cut"
call told 2
err_has "what the tenant was told" "and nothing is not kept"
call safe 2 "gas company, 14:20, leak mended"
call show 2
out_has "Next reading" "after it was made safe the search goes on"
out_has "LEAVE" "and the stop still stands there"
printf 'too short\n1 2\nundo\nlitres_to_40 13gal\nundo\ndone\n' >"$tmp/typed"
"$tufa" call ask "Linden Row 14" --book "$book" --today 2026-11-23 <"$tmp/typed" >"$tmp/out" 2>"$tmp/err"
code=$?
code_is 0 "the dialogue works through pipes as well"
out_has "Taken back: litres_to_40" "and takes back what was typed"
run call show 77 --book "$book"
fails "a call that is not there is told"
run call show x --book "$book"
err_has "named by its number" "a call is named by its number"
true_that "the book is whole" "$tufa" book check --book "$book"
# Bills that the book keeps: most of two years at 600 kWh a month, then 780.
{
    echo "house,date,days,kwh"
    for y in 2024 2025 2026; do for m in 01 02 03 04 05 06 07 08 09 10 11 12; do
        day=$y-$m-01
        case $day in 2024-0* | 2026-1[2]*) continue ;; esac
        kwh=600
        case $day in 2026-0[5-9]* | 2026-1*) kwh=780 ;; esac
        echo "Linden Row 14,$day,30,$((kwh + ${m#0} % 3 * 7))"
    done; done
} >"$tmp/bills.csv"
run book import bills "$tmp/bills.csv" --book "$book" --today 2026-11-20
code_is 0 "bills are taken"
call new "Linden Row 14" "The electric bill went up" --complaint bill_electric
code_is 0 "a call about the bill is taken down"
out_has "use went up" "and the bills of the house are read as evidence"

done_testing
