"""A page kept as it was drawn, compressed once, with what is its reader's own put in each time it is sent.

A page differs from reader to reader in the key of its forms and in the ids that its forms give what they tell. It is
cut at those; the stretches between are deflated once, each to a whole number of bytes, and the words are put between
them as they are (RFC 1951, stored blocks; RFC 1952, the frame about them).
"""

from __future__ import annotations

import re
import struct
import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

_HEAD = b"\x1f\x8b\x08" + bytes(6) + b"\xff"
_END = b"\x03\x00"
_LEVEL = 6


@dataclass(frozen=True)
class Packed:
    """A page cut at its reader's own words."""

    headers: tuple[tuple[bytes, bytes], ...]
    parts: tuple[bytes, ...]
    gaps: tuple[int, ...]  # which word stands after each part but the last
    pressed: tuple[bytes, ...]  # the parts, deflated

    @property
    def size(self) -> int:
        """Bytes it takes."""
        return sum(map(len, self.parts)) + sum(map(len, self.pressed))

    def plain(self, words: Sequence[bytes]) -> bytes:
        """The page with these words."""
        return b"".join(_between(self.parts, [words[n] for n in self.gaps]))

    def gzipped(self, words: Sequence[bytes]) -> bytes:
        """The same, compressed."""
        page = self.plain(words)
        stored = [_stored(words[n]) for n in self.gaps]
        foot = struct.pack("<II", zlib.crc32(page), len(page) & 0xFFFFFFFF)
        return b"".join((_HEAD, *_between(self.pressed, stored), _END, foot))


def packed(headers: Sequence[tuple[bytes, bytes]], page: bytes, words: Sequence[bytes]) -> Packed:
    """A page cut at these words, wherever they stand in it."""
    own = tuple(row for row in headers if row[0].lower() != b"content-length")
    at: Mapping[bytes, int] = {word: n for n, word in enumerate(words)}
    cut = re.split(b"(" + b"|".join(map(re.escape, words)) + b")", page) if words else [page]
    parts = tuple(cut[::2])
    return Packed(own, parts, tuple(at[word] for word in cut[1::2]), tuple(map(_pressed, parts)))


def _pressed(part: bytes) -> bytes:
    press = zlib.compressobj(_LEVEL, zlib.DEFLATED, -zlib.MAX_WBITS)
    return press.compress(part) + press.flush(zlib.Z_FULL_FLUSH)


def _stored(word: bytes) -> bytes:
    return struct.pack("<BHH", 0, len(word), len(word) ^ 0xFFFF) + word


def _between(parts: Sequence[bytes], words: Sequence[bytes]) -> list[bytes]:
    row = [parts[0]]
    for word, part in zip(words, parts[1:], strict=True):
        row += (word, part)
    return row
