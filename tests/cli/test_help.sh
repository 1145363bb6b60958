. tests/cli/lib.sh

run --help
code_is 0 "help is no error"
out_has "Usage: tufa" "help tells the usage"
run --version
out_has "^tufa [0-9]" "the version is one line"
run halp
code_is 2 "an unknown command is refused"
err_has "did you mean .tufa help" "the nearest command is offered"
run help --jsn
err_has "no such option" "an unknown option is refused"
for words in $("$tufa" help | sed -n 's/^  tufa \([a-z]*\).*/\1/p' | sort -u); do
    run help "$words"
    code_is 0 "tufa help $words"
done
done_testing
