"""The needs links of a ministry as kits, and what a fate would strand, in words."""

from django.utils.translation import gettext as _

from inventory.compute.kits import Kits, NeedsLink
from inventory.models import NeedsLink as StoredLink
from inventory.models import Piece
from inventory.words import Strength
from people.models import Act, Member, Ministry
from people.services import record

NOT_THERE = frozenset({"dead", "not found"})


class Strands(Exception):
    """A fate that would leave something kept without what it needs; `sentences` name the sets that go together."""

    def __init__(self, sentences: list[str]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = sentences


def kits_of(ministry: Ministry) -> Kits:
    """Return every link between pieces on the list, by the pieces' tags. Queries once."""
    links = StoredLink.objects.filter(
        ministry=ministry, needs__isnull=False, piece__merged_into__isnull=True, needs__merged_into__isnull=True
    )
    rows = links.values_list("piece__tag", "needs__tag", "strength", "why")
    return Kits.of(NeedsLink(*row) for row in rows)


def add_needs_link(
    *,
    piece: Piece,
    by: Member | None,
    needs: Piece | None,
    needs_kind: str = "",
    quantity: int = 1,
    strength: str = Strength.MUST,
    why: str = "",
) -> Act:
    """Write down that `piece` needs another, or a thing of a kind."""
    says = _("%(piece)s needs %(needs)s.") % {"piece": piece, "needs": needs or needs_kind}
    with record.act(ministry=piece.ministry, by=by, kind="needs-link-add", says=says) as act:
        record.add(
            StoredLink(
                ministry=piece.ministry,
                piece=piece,
                needs=needs,
                needs_kind=needs_kind,
                quantity=quantity,
                strength=strength,
                why=why,
            )
        )
        return act


def remove_needs_link(*, link: StoredLink, by: Member | None) -> Act:
    """Say that a piece no longer needs the other."""
    says = _("%(piece)s no longer needs %(needs)s.") % {"piece": link.piece, "needs": link.needs or link.needs_kind}
    with record.act(ministry=link.ministry, by=by, kind="needs-link-remove", says=says) as act:
        record.remove(link)
        return act
