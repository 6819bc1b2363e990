"""Changing one row when two people may be at it: merged by field, one act."""

from collections.abc import Mapping
from typing import Any

from django.db import transaction

from people.models import Act, Member, Tracked
from people.services import record
from people.services.merging import merged


def change_merged(
    *,
    row: Tracked,
    by: Member | None,
    act_kind: str,
    says: str,
    holds_money: bool = False,
    base_version: int | None = None,
    chosen: Mapping[str, str] | None = None,
    chosen_at: int | None = None,
    **values: Any,
) -> Act | None:
    """Write what differs of a row as it stands now; None where nothing does. Raises people.services.merging.Clashed.

    base_version: the version the writer saw; what others changed since in other fields is kept.
    """
    with transaction.atomic():
        fresh = type(row).objects.select_for_update().get(pk=row.pk)
        written = merged(fresh, base_version=base_version, values=values, chosen=chosen, chosen_at=chosen_at)
        if not record.differing(fresh, written):
            return None
        with record.act(ministry=fresh.ministry, by=by, kind=act_kind, says=says, holds_money=holds_money) as act:
            record.change(fresh, **written)
            return act
