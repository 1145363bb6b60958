#!/bin/sh
# bench_desk.sh PROGRAM [HEATERS [SECONDS]]: the desk over a book invented by formula, asked by wrk on 16 connections. Prints one JSON
# object: for each page its 99th percentile in milliseconds, requests a second and processor milliseconds a request, kept and cold; the
# first plan and the rest after it in seconds; memory at rest and after all of it in kB; first paint in Chromium where node and it
# are there. Every GET page of edge/web/pages.def is asked, and the script says so if one is missing.
#
# Cold pages of heaters: another heater at each request, right after a change of the book, while the plan is worked out anew; for
# one second, so that few are asked twice (`n` tells how many were asked). "every" is each heater in turn as the desk at rest has
# written it. On a machine that does other things the percentiles say little: style.css, which costs nothing, shows how much.
# Other cold pages: the first request after a change.
set -eu
program=$(realpath "$1")
heaters=${2:-1000}
seconds=${3:-3}
here=$(dirname "$(realpath "$0")")
folder=$(mktemp -d)
desk=
end() {
    [ -n "$desk" ] && kill "$desk" 2>/dev/null && wait "$desk" 2>/dev/null
    rm -r "$folder"
}
trap end EXIT
book=$folder/large.book
today="--today 2026-11-25"

awk 'BEGIN { print "water,kind,ph,ca_mg_l,alkalinity_mg_l_caco3"; for (k = 0; k < 12; k++) printf "main %d,main,%.2f,%d,%d\n", k, 7.3 + 0.05 * k, 60 + 5 * k, 180 + 10 * k }' >"$folder/waters.csv"
awk -v n="$heaters" 'BEGIN { print "house,street,water"; for (i = 0; i < n; i += 2) { h = i / 2; s = int(h / 12) + 1; printf "Row %d no %d,Row %d,main %d\n", s, h % 12 + 1, s, s % 12 } }' >"$folder/houses.csv"
awk -v n="$heaters" 'BEGIN { print "heater,house,fuel,installed,volume_gal"; split("30 40 40 50 50 80", g, " ")
    for (i = 0; i < n; i++) { h = int(i / 2); s = int(h / 12) + 1; printf "Row %d no %d %s,Row %d no %d,%s,%d,%d\n", s, h % 12 + 1, i % 2 ? "b" : "a", s, h % 12 + 1, i % 3 ? "electric" : "gas", 2025 - i * 11 % 19, g[i % 6 + 1] } }' >"$folder/heaters.csv"
"$program" book new "$book" >/dev/null
"$program" book import "$folder" --book "$book" $today >/dev/null
"$program" call new "Row 1 no 1 a" "It runs out after one shower" --complaint runs_out --book "$book" $today >/dev/null

"$program" desk --book "$book" --port 0 --no-browser $today >"$folder/said" &
desk=$!
until grep -q open "$folder/said"; do sleep 0.05; done
at=$(sed 's/.*\(http:[^ ]*\)\/ .*/\1/;q' "$folder/said")
now() { date +%s.%N; }
since() { awk -v a="$1" -v b="$(now)" 'BEGIN { printf "%.2f", b - a }'; }
there() { [ "$(curl -s -o "$folder/first" -w '%{http_code}' "$at/")" = 200 ] && ! grep -q 'worked out anew' "$folder/first"; }
kb() { awk -v k="$1:" '$1 == k { print $2; exit }' "/proc/$desk/smaps_rollup"; }
began=$(now)
until there; do sleep 0.1; done
plan=$(since "$began")

# Pages of the heaters are written behind the first ones; then the desk rests.
busy() { awk '{ print $14 + $15 }' "/proc/$desk/stat"; }
rest() { while before=$(busy) && sleep 3 && [ "$(busy)" -gt $((before + 2)) ]; do :; done; }
rest
printf '{"heaters": %s, "first_plan_s": %s, "rest_s": %s, "rest_kb": %s, "rest_pss_kb": %s' "$heaters" "$plan" "$(since "$began")" "$(kb Rss)" "$(kb Pss)"

# The thread that answers, without the one that works behind it.
answering=$(for t in /proc/"$desk"/task/*; do grep -q '^MHD' "$t/comm" && basename "$t"; done | head -1)
spent() { awk '{ print $1 }' "/proc/$desk/task/$answering/schedstat"; }
asked=
measure() { # measure NAME PATH [SCRIPT [SECONDS]]: asks it on 16 connections
    bytes=$(curl -s -o /dev/null -w '%{size_download}' "$at$2")
    before=$(spent)
    wrk -t2 -c16 -d"${4:-$seconds}s" --latency ${3:+-s "$3"} "$at$2" >"$folder/wrk"
    p99=$(awk '$1 == "99%" { v = $2 + 0; if ($2 ~ /us$/) v /= 1000; else if ($2 ~ /[0-9]s$/) v *= 1000; print v }' "$folder/wrk")
    rate=$(awk '/Requests\/sec/ { print $2 }' "$folder/wrk")
    n=$(awk '/requests in/ { print $1 }' "$folder/wrk")
    bad=$(awk '/Non-2xx/ { print $NF }' "$folder/wrk")
    cpu=$(awk -v a="$before" -v b="$(spent)" -v n="$n" 'BEGIN { printf "%.3f", (b - a) / 1e6 / n }')
    printf ', "%s_n": %s, "%s_p99_ms": %s, "%s_per_s": %s, "%s_cpu_ms": %s, "%s_bytes": %s, "%s_failed": %s' "$1" "$n" "$1" "$p99" "$1" "$rate" "$1" "$cpu" "$1" "$bytes" "$1" "${bad:-0}"
}

# name, path, and for a page of one thing how many of it there are: other ones at each request.
houses=$(((heaters + 1) / 2))
round=$(curl -s "$at/rounds" | sed -n 's/.*"\(\/round?day=[0-9-]*\)[^"]*".*/\1/p' | head -1)
pages="first / 0
calls /calls 0
houses /houses 0
search /houses?look=row+7+gas 0
year /year 0
rounds /rounds 0
quote /quote 0
account /account 0
paper /paper 0
learned /learned 0
waters /waters 0
assumptions /assumptions 0
import /import 0
settings /settings 0
treatments /treatments 0
whatif /whatif 0
explain /explain?what=bed 0
notice /notice 0
calendar /rounds/calendar 0
round $round 0
style /style.css 0
new_call /call/new?heater= $heaters
house /house?id= $houses
heater /heater?id= $heaters
clean /clean?heater= $heaters
visit /visit?heater= $heaters
record /visit/record?heater= $heaters
prove /prove?heater= $heaters
learned_heater /learned?heater= $heaters
bill /bill?heater= $heaters
call /call?id= 1
call_visit /call/visit?id= 1"

for path in $(sed -n 's/^X([A-Z_]*, *"\([^"]*\)".*/\1/p' "$here/../edge/web/pages.def"); do
    echo "$pages" | awk -v p="$path" '{ split($2, part, "?"); if (part[1] == p) found = 1 } END { exit !found }' || echo "bench_desk.sh: $path is not asked" >&2
done

touch_book() { # a change that no figure depends on
    changes=$((${changes:-0} + 1))
    "$program" set setting owner "Owner $changes" --book "$book" $today >/dev/null
}

# Kept pages. A page that is worked out behind the others answers 503 until it is there.
loop() { echo "$pages" | while read -r name path things; do "$1" "$name" "$path" "$things"; done; }
kept() {
    [ "$things" -gt 1 ] && path=${path}7
    [ "$things" = 1 ] && path=${path}1
    until [ "$(curl -s -o /dev/null -w '%{http_code}' "$at$path")" != 503 ]; do sleep 0.5; done
    measure "$name" "$path"
}
loop kept

if command -v node >/dev/null && [ -d "$here/../tests/web/node_modules/playwright-core" ]; then
    node "$here/first_paint.mjs" "$at" first=/ houses=/houses year=/year heater='/heater?id=7'
fi
printf ', "after_kept_kb": %s, "after_kept_pss_kb": %s' "$(kb Rss)" "$(kb Pss)"

# Every heater once, all of it as it was written behind the pages.
every() {
    [ "$things" -gt 1 ] || return 0
    cat >"$folder/$name.lua" <<END_LUA
local threads = 0
function setup(thread)
    thread:set("n", threads * math.floor($things / 2))
    threads = threads + 1
end
function request()
    n = n + 1
    return wrk.format("GET", "$path" .. (n % $things) + 1)
end
END_LUA
    measure "${name}_every" "${path}7" "$folder/$name.lua"
}
loop every
printf ', "after_every_kb": %s, "after_every_pss_kb": %s' "$(kb Rss)" "$(kb Pss)"

# After a change: pages of the book once, pages of heaters another one each time.
cold() {
    touch_book
    if [ "$things" -gt 1 ]; then
        measure "${name}_cold" "${path}$things" "$folder/$name.lua" 1
    elif [ "$things" = 0 ]; then
        before=$(spent)
        s=$(curl -s -o /dev/null -w '%{time_total}' "$at$path")
        awk -v name="$name" -v s="$s" -v a="$before" -v b="$(spent)" 'BEGIN { printf ", \"%s_cold_ms\": %.1f, \"%s_cold_cpu_ms\": %.2f", name, 1e3 * s, name, (b - a) / 1e6 }'
    fi
}
loop cold
printf ', "after_cold_kb": %s, "after_cold_pss_kb": %s' "$(kb Rss)" "$(kb Pss)"
rest
printf ', "rest_again_kb": %s, "rest_again_pss_kb": %s}\n' "$(kb Rss)" "$(kb Pss)"
