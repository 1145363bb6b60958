. tests/cli/lib.sh

ask() { # ask CASE [OPTIONS]: one case on standard input
    echo "$1" >"$tmp/case.json"
    shift
    run fault "$tmp/case.json" "$@"
}

ask '{"id":"a","fuel":"electric","complaints":["runs_out","slow_recovery"],"readings":[{"test":"early_drop","value":0.9,"unit":"K"},{"test":"litres_to_40","value":50,"unit":"L"},{"test":"ohm_lower","value":13.1,"unit":"ohm"},{"test":"V_lower","value":0.4,"unit":"V"},{"test":"V_contact_lower","value":0.5,"unit":"V"}]}' --json
code_is 0 "a case is answered"
out_has '"id":"a"' "the case's id comes back"
out_has '"stop":null' "nothing stops this work"
out_has '"faults":\[{"fault":"upper_no_handover"' "the change-over that does not hand over comes first"
for key in pairs next parts; do out_has "\"$key\":" "the answer has $key"; done
ask '{"id":"us","fuel":"electric","complaints":["runs_out"],"readings":[{"test":"litres_to_40","value":13.2,"unit":"gal"}]}' --json
first=$(sed 's/"probability":\([0-9.]\{6\}\).*/\1/' "$tmp/out")
ask '{"id":"us","fuel":"electric","complaints":["runs_out"],"readings":[{"test":"litres_to_40","value":49.9674,"unit":"L"}]}' --json
true_that "gallons and litres of the same draw tell the same" [ "$first" = "$(sed 's/"probability":\([0-9.]\{6\}\).*/\1/' "$tmp/out")" ]

ask '{"id":"g","fuel":"gas","complaints":["gas_smell"]}' --json
out_has '"level":"leave"' "a smell of gas sends everybody out"
out_has '"faults":\[\]' "and nothing else is said"
out_has '"next":null' "and nothing is measured"
ask '{"id":"g","fuel":"gas","complaints":["gas_smell"]}'
out_has 'LEAVE: Gas' "the words come first"
true_that "a stop that stands alone prints no odds" sh -c "! '$tufa' fault '$tmp/case.json' | grep -q 'in 100'"
ask '{"id":"h","fuel":"electric","complaints":["lukewarm"],"readings":[{"test":"tap_hot","value":160,"unit":"F"}]}' --json
out_has '"level":"stop"' "water over 158 F stops the work"
out_has '"next":null' "and no reading is asked for"
ask '{"id":"h","fuel":"electric","complaints":["lukewarm"],"made_safe":true,"readings":[{"test":"tap_hot","value":160,"unit":"F"}]}' --json
out_has '"next":{"test":' "once made safe the search goes on"

ask '{"id":"e","fuel":"electric","complaints":["egg_smell"],"heater":{"setpoint_c":44}}'
out_has 'where bacteria grow' "a smell is told the hours in which bacteria grow"
ask '{"id":"j","fuel":"gas","complaints":["co_alarm"],"readings":[{"test":"CO_room","value":38,"unit":"ppm"},{"test":"spill_min","value":99,"unit":"min"}]}' --json
out_has '"faults":\[{"fault":"flue_spill"' "readings that had been taken are weighed for whoever compares cases"
for key in '"next":null' '"parts":\[\]' '"do":\[\]'; do out_has "$key" "but nothing is measured, brought or done: $key"; done
ask '{"id":"j","fuel":"gas","complaints":["co_alarm"],"readings":[{"test":"CO_room","value":38,"unit":"ppm"},{"test":"spill_min","value":99,"unit":"min"}]}'
true_that "a person is told what to do and nothing else" sh -c "! grep -qE 'in 100|Bring|Next' '$tmp/out'"
undersized() { sed 's/.*"fault":"undersized","probability":\([0-9.e-]*\).*/\1/' "$tmp/out"; }
slow='"fuel":"electric","complaints":["slow_recovery"],"readings":[{"test":"recover_min","value":118,"unit":"min"}]'
ask "{\"id\":\"w\",\"month\":2,$slow}" --json
winter=$(undersized)
ask "{\"id\":\"w\",\"month\":8,$slow}" --json
true_that "two hours from cold are nothing odd in February, and are in August" awk "BEGIN {exit !($winter > 2 * $(undersized))}"
ask "{\"id\":\"w\",\"month\":2,\"heater\":{\"inlet_c\":19},$slow}" --json
true_that "a measured inlet stands before the season's" awk "BEGIN {exit !($winter > 2 * $(undersized))}"
ask '{"id":"h","fuel":"electric","complaints":["no_hot"],"own_hour_usd":400,"second_trip_usd":1}' --json
dear=$(sed 's/.*"expected_gain_usd":\([0-9.]*\).*/\1/' "$tmp/out"; grep -c '"repair"' "$tmp/out")
ask '{"id":"h","fuel":"electric","complaints":["no_hot"],"own_hour_usd":10,"second_trip_usd":300}' --json
true_that "an own hour and a second trip at other prices change what is worth doing" [ "$dear" != "$(sed 's/.*"expected_gain_usd":\([0-9.]*\).*/\1/' "$tmp/out"; grep -c '"repair"' "$tmp/out")" ]
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"own_hour_usd":-4}'
err_has "own_hour_usd" "a negative hour is refused"
ask '{"id":"r","fuel":"electric","complaints":["no_hott"]}'
code_is 2 "an unknown complaint is refused"
err_has "did you mean no_hot" "the nearest complaint is offered"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"ohm_lowr","value":1,"unit":"ohm"}]}'
err_has "did you mean ohm_lower" "the nearest reading is offered"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"tap_hot","value":120,"unit":"V"}]}'
err_has "this unit does not fit" "a wrong unit is refused"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"tap_hot","value":120}]}'
err_has "needs its unit" "a number without a unit is refused"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"tap_hot","value":140,"unit":"C"}]}'
err_has "1 to 99 C" "an impossible temperature is refused with what is possible"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"mV_open","value":20,"unit":"mV"}]}'
err_has "for gas heaters and the heater is electric" "a gas reading on an electric heater is refused"
ask '{"id":"r","fuel":"gas","complaints":["trips"]}'
err_has "belongs to electric heaters" "an electric complaint about a gas heater is refused"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"asked_no":["no_hot"]}'
err_has "voiced and denied" "a complaint cannot be voiced and denied"
ask '{"id":"r","fuel":"electric","complaint":["no_hot"]}'
err_has "complaints" "an unknown key is refused and the nearest offered"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"limit","value":"holds","unit":"category"}]}'
err_has "not_tripped" "a word that is none of the reading's is refused with the list"
ask '{"id":"r","fuel":"electric","complaints":["no_hot"],"heater":{"fuel":"gas"}}'
err_has "another fuel" "case and heater cannot burn different fuels"
ask '{"id":"c","fuel":"electric","complaints":["no_hot"],"readings":[{"test":"ohm_lower","value":12.9,"unit":"ohm"},{"test":"ohm_lower","value":2e7,"unit":"ohm"}]}' --json
code_is 0 "contradicting readings are kept"
out_has '"contradictory":\[\["ohm_lower","ohm_lower"\]\]' "and said to contradict"
ask '{"id":"p","fuel":"electric","complaints":["no_hot"],"heater":{"volume_l":76,"lower_w":1500,"upper_w":0},"supply_v":120,"plate_v":120}' --json
code_is 0 "a small single-element heater on 120 V is answered"
true_that "it has no upper element to suspect" sh -c "! grep -q upper_open $tmp/out"
ask '{"id":"lp","fuel":"propane","complaints":["no_hot"],"readings":[{"test":"inlet_wc","value":11,"unit":"in"}]}' --json
code_is 0 "propane is a fuel"
ask '{"id":"lp","fuel":"gas","propane":true,"complaints":["no_hot"],"readings":[{"test":"inlet_wc","value":11,"unit":"in"}]}' --json
cp "$tmp/out" "$tmp/flagged"
ask '{"id":"lp","fuel":"propane","complaints":["no_hot"],"readings":[{"test":"inlet_wc","value":11,"unit":"in"}]}' --json
true_that "and the same as gas marked so" cmp -s "$tmp/out" "$tmp/flagged"
printf '%s\n' '{"id":"1","fuel":"electric","complaints":["noise"]}' '{"id":"2","fuel":"electric","complaints":["nois"]}' '{"id":"3","fuel":"gas","complaints":["noise"]}' >"$tmp/three.json"
run fault "$tmp/three.json" --json
code_is 2 "a bad case among good ones is told by the exit code"
out_has '"id":"3"' "and the case after it is answered"
err_has "line 2" "and its line is named"
run fault "$tmp/nowhere.json"
code_is 4 "a file that is not there is told"
done_testing
