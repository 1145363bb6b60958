#!/bin/sh
# bench_desk.sh PROGRAM [HEATERS [SECONDS]]: the desk over a book invented by formula, asked by wrk on 16 connections. Prints one JSON
# object: for each page its 99th percentile in milliseconds and requests a second, the first plan in seconds, memory at rest in kB.
set -eu
program=$(realpath "$1")
heaters=${2:-1000}
seconds=${3:-3}
folder=$(mktemp -d)
desk=
end() {
    [ -n "$desk" ] && kill "$desk" 2>/dev/null
    rm -r "$folder"
}
trap end EXIT
book=$folder/large.book

awk 'BEGIN { print "water,kind,ph,ca_mg_l,alkalinity_mg_l_caco3"; for (k = 0; k < 12; k++) printf "main %d,main,%.2f,%d,%d\n", k, 7.3 + 0.05 * k, 60 + 5 * k, 180 + 10 * k }' >"$folder/waters.csv"
awk -v n="$heaters" 'BEGIN { print "house,street,water"; for (i = 0; i < n; i += 2) { h = i / 2; s = int(h / 12) + 1; printf "Row %d no %d,Row %d,main %d\n", s, h % 12 + 1, s, s % 12 } }' >"$folder/houses.csv"
awk -v n="$heaters" 'BEGIN { print "heater,house,fuel,installed,volume_gal"; split("30 40 40 50 50 80", g, " ")
    for (i = 0; i < n; i++) { h = int(i / 2); s = int(h / 12) + 1; printf "Row %d no %d %s,Row %d no %d,%s,%d,%d\n", s, h % 12 + 1, i % 2 ? "b" : "a", s, h % 12 + 1, i % 3 ? "electric" : "gas", 2025 - i * 11 % 19, g[i % 6 + 1] } }' >"$folder/heaters.csv"
"$program" book new "$book" >/dev/null
"$program" book import "$folder" --book "$book" --today 2026-11-25 >/dev/null

"$program" desk --book "$book" --port 0 --no-browser --today 2026-11-25 >"$folder/said" &
desk=$!
until grep -q open "$folder/said"; do sleep 0.05; done
at=$(sed 's/.*\(http:[^ ]*\)\/ .*/\1/;q' "$folder/said")
began=$(date +%s.%N)
until [ "$(curl -s -o "$folder/first" -w '%{http_code}' "$at/")" = 200 ] && ! grep -q 'worked out anew' "$folder/first"; do sleep 0.1; done
plan=$(awk -v a="$began" -v b="$(date +%s.%N)" 'BEGIN { printf "%.2f", b - a }')

# Pages of the heaters are written behind the first ones; then the desk rests.
busy() { awk '{ print $14 + $15 }' "/proc/$desk/stat"; }
while before=$(busy) && sleep 1 && [ "$(busy)" -gt $((before + 2)) ]; do :; done
rest=$(awk '/VmRSS/ { print $2 }' "/proc/$desk/status")

cat >"$folder/heaters.lua" <<END
local n = 0
request = function()
    n = n + 7
    return wrk.format("GET", "/heater?id=" .. (n % $heaters) + 1)
end
END
measure() { # measure NAME PATH [SCRIPT]: waits until the page is there, then asks it
    curl -s -o "$folder/page" "$at$2"
    bytes=$(wc -c <"$folder/page")
    wrk -t2 -c16 -d"${seconds}s" --latency ${3:+-s "$3"} "$at$2" >"$folder/wrk"
    p99=$(awk '$1 == "99%" { v = $2 + 0; if ($2 ~ /us$/) v /= 1000; else if ($2 ~ /[0-9]s$/) v *= 1000; print v }' "$folder/wrk")
    rate=$(awk '/Requests\/sec/ { print $2 }' "$folder/wrk")
    bad=$(awk '/Non-2xx/ { print $NF }' "$folder/wrk")
    printf ', "%s_p99_ms": %s, "%s_per_s": %s, "%s_bytes": %s, "%s_failed": %s' "$1" "$p99" "$1" "$rate" "$1" "$bytes" "$1" "${bad:-0}"
}
printf '{"heaters": %s, "first_plan_s": %s, "rest_kb": %s' "$heaters" "$plan" "$rest"
measure first /
measure houses /houses
measure search '/houses?look=row+7+gas'
measure house '/house?id=7'
measure heater '/heater?id=7'
measure heaters '/heater?id=1' "$folder/heaters.lua"
measure year /year
measure rounds /rounds
measure calls /calls
measure assumptions /assumptions
measure explain '/explain?what=bed'
measure import /import
measure settings /settings
measure paper /paper
measure clean '/clean?heater=7'
measure visit '/visit?heater=7'
measure record '/visit/record?heater=7'
measure prove '/prove?heater=7'
measure bill '/bill?heater=7'
measure quote /quote
measure account /account
measure style /style.css
printf ', "after_kb": %s}\n' "$(awk '/VmRSS/ { print $2 }' "/proc/$desk/status")"
