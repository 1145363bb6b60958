# What stands on paper for a small book, as an independent reader finds it, against the text kept beside this file:
# golden.sh PROGRAM [--write]. TAP. A change of words or layout shows here; look at the sheet, then write.
tufa=$1
kept=$(dirname "$0")
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
book="$tmp/g.book"
day="--today 2026-03-02"
TZ=UTC
export TZ
"$tufa" book new "$book" >/dev/null || { echo "Bail out! no book"; exit 1; }
"$tufa" book import "$kept"/book --book "$book" $day >"$tmp/log" || { cat "$tmp/log"; echo "Bail out! the tables are refused"; exit 1; }
"$tufa" set "Elm 4 heater" volume "52 gal" --book "$book" $day >/dev/null
n=0
failed=0
one() { # one NAME ARGS...: makes the document and compares its text
    name=$1
    shift
    n=$((n + 1))
    "$tufa" "$@" -o "$tmp/$name.pdf" --book "$book" $day >"$tmp/out" 2>&1 && pdftotext -layout "$tmp/$name.pdf" "$tmp/$name.txt"
    [ "$write" = --write ] && cp "$tmp/$name.txt" "$kept/$name.txt"
    if cmp -s "$tmp/$name.txt" "$kept/$name.txt"; then echo "ok $n - $name is as it was looked at"; else
        echo "not ok $n - $name has changed: look at it, then tests/paper/golden.sh PROGRAM --write"
        cat "$tmp/out" | sed 's/^/# /'
        diff "$kept/$name.txt" "$tmp/$name.txt" | head -12 | sed 's/^/# /'
        failed=1
    fi
}
write=$2
one notice notice "Elm 4 heater" --day 2026-03-12 --from 9 --until 1pm --work "change the anode"
one record record "Elm 4 heater"
echo "1..$n"
exit $failed
