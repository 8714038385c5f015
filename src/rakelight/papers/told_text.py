"""What was told, each in a line."""

from __future__ import annotations

from collections.abc import Callable
from datetime import tzinfo

from rakelight.log.events import Event
from rakelight.papers.plan_text import moment_words
from rakelight.units import show_temp, show_volume
from rakelight.units.shown import show_film, show_mass


def told_line(event: Event, zone: tzinfo, unit: str = "in") -> str:
    """One thing told, with when it happened; no full stop.

    Parameters: zone, of the shop; unit, "in" for US measures, else metric.
    """
    when = moment_words(event.happened.astimezone(zone))
    return f"{_SAYS[event.kind](event, unit)}, {'up to ' if event.kind == 'confirmed' else ''}{when}"


def _tested(event: Event, _unit: str) -> str:
    return f"the test before {event.task} {'passed' if event.passed else 'failed'}"


def _done(event: Event, unit: str) -> str:
    amounts = []
    if event.used_ml is not None:
        amounts.append(show_volume(event.used_ml, unit))
    if (grams := event.poured_g) is not None:
        amounts.append(show_mass(grams, unit))
    if event.took_min is not None:
        amounts.append(f"{event.took_min:g} min")
    if event.number:
        amounts.append(f"{event.number} coat{'s' * (event.number != 1)} in all")
    return " ".join([f"{event.task} done", *([f"({', '.join(amounts)})"] if amounts else [])])


def _confirmed(event: Event, _unit: str) -> str:
    count = len(event.plan)
    return f"{count} step{'s' * (count != 1)} confirmed as planned"


def _coats(event: Event, _unit: str) -> str:
    if "open" in event.values:
        return f"dust over {event.task}: {'it lies white in open pores' if event.values['open'] else 'pores filled'}"
    return f"{event.step or event.task} took {event.number} coat{'s' * (event.number != 1)}"


def _reading(event: Event, unit: str) -> str:
    seen = event.values
    if event.what == "air log":
        count = sum(name.startswith("hours_") for name in seen)
        return f"a logger's air of {event.place or 'the shop'}, {count} month{'s' * (count != 1)} ({event.words})"
    figures = [
        *([show_temp(seen["temp_c"], unit)] if "temp_c" in seen else []),
        *([f"{seen['rh'] * 100:.0f} %"] if "rh" in seen else []),
        *([f"moisture {seen['mc_pct']:g} %"] if "mc_pct" in seen else []),
        *([show_film(seen["wet_um"], unit)] if "wet_um" in seen else []),
        *([f"gloss {seen['gu']:g}"] if "gu" in seen else []),
        *([f"{seen['minutes']:g} min"] if "minutes" in seen else []),
    ]
    of = f" of {event.task}" if event.task else ""
    return f"{event.what}{of} read: {', '.join(figures)}" if figures else f"{event.what}{of} read"


def _rework(event: Event, _unit: str) -> str:
    before = f" before {event.task}" if event.task else ""
    return f"{', '.join(event.also)} to be done again{before}"


def _note(event: Event, _unit: str) -> str:
    about = f" on {event.task}" if event.task else ""
    return f"note{about}: {event.words}"


def _photo(event: Event, _unit: str) -> str:
    about = f" of {event.task}" if event.task else ""
    return f"photograph {event.photo[:8]}{about}"


def _fault(event: Event, _unit: str) -> str:
    about = f" on {event.task}" if event.task else ""
    did = f" ({event.did})" if event.did else ""
    return f"fault{about}: {event.what.replace('-', ' ')}{did}"


_SAYS: dict[str, Callable[[Event, str], str]] = {
    "planned": lambda event, _: "plan kept",
    "done": _done,
    "started": lambda event, _: f"{event.task} begun",
    "skipped": lambda event, _: f"{event.task} left out",
    "tested": _tested,
    "coats": _coats,
    "confirmed": _confirmed,
    "reading": _reading,
    "fault": _fault,
    "rework": _rework,
    "note": _note,
    "photo": _photo,
    "can": lambda event, _: f"{event.can or event.material or 'can'} {event.what}",
    "learned": lambda event, _: f"figure of this shop set: {event.what}",
    "corrected": lambda event, _: "a correction",
    "piece": lambda event, _: f"piece {event.what}",
    "taken back": lambda event, _: "an entry taken back",
}
