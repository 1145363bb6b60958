# The pages of docs/ that are made from tables are as the tables are now: pages.sh TUFA-DOCS. TAP.
docs=$1
n=0
failed=0
for page in columns faults; do
    n=$((n + 1))
    if "$docs" $page | cmp -s - docs/$page.md; then echo "ok $n - docs/$page.md is as its tables are"; else
        echo "not ok $n - docs/$page.md is old: tools/docs.sh writes it"
        failed=1
    fi
done
echo "1..$n"
exit $failed
