"""Addresses of this app; views import what they need."""

from django.urls import URLPattern, path

from inventory.views import intake, questions, twins
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

urlpatterns: list[URLPattern] = [*of_intake]
