#!/bin/sh
# Run the demo on the oldest Python we promise, beside the one that ran the tests.
#
#   smoke.sh PYTHON

set -eu

if [ "$("$1" -c 'import sys; print(sys.version_info[1])')" -le 11 ]; then
    exit 0
fi
if ! oldest=$(sh tools/find_python.sh --minor 11); then
    echo "No Python 3.11 was found beside $("$1" -V): the demo was not run on the oldest version."
    exit 0
fi

sh tools/venv.sh "$oldest" .venv-3.11 run
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT
if ! .venv-3.11/bin/dryfit try --into "$folder/try" >"$folder/out" 2>&1; then
    cat "$folder/out"
    echo "The demo fails on $("$oldest" -V)."
    exit 1
fi
echo "The demo runs on $("$oldest" -V) too."
