"""Questions asked of pieces, by name."""

from typing import Self

from inventory.words import KEPT_FATES, Fate
from people.querysets import MinistryQuerySet


class PieceQuerySet(MinistryQuerySet):
    def listed(self) -> Self:
        """Return the pieces that stand on the list (not merged into another)."""
        return self.filter(merged_into__isnull=True)

    def undecided(self) -> Self:
        return self.filter(fate=Fate.UNDECIDED)

    def kept(self) -> Self:
        return self.filter(fate__in=KEPT_FATES)

    def for_list(self) -> Self:
        """Return the pieces with what a row of the list shows: place, site and destination."""
        return self.select_related("place__site", "goes_to__site", "found_at")
