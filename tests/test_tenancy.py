"""Nothing of one church is reached from another: not by an address, not by a choice in a form."""

import importlib
import inspect
import pkgutil

import pytest
from django import forms

import inventory.forms
import people.forms
import roadmap.forms
from people.forms.base import OfMinistry
from people.models import Member, Tracked
from people.services import record
from people.services.undo import tracked_models
from tests.access_rows import FORM_ARGUMENTS, ROWS
from tests.conftest import Cast
from tests.makers import Maker
from tests.test_access import address, answer, files_of_their_own  # noqa: F401


class Elsewhere(Cast):
    """The cast with the two churches changed over, so that makers make things of the other church."""

    def __init__(self, cast: Cast) -> None:
        self.ministry, self.elsewhere = cast.elsewhere, cast.ministry
        self.stranger = cast.lead
        self.members = dict.fromkeys(cast.members, cast.stranger)


@pytest.fixture
def theirs(cast):
    return Maker(Elsewhere(cast))


@pytest.mark.parametrize(
    "name", sorted(name for name, row in ROWS.items() if row.may and row.kwargs and row.names_a_thing)
)
def test_a_thing_of_another_church_is_not_there(cast, theirs, name):
    url = address(theirs, name, ministry=cast.ministry.slug)
    assert answer(cast.client(), url, ROWS[name], theirs) == 404


def ministry_forms() -> list[type[OfMinistry]]:
    """Return every form of the three apps that takes a viewer."""
    found = set()
    for package in (people.forms, inventory.forms, roadmap.forms):
        for module in pkgutil.iter_modules(package.__path__, package.__name__ + "."):
            for __, one in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
                if issubclass(one, OfMinistry) and one.__module__ == module.name and "base" not in module.name:
                    found.add(one)
    return sorted(found, key=lambda form: (form.__module__, form.__name__))


def build(form: type[OfMinistry], viewer, make):
    """Return the form, with a made thing for each further argument it cannot do without."""
    needed = {
        name: None
        for name, one in inspect.signature(form.__init__).parameters.items()
        if one.kind is one.KEYWORD_ONLY and one.default is one.empty and name != "viewer"
    }
    for name in needed:
        needed[name] = getattr(make, name)() if hasattr(make, name) else FORM_ARGUMENTS.get((form.__name__, name), ())
    return form(viewer=viewer, **needed)


def a_foreign_row(model, theirs, depth: int = 0):
    """Return a stored row of the other church; required foreign keys are made the same way."""
    church = theirs.cast.ministry
    if model is Member:
        return theirs.cast.lead
    maker = getattr(theirs, model.__name__.lower(), None)
    if maker:
        return maker()
    values = {"ministry": church}
    for column in model._meta.concrete_fields:
        if column.name in {"ministry", "id"} or column.null or column.has_default() or column.blank:
            continue
        if column.related_model:
            values[column.name] = a_foreign_row(column.related_model, theirs, depth + 1)
        elif column.get_internal_type() in {"CharField", "TextField"}:
            values[column.name] = column.choices[0][0] if column.choices else "x"
        elif column.get_internal_type() == "DateField":
            values[column.name] = church.today_is
        else:
            values[column.name] = 1
    with record.act(ministry=church, by=theirs.cast.lead, kind="made", says="Made for a test."):
        return record.add(model(**values))


def row_choices(form) -> dict[str, forms.ModelChoiceField]:
    return {name: one for name, one in form.fields.items() if isinstance(one, forms.ModelChoiceField)}


@pytest.mark.parametrize("form_class", ministry_forms(), ids=lambda form: f"{form.__module__}.{form.__name__}")
def test_no_form_takes_a_row_of_another_church(cast, make, theirs, form_class):
    form = build(form_class, cast.viewer(), make)
    for name, choice in row_choices(form).items():
        foreign = a_foreign_row(choice.queryset.model, theirs)
        key = getattr(foreign, choice.to_field_name or "pk")
        sent = [key] if isinstance(choice, forms.ModelMultipleChoiceField) else key
        with pytest.raises(forms.ValidationError) as refused:
            choice.clean(sent)
        assert refused.value.code in {"invalid_choice", "invalid_pk_value"}, name


def test_every_model_form_of_a_tracked_row_takes_a_viewer():
    for package in (people.forms, inventory.forms, roadmap.forms):
        for module in pkgutil.iter_modules(package.__path__, package.__name__ + "."):
            for __, one in inspect.getmembers(importlib.import_module(module.name), inspect.isclass):
                model = getattr(getattr(one, "_meta", None), "model", None)
                if issubclass(one, forms.BaseForm) and model in tracked_models():
                    assert issubclass(one, OfMinistry), f"{module.name}.{one.__name__} offers rows of every church"


def test_no_tracked_model_shows_rows_by_default_to_who_may_not_see_its_kind(cast):
    reader, crew = cast.viewer("reader"), cast.viewer("crew")
    for model in tracked_models():
        assert issubclass(model, Tracked)
        for viewer in (reader, crew):
            if not viewer.may(model.seen_with):
                assert model.objects.visible_to(viewer).query.is_empty(), model
