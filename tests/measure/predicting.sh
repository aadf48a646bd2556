#!/usr/bin/env bash
# Everything that is measured of predicting and deciding, one table after the other: bash tests/measure/predicting.sh [FOLDER]
# FOLDER holds the published studies, for the table of one study left out. Final figures, on seeds that were not used while
# building. About twenty minutes; the benches want an idle machine.
set -euo pipefail
studies="$(realpath "${1:-.}")"
cd "$(dirname "$0")/../.."
cargo build --release --package acceptance --bins
for table in transfer ranking next; do
    printf '\n== measure-%s\n' "$table"
    cargo run --quiet --release --package acceptance --bin "measure-$table"
done
if [ -n "${1:-}" ]; then
    printf '\n== measure-studies\n'
    cargo run --quiet --release --package acceptance --bin measure-studies -- "$studies"
fi
printf '\n== benches\n'
cargo bench --package predict
