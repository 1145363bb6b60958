#!/bin/sh
# Writes the pages of docs/ that are made from tables: tools/docs.sh BUILD-DIR [OTHER-DOCS-DIR].
set -e
build=$1
docs=${2:-docs}
tables() { for f in tests/published/*.csv; do echo "$(basename "$f" .csv | sed 's/[_-].*//') $f"; done; }
{
    echo "# Checks"
    echo
    echo "Every number that the core is held to, made from \`tests/published/*.csv\` by tools/docs.sh."
    echo "\`published\`: somebody outside the project printed it. \`exact\`: a closed form, worked out apart from the code."
    echo "\`consistent\`: it shares data with what the model was set by, or its source says it in words or as a bound."
    echo "\`frozen\`: our own figure, there so that a change shows. Errors are as measured by the last run of this table."
    # shellcheck disable=SC2046
    "$build"/tests/run_published --table $(tables)
} >"$docs/checks.md"
for page in sources columns faults papers; do "$build/tufa-docs" $page >"$docs/$page.md"; done
