# run.sh PROGRAM: an example ends well and says something. TAP.
if out=$("$1") && [ -n "$out" ]; then echo "ok 1 - $(basename "$1")"; echo "$out" | sed 's/^/# /'; else echo "not ok 1 - $(basename "$1")"; fi
echo "1..1"
