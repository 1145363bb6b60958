# The structure holds: includes point against the stream only, and the core is pure. TAP.
stages="base water deposit tank ahead clean fault bill learn money plan"
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
n=0
failed=0
result() { n=$((n + 1)); if [ -s "$tmp/found" ]; then echo "not ok $n - $1"; sed 's/^/# /' "$tmp/found"; failed=1; else echo "ok $n - $1"; fi; : >"$tmp/found"; }
position() { i=0; for s in $stages; do [ "$s" = "$1" ] && echo $i; i=$((i + 1)); done; }
: >"$tmp/found"

# A stage includes its own files, base, and stages to its left; never an edge, never the umbrella header.
for s in $stages; do
    for f in core/"$s"/*.[ch] core/"$s"/*.def include/tufa/"$s".h; do
        [ -f "$f" ] || continue
        grep -o '^#include "[^"]*"' "$f" | sed 's/.*"\(.*\)"/\1/' | while read -r inc; do
            case $inc in
            core/*/* | tufa/*.h) to=$(echo "$inc" | sed 's|^core/||; s|^tufa/||; s|\.h$||; s|/.*||')
                p=$(position "$to")
                [ -n "$p" ] && [ "$p" -le "$(position "$s")" ] || echo "$f includes $inc" ;;
            tufa/*.def) ;;
            *) echo "$f includes $inc: write core/STAGE/FILE or tufa/STAGE.h" ;;
            esac
        done
    done
done >"$tmp/found"
result "core stages include only what stands to their left"

# Edges do not include core files except units and status shorthands; pages and commands do not reach the store.
grep -n '^#include "core/' -r edge examples | grep -v 'core/base/\(units\|status\|clones\)\.h' >"$tmp/found"
result "edges see the core through its public header"
grep -n '^#include "edge/store\|sqlite3.h' -r edge/cli edge/web edge/paper edge/say edge/draw 2>/dev/null >"$tmp/found"
result "commands, pages, paper and words do not touch the store"
grep -n '^#include "edge/\(cli\|web\|paper\)' -r edge/desk edge/store edge/import edge/say edge/draw edge/pool 2>/dev/null >"$tmp/found"
result "desk, store, import, say and draw know nothing of who asks"

# Purity: compiled without PIC (with it constant tables of pointers look writable), every stage alone.
allowed='exp|exp2|expm1|log|log10|log1p|log2|pow|sqrt|cbrt|fabs|floor|ceil|fmin|fmax|fmod|round|rint|nearbyint|trunc|lround|erf|erfc|sin|cos|sincos|tan|atan|atan2|acosh|asinh|sinh|cosh|tanh|hypot|tgamma|ldexp|frexp|memcpy|memset|memmove|memcmp|strcmp|strncmp|strlen|strchr|strstr|__assert_fail|__stack_chk_fail|_GLOBAL_OFFSET_TABLE_|__cpu_model|__cpu_indicator_init'
cc=${CC:-gcc}
for s in $stages; do
    for f in core/"$s"/*.c; do
        [ -f "$f" ] || continue
        o=$tmp/${s}__$(basename "$f" .c).o
        $cc -std=c17 -O1 -fno-pic -fno-pie -DTUFA_NO_CLONES -Iinclude -Icore -I. -c "$f" -o "$o" 2>"$tmp/log" || { echo "$f does not compile alone"; head -3 "$tmp/log"; }
    done
done >"$tmp/found"
result "every core file compiles alone"
for o in "$tmp"/*.o; do nm "$o" | grep ' [BbDdCGgSs] ' | sed "s|^|$(basename "$o"): |"; done >"$tmp/found"
result "the core has no writable data"
nm -g --defined-only "$tmp"/*.o | awk 'NF==3 {print $3}' | sort -u >"$tmp/defined"
for o in "$tmp"/*.o; do
    nm -u "$o" | awk '{print $2}' | grep -vxE "$allowed" | grep -vxF -f "$tmp/defined" | sed "s|^|$(basename "$o") needs |"
done >"$tmp/found"
result "the core calls nothing outside but a short list of mathematics and memory"
for o in "$tmp"/*.o; do
    s=$(basename "$o" | sed 's/__.*//')
    nm -u "$o" | awk '{print $2}' | grep '^tufa_' | while read -r sym; do
        to=$(echo "$sym" | cut -d_ -f2)
        p=$(position "$to")
        [ -z "$p" ] || [ "$p" -le "$(position "$s")" ] || echo "$(basename "$o") calls $sym, which lies to its right"
    done
done >"$tmp/found"
result "no stage calls a stage to its right"
echo "1..$n"
exit $failed
