"""Who may do what: roles are hats, a viewer is a member wearing all of theirs."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_required
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse

from people.models import Member, Ministry
from people.roles import ABILITIES, Ability


@dataclass(frozen=True)
class Viewer:
    """The one who looks: a member, in one ministry. (A share link can be another kind of viewer later.)"""

    ministry: Ministry
    member: Member | None
    roles: frozenset[str]

    def may(self, ability: str) -> bool:
        """Tell whether any hat of the viewer has the ability; an unknown ability is a mistake of ours: KeyError."""
        return bool(ABILITIES[Ability(ability)] & self.roles)

    @property
    def sees_money(self) -> bool:
        return self.may("see_money")


def find_viewer(user: Any, slug: str) -> Viewer | None:
    """Return the viewer for a signed-in user in the ministry with this slug, None for strangers; one query."""
    member = (
        Member.objects.select_related("ministry", "user").filter(user=user, ministry__slug=slug, is_active=True).first()
    )
    return Viewer(member.ministry, member, frozenset(member.roles)) if member else None


def in_ministry(ability: str = "see") -> Callable[[Callable[..., HttpResponse]], Callable[..., HttpResponse]]:
    """Decorate `view(request, viewer, ...)`: sign-in asked, strangers 404, members without the ability 403.

    The viewer comes from people.middleware, which found it from the slug in the address.
    """

    def decorate(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
        @wraps(view)
        @login_required
        def inner(request: HttpRequest, ministry: str, *args: Any, **kwargs: Any) -> HttpResponse:
            viewer: Viewer | None = getattr(request, "viewer", None)
            if viewer is None:
                raise Http404
            if not viewer.may(ability):
                raise PermissionDenied
            return view(request, viewer, *args, **kwargs)

        return inner

    return decorate
