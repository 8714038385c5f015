#!/bin/sh
# Plans the music cabinet, keeps the plan, looks at one day, fails a hand test, and plans again.
set -eu
PY=${PY:-python3}
OUT=${OUT:-demo}
HERE=$(dirname "$0")
mkdir -p "$OUT"
PIECE="$HERE/music-cabinet.toml" SHOP="$HERE/shop-winter.toml" LOG="$OUT/music-cabinet.log.jsonl"
rm -f "$LOG"
export COLUMNS=100
say() { printf '\n== %s\n\n' "$1"; }
run() { PYTHONPATH="$HERE/../src" "$PY" -m rakelight "$@" || [ $? -eq 1 ]; }
cabinet() { what=$1; shift; run "$what" "$PIECE" "$@" --shop "$SHOP" --log "$LOG"; }
# the part of a plan under one heading, up to the next blank line
part() { sed -n "/^$2\$/,/^\$/p" "$1" | sed '/^$/d'; }
# from one day of a plan up to the end of another
days() { sed -n "/^$2/,/^$3/p" "$1" | sed '$d'; }

say "Monday 8 February: a sapele cabinet, wanted 19 March, in a shop that is cold at night"
cabinet plan --now "8 Feb 2027 8:00" --keep > "$OUT/plan.txt"
cabinet plan --now "8 Feb 2027 8:00" --json --ics "$OUT/plan.ics" --svg "$OUT/calendar.svg" > "$OUT/plan.json"
part "$OUT/plan.txt" Wanted
echo
days "$OUT/plan.txt" "Mon 8 Feb" "Thu 11 Feb"
echo "  ... the whole plan, with warnings, mixing and buying: $OUT/plan.txt, and as data: $OUT/plan.json"
echo "  ... the calendar drawn: $OUT/calendar.svg, and as a file for a calendar, with alarms: $OUT/plan.ics"
cabinet papers --now "8 Feb 2027 8:00" --paper letter --out "$OUT/papers" > /dev/null && echo "  ... to print: bench sheets, jar labels, buying list, care sheet: $OUT/papers"

say "Thursday 11 February: today"
cabinet today --now "11 Feb 2027 8:00" > "$OUT/today.txt"
sed '/^Wanted/,$d' "$OUT/today.txt"

say "Tuesday 9 March: the case still takes a thumbprint. Look again in three days"
cabinet failed case/level --now "9 March 2027 8:00" --again "3 days"
cabinet replan --now "9 March 2027 8:00" > "$OUT/plan-again.txt"
echo
part "$OUT/plan-again.txt" "What moved"
echo "  ... the whole new plan: $OUT/plan-again.txt"

say "All else went as planned: written down at once"
cabinet catch-up --now "9 March 2027 8:00"

say "And questions that need no piece"
run mix shellac --cut 2 --alcohol "16 fl oz"
run over "water-borne acrylic" "boiled linseed oil" | head -3
