. tests/cli/lib.sh

# near NAME KEY WANT TOLERANCE: a number of the JSON on standard output
near() {
    got=$(sed -n "s/.*\"$2\": *\([-0-9.e+]*\).*/\1/p" "$tmp/out" | head -1)
    if awk -v g="$got" -v w="$3" -v t="$4" 'BEGIN { d = g - w; if (d < 0) d = -d; exit !(g != "" && d <= t) }'; then say_result ok "$1"; else echo "# $2 is $got, wanted $3"; say_result fail "$1"; fi
}

run clean --relation settling d_mm=1.09 R=1.65 nu_m2s=1.0e-6 C1=18 C2=1.0
code_is 0 "a relation is answered"
near "sand of 1.09 mm falls as measured" settling_m_s 0.141 0.021
run clean --relation settling "d_um=70;rho_p=2600;rho_f=1000;mu=1e-3"
near "words may be joined by semicolons" sphere_m_s 0.0041425 0.0001
run clean --relation drain_time tank_d_m=1.2 hole_d_m=0.05 H_m=3 Cd=0.6
near "a worked example drains in its time" time_s 750.8 3.7
run clean --relation orifice "Cv=4" "dp=100 psi"
near "a value may carry its unit" flow_gpm 40 0.04
run clean --relation deposition "hose=5/8 in" S=2.2 FL=1.34 "d=2 mm"
near "fractions of an inch are read" durand_m_s 0.82 0.01
run clean --relation hose_flow static_psi=60 bore_mm=14 K=10 hose_in=0.625 length_ft=50
near "a whole line is solved" flow_L_min 43 1
for r in settling threshold orifice pipe_friction hose_flow ergun fluidise just_suspended deposition drain_time arch acid_capacity vacuum_plug; do
    run clean --relation $r zzz=1
    fails "$r refuses an unknown key"
done
run clean --relation settling d_mmm=1
err_has "did you mean d_mm" "the nearest key is offered"
run clean --relation setling d_mm=1
err_has "did you mean settling" "the nearest relation is offered"
run clean --relation settling d_mm=abc R=1.65
fails "a word for a number is refused"
run clean --relation settling d_mm=1 d_mm=2
err_has "twice" "a key given twice is refused"
run clean --relation settling d_mm=-1 R=1.65
fails "a negative size is refused"
run clean --relation settling
fails "a relation without inputs is refused"

echo '{"id":"a","fuel":"electric","age_years":8,"bed_kg":5,"static_psi":60,"plate_read":true,"relief_works":true,"top_open":true,"stirrer":{"rpm":1200,"feed_g_s":8}}' >"$tmp/case.json"
run clean "$tmp/case.json"
code_is 0 "a case is compared"
out_has "plain flush (M1)" "the methods are named"
out_has "Clear water at the hose does not prove" "clear water is no proof"
out_has "Closing card" "the closing card is there"
out_has "Power off and proved dead" "cautions are there"
run clean "$tmp/case.json" --json
code_is 0 "the same as JSON"
out_has '"method":"stirrer"' "the stirrer is compared"
out_has '"isolation":\["Heater' "isolation goes with each method"
out_has '"id":"C_ISO"' "cautions go with each method"
echo '{"fuel":"gas","age_years":14,"bed_kg":5,"top_open":false}' | "$tufa" clean - >"$tmp/out" 2>"$tmp/err"
code=$?
code_is 0 "a gas tank is compared"
out_has "no element hole" "a vacuum cannot work in a gas tank"
out_has "its gas bursts the tank" "no acid in a closed tank"
out_has "No air into a tank over about 10 years" "no air into an old tank"
bad() { printf '%s' "$2" | "$tufa" clean - >"$tmp/out" 2>"$tmp/err"; code=$?; fails "$1"; }
bad "an unknown key is refused" '{"bed_kgg":5}'
err_has "did you mean bed_kg" "and the nearest is offered"
bad "a wrong fuel is refused" '{"fuel":"wood"}'
bad "a negative bed is refused" '{"bed_kg":-5}'
bad "a range that runs backwards is refused" '{"bed_kg":[8,3]}'
bad "words for numbers are refused" '{"bed_kg":"about five"}'
bad "text that is no JSON is refused" '{"bed_kg":'
bad "half a pail test is refused" '{"flowing_psi":40}'
bad "too many draws are refused" '{"draws":100000000}'
bad "a sieve that does not fit is refused" '{"sieve":{"mesh_mm":[2,4],"over_share":[0.1,0.2]}}'
run clean /nowhere/case.json
fails "a missing file is told"
printf '{"bed_kg":"?","rise_ft":"3..8"}\n{"bed_kg":[2,4,9]}\n' | "$tufa" clean - --json >"$tmp/out" 2>"$tmp/err"
true_that "two cases give two lines" [ "$(wc -l <"$tmp/out")" = 2 ]

printf 'house,street\nElm 4,Elm\n' >"$tmp/tools_houses.csv"
printf 'heater,house,fuel,age,volume_gal\nElm 4 heater,Elm 4,electric,8,50\n' >"$tmp/tools_heaters.csv"
run book new "$tmp/tools.book"
run book import houses "$tmp/tools_houses.csv" --book "$tmp/tools.book"
run book import heaters "$tmp/tools_heaters.csv" --book "$tmp/tools.book"
run clean --heater "Elm 4 heater" --book "$tmp/tools.book" --today 2026-03-01
out_has "A rotating stirrer, if you have one" "a stirrer nobody said he has is no first choice"
run set setting stirrer yes --book "$tmp/tools.book" --today 2026-03-01
run set setting stirrer_rpm "700..900" --book "$tmp/tools.book" --today 2026-03-01
code_is 0 "a tool takes a range"
run clean --heater "Elm 4 heater" --book "$tmp/tools.book" --today 2026-03-01
out_has "First choice: rotating stirrer" "once it is said, it may be"
run set setting stirrer no --book "$tmp/tools.book" --today 2026-03-01
run clean --heater "Elm 4 heater" --book "$tmp/tools.book" --today 2026-03-01
out_has "There is no stirrer" "and where there is none it is refused"
run set setting vacuum_tube "1 mile" --book "$tmp/tools.book" --today 2026-03-01
fails "a tube a mile wide is refused"
err_has "0.3 to 3 in" "with what is allowed"
done_testing
