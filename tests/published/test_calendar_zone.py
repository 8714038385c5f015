"""The zone of a calendar file against the standard's own example."""

from __future__ import annotations

from datetime import datetime
from zoneinfo import ZoneInfo

from rakelight.papers.calendar_file import zone_component

#: RFC 5545 (September 2009), section 3.6.5, New York: onsets of 2007 as printed there
STANDARD = "BEGIN:STANDARD\r\nDTSTART:20071104T020000\r\nTZNAME:EST\r\nTZOFFSETFROM:-0400\r\nTZOFFSETTO:-0500\r\n"
DAYLIGHT = "BEGIN:DAYLIGHT\r\nDTSTART:20070311T020000\r\nTZNAME:EDT\r\nTZOFFSETFROM:-0500\r\nTZOFFSETTO:-0400\r\n"


def test_new_york_as_the_standard_has_it() -> None:
    zone = ZoneInfo("America/New_York")
    day = datetime(2007, 6, 1, tzinfo=zone)
    text = zone_component(zone, day, day).to_ical().decode()
    assert STANDARD in text
    assert DAYLIGHT in text
