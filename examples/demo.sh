#!/bin/sh
# Plans the music cabinet, keeps the plan, fails a hand test three weeks later, and plans again.
set -eu
PY=${PY:-python3}
OUT=${OUT:-demo}
HERE=$(dirname "$0")
mkdir -p "$OUT"
PIECE="$HERE/music-cabinet.toml" SHOP="$HERE/shop-winter.toml" LOG="$OUT/music-cabinet.log.jsonl"
rm -f "$LOG"
say() { printf '\n== %s\n' "$1"; }
run() { PYTHONPATH="$HERE/../src" "$PY" -m rakelight "$@" --shop "$SHOP" --log "$LOG" || [ $? -eq 1 ]; }

say "The plan, as of Mon 8 Feb 2027 (whole: $OUT/plan.txt)"
run plan "$PIECE" --now "8 Feb 2027 8:00" --keep > "$OUT/plan.txt"
sed -n '1,40p' "$OUT/plan.txt"
run plan "$PIECE" --now "8 Feb 2027 8:00" --json > "$OUT/plan.json"

say "Wed 10 Feb: what is on today"
run today "$PIECE" --now "10 Feb 2027 8:00" | tee "$OUT/today.txt"

say "Tue 9 March: the thumbnail still prints on the case; look again in three days"
run failed "$PIECE" case/level --now "9 March 2027 8:00" --again "3 days"

say "Planned again (whole: $OUT/plan-again.txt)"
run replan "$PIECE" --now "9 March 2027 8:00" > "$OUT/plan-again.txt"
sed -n '1,24p' "$OUT/plan-again.txt"

say "All else went as planned: confirmed at once"
run catch-up "$PIECE" --now "9 March 2027 8:00"
