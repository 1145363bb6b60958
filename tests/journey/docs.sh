# The commands shown in README and docs are run, and what is shown below them must be what they print. A line of three dots
# stands for any lines. Blocks begin with ```console; a command begins with "$ ". TAP.
# With --write behind the program the pages get what is printed now: read them before they are kept.
tufa=$1
write=${2:-}
root=$(pwd)
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
mkdir "$tmp/bin"
ln -s "$tufa" "$tmp/bin/tufa"
ln -s "$root/examples" "$tmp/examples"
PATH=$tmp/bin:$PATH LC_ALL=C.UTF-8
export PATH LC_ALL
n=0
failed=0

compare() { # compare WANTED GOT: 0 when they agree, three dots standing for any lines
    awk 'NR == FNR { want[++w] = $0; next } { got[++g] = $0 }
         END {
             at = 1
             open = 0
             for (i = 1; i <= w; i++) {
                 if (want[i] == "...") { open = 1; continue }
                 if (open) while (at <= g && got[at] != want[i]) at++
                 if (at > g || got[at] != want[i]) { print "line " i " shown, not printed: " want[i]; exit 1 }
                 at++
                 open = 0
             }
             if (!open && at <= g) { print "printed, not shown: " got[at]; exit 1 }
         }' "$1" "$2"
}
show() { # what the page has to show: as many lines before the three dots, and behind them, as it shows now
    printf '$ %s\n' "$(cat "$tmp/command")"
    awk 'NR == FNR { if ($0 == "...") { dots = 1; after = 0 } else if (dots) after++; else before++; next } { got[++g] = $0 }
         END {
             if (!dots) before = g
             for (i = 1; i <= before && i <= g; i++) print got[i]
             if (dots) print "..."
             for (i = g - after + 1; dots && i <= g; i++) print got[i]
         }' "$tmp/wanted" "$tmp/got"
}
check() { # runs the command in $tmp/command and compares with $tmp/wanted
    n=$((n + 1))
    (cd "$tmp" && sh ./command >got 2>&1)
    [ -n "$write" ] && show >>"$tmp/page"
    if compare "$tmp/wanted" "$tmp/got" >"$tmp/why"; then
        echo "ok $n - $1: $(cat "$tmp/command")"
    else
        echo "not ok $n - $1: $(cat "$tmp/command")"
        sed 's/^/# /' "$tmp/why"
        failed=1
    fi
}
page() { # page FILE: its console blocks
    have=
    in_block=
    : >"$tmp/page"
    while IFS= read -r line; do
        case $line in
        '```console') in_block=1 have= && echo "$line" >>"$tmp/page" ;;
        '```') [ -n "$in_block" ] && [ -n "$have" ] && check "$1"
            in_block= have=
            echo "$line" >>"$tmp/page" ;;
        '$ '*) if [ -n "$in_block" ]; then
                [ -n "$have" ] && check "$1"
                printf '%s\n' "${line#??}" >"$tmp/command"
                : >"$tmp/wanted"
                have=1
            fi ;;
        *) if [ -n "$in_block" ]; then printf '%s\n' "$line" >>"$tmp/wanted"; else printf '%s\n' "$line" >>"$tmp/page"; fi ;;
        esac
    done <"$1"
    if [ -n "$write" ]; then cp "$tmp/page" "$1"; fi
}
for f in README.md docs/journey.md; do page "$f"; done
[ -n "$write" ] && failed=0
[ "$n" -gt 5 ] || { echo "not ok $((n + 1)) - the pages show commands"; n=$((n + 1)); failed=1; }
echo "1..$n"
exit "$failed"
