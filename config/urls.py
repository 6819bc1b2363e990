"""Addresses: the first page and beginning a church, then people, then everything of one ministry under its slug."""

from django.urls import include, path

from inventory.views.new_church import new_church
from roadmap.views.churches import churches

urlpatterns = [
    path("", churches, name="churches"),
    path("new/", new_church, name="new-church"),
    path("", include("people.urls")),
    path("<slug:ministry>/", include("inventory.urls")),
    path("<slug:ministry>/", include("roadmap.urls")),
]
