# For shell tests: sh test_x.sh PROGRAM. Each check prints one TAP line; `done_testing` ends the file.
tufa=$1
here=$(pwd)
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
n=0
failed=0

say_result() { # say_result ok|fail NAME
    n=$((n + 1))
    if [ "$1" = ok ]; then echo "ok $n - $2"; else
        echo "not ok $n - $2"
        failed=$((failed + 1))
        sed 's/^/# out: /' "$tmp/out" 2>/dev/null | head -20
        sed 's/^/# err: /' "$tmp/err" 2>/dev/null | head -20
    fi
}

run() { # run ARGS...: keeps output, error output and exit code
    "$tufa" "$@" >"$tmp/out" 2>"$tmp/err"
    code=$?
}

code_is() { if [ "$code" = "$1" ]; then say_result ok "$2"; else echo "# exit code $code, wanted $1"; say_result fail "$2"; fi; }
fails() { if [ "$code" != 0 ] && [ "$code" -lt 64 ]; then say_result ok "$1"; else echo "# exit code $code"; say_result fail "$1"; fi; }
out_has() { if grep -q -e "$1" "$tmp/out"; then say_result ok "$2"; else echo "# no /$1/ in the output"; say_result fail "$2"; fi; }
err_has() { if grep -q -e "$1" "$tmp/err"; then say_result ok "$2"; else echo "# no /$1/ in the error output"; say_result fail "$2"; fi; }
true_that() { # true_that NAME COMMAND...: what `run` kept stays as it is, so that checks may follow in any order
    name=$1
    shift
    if "$@" >"$tmp/said" 2>&1; then say_result ok "$name"; else
        sed 's/^/# said: /' "$tmp/said" | head -20
        say_result fail "$name"
    fi
}
done_testing() { echo "1..$n"; [ "$failed" = 0 ]; }
