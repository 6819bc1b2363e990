"""The questions lists left open, ten at a time."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Q
from django.forms import BoundField
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from inventory.compute.intake.draft import Unreadable
from inventory.compute.piece_columns import shortened
from inventory.forms.intake import AnswersForm
from inventory.models import AskedQuestion, SourceRow
from inventory.services.questions import answer_each_list
from people.access import Viewer, in_ministry
from people.views.told import tell

AT_ONCE = 10
EXAMPLES = 3


@dataclass(frozen=True)
class Line:
    """One question as it is asked."""

    question: AskedQuestion
    field: BoundField
    guess: str
    examples: list[str]
    hangs: str


def open_questions(viewer: Viewer, source_uid: str = "") -> Any:
    """Return the questions nobody has answered, list by list, the most important first."""
    rows = AskedQuestion.objects.visible_to(viewer).filter(answer="", source__taken_in__isnull=False)
    if source_uid:
        rows = rows.filter(source__uid=source_uid)
    return (
        rows.select_related("source__ministry", "source__site")
        .defer("source__draft")
        .order_by("source_id", "order", "id")
    )


@require_GET
@in_ministry("decide_fates")
def questions(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Ask the next ten."""
    return _page(request, viewer, None)


def _page(request: HttpRequest, viewer: Viewer, form: AnswersForm | None, status: int = 200) -> HttpResponse:
    waiting = open_questions(viewer)
    asked = list(form.questions.values()) if form else list(waiting[:AT_ONCE])
    form = form or AnswersForm(viewer=viewer, questions=asked)
    examples = _examples(asked)
    lines = [_line(question, form[f"q{question.pk}"], examples) for question in asked]
    context = {"form": form, "lines": lines, "count": waiting.count()}
    return render(request, "inventory/question_list.html", context, status=status)


def _line(question: AskedQuestion, field: BoundField, examples: dict[int, list[str]]) -> Line:
    labels = {str(value): str(label) for value, label in question.choices}
    count = len(question.rows)
    hangs = ngettext("%(n)s row hangs on it", "%(n)s rows hang on it", count) % {"n": count} if count else ""
    return Line(
        question, field, labels.get(question.guess, question.guess), examples.get(question.pk, [])[:EXAMPLES], hangs
    )


def _examples(asked: Sequence[AskedQuestion]) -> dict[int, list[str]]:
    """Return the first rows of each question as they were written; one query."""
    wanted = Q(pk__in=[])
    for question in asked:
        if question.rows:
            wanted |= Q(source=question.source_id, sheet=question.sheet, row__in=question.rows[:EXAMPLES])
    found = list(SourceRow.objects.filter(wanted, part=1))
    return {
        question.pk: [
            _row_words(row)
            for row in found
            if row.source_id == question.source_id and row.sheet == question.sheet and row.row in question.rows
        ]
        for question in asked
    }


def _row_words(row: SourceRow) -> str:
    cells = " · ".join(str(cell) for cell in row.raw.values() if str(cell).strip())
    return _("Row %(row)s: %(cells)s") % {"row": row.row, "cells": shortened(cells, 140)}


@require_POST
@in_ministry("decide_fates")
def question_answer(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Keep one answer, or all ten."""
    sent = [name[1:] for name in request.POST if name[:1] == "q" and name[1:].isdigit()]
    asked = list(open_questions(viewer).filter(pk__in=sent))
    form = AnswersForm(request.POST, viewer=viewer, questions=asked)
    if not form.is_valid():
        return _page(request, viewer, form, status=422)
    given = form.given()
    if not given:
        form.add_error(None, _("Choose an answer first."))
        return _page(request, viewer, form, status=422)
    try:
        act, pieces = answer_each_list(ministry=viewer.ministry, by=viewer.member, answers=given)
    except (Unreadable, FileNotFoundError) as told:
        form.add_error(None, str(told))
        return _page(request, viewer, form, status=422)
    changed = ngettext("%(n)s piece follows.", "%(n)s pieces follow.", len(pieces)) % {"n": len(pieces)}
    tell(request, act, f"{act.says} {changed if pieces else _('The guess was right: nothing changes.')}")
    return redirect("questions", ministry=viewer.ministry.slug)
