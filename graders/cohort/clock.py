"""A cohort's own time zone: times are kept in UTC, written and read in the zone that cohort.toml names."""

import os
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from zoneinfo import ZoneInfo

from dateutil import tz

LOCAL = "local"
"""The name of the zone that the machine is set to, where it does not say which that is."""


def zone(name: str) -> tzinfo:
    """Return the time zone of a name such as ``Europe/Vienna``, ``UTC`` or ``local``; ValueError where there is none.

    >>> zone("UTC").utcoffset(None)
    datetime.timedelta(0)
    """
    if name == "UTC":
        return UTC
    if name == LOCAL:
        here: tzinfo = tz.tzlocal()
        return here
    try:
        return ZoneInfo(name)
    except (OSError, ValueError, KeyError):  # ZoneInfoNotFoundError is a KeyError
        raise ValueError(f"there is no time zone {name!r}") from None


def machine_zone(link: Path = Path("/etc/localtime")) -> str:
    """Return the name of the zone this machine is set to, ``local`` where it does not say."""
    _, _, linked = str(link.resolve()).partition("zoneinfo/")
    for name in (os.environ.get("TZ", "").lstrip(":"), linked):
        try:
            zone(name)
        except ValueError:
            continue
        return "UTC" if name in ("Etc/UTC", "Etc/UCT", "Zulu", "UCT") else name
    return LOCAL


def as_utc(moment: datetime, name: str) -> datetime:
    """Return a moment as nbgrader keeps it, in UTC without saying so. A bare one is in the zone of this name.

    In winter Vienna is an hour ahead of UTC, in summer two:

    >>> as_utc(datetime(2026, 12, 1, 18), "Europe/Vienna"), as_utc(datetime(2026, 7, 1, 18), "Europe/Vienna")
    (datetime.datetime(2026, 12, 1, 17, 0), datetime.datetime(2026, 7, 1, 16, 0))
    """
    where = moment if moment.tzinfo else moment.replace(tzinfo=zone(name))
    return where.astimezone(UTC).replace(tzinfo=None)


def now() -> datetime:
    """Return this moment, in UTC without saying so."""
    return datetime.now(UTC).replace(tzinfo=None)


def bare(moment: datetime, name: str) -> str:
    """Return a moment of UTC as a clock in this zone shows it, without the zone's name.

    >>> bare(datetime(2026, 12, 1, 17), "Europe/Vienna")
    '2026-12-01 18:00'
    """
    return f"{moment.replace(tzinfo=UTC).astimezone(zone(name)):%Y-%m-%d %H:%M}"


def zone_words(name: str) -> str:
    """Return a zone as it is told."""
    return "local time of this machine" if name == LOCAL else name


def words(moment: datetime, name: str) -> str:
    """Return a moment of UTC as a clock in this zone shows it.

    >>> words(datetime(2026, 12, 1, 17), "Europe/Vienna")
    '2026-12-01 18:00 (Europe/Vienna)'
    """
    return f"{bare(moment, name)} ({zone_words(name)})"
