"""People around the work: added, changed, taken off the list."""

from typing import Any

from django.apps import apps
from django.db import models
from django.utils.translation import gettext as _

from people.compute.cleaning import sort_key
from people.models import Act, Member, Person, Tracked
from people.services import record
from people.services.merging import merged


def add_person(*, by: Member, **values: Any) -> tuple[Person, Act]:
    """Store a person of the member's ministry and return it with the act."""
    says = _("Wrote down %(name)s.") % {"name": values["name"]}
    with record.act(ministry=by.ministry, by=by, kind="person-add", says=says) as act:
        person = Person(ministry=by.ministry, sort_key=sort_key(values["name"]), **values)
        return record.add(person), act


def change_person(*, person: Person, by: Member, base_version: int | None = None, **values: Any) -> Act | None:
    """Change what differs and return the act, None when nothing did.

    base_version: the version the writer saw. Raises Clashed where someone else changed the same column since.
    """
    values = merged(person, base_version=base_version, values=values)
    if "name" in values:
        values["sort_key"] = sort_key(values["name"])
    if all(getattr(person, name) == value for name, value in values.items()):
        return None
    says = _("Changed what is known of %(name)s.") % {"name": values.get("name", person.name)}
    with record.act(ministry=person.ministry, by=by, kind="person-change", says=says) as act:
        record.change(person, **values)
        return act


def pointing_fields() -> list[tuple[type[Tracked], str]]:
    """Return (tracked model, field name) of every column that names a person."""
    return [
        (model, field.name)
        for model in apps.get_models()
        if issubclass(model, Tracked)
        for field in model._meta.concrete_fields
        if isinstance(field, models.ForeignKey) and field.related_model is Person
    ]


def remove_person(*, person: Person, by: Member) -> Act:
    """Take a person off the list; whatever named them names nobody, in the same act, so that undo brings both back."""
    says = _("Took %(name)s off the list of people.") % {"name": person.name}
    with record.act(ministry=person.ministry, by=by, kind="person-remove", says=says) as act:
        for model, name in pointing_fields():
            record.change_many(list(model.objects.filter(**{name: person})), **{name: None})
        record.remove(person)
        return act


def person_of_member(*, member: Member) -> Person:
    """Return the person a member is on the list of people, added or found by the very same name when there is none."""
    there = Person.objects.filter(ministry=member.ministry)
    known = there.filter(member=member).first()
    if known:
        return known
    name = str(member.user)
    says = _("%(name)s joined.") % {"name": name}
    alike = list(there.filter(member=None, sort_key=sort_key(name), is_minor=False)[:2])
    with record.act(ministry=member.ministry, by=member, kind="member-joined", says=says):
        if len(alike) == 1:
            record.change(alike[0], member=member)
            return alike[0]
        return record.add(
            Person(ministry=member.ministry, member=member, name=name, sort_key=sort_key(name), email=member.user.email)
        )
