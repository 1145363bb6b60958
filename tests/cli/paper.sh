# For tests of papers, after lib.sh: the demo's book, and what an independent reader finds in a PDF.
book="$tmp/p.book"
day="--today 2026-11-25"
run book new "$book"
run book import examples/demo --book "$book" $day
code_is 0 "the demo district"

# The text of a PDF on one line, as an independent reader finds it in the order in which it was written.
words() { pdftotext -raw "$1" - | tr -s ' \n\f' ' '; }
text_has() { if words "$1" | grep -q -F -e "$2"; then say_result ok "$3"; else echo "# no '$2' in the text of the PDF"; say_result fail "$3"; fi; }
text_lacks() { if words "$1" | grep -q -F -e "$2"; then echo "# '$2' is in the text of the PDF"; say_result fail "$3"; else say_result ok "$3"; fi; }
pages_of() { pdfinfo "$1" | sed -n 's/^Pages: *//p'; }
json() { # json QUESTION... -- FILTER: one figure of the same question as JSON
    "$tufa" "$@" --json --book "$book" $day
}
