"""How one desk is run: where its data is, how it is reached, what it accepts at most."""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass
from ipaddress import ip_network
from pathlib import Path
from typing import Self
from urllib.parse import urlsplit

from walltriage.errors import refuse
from walltriage.folders import user_folder

DATABASE = "desk.sqlite3"
_PREFIX = "WALLTRIAGE_DESK_"


@dataclass(frozen=True, slots=True)
class Settings:
    """All of it; limits are in bytes, pixels, days, minutes and counts as their names say."""

    database: str
    """A database URL; SQLite and PostgreSQL are supported."""
    public_url: str = "http://127.0.0.1:8347"
    """What links begin with; https here makes every cookie a secure one."""
    rules_folder: Path | None = None
    firm: str = "Our office"
    link_days: int = 21
    session_hours: int = 12
    tries_before_lock: int = 5
    lock_minutes: int = 15
    body_bytes: int = 24 * 1024 * 1024
    photo_bytes: int = 20 * 1024 * 1024
    photo_pixels: int = 64_000_000
    photos_per_house: int = 120
    requests_per_minute: int = 240
    """For one address on one worker; looks at pictures and style sheets count too."""
    tries_per_minute: int = 12
    """Sign-ins and links that do not exist, for one address on one worker."""

    @property
    def secure(self) -> bool:
        return self.public_url.startswith("https:")

    @property
    def host(self) -> str:
        return urlsplit(self.public_url).hostname or ""

    def environment(self) -> dict[str, str]:
        """What worker processes are told."""
        told = {
            "DATABASE": self.database,
            "PUBLIC_URL": self.public_url,
            "FIRM": self.firm,
            "LINK_DAYS": str(self.link_days),
            "REQUESTS": str(self.requests_per_minute),
        }
        if self.rules_folder is not None:
            told["RULES"] = str(self.rules_folder)
        return {_PREFIX + key: value for key, value in told.items()}

    @classmethod
    def of_environment(cls, environment: Mapping[str, str] = os.environ) -> Self:
        """The settings that :meth:`environment` told."""
        told = {k.removeprefix(_PREFIX): v for k, v in environment.items() if k.startswith(_PREFIX)}
        rules = told.get("RULES")
        return cls(
            database=told["DATABASE"],
            public_url=told["PUBLIC_URL"],
            rules_folder=Path(rules) if rules else None,
            firm=told["FIRM"],
            link_days=int(told["LINK_DAYS"]),
            requests_per_minute=int(told["REQUESTS"]),
        )


def data_folder() -> Path:
    """``$XDG_DATA_HOME/walltriage``, else under ``~/.local/share``."""
    return user_folder("XDG_DATA_HOME", ".local", "share")


def database_url(given: str | None, folder: Path | None) -> str:
    """The database to use: the URL given, else an SQLite file in ``folder``, which is made.

    Raises :class:`InputError` for a URL of another kind and for a folder that cannot be made.
    """
    if given:
        kind = given.partition(":")[0]
        if kind in ("postgresql", "postgres"):
            return "postgresql+psycopg" + given[len(kind) :]
        if kind in ("sqlite", "postgresql+psycopg"):
            return given
        expected = "expected postgresql://USER@HOST/NAME or sqlite:////PATH"
        raise refuse("--database", "not a usable database URL", expected)
    folder = folder or data_folder()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or "not writable").lower()
        raise refuse(folder, f"cannot be made: {reason}", "give --data FOLDER") from None
    return f"sqlite:///{(folder / DATABASE).resolve()}"


def checked_proxy(given: str) -> str:
    """Addresses or networks of proxies, with commas between.

    Raises :class:`InputError` for anything else, and for "everybody": then each client could
    say where they are, and count as somebody new with every request.
    """
    for part in given.split(","):
        try:
            everybody = ip_network(part.strip()).prefixlen == 0
        except ValueError:
            everybody = True
        if everybody:
            what = f"'{part.strip()}' is not the address of one proxy"
            expected = "expected an address or a network, such as 127.0.0.1 or 10.0.0.0/24"
            raise refuse("--behind-proxy", what, expected)
    return given


def checked_public_url(given: str) -> str:
    """``http(s)://host[:port]`` without a path; :class:`InputError` otherwise."""
    parts = urlsplit(given)
    bare = parts.scheme in ("http", "https") and parts.hostname and parts.path in ("", "/")
    if not bare or parts.query or parts.fragment or parts.username:
        expected = "expected the address people type, such as https://desk.example.com"
        raise refuse("--public-url", f"'{given}' is not an address", expected)
    return given.rstrip("/")
