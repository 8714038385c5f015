"""Photographs: taken by what is in them, not by their name; made small, and drawn anew without place or camera."""

from __future__ import annotations

import warnings
from io import BytesIO

from PIL import Image, ImageOps, UnidentifiedImageError

from rakelight.errors import Misread

#: the largest file and the most pixels that are read; what a phone takes is well below
MOST_BYTES, MOST_PIXELS = 14_000_000, 80_000_000
#: longest side that is kept
_LONGEST = 2000
_KINDS = ("JPEG", "PNG", "WEBP")
_QUALITY = 84


def redrawn(content: bytes) -> bytes:
    """A photograph as a JPEG of at most 2000 pixels on its longer side, upright, with nothing written into it.

    Raises Misread for what is no picture of a kind that is read, too large, or broken.
    """
    if len(content) > MOST_BYTES:
        raise Misread("That picture is too large.", f"{MOST_BYTES // 1_000_000} MB is the most that is taken.")
    mend = "Send a JPEG, PNG or WebP."
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            picture = Image.open(BytesIO(content), formats=_KINDS)
            if picture.width * picture.height > MOST_PIXELS:
                raise Misread("That picture has too many pixels.", "Send a smaller one.")
            picture.draft("RGB", (_LONGEST, _LONGEST))
            upright = ImageOps.exif_transpose(picture)
            upright.thumbnail((_LONGEST, _LONGEST))
            plain = Image.new("RGB", upright.size, "white")
            plain.paste(upright, mask=upright.getchannel("A") if "A" in upright.getbands() else None)
    except Misread:
        raise
    except (UnidentifiedImageError, Image.DecompressionBombError) as bad:
        raise Misread("That is no picture that can be read.", mend) from bad
    except Exception as bad:  # a broken file fails in as many ways as there are kinds
        raise Misread("That picture is broken off or damaged.", mend) from bad
    made = BytesIO()
    plain.save(made, "JPEG", quality=_QUALITY, optimize=True)
    return made.getvalue()
