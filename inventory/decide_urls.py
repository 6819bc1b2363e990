"""Addresses of what is decided: fates, needs, matching, radio."""

from django.urls import URLPattern, path

from inventory.views import fates, match, needs, radio
from people.context import SECTION_OF

of_deciding: list[URLPattern] = [
    path("fates/", fates.fates, name="fates"),
    path("fates/accept/", fates.fates_accept, name="fates-accept"),
    path("gear/<uuid:uid>/fate/", fates.piece_fate, name="piece-fate"),
    path("needs/", needs.needs, name="needs"),
    path("needs/add/", needs.need_add, name="need-add"),
    path("needs/<uuid:uid>/", needs.need, name="need"),
    path("needs/<uuid:uid>/change/", needs.need_edit, name="need-edit"),
    path("needs/<uuid:uid>/choose/", needs.need_choose, name="need-choose"),
    path("needs/<uuid:uid>/remove/", needs.need_remove, name="need-remove"),
    path("needs/leave/<uuid:uid>/", needs.need_leave, name="need-leave"),
    path("match/", match.match, name="match"),
    path("match/accept/", match.match_accept, name="match-accept"),
    path("radio/", radio.radio, name="radio"),
    path("radio/channels/", radio.tv_channels, name="tv-channels"),
]
SECTION_OF.update((address.name or "", "gear") for address in of_deciding)
