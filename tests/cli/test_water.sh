. tests/cli/lib.sh

sheet() { printf "$1" >"$tmp/sheet.csv"; }
key() { jq -r "$1" "$tmp/out"; }
near() { # near NAME GOT WANTED TOLERANCE
    if awk "BEGIN { d = ($2) - ($3); exit !(d < 0 ? -d <= $4 : d <= $4) }"; then say_result ok "$1"; else echo "# got $2, wanted $3"; say_result fail "$1"; fi
}
heat() { run water "$tmp/sheet.csv" --at 60 --json; }

IONS=mg_mmol_kgw,na_mmol_kgw,k_mmol_kgw,cl_mmol_kgw,so4_mmol_kgw,no3_mmol_kgw
sheet "id,temp_c,ph,alkalinity_meq_kgw,ca_mmol_kgw,$IONS\nD20,12,6.95,8.39271,3.61795,1.48118,1.45282,0.07673,1.26929,0.93689,0.19353\nD21,18,7.5,3.59687,3.7427,1.39889,1.83995,0.10231,1.69238,3.43526,0.06451\n"
run water "$tmp/sheet.csv" --at 60 --at 90 --json
code_is 0 "a lab sheet is answered"
near "one line for each water and temperature" "$(wc -l <"$tmp/out")" 4 0
near "pH as PHREEQC has it" "$(key 'select(.id=="D20" and .at_c==60).ph')" 6.7841 0.0005
near "calcite index as PHREEQC has it" "$(key 'select(.id=="D20" and .at_c==60).si_calcite')" 0.5999 0.0005
near "scale to come as PHREEQC has it" "$(key 'select(.id=="D20" and .at_c==60).ccpp_mmol_kgw')" 1.17712 0.001
near "in mg/L too" "$(key 'select(.id=="D20" and .at_c==60).ccpp_mg_l')" 117.814 0.1
near "hardness alone misleads" "$(key 'select(.id=="D21" and .at_c==60).ccpp_mg_l')" 47.301 0.1
near "the range holds the figure" "$(key 'select(.id=="D20" and .at_c==60) | if .ccpp_mg_l_p10 < .ccpp_mg_l and .ccpp_mg_l < .ccpp_mg_l_p90 then 1 else 0 end')" 1 0
for k in id at_c constants ph si_calcite si_aragonite ccpp_mmol_kgw ccpp_mg_l pco2_atm ionic_strength langelier; do
    near "every line has $k" "$(jq -r "has(\"$k\")" "$tmp/out" | sort -u | grep -c true)" 1 0
done
run water "$tmp/sheet.csv" --at 60 --constants 1982 --json
near "the other set of constants" "$(key 'select(.id=="D20").si_calcite')" 0.5158 0.0005
near "it says its name" "$(key 'select(.id=="D20").constants')" 1982 0
run water - --at 60 --json <"$tmp/sheet.csv"
near "input comes from a pipe" "$(key 'select(.id=="D20").ccpp_mmol_kgw')" 1.17712 0.001

# one water in many units
want=74.94
for s in "ph,temp_c,ca_mg_l,mg_mg_l,na_mg_l,k_mg_l,cl_mg_l,so4_mg_l,no3_mg_l,alkalinity_mg_l_caco3\n8.0,25,79,18,15,2,24,33,5.312,257\n" \
    "pH,Temp (F),Calcium (mg/L),Magnesium (ppm),Sodium mg/l,K mg/L,Chloride (mg/L),SO4-S (mg/L),NO3-N (mg/L),Bicarbonate (mg/L)\n8.0,77,79,18,15,2,24,11.0136,1.2,313.35\n" \
    "\357\273\277ph;temp_c;ca_mmol_l;mg_meq_l;na_mmol_kgw;k_mg_l;cl_meq_l;so4_mmol_l;no3_mmol_l;alkalinity_dh\r\n8.0;25;1.97116;1.48118;0.65246;2;0.67695;0.34354;0.08567;14.3993\r\n" \
    "ph\ttemp_c\thardness_gpg\tca_mg_l\tna_mg_l\tk_mg_l\tcl_mg_l\tso4_mg_l\tno3_mg_l\talkalinity_fh\n8.0\t25\t15.8548\t79\t15\t2\t24\t33\t5.312\t25.7\n"; do
    sheet "$s"
    heat
    near "the same water in other units" "$(key .ccpp_mg_l)" $want 0.05
done

# traps of real sheets
MAIN=ph,temp_c,ca_mg_l,mg_mg_l,na_mg_l,cl_mg_l
sheet "id,$MAIN,so4_mg_l,alkalinity_mg_l_caco3\nA,7.8,12,102,12,44,40,76,118\n" && heat
out_has "SO4-S" "sulfate given as sulfur is noticed"
sheet "id,$MAIN,so4_mg_l,hco3_mg_l\nA,7.44,12,56.8,10.8,34.8,4,18.8,243\n" && heat
out_has "really alkalinity" "alkalinity given as bicarbonate is noticed"
sheet "id,$MAIN,so4_mg_l,alkalinity_mg_l_caco3\nA,7.44,12,56.8,10.8,34.8,4,18.8,296\n" && heat
out_has "really given as bicarbonate" "bicarbonate given as alkalinity is noticed"
sheet "id,$MAIN,so4_mg_l,alkalinity_mg_l_caco3,hco3_mg_l\nA,7.44,12,56.8,10.8,34.8,4,18.8,150,296\n" && heat
out_has "Two alkalinities" "two alkalinities are noticed"
sheet "id,$MAIN,so4_mg_l,alkalinity_mg_l_caco3\nA,8.1,12,<0.1,<1,150,29,15,254\n" && heat
out_has "through a softener" "softened water is noticed"
sheet "id,ph,ca_mg_l,hardness_mg_l_caco3,alkalinity_mg_l_caco3\nA,7.3,190,250,220\n" && heat
out_has "ca_mg_l_caco3" "calcium given as CaCO3 is noticed"
sheet "id,ph,temp_c,ca_mg_l,alkalinity_mg_l_caco3\nA,8.3,25,90,260\n" && heat
out_has "lost gas" "a pH from the bench is noticed"
sheet "id,ph,ca_mg_l,alkalinity_mg_l\nA,7.3,90,260\n" && heat
out_has "taken as mg/L of CaCO3" "an alkalinity without its form is said to be taken as CaCO3"
near "what was not given is named" "$(key '.assumed | index("na") != null' | grep -c true)" 1 0

# less than a lab sheet
run water --hardness "about 25 gpg" --json
code_is 0 "one hardness figure is enough"
near "and asks for the figure that helps most" "$(key 'if .ask == "alkalinity" then 1 else 0 end')" 1 0
w25=$(key '.ccpp_mg_l_p90 - .ccpp_mg_l_p10')
run water --hardness "25 gpg" --alkalinity 290 --ph 7.3 --temp 55F --json
near "each figure narrows the range" "$(key "if .ccpp_mg_l_p90 - .ccpp_mg_l_p10 < 0.6 * $w25 then 1 else 0 end")" 1 0
for words in "very hard" "hard" "soft" "8..14" "between 8 and 14" "300 mg/L" "17 dH" "?" "don't know" "over 20"; do
    run water --hardness "$words"
    code_is 0 "hardness: $words"
done
run water --hardness "very hard"
out_has "Call the water works and" "the answer ends with a sentence for the telephone"
out_has "total alkalinity" "which asks for one figure"
out_has "nearest" "the published waters it leans on are named"
run water --hardness 20 --softened --json
near "behind a softener nothing comes" "$(key 'if .ccpp_mg_l < 1 then 1 else 0 end')" 1 0
run water --hardness 20 --at 140F
out_has "140 F (60 C)" "Fahrenheit is taken and said"
for jargon in CCPP " SI " percentile posterior prior; do
    if grep -q -e "$jargon" "$tmp/out"; then say_result fail "no jargon: $jargon"; else say_result ok "no jargon: $jargon"; fi
done

# acid
run water --soak acetic --percent 5 --at 20 --mode open --json
near "vinegar on lime, open" "$(key .caco3_dissolved_g_per_l_acid)" 40.0 0.4
run water --soak acetic --percent 5 --at 50 --mode closed --json
near "vinegar on lime, closed" "$(key .caco3_dissolved_g_per_l_acid)" 32.8 0.4
run water --soak citric --at 20 --citrate-solid --json
near "citrate that settles out" "$(key .citrate_solid_mol_kgw)" 0.136 0.002
run water --soak citric --at 68F --mode closed
out_has "acid bursts" "the warning stands beside the figure"

# what is refused, each with a reason
refused() { sheet "$1"; run water "$tmp/sheet.csv"; fails "refused: $3"; err_has "$2" "and said why: $3"; }
refused "" "empty" "an empty file"
refused "id,ph\n" "no water below" "a header alone"
refused "id|ph|ca_mg_l\n1|7|80\n" "separated" "another separator"
refused "id,ph,alkalinity_mg_l_caco3\nW,7.5,200\n" "neither calcium nor hardness" "no calcium"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,0,200\n" "no calcium" "calcium 0"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,0,80,200\n" "line 2: ph \"0\"" "pH 0"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,-80,200\n" "allowed: 0 to" "a negative figure"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,90000,200\n" "allowed: 0 to" "an absurd figure"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,nan,80,200\n" "no number" "nan"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,inf,200\n" "no number" "inf"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,1e999,200\n" "outside" "1e999"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,80,0\n" "alkalinity" "no alkalinity"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,11.4,80,20\n" "more alkalinity" "a pH that the alkalinity cannot hold"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,80,200\nW,7.5,81,200\n" "already in line 2" "an id twice"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5\377,80,200\n" "UTF-8" "bytes that are not UTF-8"
refused "\377\376i\000d\000" "UTF-16" "UTF-16"
refused "id,ph,ca,alkalinity_mg_l_caco3\nW,7.5,80,200\n" "does not say its unit" "a column without its unit"
refused "id,ph,calcum_mg_l,alkalinity_mg_l_caco3\nW,7.5,80,200\n" "did you mean calcium_mg_l" "a column misspelled"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5,80\n" "3 fields" "a short line"
refused "id,ph,ca_mg_l,calcium_mg_l,alkalinity_mg_l_caco3\nW,7.5,80,95,200\n" "another figure" "two figures for one thing"
refused "id,ph,ca_mg_l,alkalinity_mg_l_caco3\nW,7.5 F,80,200\n" "unit" "a unit that does not fit"
refused "id;ph;ca_mg_l;alkalinity_mg_l_caco3\nW;7,5;80;200\n" "point before the decimals" "a decimal comma"
head -c 10000000 /dev/zero | tr '\0' a >"$tmp/long.csv"
run water "$tmp/long.csv"
fails "refused: a line of 10 MB"
err_has "too long" "and said why: a line of 10 MB"
run water "$tmp/none.csv"
fails "a file that is not there"
run water "$tmp"
fails "a folder"
run water --hardness 20 --at 200
err_has "0 to 95" "a temperature out of range names the range"
run water --hardness 20 --constants 1990
err_has "2025 or 1982" "an unknown set of constants"
run water
err_has "very hard" "nothing to work on: says how"
run water --soak bleach
err_has "acetic" "an unknown acid"
run water --hardness 20 --at 95
out_has "stretched" "95 C is marked as stretched"
done_testing
