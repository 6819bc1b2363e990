"""The only doors to rows: what a viewer sees, and what a viewer may change."""

from typing import TYPE_CHECKING, Any, Self, TypeVar

from django.core.exceptions import PermissionDenied
from django.db import models
from django.http import Http404

if TYPE_CHECKING:
    from people.access import Viewer

M = TypeVar("M", bound=models.Model)


class MinistryQuerySet(models.QuerySet[Any]):
    """Rows that belong to a ministry."""

    def visible_to(self, viewer: "Viewer") -> Self:
        """Return the rows of the viewer's ministry, none at all where the kind is not for them."""
        if not viewer.may(getattr(self.model, "seen_with", "see")):
            return self.none()
        return self.filter(ministry=viewer.ministry)


def get_visible(rows: MinistryQuerySet, viewer: "Viewer", **lookup: Any) -> Any:
    """Return one row the viewer may see; Http404 where it is absent or not theirs (the same answer)."""
    found = rows.visible_to(viewer).filter(**lookup).first()
    if found is None:
        raise Http404
    return found


def get_for_edit(rows: MinistryQuerySet, viewer: "Viewer", ability: str, **lookup: Any) -> Any:
    """Return one row the viewer may change with `ability`; unseen is Http404, seen but not allowed PermissionDenied."""
    found = get_visible(rows, viewer, **lookup)
    if not viewer.may(ability):
        raise PermissionDenied
    return found
