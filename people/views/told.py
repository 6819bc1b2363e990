"""What a page says after something was done, with the way to take it back."""

from django.contrib import messages
from django.http import HttpRequest
from django.urls import reverse

from people.models import Act


def undo_address(act: Act) -> str:
    """Return the address that takes the act back when posted to, and asks first when opened."""
    return reverse("undo", kwargs={"ministry": act.ministry.slug, "act": act.pk})


def tell(request: HttpRequest, act: Act, text: str = "") -> None:
    """Say on the next page what was done, with an Undo button: the act's own sentence when no text is given.

    For an act that wrote tracked rows; where nothing can be taken back use django.contrib.messages itself.
    """
    messages.success(request, text or act.says, extra_tags=f"undo:{undo_address(act)}")
