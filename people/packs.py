"""The country packs that ship with the program, each read once."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

from people.compute.packs import CountryPack, pack_from

FOLDER = Path(__file__).resolve().parent.parent / "fixtures" / "reference" / "countries"


@cache
def pack(country: str) -> CountryPack:
    """Return the pack of a country by its two letters.

    Raises LookupError for a country without a pack, PackError for a file that cannot be used.
    """
    code = country.upper()
    if code not in countries():
        raise LookupError(f"There is no country pack for {country!r}: choose one of {', '.join(countries())}.")
    return pack_from(tomllib.loads((FOLDER / f"{code}.toml").read_text(encoding="utf-8")))


@cache
def countries() -> tuple[str, ...]:
    """Return the codes of the countries that have a pack: the United States first, then by code."""
    codes = (path.stem for path in FOLDER.glob("*.toml"))
    return tuple(sorted(codes, key=lambda code: (code != "US", code)))


def country_choices() -> list[tuple[str, str]]:
    """Return (code, name) of every country with a pack, for a form."""
    return [(code, pack(code).name) for code in countries()]
