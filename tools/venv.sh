#!/bin/sh
# Make a virtual environment fit for use, and do nothing when it already is.
#
#   venv.sh PYTHON FOLDER run|test
#
# `run` brings what the program needs, `test` what its tests need on top. Everything comes from the
# hashed lock of that name; the project itself is then linked in without looking anything up.
# A stamp holds what the environment was made from, so that a new lock, another interpreter or a
# folder that has moved is noticed.

set -eu

python=$1 folder=$2 kind=$3
lock=requirements/$kind.txt

# stamp KIND: what an environment of that kind is made from.
stamp() {
    "$python" -V
    printf '%s\n' "$python" "$PWD"
    cksum "requirements/$1.txt" pyproject.toml
}

# fresh KIND: whether the environment was made from just that.
fresh() {
    [ -f "$folder/.$1-stamp" ] && [ "$(cat "$folder/.$1-stamp")" = "$(stamp "$1")" ]
}

# The lock for tests holds the one for use, at the same versions.
if fresh test || fresh "$kind"; then
    exit 0
fi

# Some systems ship venv without the means to put pip into it: then their own pip installs from
# outside.
without=
"$python" -c 'import ensurepip' 2>/dev/null || without=--without-pip

base=$(printf '%s\n' "$python" "$PWD")
if [ ! -x "$folder/bin/python" ] || [ "$(cat "$folder/.base" 2>/dev/null)" != "$base" ]; then
    echo "Making $folder with $("$python" -V)"
    rm -rf "$folder"
    "$python" -m venv $without "$folder"
    printf '%s\n' "$base" >"$folder/.base"
fi

# Twice quiet: errors still show, remarks about this machine's package indexes do not.
pip() {
    if [ -n "$without" ]; then
        set -- --python "$folder/bin/python" install -qq "$@"
        "$python" -m pip --disable-pip-version-check --no-input "$@"
    else
        "$folder/bin/python" -m pip --disable-pip-version-check --no-input install -qq "$@"
    fi
}

rm -f "$folder/.run-stamp" "$folder/.test-stamp"
echo "Installing what dryfit needs to $kind, from $lock (a minute or two the first time)"
pip --require-hashes -r "$lock"
pip --no-deps --no-build-isolation --editable .
stamp "$kind" >"$folder/.$kind-stamp"
