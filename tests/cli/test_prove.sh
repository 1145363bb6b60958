. tests/cli/lib.sh
book="$tmp/p.book"
printf 'house,street\nElm 4,Elm\n' >"$tmp/houses.csv"
printf 'heater,house,fuel,age,volume_gal\nElm 4 heater,Elm 4,electric,8,50\n' >"$tmp/heaters.csv"
run book new "$book"
run book import houses "$tmp/houses.csv" --book "$book"
run book import heaters "$tmp/heaters.csv" --book "$book"
run prove "Elm 4 heater" --book "$book" --today 2026-03-01
code_is 0 "without a reading the forecast is told"
out_has "no reading of this tank" "and said to be one"
run visit record "Elm 4 heater" method=vacuum dry_weight=6.2 probe=0.2,0.3,0.2,0.1,0.2 refill=49.2 baseline=yes --book "$book" --today 2026-03-02
run prove "Elm 4 heater" --book "$book" --today 2026-03-03
code_is 0 "readings of a visit are proved"
out_has "For the record: Clean, by" "clean by the rule"
out_has "five spots" "the probe speaks"
run prove "Elm 4 heater" --book "$book" --today 2026-03-03 --json
out_has '"clean":true' "the same as JSON"
run visit record "Elm 4 heater" refill=45.0 dry_weight=1 --book "$book" --today 2026-06-02
run prove "Elm 4 heater" --book "$book" --today 2026-06-03
out_has "the probe or the refill finds bed" "the clean refill of March is what June is measured against"
run book new "$tmp/n.book"
run book import houses "$tmp/houses.csv" --book "$tmp/n.book"
run book import heaters "$tmp/heaters.csv" --book "$tmp/n.book"
run visit record "Elm 4 heater" refill=45.0 dry_weight=1 baseline=yes --book "$tmp/n.book" --today 2026-06-02
run prove "Elm 4 heater" --book "$tmp/n.book" --today 2026-06-03 --json
out_has '"clean":false' "a reading does not prove itself by being called the clean one"
run set "Elm 4 heater" baseline "49.2 gal" --book "$book" --today 2026-03-03
code_is 0 "a baseline is a field of the heater"

run book new "$tmp/b.book"
run book import houses "$tmp/houses.csv" --book "$tmp/b.book"
run book import heaters "$tmp/heaters.csv" --book "$tmp/b.book"
run visit record "Elm 4 heater" minutes=10 --book "$tmp/b.book" --today 2026-03-01
out_has "no clean readings of its own" "a tank without clean readings asks for them"
run visit record "Elm 4 heater" first_draw=43 refill=49.5 drain_flow=9 heat_kwh=7.6 start=58 end=126 heat_minutes=102 baseline=yes --book "$tmp/b.book" --today 2026-03-02
code_is 0 "clean readings are kept"
run visit record "Elm 4 heater" first_draw=42.9 refill=49.2 drain_flow=8.8 heat_kwh=7.5 start=58 end=126 heat_minutes=101 dry_weight=2 --book "$tmp/b.book" --today 2027-03-02
code_is 0 "a year later they are read again"
run prove "Elm 4 heater" --book "$tmp/b.book" --today 2027-03-03 --json
out_has '"clean":true' "a refill like the clean one and a weight: clean by the rule"
true_that "all four readings are measured against their own" awk 'BEGIN {RS = "\\{"} /"reading":"refill"/ {ok += /"error_L":[0-3]\./} /"reading":"heatup"/ {ok += /"error_L":[0-7]\./} /"reading":"draw"/ {ok += /"error_L":[0-9]\./} END {exit ok < 3}' "$tmp/out"
run visit record "Elm 4 heater" probe=1,1,1,1,1 refill=47 baseline=yes --book "$tmp/b.book" --today 2027-03-04
fails "readings of a tank in which the rod finds bed are no clean ones"
err_has "the rod still finds bed" "and it says why"
run visit record "Elm 4 heater" minutes=5 baseline=yes --book "$tmp/b.book" --today 2027-03-04
fails "a baseline without a reading is refused"

ask() { printf '%s\n' "$1" | "$tufa" prove - --json >"$tmp/out" 2>"$tmp/err"; code=$?; }
ask '{"fuel":"electric","volume_L":190,"diameter_m":0.4485,"below_element_L":19,"clean_refill_L":188,"refill_L":182,"probe_mm":[50,52,48,50,50],"mass_kg":4}'
code_is 0 "a case is proved"
out_has '"clean":false' "a bed of 50 mm is not clean"
out_has 'rest unknown' "the record says so"
ask '{"fuel":"electric","volume_L":190,"heat_kWh":7.67,"start_C":14.4,"end_C":52,"heat_min":102}'
out_has '"sharpen":"probe5"' "a normal heat-up asks for the probe"
ask '{"fuel":"gas","volume_L":151,"heat_kWh":7,"start_C":14.4,"end_C":52}'
out_has '"sees_bed":false' "in a gas tank it sees nothing"
ask '{"fuel":"electric","flow_gpm":9,"clear_gpm":9.2}'
out_has '"sees_bed":false' "a restored flow says nothing of the tank"
bad() { ask "$2"; fails "$1"; }
bad "an unknown key is refused" '{"refil_L":180}'
err_has "did you mean refill" "and the nearest offered"
bad "four spots are refused" '{"probe_mm":[1,2,3,4]}'
bad "a negative depth is refused" '{"probe_mm":[1,2,3,4,-5]}'
bad "a heat-up that cools is refused" '{"heat_kWh":7,"start_C":50,"end_C":20}'
bad "a flow without its clear flow is refused" '{"flow_gpm":5}'
bad "text for a number is refused" '{"mass_kg":"much"}'
bad "broken JSON is refused" '{"mass_kg":'
run prove "Oak 9" --book "$book" --today 2026-03-03
fails "an unknown heater is refused"
done_testing
