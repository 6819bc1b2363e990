"""Addresses of the plan, below a ministry's slug."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
