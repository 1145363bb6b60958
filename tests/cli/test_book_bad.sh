# Whatever is wrong with what comes in: a clear message, an exit code that is not 0, and the book as it was.
. tests/cli/lib.sh
book=$tmp/t.book
day="--today 2026-11-25"
full=
trap 'chattr -i "$tmp/still" 2>/dev/null; [ -z "$full" ] || umount "$full" 2>/dev/null; rm -rf "$tmp"' EXIT

run book new --book "$book"
printf 'name,kind,ph,ca_mg_l,alkalinity_mg_l_caco3\nNorth main,main,7.9,79,220\n' >"$tmp/waters.csv"
printf 'house,heater,fuel,age,volume_gal,water\nLinden Row 5,Linden Row 5,electric,about 10,50,North main\n' >"$tmp/heaters.csv"
printf 'heater,day,work\nLinden Row 5,2026-05-02,flush\n' >"$tmp/visits.csv"
run book import "$tmp" --book "$book" $day
code_is 0 "a good book to begin with"
sqlite3 "$book" .dump >"$tmp/before"
cp "$book" "$tmp/before.book"

as_before() { # the content, and the file itself
    sqlite3 "$book" .dump >"$tmp/after"
    if cmp -s "$tmp/before" "$tmp/after" && cmp -s "$tmp/before.book" "$book"; then say_result ok "$1: the book is as it was"; else
        diff "$tmp/before" "$tmp/after" | head -5 | sed 's/^/# /'
        say_result fail "$1: the book is as it was"
    fi
}
refused() { # refused NAME KIND PATTERN: imports $tmp/in.csv
    run book import "$2" "$tmp/in.csv" --book "$book" $day
    fails "$1"
    err_has "$3" "$1: told why"
    as_before "$1"
}
given() { printf "$@" >"$tmp/in.csv"; }

given ''
refused "an empty file" heaters 'empty'
given 'house|heater|fuel\nA 1|A 1|gas\n'
refused "a delimiter that is none" heaters 'separated'
given 'house:heater:fuel\nA 1:A 1:gas\n'
refused "a delimiter that nobody uses" heaters 'needed\|not known'
given 'house,fuel\nCaf\351 1,gas\n'
refused "a text that is not UTF-8" heaters 'UTF-8'
given '\377\376h\000o\000'
refused "a text in UTF-16" heaters 'UTF-16'
given 'house,fuel,volume_gal\nA 1,gas,-40\n'
refused "a negative volume" heaters 'volume_gal "-40".*2 to 500 gal'
given 'house,fuel,volume_gal\nA 1,gas,900000\n'
refused "an absurd volume" heaters '2 to 500 gal'
given 'house,fuel,setpoint_f\nA 1,gas,1200\n'
refused "an absurd temperature" heaters '80 to 190 F'
given 'house,fuel,volume_gal\nA 1,gas,nan\n'
refused "NaN" heaters 'no number'
given 'house,fuel,volume_gal\nA 1,gas,inf\n'
refused "infinity" heaters 'no number'
given 'house,fuel,volume_gal\nA 1,gas,1e999\n'
refused "a number without bound" heaters 'outside'
given 'house,fuel,volume_gal\nA 1,gas,14..8\n'
refused "a range that runs backwards" heaters 'smaller to the larger'
given 'house,fuel,volume_gal\nA 1,gas,40 psi\n'
refused "a unit that does not fit" heaters 'unit does not fit.*gal'
given 'house,fuel,volume_psi\nA 1,gas,40\n'
refused "a unit in the header that does not fit" heaters 'unit in this header'
given 'house,fuel,volum_gal\nA 1,gas,40\n'
refused "a misspelt column" heaters 'did you mean volume'
given 'house,fuel,age,installed\nA 1,gas,3,2019\n'
refused "two columns of one meaning" heaters 'two columns'
given 'fuel,age\ngas,3\n'
refused "a needed column that is not there" heaters 'needed'
given 'house,fuel\nA 1,steam\n'
refused "a fuel that nobody knows" heaters 'electric, gas, propane'
given 'house,fuel\nA 1,gas,40\n'
refused "a row that is too long" heaters 'line 2.*fields'
given 'house,heater,fuel\nA 1,A 1 up,gas\nA 1,a 1  UP,electric\n'
refused "a heater that stands twice" heaters 'line 2 says this already'
given 'house,fuel\nA 1,gas\nA 1,electric\n'
refused "two heaters of a house without names" heaters 'a name for each'
given 'name,ph\nEast main,7.5\nEAST main,7.6\n'
refused "a water that stands twice" waters 'line 2 says this already'
given 'house,water\nA 1,Nort main\n'
refused "a water that the book does not have" houses 'did you mean "North main"'
given 'name,ph,ca_mg_l\nEast main,0,80\n'
refused "pH 0" waters 'ph "0"'
given 'name,ph,ca_mg_l\nEast main,7.5,-80\n'
refused "negative calcium" waters 'ca_mg_l "-80"'
given 'house,from,people\nLinden Row 5,2026-02-30,3\n'
refused "a day that does not exist" households 'does not exist'
given 'house,from,people\nLinden Row 5,13/13/2025,3\n'
refused "a month that does not exist" households 'does not exist'
given 'heater,day,work\nLinden Row 5,2027-01-01,flush\n'
refused "a visit that lies ahead" visits 'lies ahead'
given 'house,age\nA 1,2031\n'
refused "a heater that is not yet made" heaters 'after today'
given 'heater,day,work\nLinden Row 6,2026-01-01,flush\n'
refused "a heater that the book does not have" visits 'did you mean "Linden Row 5"'
given 'heater,day,work\nLinden Row 5,2026-01-01,polish\n'
refused "a kind of work that nobody knows" visits 'flush'
given 'heater,day\nLinden Row 5,2026-01-01\n'
refused "findings without a finding" findings 'no figure'
given 'item,value\nbeer_usd,3\n'
refused "a price of nothing that is priced" prices 'no such price'
given 'setting,value\nunits,furlongs\n'
refused "a setting to nothing" settings 'us or metric'
given 'house,fuel,note\nA 1,gas,"open\n'
refused "a quotation mark that is never closed" heaters 'never closed'
given 'house,fuel,volume_gal\nA 1,gas,40\nB 1,gas,9999\nC 1,gas,50\n'
refused "one bad row among good ones" heaters 'in.csv line 3'
out_has 'line 2 *new .*' "the report has the good rows too"
out_has '2 new, 0 changed, 0 as before, 1 refused. Nothing was kept' "and says that nothing was kept"

{ printf 'house,fuel,note\nA 1,gas,'; head -c 10000000 /dev/zero | tr '\0' x; echo; } >"$tmp/in.csv"
refused "a line of 10 MB" heaters 'too long'
rm "$tmp/in.csv"
refused "a file that is not there" heaters 'no such file'
mkdir "$tmp/folder"
run book import "$tmp/folder" --book "$book" $day
fails "a folder without tables"
run book import waters - --book "$book" $day </dev/null
fails "nothing on standard input"
as_before "nothing on standard input"

# What is odd and yet can be read.
given '\357\273\277house,fuel\r\nA 1,gas\r\n\r\n'
run book import heaters "$tmp/in.csv" --book "$book" $day --dry-run
code_is 0 "a byte-order mark, CRLF and blank lines are read over"
out_has "1 new" "and the row is taken"
printf 'house,note\rA 1,x\r' >"$tmp/in.csv"
run book import heaters "$tmp/in.csv" --book "$book" $day --dry-run
code_is 0 "line ends of old machines are read"
as_before "dry runs"

# Books that are none.
other() { # other NAME PATTERN: $tmp/other.book
    cksum <"$tmp/other.book" >"$tmp/sum1"
    for words in "book check" "book import heaters $tmp/heaters.csv $day" "book export heaters" "set Linden volume 40 $day"; do
        run $words --book "$tmp/other.book"
        fails "$1: tufa ${words%% *}"
        err_has "$2" "$1: told why"
    done
    cksum <"$tmp/other.book" >"$tmp/sum2"
    true_that "$1: it is as it was" cmp "$tmp/sum1" "$tmp/sum2"
}
: >"$tmp/other.book"
other "an empty file" 'empty'
printf 'Dear tenant, this is a letter and no database at all. %0100d\n' 7 >"$tmp/other.book"
other "a letter" 'no database'
rm "$tmp/other.book"
sqlite3 "$tmp/other.book" 'CREATE TABLE t (a); PRAGMA user_version = 1;'
other "another program's database" 'another program'
cp "$tmp/before.book" "$tmp/other.book"
sqlite3 "$tmp/other.book" 'PRAGMA user_version = 9999; PRAGMA wal_checkpoint(TRUNCATE);' >/dev/null
other "a book of a newer version" 'newer tufa'
head -c 9000 "$tmp/before.book" >"$tmp/other.book"
other "half a book" 'damaged'
run book check --book "$tmp/none.book"
fails "a book that is not there"
err_has "tufa book new" "and how to make one"
run book check --book "$tmp"
err_has "folder" "a folder is no book"
run book new --book "$tmp/no/such/place.book"
err_has "folder is not there" "a book cannot be made where there is no folder"

# A folder that may not be written. Root may write anywhere, so the program runs as somebody else.
ro=$tmp/ro
mkdir "$ro"
cp "$tufa" "$ro/tufa"
cp "$tmp/before.book" "$ro/t.book"
chmod 755 "$tmp" "$ro/tufa"
chmod 555 "$ro"
chmod 444 "$ro/t.book"
somebody() { if [ "$(id -u)" = 0 ]; then setpriv --reuid=65534 --regid=65534 --clear-groups "$@"; else "$@"; fi; }
lean() { somebody "$ro/tufa" "$@" >"$tmp/out" 2>"$tmp/err"; code=$?; }
lean set "Linden Row 5" volume 40 --book "$ro/t.book"
fails "a read-only book is not changed"
err_has "may not be written" "and says so"
lean book new --book "$ro/new.book"
fails "no book is made in a read-only folder"
err_has "may not be written" "and says so"
lean book check --book "$ro/t.book"
code_is 0 "a read-only book can be read"
lean book export heaters --book "$ro/t.book"
out_has "Linden Row 5" "in full"
lean book backup "$ro/copy.book" --book "$ro/t.book"
fails "nor is a copy made there"
true_that "nothing was left in the folder" test "$(ls "$ro" | tr '\n' ' ')" = "t.book tufa "
true_that "the book is as it was" cmp "$tmp/before.book" "$ro/t.book"
chmod 755 "$ro"

# A full disk: a small one where a disk can be mounted, and a limit on the size of files anywhere.
{ echo house,fuel,age,note; i=0; while [ $i -lt 3000 ]; do i=$((i + 1)); echo "House $i,electric,about 10,$i is a house with quite a long note behind it"; done; } >"$tmp/many.csv"
small() { # small NAME FOLDER COMMAND...: the book in FOLDER cannot grow
    name=$1 where=$2
    shift 2
    cp "$tmp/before.book" "$where/t.book"
    "$@" book import heaters "$tmp/many.csv" --book "$where/t.book" $day >"$tmp/out" 2>"$tmp/err"
    code=$?
    fails "$name: the import fails"
    err_has "disk" "$name: told why"
    sqlite3 "$where/t.book" .dump >"$tmp/after"
    true_that "$name: the book is as it was" cmp "$tmp/before" "$tmp/after"
    "$tufa" book check --book "$where/t.book" >"$tmp/out" 2>"$tmp/err"
    code=$?
    code_is 0 "$name: and whole"
}
limited() { ( ulimit -f 300; exec "$tufa" "$@" ); } # 300 blocks of 512 or 1024 bytes
small "a limit on file sizes" "$ro" limited
mkdir "$tmp/disk"
if [ "$(id -u)" = 0 ] && mount -t tmpfs -o size=400k tmpfs "$tmp/disk" 2>/dev/null; then
    full=$tmp/disk
    small "a full disk" "$full" "$tufa"
    head -c 400000 /dev/zero >"$full/filler" 2>/dev/null
    run book new --book "$full/new.book"
    fails "no book is made on a full disk"
    err_has "disk is full" "and says so"
    true_that "nor is half of one left" test ! -e "$full/new.book"
    run book backup "$full/copy.book" --book "$book"
    fails "no copy is made on a full disk"
    true_that "nor is half of one left" test "$(ls "$full" | grep -c copy)" = 0
    umount "$full" && full=
fi
if [ -e /dev/full ]; then
    "$tufa" book export heaters --book "$book" >/dev/full 2>"$tmp/err"
    code=$?
    fails "an export that cannot be written fails"
fi
done_testing
