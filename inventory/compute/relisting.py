"""The same list again: which row of it is which row of before. See docs/algorithms/relisting.md."""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

SAME_LIST = 0.5  # share of rows that must stand on both for two files to be one list


@dataclass(frozen=True)
class ListedRow:
    """One row of a list, now or before, as far as finding it again needs it."""

    key: str  # any name, unique in its list
    sheet: str
    row: int
    part: int
    fingerprint: str
    fields: Mapping[str, Any]


def matched(now: Sequence[ListedRow], before: Sequence[ListedRow]) -> dict[str, str]:
    """Return {key now: key before}; every row is used once and a row without a partner is absent.

    First the rows that say the same; then those with the same serial, the same number of the list's own, the same
    thing by name where only one is left on either side; last the rows that kept their place and share a word.
    """
    found: dict[str, str] = {}
    _pair(found, now, before, lambda row: (row.fingerprint, row.part) if row.fingerprint else None, alone=False)
    for same in (_serial, _own_number, _name):
        _pair(found, now, before, same, alone=True)
    _pair_by_position(found, now, before)
    return found


def same_list(now: Iterable[str], before: Iterable[str]) -> bool:
    """Tell whether two files are versions of one list, by the fingerprints of their rows."""
    here, there = Counter(filter(None, now)), Counter(filter(None, before))
    smaller = min(here.total(), there.total())
    return smaller > 0 and (here & there).total() >= SAME_LIST * smaller


def changed_fields(before: Mapping[str, Any], now: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values that differ now; a value that is gone is None."""
    names = sorted(set(before) | set(now))
    return {name: now.get(name) for name in names if before.get(name) != now.get(name)}


def folded(text: object) -> str:
    """Return the words of a text for comparing: small letters, single spaces, no marks."""
    return " ".join(re.findall(r"\w+", str(text or "").casefold()))


def _serial(row: ListedRow) -> Hashable:
    return row.fields.get("serial_key") or None


def _own_number(row: ListedRow) -> Hashable:
    tag = folded(row.fields.get("tag"))
    return (row.sheet, tag) if tag else None


def _name(row: ListedRow) -> Hashable:
    name = tuple(folded(row.fields.get(part)) for part in ("what", "maker", "model"))
    return (row.sheet, row.part, name) if any(name) else None


def _pair(
    found: dict[str, str],
    now: Sequence[ListedRow],
    before: Sequence[ListedRow],
    name: Callable[[ListedRow], Hashable],
    *,
    alone: bool,
) -> None:
    """Pair rows not yet paired that have the same name; `alone`: only where one stands on either side."""
    used = set(found.values())
    here = _grouped((row for row in now if row.key not in found), name)
    there = _grouped((row for row in before if row.key not in used), name)
    for same, rows in here.items():
        others = there.get(same, [])
        if not alone or len(rows) == len(others) == 1:
            found.update((row.key, other.key) for row, other in zip(rows, others, strict=False))


def _grouped(rows: Iterable[ListedRow], name: Callable[[ListedRow], Hashable]) -> dict[Hashable, list[ListedRow]]:
    groups: defaultdict[Hashable, list[ListedRow]] = defaultdict(list)
    for row in rows:
        same = name(row)
        if same is not None:
            groups[same].append(row)
    return groups


def _pair_by_position(found: dict[str, str], now: Sequence[ListedRow], before: Sequence[ListedRow]) -> None:
    used = set(found.values())
    there = {(row.sheet, row.row, row.part): row for row in before if row.key not in used}
    for row in now:
        place = (row.sheet, row.row, row.part)
        if row.key not in found and place in there and _share_a_word(row, there[place]):
            found[row.key] = there.pop(place).key


def _share_a_word(row: ListedRow, other: ListedRow) -> bool:
    serials = {_serial(row), _serial(other)} - {None}
    words = [set(folded(each.fields.get("what")).split()) for each in (row, other)]
    return len(serials) < 2 and bool(words[0] & words[1])
