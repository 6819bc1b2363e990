"""Addresses of this app; views import what they need."""

from django.urls import URLPattern, path

from inventory.decide_urls import of_deciding
from inventory.views import accounts, exports, gear, intake, kits, photos, piece, places, questions, twins
from people.context import SECTION_OF

of_intake: list[URLPattern] = [
    path("intake/", intake.intake, name="intake"),
    path("intake/lists/", intake.sources, name="sources"),
    path("intake/lists/<uuid:uid>/", intake.source, name="source"),
    path("intake/lists/<uuid:uid>/look/", intake.intake_dry_run, name="intake-dry-run"),
    path("intake/lists/<uuid:uid>/columns/", intake.intake_columns, name="intake-columns"),
    path("intake/lists/<uuid:uid>/take-in/", intake.source_take_in, name="source-take-in"),
    path("intake/lists/<uuid:uid>/set-aside/", intake.source_set_aside, name="source-set-aside"),
    path("intake/questions/", questions.questions, name="questions"),
    path("intake/questions/answer/", questions.question_answer, name="question-answer"),
    path("intake/twins/", twins.twins, name="twins"),
    path("intake/twins/<uuid:uid>/", twins.twin, name="twin"),
    path("intake/twins/<uuid:uid>/rule/", twins.twin_rule, name="twin-rule"),
    path("intake/twins/<uuid:uid>/unmerge/", twins.twin_unmerge, name="twin-unmerge"),
]
SECTION_OF.update((address.name or "", "gear") for address in of_intake)

of_gear: list[URLPattern] = [
    path("gear/", gear.gear, name="gear"),
    path("gear/next/", gear.gear_next, name="gear-next"),
    path("gear/several/", gear.gear_bulk, name="gear-bulk"),
    path("gear/list.csv", exports.gear_csv, name="gear-csv"),
    path("gear/list.xlsx", exports.gear_xlsx, name="gear-xlsx"),
    path("gear/place-words/", gear.place_words, name="place-words"),
    path("gear/add/", piece.piece_add, name="piece-add"),
    path("gear/<uuid:uid>/", piece.piece, name="piece"),
    path("gear/<uuid:uid>/edit/", piece.piece_edit, name="piece-edit"),
    path("gear/<uuid:uid>/move/", piece.piece_move, name="piece-move"),
    path("gear/<uuid:uid>/check/", piece.piece_check, name="piece-check"),
    path("gear/<uuid:uid>/split/", piece.piece_split, name="piece-split"),
    path("gear/<uuid:uid>/remove/", piece.piece_remove, name="piece-remove"),
    path("gear/<uuid:uid>/photo/", photos.piece_photo_add, name="piece-photo-add"),
    path("gear/<uuid:uid>/needs/", kits.needs_link_add, name="needs-link-add"),
    path("gear/needs/<uuid:uid>/remove/", kits.needs_link_remove, name="needs-link-remove"),
    path("photos/<uuid:uid>/remove/", photos.photo_remove, name="photo-remove"),
    path("photos/<uuid:uid>/<slug:size>/", photos.photo, name="photo"),
    path("places/", places.places, name="places"),
    path("places/add/", places.place_add, name="place-add"),
    path("places/<uuid:uid>/", places.place, name="place"),
    path("places/<uuid:uid>/edit/", places.place_edit, name="place-edit"),
    path("accounts/", accounts.accounts, name="accounts"),
    path("accounts/add/", accounts.account_add, name="account-add"),
    path("accounts/<uuid:uid>/", accounts.account, name="account-page"),
    path("accounts/<uuid:uid>/edit/", accounts.account_edit, name="account-edit"),
    path("accounts/<uuid:uid>/remove/", accounts.account_remove, name="account-remove"),
]
of_sites: list[URLPattern] = [
    path("leaving/", places.leaving, name="leaving"),
    path("sites/add/", places.site_add, name="site-add"),
    path("sites/<str:code>/", places.site, name="site"),
    path("sites/<str:code>/edit/", places.site_edit, name="site-edit"),
]
SECTION_OF.update((address.name or "", "gear") for address in of_gear)
SECTION_OF.update((address.name or "", "leaving") for address in of_sites)

urlpatterns: list[URLPattern] = [*of_intake, *of_gear, *of_sites, *of_deciding]
