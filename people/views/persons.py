"""People around the work, with or without a login."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _

from people.access import Viewer, in_ministry
from people.forms.persons import PersonForm
from people.models import Person
from people.querysets import get_for_edit
from people.services.merging import Clashed
from people.services.persons import add_person, change_person, remove_person
from people.views.told import tell


@in_ministry("see")
def persons(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    everyone = list(Person.objects.visible_to(viewer).select_related("member__user").order_by("sort_key", "id"))
    told = {
        "persons": everyone,
        "minors": sum(person.is_minor for person in everyone),
        "unnamed": [person for person in everyone if not (person.does or person.note)],
        "sees_contacts": viewer.may("see_contacts"),
        "may_write": viewer.may("record"),
    }
    return render(request, "people/persons.html", told)


@in_ministry("record")
def person_add(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    form = PersonForm(request.POST if request.method == "POST" else None, viewer=viewer)
    if request.method == "POST" and form.is_valid():
        __, act = add_person(by=viewer.member, **form.changed_values())
        tell(request, act)
        return _back(viewer)
    return render(request, "people/person_edit.html", {"form": form}, status=422 if form.errors else 200)


@in_ministry("see")
def person_edit(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    person = get_for_edit(Person.objects, viewer, "record", uid=uid)
    form = PersonForm(
        request.POST if request.method == "POST" else None, instance=Person.objects.get(pk=person.pk), viewer=viewer
    )
    if request.method == "POST" and form.is_valid():
        try:
            base = form.cleaned_data.get("base_version")
            act = change_person(person=person, by=viewer.member, base_version=base, **form.changed_values())
            if act:
                tell(request, act)
            return _back(viewer)
        except Clashed as clashed:
            name_clashes(form, clashed)
    told = {"form": form, "person": person, "may_remove": viewer.may("remove")}
    return render(request, "people/person_edit.html", told, status=422 if form.errors else 200)


def name_clashes(form: PersonForm, clashed: Clashed) -> None:
    """Say at each column what someone else made of it meanwhile; sent once more, the form is kept as it stands."""
    for clash in clashed.clashes:
        theirs = _("Someone wrote %(theirs)s here meanwhile. Send it once more to keep yours.")
        form.add_error(clash.name, theirs % {"theirs": clash.theirs or _("nothing")})
    form.data["base_version"] = str(clashed.version)


@in_ministry("see")
def person_remove(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Ask first; the steps and pieces they look after then name nobody."""
    person = get_for_edit(Person.objects, viewer, "remove", uid=uid)
    if request.method == "POST":
        tell(request, remove_person(person=person, by=viewer.member))
        return _back(viewer)
    return render(request, "people/person_remove.html", {"person": person})


def _back(viewer: Viewer) -> HttpResponse:
    return redirect("persons", ministry=viewer.ministry.slug)
