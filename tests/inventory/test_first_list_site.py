"""A church's first list is taken to be of the one building that is being left, unless somebody says otherwise."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from inventory.forms.intake import BringForm


def site_of(cast, **said):
    files = {"files": SimpleUploadedFile("kit.csv", b"Item,No.\nConsole,1\n")}
    form = BringForm(said, files, viewer=cast.viewer())
    assert form.is_valid(), form.errors
    return form.cleaned_data["site"]


@pytest.fixture
def old(make):
    make.site(name="The new room", receives=True)
    return make.site(name="The old building")


def test_the_one_building_being_left_is_meant(cast, old):
    assert site_of(cast) == old


def test_not_sure_stays_not_sure(cast, old):
    assert site_of(cast, site="") is None


def test_of_two_buildings_none_is_guessed(cast, make, old):
    make.site(name="Another old building")
    assert site_of(cast) is None
