#!/bin/sh
# Print the interpreter to build with: the newest of those we test, else any that will do.
#
#   find_python.sh                  choose one
#   find_python.sh PYTHON           check this one and print its real path
#   find_python.sh --minor 11       only a Python 3.11 will do
#
# A command of the right name proves little: a version manager leaves shims on PATH that only print
# an error, and a system Python may come without the modules that make environments. So each
# candidate has to run the check below.

set -u

check='
import os, sqlite3, ssl, sys, venv
try:
    import ensurepip
except ImportError:
    import pip
assert sys.version_info >= (3, 11) and sys.implementation.name == "cpython"
assert len(sys.argv) < 2 or sys.version_info[1] == int(sys.argv[1])
print(os.path.realpath(sys.executable))
'

# try CANDIDATE [MINOR]: print its real path when it will do.
try() {
    found=$(command -v "$1") && "$found" -I -c "$check" ${2:+"$2"} 2>/dev/null </dev/null
}

# homes MINOR: interpreters of that version where version managers keep them, newest patch first.
homes() {
    for root in \
        "${PYENV_ROOT:-${HOME:-}/.pyenv}/versions" \
        "${ASDF_DATA_DIR:-${HOME:-}/.asdf}/installs/python" \
        "${MISE_DATA_DIR:-${HOME:-}/.local/share/mise}/installs/python" \
        "${UV_PYTHON_INSTALL_DIR:-${HOME:-}/.local/share/uv/python}" \
        /opt/python /usr/local/opt /opt/homebrew/opt; do
        for home in "$root/3.$1" "$root/3.$1".* "$root/cpython-3.$1".* \
            "$root/cp3$1-cp3$1" "$root/python@3.$1"; do
            if [ -x "$home/bin/python3.$1" ]; then
                patch=${home##*"3.$1."}
                echo "${patch%%[!0-9]*} $home/bin/python3.$1"
            fi
        done
    done | sort -rn | sed 's/^[0-9]* //'
}

# minor MINOR: print the first interpreter of that version that will do.
minor() {
    try "python3.$1" "$1" && return 0
    homes "$1" | while IFS= read -r candidate; do
        try "$candidate" "$1" && break
    done | grep .
}

if [ "${1:-}" = "--minor" ]; then
    minor "$2"
    exit
fi

if [ -n "${1:-}" ]; then
    try "$1" && exit 0
    echo "$1 is no Python 3.11 or newer that can make an environment:" \
        "leave PYTHON out to have one found, or name another, as in PYTHON=/usr/bin/python3.12" >&2
    exit 1
fi

for version in 13 12 11; do
    minor "$version" && exit 0
done
try python3 && exit 0
echo "No Python 3.11 or newer was found that has pip and the modules venv, ssl and sqlite3:" \
    "install one, or name yours, as in PYTHON=/usr/bin/python3.12" >&2
exit 1
