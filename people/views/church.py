"""The door of one church: its first page for this viewer."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import NoReverseMatch, reverse

from people.access import Viewer, in_ministry
from people.roles import Role

FIRST_PAGES = (("this-sunday", "see_plan"), ("gear", "see"), ("persons", "see"))
MONEY_FIRST = frozenset({Role.TREASURER, Role.LEADERSHIP})


def first_page(viewer: Viewer) -> str:
    """Return the address a member begins at: the first page that is built and theirs to open.

    Those who only decide about money begin there: it ends with the question asked of them.
    """
    pages = (("money", "see_money"), *FIRST_PAGES) if viewer.roles <= MONEY_FIRST else FIRST_PAGES
    for name, ability in pages:
        if viewer.may(ability):
            try:
                return reverse(name, kwargs={"ministry": viewer.ministry.slug})
            except NoReverseMatch:
                continue
    raise LookupError(f"No first page for {sorted(viewer.roles)}: FIRST_PAGES names none they may open.")


@in_ministry("see")
def church(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    return redirect(first_page(viewer))


@in_ministry("decide_fates")
def first_list(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Ask a new church for its first gear list."""
    try:
        intake_url = reverse("intake", kwargs={"ministry": viewer.ministry.slug})
    except NoReverseMatch:
        intake_url = ""
    return render(request, "people/first_list.html", {"intake_url": intake_url})
