#!/bin/sh
# Sets up the environment that the tests need: system packages (as root, on Debian), a virtual environment, the test libraries.
set -eu
cd "$(dirname "$0")/.."
missing=""
python3 -c 'import venv, ensurepip' 2>/dev/null || missing="$missing python3-venv"
if [ -n "$missing" ]; then
    apt-get update -q
    apt-get install -q -y --no-install-recommends $missing
fi
[ -x .venv/bin/python ] || python3 -m venv .venv
.venv/bin/python -m pip install --quiet --editable '.[test]'
