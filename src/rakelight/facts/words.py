"""Words of the trade for what the tables say in one word: verdicts of pairs, stages of drying."""

from __future__ import annotations

#: how a verdict of the table of pairs reads, from the mildest to the strictest
VERDICT_WORDS = {
    "ok": "yes, once it is dry enough",
    "ok-after-cure": "yes, once it has cured",
    "needs-abrading": "yes, if it is scuffed first",
    "needs-barrier": "not directly, only over a barrier coat of dewaxed shellac",
    "never": "no, neither directly nor over a barrier",
}
#: how it reads where no table has the pair
UNKNOWN_WORDS = "not known; try it on an offcut"
#: stages of drying, by the name of their time
STAGE_WORDS = {
    "touch_dry": "dust-free",
    "sandable": "ready to sand",
    "recoat_min": "ready for the next coat",
    "recoat_max_without_abrading": "time for the next coat without scuffing",
    "handling": "ready to handle",
    "rub_out_ready": "ready to rub",
    "full_cure": "ready for full use",
}
