# Bills and interval readings through the program: answers, JSON keys, bad input named, the book, bounded memory.
. tests/cli/lib.sh

json() { jq -e "$1" "$tmp/out" >/dev/null 2>&1; }
json_has() { if json "$1"; then say_result ok "$2"; else echo "# not true: $1"; say_result fail "$2"; fi; }

# Two years of bills of an invented house: base 15 kWh a day, 0.5 kWh for each degree F below 60, a step of 4 from
# 2023-01-01 on; noise without chance.
awk 'BEGIN {
    split("31 28 31 30 31 30 31 31 30 31 30 31", d, " "); split("24 29 37 49 60 69 74 72 64 53 40 28", t, " ")
    split("0.3 -0.2 0.1 -0.4 0.2 0.0 -0.1 0.4 -0.3 0.2 -0.2 0.1 0.2 0.1 -0.3 0.3 -0.1 0.2 0.0 -0.2 0.1 -0.4 0.3 0.0", e, " ")
    print "date,days,kwh,mean_temp_f,cost"
    for (i = 0; i < 24; i++) {
        m = i % 12 + 1; y = 2022 + int(i / 12); f = t[m] + (i > 11 ? 2 : 0)
        a = 15 + (f < 60 ? 0.5 * (60 - f) : 0) + e[i + 1] + (i > 11 ? 4 : 0)
        ny = m == 12 ? y + 1 : y; nm = m == 12 ? 1 : m + 1
        printf "%d-%02d-01,%d,%.0f,%d,%.2f\n", ny, nm, d[m], a * d[m], f, 9 + 0.15 * a * d[m]
    }
}' >"$tmp/step.csv"

run bill "$tmp/step.csv" --json
code_is 0 "a file of bills is answered"
json_has '.change.kind == "step" and .change.probability > 0.9' "the step is found"
json_has '.change.per_day > 3.4 and .change.per_day < 4.6 and .change.per_day_low < 4 and .change.per_day_high > 4' "its size is right"
json_has '.change.date_low <= "2023-01-01" and .change.date_high >= "2023-01-01" and .change.date_low > "2022-10-01"' "its date lies within the interval"
json_has '.model == "3PH" and (.base_per_day > 14 and .base_per_day < 16)' "the model and the base are right"
json_has '.heating_slope > 0.81 and .heating_slope < 0.99 and (.heating_slope_per_f * 1.8 - .heating_slope | fabs) < 0.001' "the slope goes with degrees C, the same per degree F beside it"
json_has '.balance_c > 14.5 and .balance_c < 16.6' "the balance point is right"
json_has '[.causes[] | select(.cause == "earthed_element")][0] | .fits < 0.05 and .bound_per_day > 0.3 and .bound_per_day < 3' "a grounded element cannot keep so much heat in the tank"
json_has '[.causes[] | select(.cause == "hot_drip")][0].fits > 0.5' "a hot drip could"
json_has '.drip_l_h > 2 and .drip_l_h < 6' "and how many litres an hour that is"
json_has 'keys as $k | ["base_per_day","heating_slope","balance_c","change","causes","model","notes","r2"] - $k == []' "the keys of the answer are there"
run bill "$tmp/step.csv"
out_has "A step: " "the words say the step"
out_has "[$]18" "and what it costs"
out_has "grounded element" "and what cannot be"
for word in posterior percentile CCPP regret; do
    if grep -qi "$word" "$tmp/out"; then say_result fail "no $word in the words"; else say_result ok "no $word in the words"; fi
done
run bill - --json <"$tmp/step.csv"
json_has '.change.kind == "step"' "bills come through a pipe too"
awk -F, 'NR == 1 {print "Start Date;Usage (kWh);Billing days;Avg temp F"} NR > 1 {split($1, d, "-"); m = d[2] - 1; y = d[1]; if (m == 0) {m = 12; y--}
    printf "%d/1/%d;%s;%d;%s\n", m, y, $3, $2, $4}' "$tmp/step.csv" >"$tmp/starts.csv"
run bill "$tmp/starts.csv" --json
json_has '.change.kind == "step" and .change.date_low <= "2023-01-01" and .change.date_high >= "2023-01-01"' "first days of periods are told from days of readings"
awk -F, -v OFS=, 'NR == 1 {print "year,month,days,kwh,mean_temp_c"} NR > 1 {split($1, d, "-"); m = d[2] - 1; y = d[1]; if (m == 0) {m = 12; y--}
    print y, m, $2, $3, ($4 - 32) / 1.8}' "$tmp/step.csv" >"$tmp/months.csv"
run bill "$tmp/months.csv" --json
json_has '.change.kind == "step" and .balance_c > 14.5 and .balance_c < 16.6' "years and months with degrees C say the same"

awk -F, -v OFS=, 'NR == 1 {print "date,kwh,mean_temp_c"} NR > 1 {printf "%s-%02d,%s,%s\n", $1, $2, $4, $5}' "$tmp/months.csv" >"$tmp/whole.csv"
run bill "$tmp/whole.csv" --json
json_has '.change.kind == "step" and .balance_c > 14.5 and .balance_c < 16.6' "whole months as 2022-03 say the same"

head -13 "$tmp/step.csv" >"$tmp/steady.csv"
run bill "$tmp/steady.csv" --json
json_has '.change.kind == "none" and .change.date == null and .causes == []' "a steady year has no change and no causes"

# ---- what is wrong with a file is named ----
bad() { # bad NAME PATTERN: the file is refused and the reason says so
    run bill "$tmp/bad.csv"
    fails "$1 is refused"
    err_has "$2" "$1 is named"
}
awk -F, -v OFS=, 'NR > 1 {t = $2; $2 = $3; $3 = t} {print}' "$tmp/step.csv" >"$tmp/bad.csv"
bad "days and kWh swapped" "swapped"
sed '5s/,[0-9]*,\([0-9]*\),/,31,-\1,/' "$tmp/step.csv" | awk -F, -v OFS=, 'NR == 5 {$3 = -300} {print}' >"$tmp/bad.csv"
bad "use below nothing" "line 5"
awk -F, -v OFS=, 'NR > 1 {$1 = "2023-05-01"} {print}' "$tmp/step.csv" | head -14 >"$tmp/bad.csv"
bad "thirteen months with one date" "one date"
awk -F, -v OFS=, 'NR > 1 {$3 = $3 * 1000} {print}' "$tmp/step.csv" >"$tmp/bad.csv"
bad "Wh under kWh" "unit another one"
awk -F, -v OFS=, 'NR > 1 {$4 = ($4 - 32) / 1.8} {print}' "$tmp/step.csv" >"$tmp/bad.csv"
bad "Celsius under Fahrenheit" "looks like Celsius"
sed 's/mean_temp_f/mean_temp_c/' "$tmp/step.csv" >"$tmp/bad.csv"
bad "Fahrenheit under Celsius" "Fahrenheit"
sed 's/mean_temp_f/mean_temp/' "$tmp/step.csv" >"$tmp/bad.csv"
bad "a temperature without its unit" "mean_temp_c"
sed '7s/2022/2022-13/' "$tmp/step.csv" >"$tmp/bad.csv"
bad "a day that does not exist" "line 7"
sed 's/kwh/energy/' "$tmp/step.csv" >"$tmp/bad.csv"
bad "no column of use" "kwh, therm, ccf"
head -5 "$tmp/step.csv" >"$tmp/bad.csv"
bad "four bills" "6 usable"
: >"$tmp/bad.csv"
bad "an empty file" "nothing in it"
head -c 20000 /dev/urandom >"$tmp/bad.csv"
run bill "$tmp/bad.csv"
fails "noise is refused"
printf '\377\376d\0a\0' >"$tmp/bad.csv"
bad "UTF-16" "UTF-8\|UTF-16"
run bill "$tmp/none.csv"
fails "a file that is not there is refused"

# ---- ESPI: the 96 quarter hours of a public sample of the standard (energyos/OpenESPI-Common-java, test_usage_data_01.xml,
# Apache 2.0); everything around the figures is written here, with other elements called value as traps ----
values="282 323 294 331 321 316 299 325 330 276 297 291 326 318 279 273 303 325 329 286 853 852 847 876 1607 1631 1591 1595 1380 1555 1444 1424 1388 1615 1384 1618 1447 1404 1597 1408 882 853 993 940 942 946 845 861 979 935 988 873 933 964 912 932 951 918 882 841 905 972 842 826 854 909 995 879 1116 1261 1306 1164 1470 1598 1503 1508 1483 1422 1613 1600 1525 1622 1622 1638 1595 1542 1552 1652 972 986 835 877 311 279 278 324"
espi() { # espi MULTIPLIER UOM: a feed with two meter readings; the first is power
    cat <<XML
<?xml version="1.0" encoding="UTF-8"?>
<feed xmlns="http://www.w3.org/2005/Atom">
<entry><link rel="self" href="/U/1/M/9/IntervalBlock/1"/><link rel="up" href="/U/1/M/9/IntervalBlock"/><content><IntervalBlock xmlns="http://naesb.org/espi">
<IntervalReading><timePeriod><duration>900</duration><start>1330578000</start></timePeriod><value>7777</value></IntervalReading></IntervalBlock></content></entry>
<entry><link rel="self" href="/U/1/M/1/IntervalBlock/1"/><link rel="up" href="/U/1/M/1/IntervalBlock"/><content><IntervalBlock xmlns="http://naesb.org/espi">
<interval><duration>86400</duration><start>1330578000</start></interval>
XML
    i=0
    for v in $values; do
        echo "<IntervalReading><cost>974</cost><ReadingQuality><quality>7</quality></ReadingQuality><timePeriod><duration>900</duration><start>$((1330578000 + 900 * i))</start></timePeriod><value>$v</value></IntervalReading>"
        i=$((i + 1))
    done
    cat <<XML
</IntervalBlock></content></entry>
<entry><link rel="self" href="/U/1/M/9"/><link rel="related" href="/ReadingType/2"/><content><MeterReading xmlns="http://naesb.org/espi"/></content></entry>
<entry><link rel="self" href="/U/1/M/1"/><link rel="related" href="/ReadingType/1"/><content><MeterReading xmlns="http://naesb.org/espi"/></content></entry>
<entry><link rel="self" href="/ReadingType/2"/><content><ReadingType xmlns="http://naesb.org/espi"><accumulationBehaviour>1</accumulationBehaviour><powerOfTenMultiplier>0</powerOfTenMultiplier><uom>72</uom></ReadingType></content></entry>
<entry><link rel="self" href="/ReadingType/1"/><content><ReadingType xmlns="http://naesb.org/espi"><accumulationBehaviour>4</accumulationBehaviour><flowDirection>1</flowDirection><intervalLength>900</intervalLength><powerOfTenMultiplier>$1</powerOfTenMultiplier><uom>$2</uom></ReadingType></content></entry>
<entry><content><LocalTimeParameters xmlns="http://naesb.org/espi"><dstEndRule>B40E2000</dstEndRule><dstOffset>3600</dstOffset><dstStartRule>360E2000</dstStartRule><tzOffset>-18000</tzOffset></LocalTimeParameters></content></entry>
<entry><content><ElectricPowerUsageSummary xmlns="http://naesb.org/espi"><overallConsumptionLastPeriod><powerOfTenMultiplier>0</powerOfTenMultiplier><uom>72</uom><value>594</value></overallConsumptionLastPeriod></ElectricPowerUsageSummary></content></entry>
</feed>
XML
}
espi 0 72 >"$tmp/day.xml"
run bill "$tmp/day.xml" --json
code_is 0 "ESPI is read"
json_has '.interval.readings == 96 and .interval.energy_wh == 93846' "96 readings, 93,846 Wh inside IntervalReading"
json_has '.interval.interval_s == 900 and .interval.covered_h == 24 and .model == null' "one day of quarter hours, too few days for a change"
json_has '(.interval.hour_w[0] - 1230 | fabs) < 0.01' "local time: the day begins at midnight"
run bill - --json <"$tmp/day.xml"
json_has '.interval.energy_wh == 93846' "ESPI comes through a pipe too"
espi 3 72 >"$tmp/kilo.xml"
run bill "$tmp/kilo.xml"
fails "a power of ten that makes it absurd is refused"
espi -1 72 >"$tmp/tenth.xml"
run bill "$tmp/tenth.xml" --json
json_has '(.interval.energy_wh - 9384.6 | fabs) < 0.01' "the power of ten is heeded"
espi 0 29 >"$tmp/volts.xml"
run bill "$tmp/volts.xml"
fails "readings that are no energy are refused"
head -c 3000 "$tmp/day.xml" >"$tmp/cut.xml"
run bill "$tmp/cut.xml"
fails "XML that is cut off is refused"
err_has "line [0-9]" "with its line"
printf '<?xml version="1.0"?><!DOCTYPE a [<!ENTITY x "aaaa"><!ENTITY y "&x;&x;&x;">]><a>&y;</a>' >"$tmp/entity.xml"
run bill "$tmp/entity.xml"
fails "a document type is refused"

# ---- interval CSV ----
awk 'BEGIN {print "timestamp,house_W"; for (i = 0; i < 4320; i++) {w = 200 + (i % 50 < 18 ? 140 : 0) + (i % 240 < 20 ? 4500 : 0)
    printf "2024-03-%02dT%02d:%02d,%d\n", 1 + int(i / 1440), int(i / 60) % 24, i % 60, w}}' >"$tmp/minutes.csv"
run bill "$tmp/minutes.csv" --json
json_has '.interval.readings == 4320 and .interval.interval_s == 60 and .interval.base_w > 190 and .interval.base_w < 215' "minutes: the load that never rests"
json_has '.interval.heater.seen and (.interval.heater.w - 4500 | fabs) < 50 and (.interval.heater.kwh_per_day - 9 | fabs) < 0.6' "an element-sized load with its energy a day"
sed '100s/,.*/,lots/' "$tmp/minutes.csv" >"$tmp/bad.csv"
bad "a word in place of watts" "line 100"
sed '200s/,/,-/' "$tmp/minutes.csv" >"$tmp/bad.csv"
bad "power below nothing" "line 200"

# Bounded memory: a large file within 64 MB of memory (200 MB of text when BILL_LARGE_MB says so; 20 without it).
mb=${BILL_LARGE_MB:-20}
awk -v mb="$mb" 'BEGIN {print "timestamp,house_W"; n = mb * 1000000 / 22; for (i = 0; i < n; i++) printf "%d,%d\n", 1400000000 + 60 * i, 200 + i % 900}' >"$tmp/large.csv"
(ulimit -v 400000 && "$tufa" bill "$tmp/large.csv" --json >"$tmp/out" 2>"$tmp/err")
code=$?
case $("$tufa" --version; ldd "$tufa" 2>/dev/null) in
*asan*) say_result ok "a large interval file: memory cannot be limited in an instrumented run" ;;
*) code_is 0 "a large interval file is read in bounded memory" ;;
esac
rm -f "$tmp/large.csv"

# ---- kept in the book ----
book=$tmp/t.book
b() { run "$@" --book "$book" --today 2024-03-01; }
run book new --book "$book"
printf 'house\nBirch Lane 3\n' >"$tmp/houses.csv"
printf 'house,heater,fuel,size gal,watts\nBirch Lane 3,Birch tank,electric,50,4500\n' >"$tmp/heaters.csv"
printf 'house,since,people\nBirch Lane 3,2023-01-04,5\n' >"$tmp/households.csv"
awk -F, -v OFS=, '{print (NR == 1 ? "house" : "Birch Lane 3"), $0}' "$tmp/step.csv" >"$tmp/bills.csv"
for t in houses heaters households bills; do b book import "$tmp/$t.csv"; code_is 0 "the book takes $t"; done
b book import bills "$tmp/bills.csv"
out_has "24 as before" "bills given twice are as before"
b bill --heater "birch tank" --json
json_has '.heater == "Birch tank" and .change.kind == "step"' "the kept bills of a heater's house are read"
json_has '[.notes[].kind] | index("people_at_change")' "people who came at the change are named"
json_has '.smaller_than_heater == false' "bills that can hold the heater raise no doubt"
awk -F, -v OFS=, 'NR > 1 {$3 = $3 / 8} {print}' "$tmp/step.csv" >"$tmp/small.csv"
b bill "$tmp/small.csv" --heater "Birch tank" --json
json_has '.smaller_than_heater == true' "bills smaller than the heater alone are doubted"
b bill "$tmp/small.csv" --heater "Birch tank"
out_has "smaller than what this heater alone" "and the words say so"
b bill --heater "Birch tnk"
fails "a heater that is not there is refused"
b book export bills "$tmp/out.csv"
b book import bills "$tmp/out.csv"
out_has "24 as before" "what is exported says the same"

# Daily temperatures.
awk 'BEGIN {print "date,mean_temp_f"; split("24 29 37 49 60 69 74 72 64 53 40 28", t, " "); split("31 28 31 30 31 30 31 31 30 31 30 31", d, " ")
    for (y = 2022; y < 2024; y++) for (m = 1; m <= 12; m++) for (i = 1; i <= d[m]; i++) printf "%d-%02d-%02d,%d\n", y, m, i, t[m] + (y - 2022) * 2 + (i % 7) - 3}' >"$tmp/days.csv"
run bill "$tmp/step.csv" --temps "$tmp/days.csv" --json
code_is 0 "daily temperatures are read beside the bills"
printf 'date,mean_temp_f\n2022-01-01,30\n2022-06-01,60\n' >"$tmp/days.csv"
run bill "$tmp/step.csv" --temps "$tmp/days.csv"
fails "a hole of months in the temperatures is refused"
done_testing
