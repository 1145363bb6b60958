# run_fuzz.sh PROGRAM SEEDS RUNS: so many inputs from a fixed seed, the same on every machine; a finding fails with its
# input shown. FUZZ_SECONDS=N hunts for N seconds from a new seed instead. TAP.
name=$(basename "$1")
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
mkdir "$tmp/new"
seeds=
[ -d "$2" ] && seeds=$2
limit="-seed=1 -runs=$3 -reload=0"
[ -n "${FUZZ_SECONDS:-}" ] && limit="-max_total_time=$FUZZ_SECONDS"
fixed= # addresses steer what the fuzzer tries
setarch -R true 2>/dev/null && fixed="setarch -R"
if $fixed "$1" $limit -max_len=4096 -rss_limit_mb=2048 -timeout=10 -artifact_prefix="$tmp/" "$tmp/new" $seeds >"$tmp/log" 2>&1; then
    echo "ok 1 - $name: $(grep -c . "$tmp/log") lines, $(sed -n 's/^Done \([0-9]*\) runs.*/\1/p' "$tmp/log") runs"
else
    echo "not ok 1 - $name"
    tail -40 "$tmp/log" | sed 's/^/# /'
    for f in "$tmp"/crash-* "$tmp"/timeout-* "$tmp"/oom-*; do [ -f "$f" ] && od -c "$f" | head -20 | sed 's/^/# /'; done
fi
echo "1..1"
