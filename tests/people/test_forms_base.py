"""A form of a ministry offers only its rows, hides what its viewer may not see, and tidies what was typed."""

import pytest
from django import forms

from inventory.models import Piece, Site
from people.compute.cleaning import one_line, several_lines, sort_key
from people.forms.base import MinistryForm, MinistryModelForm
from people.models import Person
from roadmap.models import Step


class SiteForm(MinistryModelForm):
    class Meta:
        model = Site
        fields = ["code", "name", "keyholder"]


class StepForm(MinistryModelForm):
    class Meta:
        model = Step
        fields = ["title", "owner", "fund", "resale_minor"]


class PersonForm(MinistryModelForm):
    class Meta:
        model = Person
        fields = ["name", "member", "email", "phone"]


class PickForm(MinistryForm):
    piece = forms.ModelChoiceField(Piece.objects.all())
    note = forms.CharField(required=False, widget=forms.Textarea)


def test_a_row_of_another_ministry_is_not_a_choice(cast, make):
    ours, theirs = make.person(), make.person(ministry=cast.elsewhere)
    assert SiteForm({"code": "A", "name": "A", "keyholder": ours.pk}, viewer=cast.viewer()).is_valid()
    form = SiteForm({"code": "A", "name": "A", "keyholder": theirs.pk}, viewer=cast.viewer())
    assert form.errors.as_data()["keyholder"][0].code == "invalid_choice"
    pick = PickForm({"piece": make.piece(ministry=cast.elsewhere).pk}, viewer=cast.viewer())
    assert "piece" in pick.errors


def test_members_of_another_ministry_and_those_gone_are_no_choice(cast):
    crew = cast["crew"]
    crew.is_active = False
    crew.save()
    choices = set(PersonForm(viewer=cast.viewer()).fields["member"].queryset)
    assert cast.lead in choices and crew not in choices and cast.stranger not in choices


@pytest.mark.parametrize(("role", "shown"), [("lead", True), ("treasurer", True), ("crew", False), ("reader", False)])
def test_money_is_no_field_for_who_sees_none(cast, role, shown):
    fields = StepForm(viewer=cast.viewer(role)).fields
    assert {"fund", "resale_minor"} <= set(fields) if shown else not {"fund", "resale_minor"} & set(fields)
    assert "owner" in fields


@pytest.mark.parametrize(("role", "shown"), [("crew", True), ("reader", False)])
def test_contacts_are_no_field_for_readers(cast, role, shown):
    assert ("email" in PersonForm(viewer=cast.viewer(role)).fields) is shown


def test_a_code_already_taken_is_said_at_the_code(cast, make):
    make.site(code="NB")
    form = SiteForm({"code": "NB", "name": "North"}, viewer=cast.viewer())
    assert form.errors == {"code": ["There is already one with this code: choose another."]}
    make.site(ministry=cast.elsewhere, code="XX")
    assert SiteForm({"code": "XX", "name": "North"}, viewer=cast.viewer()).is_valid()


def test_an_edited_row_carries_its_version_and_a_form_never_saves(cast, make):
    site = make.site()
    form = SiteForm(instance=site, viewer=cast.viewer())
    assert form["base_version"].value() == 1
    sent = {"code": "Q", "name": "Q", "base_version": "1"}
    form = SiteForm(sent, instance=site, viewer=cast.viewer())
    assert form.is_valid() and form.changed_values() == {"code": "Q", "name": "Q", "keyholder": None}
    with pytest.raises(TypeError):
        form.save()


def test_unseen_characters_are_taken_out_at_the_door(cast):
    form = SiteForm({"code": "A\x00\u202eB", "name": " North\tHall\r\n"}, viewer=cast.viewer())
    assert form.is_valid() and form.changed_values()["code"] == "AB" and form.cleaned_data["name"] == "North Hall"


def test_text_keeps_lines_only_where_it_may_have_them():
    assert one_line("a\u0308\nb\u200bc\x07") == "\u00e4 bc"
    assert several_lines(" one\r\ntwo\x00\rthree\n") == "one\ntwo\nthree"


def test_names_are_sorted_without_case_and_accents():
    # the German sharp s folds to ss (Unicode case folding, status F)
    assert sort_key(" Émile Stra\u00dfe ") == "emile strasse"
