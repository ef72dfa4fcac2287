#!/usr/bin/env bash
# Sets everything up and passes the tests: virtual environment, system packages, style, types, house, suite.
set -euo pipefail
cd "$(dirname "$0")/.."

say() { printf '\n== %s\n' "$*"; }

say "Python environment"
if [ ! -x .venv/bin/python ]; then
  python3 -m venv .venv || { echo "python3 cannot make a virtual environment. On Debian: apt-get install python3-venv"; exit 1; }
fi
.venv/bin/python -m pip install --quiet --disable-pip-version-check -e '.[test]'

say "Browser, QR reader, PDF tools, database"
as_root() { if [ "$(id -u)" = 0 ]; then "$@"; elif command -v sudo >/dev/null; then sudo -n "$@"; else return 1; fi; }
has_zbar() { .venv/bin/python -c 'import pyzbar.pyzbar' 2>/dev/null; }
find_postgres() { command -v postgres || ls /usr/lib/postgresql/*/bin/postgres /opt/homebrew/opt/postgresql*/bin/postgres 2>/dev/null | sort -V | tail -n 1; }
find_chromium() { for c in "${CHROMIUM:-}" chromium chromium-browser google-chrome "/Applications/Chromium.app/Contents/MacOS/Chromium"; do
    if [ -n "$c" ] && command -v "$c" >/dev/null; then command -v "$c"; return; fi; done; }
wanted=""
[ -n "$(find_chromium)" ] || wanted="$wanted chromium"
has_zbar || wanted="$wanted zbar"
command -v pdfinfo >/dev/null || wanted="$wanted poppler"
[ -n "$(find_postgres)" ] || wanted="$wanted postgresql"
if [ -n "$wanted" ]; then
  echo "getting:$wanted"
  if command -v apt-get >/dev/null; then
    as_root apt-get update -qq || true
    for w in $wanted; do
      case $w in zbar) p=libzbar0 ;; poppler) p=poppler-utils ;; *) p=$w ;; esac
      as_root env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq "$p" >/dev/null || true
    done
  elif command -v brew >/dev/null; then
    for w in $wanted; do
      case $w in chromium) brew install --cask chromium ;; postgresql) brew install postgresql@16 ;; *) brew install "$w" ;; esac || true
    done
  fi
fi
missing=""
CHROMIUM="$(find_chromium)"; export CHROMIUM
[ -n "$CHROMIUM" ] || missing="$missing\n  - Chromium (Debian: apt-get install chromium; macOS: brew install --cask chromium)"
has_zbar || missing="$missing\n  - the zbar library (Debian: apt-get install libzbar0; macOS: brew install zbar)"
command -v pdfinfo >/dev/null || missing="$missing\n  - poppler's tools (Debian: apt-get install poppler-utils; macOS: brew install poppler)"
POSTGRES="$(find_postgres)"; export POSTGRES
[ -n "$POSTGRES" ] || missing="$missing\n  - a PostgreSQL server (Debian: apt-get install postgresql; macOS: brew install postgresql@16)"
if [ -n "$missing" ]; then printf 'The tests need what this machine does not have and could not get:%b\n' "$missing"; exit 1; fi

say "Style"
.venv/bin/ruff check .
.venv/bin/ruff format --check .
say "Types"
.venv/bin/mypy
say "Import directions"
.venv/bin/lint-imports
say "Tests"
exec .venv/bin/python -m pytest -n "${TEST_WORKERS:-2}" --dist loadfile "$@"
