"""What was sent with a form: words by field, who tells, when it happened, and the id its page gave it."""

from __future__ import annotations

import re
import uuid
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.datastructures import UploadFile

from rakelight.errors import Misread
from rakelight.shop.hours import by_moment, hours_later
from rakelight.units import read_amount, read_date, read_duration
from rakelight.web.keeper import ServedShop

#: what was kept on a phone out of reach longer than this is told with its date, not by itself
_LONGEST = timedelta(days=30)
_MOST_WORDS = 4000
_ID = re.compile(r"[A-Za-z0-9_-]{8,64}")
NUL = "\0"


@dataclass(frozen=True)
class Sent:
    """A form as it was sent."""

    words: dict[str, str]
    ids: tuple[str, ...]  # every value of the field `pick`
    device: str = ""
    photo: UploadFile | None = None

    def __getitem__(self, name: str) -> str:
        return self.words.get(name, "")

    @property
    def id(self) -> str:
        """The id its page gave what is told, so that a second send is the same; a new one where there is none."""
        return self["id"] if _ID.fullmatch(self["id"]) else uuid.uuid4().hex

    def happened(self, shop: ServedShop) -> datetime:
        """When it was: the moment said, else as long ago as the phone kept it, else now."""
        now = shop.now
        if self["at"]:
            moment = by_moment(shop.shop, read_date(self["at"].replace("T", " ")))
            if moment > now:
                raise Misread(f"{self['at'].replace('T', ' ')} is still to come.", "Tell what has happened.")
            return moment
        try:
            ago_s = min(max(0.0, float(self["ago_s"] or 0)), _LONGEST.total_seconds())
        except ValueError:
            ago_s = 0.0
        return hours_later(now, -ago_s / 3600) if ago_s > 60 else now

    def number(self, name: str, says: str, most: float) -> float | None:
        """A number typed or picked; None where nothing is. Raises Misread."""
        typed = self[name].replace(",", ".").strip()
        if not typed:
            return None
        try:
            value = float(typed)
        except ValueError:
            value = -1.0
        if not 0 <= value <= most:
            raise Misread(f"{typed!r} is no number for {says}.", f"Write a number from 0 to {most:g}.")
        return value

    def amount(self) -> dict[str, float]:
        """What was used: picked, typed with its unit, or the can weighed before and after."""
        picked = self["used"]
        if picked == "weigh":
            weighed = {"before_g": self.number("before_g", "the can before", 1e5),
                       "after_g": self.number("after_g", "the can after", 1e5)}  # fmt: skip
            if None in weighed.values() and self["used_typed"]:
                return _typed_amount(self["used_typed"])
            if None in weighed.values():
                raise Misread("What was used is not said.", "Weigh the can before and after, or write 6 fl oz.")
            return {k: v for k, v in weighed.items() if v is not None}
        value = self.number("used", "what was used", 1e6)
        return {} if value is None else {"used_ml": value}

    def minutes(self) -> dict[str, float]:
        """How long it took: picked or typed; nothing where the clock ran or it is not said."""
        if self["took"] == "type":
            hours, overnight = read_duration(self["took_typed"] or "0 min")
            if overnight or hours <= 0:
                raise Misread("The time it took is not said.", "Write it as 35 min or 2 h.")
            return {"took_min": round(hours * 60, 1)}
        if self["took"] == "clock":
            return {}
        value = self.number("took", "the time it took", 1e4)
        return {} if value is None else {"took_min": value}


def _typed_amount(typed: str) -> dict[str, float]:
    amount = read_amount(typed)
    return {"used_ml" if amount.unit == "ml" else "used_g": amount.value}


async def _sent(request: Request) -> Sent:
    form: Any = await request.form()
    words = {k: v.replace(NUL, "").strip()[:_MOST_WORDS] for k, v in form.multi_items() if isinstance(v, str)}
    photo = form.get("photo")
    picked = tuple(v for k, v in form.multi_items() if k == "pick" and isinstance(v, str))
    is_photo = isinstance(photo, UploadFile) and bool(photo.filename)
    return Sent(words, picked, request.state.who.name, photo if is_photo else None)


#: a parameter of an endpoint that takes a form
Form = Annotated[Sent, Depends(_sent)]
