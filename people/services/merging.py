"""Two people changed the same row: fields only one of them touched are both kept, the others are put to a person."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.db import models

from people.models import Tracked

MINE, THEIRS = "mine", "theirs"


@dataclass(frozen=True)
class Clash:
    """One field that both changed: what it was, what the other made of it, what was typed."""

    name: str
    was: Any
    theirs: Any
    mine: Any


class Clashed(Exception):
    """Nothing was written: `clashes` need a choice; `version` is the row's version they were found at."""

    def __init__(self, clashes: tuple[Clash, ...], version: int) -> None:
        super().__init__(f"{len(clashes)} fields were changed by two people.")
        self.clashes, self.version = clashes, version


def merged(
    row: Tracked,
    *,
    base_version: int | None,
    values: Mapping[str, Any],
    chosen: Mapping[str, str] | None = None,
    chosen_at: int | None = None,
) -> dict[str, Any]:
    """Return what is to be written on `row` as it stands now; raises Clashed where a person has to choose.

    base_version: the version the writer saw; None, or one without history, means the present one.
    values: field name -> what was submitted. chosen: field name -> "mine" or "theirs", given while looking at version
    `chosen_at`; a choice made before the row moved on again is not used. Queries once where the row has moved on.
    """
    base = _state_at(row, base_version)
    if base is None:
        return dict(values)
    settled = dict(chosen or {}) if chosen_at == row.version else {}
    written, clashes = {}, []
    for name, mine in values.items():
        was, theirs = _value(base, row, name), _value(row, row, name)
        if _key(mine) == was:
            continue
        if theirs in (was, _key(mine)) or settled.get(name) == MINE:
            written[name] = mine
        elif settled.get(name) != THEIRS:
            clashes.append(Clash(name, was, theirs, mine))
    if clashes:
        raise Clashed(tuple(clashes), row.version)
    return written


def _state_at(row: Tracked, version: int | None) -> Any:
    """Return the history row of that version, None where it is the present one or unknown."""
    if version is None or version >= row.version:
        return None
    return type(row).history.filter(id=row.pk, version=version).order_by("-history_id").first()


def _value(state: Any, row: Tracked, name: str) -> Any:
    column: Any = row._meta.get_field(name)
    return getattr(state, column.attname)


def _key(value: Any) -> Any:
    return value.pk if isinstance(value, models.Model) else value
