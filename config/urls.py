"""Addresses: people first (sign-in, churches), then everything of one ministry under its slug."""

from django.urls import include, path

urlpatterns = [
    path("", include("people.urls")),
    path("<slug:ministry>/", include("inventory.urls")),
    path("<slug:ministry>/", include("roadmap.urls")),
]
