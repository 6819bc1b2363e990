"""Addresses of this app; views import what they need."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
