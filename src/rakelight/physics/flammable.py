"""How easily a liquid lights, as the rules for labels class it: by flash point and first boiling point."""

from __future__ import annotations

#: bounds of the classes, C. Source: 29 CFR 1910.106(a)(19), read as quoted in a safety list message of 2014; the
#: same as 29 CFR 1910.1200 Appendix B.6 and GHS chapter 2.6 (from memory)
_EASY_C, _LIGHT_C, _HARD_C = 23.0, 60.0, 93.0
_BOILS_EARLY_C = 35.0


def flammable_class(flash_c: float | None, boils_c: float | None = None) -> int | None:
    """Class 1 (lights most easily) to 4 of a liquid; None where it is in no class.

    Parameters: flash_c, closed cup, None where it has none; boils_c, where it begins to boil, None not known
    (then class 2 stands for 1 and 2, which wear the same word). Valid for liquids, not for mist or aerosol.

    >>> flammable_class(13, 78), flammable_class(40), flammable_class(70), flammable_class(200)
    (2, 3, 4, None)
    """
    if flash_c is None or flash_c > _HARD_C:
        return None
    if flash_c < _EASY_C:
        return 1 if boils_c is not None and boils_c <= _BOILS_EARLY_C else 2
    return 3 if flash_c <= _LIGHT_C else 4
