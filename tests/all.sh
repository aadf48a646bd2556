#!/usr/bin/env bash
# Every check of the project, on a fresh machine with Rust: bash tests/all.sh
# Installs the few Debian packages that building needs where they are missing; needs no display.
set -euo pipefail
cd "$(dirname "$0")/.."

if ! command -v cc >/dev/null 2>&1; then
    as_root=""
    [ "$(id -u)" = 0 ] || as_root="sudo"
    $as_root apt-get update -qq
    $as_root apt-get install -y -qq --no-install-recommends gcc libc6-dev
fi

step() { printf '\n== %s\n' "$*"; "$@"; }
step cargo fmt --all --check
step cargo clippy --workspace --all-targets --locked -- --deny warnings
step cargo test --workspace --locked
RUSTDOCFLAGS="--deny warnings" step cargo doc --workspace --no-deps --locked
