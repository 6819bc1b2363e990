"""The project's addresses, and the admin's for the baseline."""

from django.contrib import admin
from django.urls import path

from config.urls import urlpatterns as ours
from inventory.models import Piece


@admin.register(Piece)
class PieceAdmin(admin.ModelAdmin):
    list_display = ("tag", "what", "maker", "place", "condition", "fate", "goes_to")
    list_filter = ("fate", "condition")
    list_select_related = ("place__site", "goes_to__site")
    search_fields = ("search_key",)
    list_per_page = 50
    ordering = ("sort_key", "id")

    def lookup_allowed(self, lookup, value, request=None):
        return True

    def has_view_permission(self, request, obj=None):
        return True

    has_change_permission = has_delete_permission = has_add_permission = has_module_permission = has_view_permission


admin.site.has_permission = lambda request: True
urlpatterns = [path("admin/", admin.site.urls), *ours]
