#!/bin/sh
# Sets up the environment that the tests need: system packages (as root, on Debian), a virtual environment, the test libraries.
set -eu
cd "$(dirname "$0")/.."
missing=""
python3 -c 'import venv, ensurepip' 2>/dev/null || missing="$missing python3-venv"
command -v git >/dev/null || missing="$missing git"
command -v zsh >/dev/null || missing="$missing zsh"
command -v fish >/dev/null || missing="$missing fish"
command -v java >/dev/null || missing="$missing openjdk-17-jre-headless"
[ -x /usr/bin/chromium ] || missing="$missing chromium"
if [ -n "$missing" ]; then
    apt-get update -q
    DEBIAN_FRONTEND=noninteractive apt-get install -q -y --no-install-recommends $missing
fi
[ -x .venv/bin/python ] || python3 -m venv .venv
.venv/bin/python -m pip install --quiet --constraint tests/lock.txt --editable '.[test]'
