. tests/cli/lib.sh

run help --man
code_is 0 "the man page is printed"
cp "$tmp/out" "$tmp/man"
"$tufa" help | sed -n 's/^  tufa \([a-z][a-z ]*[a-z]\).*/\1/p' >"$tmp/words"
missing=
while read -r one two; do
    grep -q "^\.SS \"tufa $one" "$tmp/man" || missing="$missing $one"
done <"$tmp/words"
true_that "every command of the help stands in the man page" test -z "$missing"
true_that "there are commands to compare" test -s "$tmp/words"
sections=$("$tufa" help | grep -c '^  tufa')
true_that "the man page has one section a command" test "$(grep -c '^\.SS "tufa' "$tmp/man")" = "$sections"
if command -v man >/dev/null 2>&1 && command -v groff >/dev/null 2>&1; then
    man --warnings -l "$tmp/man" >"$tmp/page" 2>"$tmp/err"
    true_that "man reads the page without a warning" test ! -s "$tmp/err"
fi

run help --completion
code_is 0 "the completion is printed"
cp "$tmp/out" "$tmp/completion"
complete_words() { # complete_words WORD...: what bash offers for the last word
    bash -c '. "$1"; shift; COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _tufa; printf "%s\n" "${COMPREPLY[@]}"' x "$tmp/completion" "$@" 2>&1
}
complete_words tufa '' | sort >"$tmp/offered"
sed 's/ .*//' "$tmp/words" | sort -u >"$tmp/wanted"
true_that "completion offers every command" cmp "$tmp/offered" "$tmp/wanted"
true_that "completion offers the options of a command" test "$(complete_words tufa help --m)" = "--man"
done_testing
