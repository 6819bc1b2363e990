"""Lists coming in: bring one, see what it would do, take it in, see what it came to."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.compute.intake.draft import ASK, CHANGES, LEFT_OUT, NEW, Draft, Unreadable
from inventory.forms.intake import BringForm, ColumnsForm
from inventory.models import Source
from inventory.services.intake import bring, count_sentence, map_columns, set_aside, take_in_source
from inventory.services.intake_plan import Plan, PlannedRow, plan
from inventory.services.intake_reading import draft_of
from inventory.services.intake_result import Result, result_of
from people.access import Viewer, in_ministry
from people.compute.phrasing import money
from people.packs import pack
from people.querysets import get_for_edit
from people.views.told import tell, undo_address

FIRST_ROWS = 12
A_LEAF = 100
ANCHORS = {NEW: "new", CHANGES: "changes", ASK: "asks", LEFT_OUT: "left-out"}
SHOWN = ("maker", "model", "serial", "condition", "place")


@require_http_methods(["GET", "POST"])
@in_ministry("decide_fates")
def intake(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Bring a list, or see which ones came."""
    sent = (request.POST, request.FILES) if request.method == "POST" else ()
    form = BringForm(*sent, viewer=viewer)
    if form.is_valid():
        answer = _brought(request, viewer, form)
        if answer is not None:
            return answer
    return _intake_page(request, viewer, form, status=422 if request.method == "POST" else 200)


def _brought(request: HttpRequest, viewer: Viewer, form: BringForm) -> HttpResponse | None:
    """Look at every list brought; None when one cannot be read, its sentence then stands on the form."""
    sources = []
    for name, data in form.lists():
        try:
            sources.append(
                bring(
                    ministry=viewer.ministry,
                    by=viewer.member,
                    name=name,
                    data=data,
                    site=form.cleaned_data["site"],
                    from_words=form.cleaned_data["from_words"],
                )
            )
        except Unreadable as told:
            form.add_error("pasted" if form.cleaned_data.get("pasted") else "files", told.sentence)
    if form.errors:
        for source in sources:
            messages.info(request, _("%(name)s was read and waits below.") % {"name": source.name})
        return None
    if len(sources) == 1:
        return redirect("intake-dry-run", ministry=viewer.ministry.slug, uid=sources[0].uid)
    return redirect("sources", ministry=viewer.ministry.slug)


def _intake_page(request: HttpRequest, viewer: Viewer, form: BringForm, status: int) -> HttpResponse:
    sources = _sources(viewer)
    return render(
        request, "inventory/intake_bring.html", {"form": form, "sources": sources, **_waiting(sources)}, status=status
    )


def _sources(viewer: Viewer) -> list[Source]:
    open_questions = Count("questions", filter=Q(questions__answer=""))
    return list(
        Source.objects.visible_to(viewer)
        .select_related("site", "taken_in")
        .defer("draft", "mapping")
        .annotate(open_questions=open_questions)
    )


def _waiting(sources: Iterable[Source]) -> dict[str, Any]:
    found = list(sources)
    waiting = [source for source in found if source.taken_in_id is None]
    return {"waiting": waiting, "taken": [source for source in found if source.taken_in_id is not None]}


@require_GET
@in_ministry("decide_fates")
def sources(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Every list that came, those that wait first."""
    return render(request, "inventory/intake_sources.html", _waiting(_sources(viewer)))


@require_GET
@in_ministry("decide_fates")
def intake_dry_run(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """What taking a list in would do."""
    source = get_for_edit(Source.objects.select_related("ministry", "site"), viewer, "decide_fates", uid=uid)
    if source.taken_in_id is not None:
        return redirect("source", ministry=viewer.ministry.slug, uid=source.uid)
    try:
        draft = draft_of(source)
    except (Unreadable, FileNotFoundError) as told:
        messages.error(request, str(told))
        return redirect("intake", ministry=viewer.ministry.slug)
    return _dry_run_page(request, viewer, source, draft, ColumnsForm(viewer=viewer, columns=_used(draft)))


def _used(draft: Draft) -> list[Any]:
    """Return the columns of the sheets that are read and that hold anything."""
    read = {sheet.name for sheet in draft.sheets if sheet.read}
    return [c for c in draft.columns if c.sheet in read and (c.heading or any(c.samples))]


def _dry_run_page(
    request: HttpRequest, viewer: Viewer, source: Source, draft: Draft, form: ColumnsForm, status: int = 200
) -> HttpResponse:
    planned = plan(source, draft)
    only = next((verdict for verdict, anchor in ANCHORS.items() if anchor == request.GET.get("only")), None)
    context: dict[str, Any] = {
        "source": source,
        "draft": draft,
        "plan": planned,
        "form": form,
        "sentence": count_sentence(planned.counts),
        "again": _again_words(source, planned),
        "sections": _sections(planned, only),
        "page": Paginator(planned.of(only), A_LEAF).get_page(request.GET.get("page")) if only else None,
        "only": request.GET.get("only", "") if only else "",
        "questions": draft.questions[:10],
        "many_sheets": len({column.sheet for column in form.columns}) > 1,
        "set_aside": [sheet for sheet in draft.sheets if not sheet.read],
    }
    if context["page"]:
        context["leaf"] = [row_line(row) for row in context["page"]]
    return render(request, "inventory/intake_dry_run.html", context, status=status)


def _again_words(source: Source, planned: Plan) -> str:
    """Return what is said when this list came before, nothing else."""
    if planned.previous is None:
        return ""
    changed = planned.counts[CHANGES]
    rows = ngettext("%(n)s row changed", "%(n)s rows changed", changed) % {"n": changed}
    if planned.previous.sha256 == source.sha256:
        return _("The same list again: %(rows)s.") % {"rows": rows}
    return _("A newer version of %(name)s: %(rows)s.") % {"name": planned.previous.name, "rows": rows}


@dataclass(frozen=True)
class RowLine:
    """One row as the dry run shows it."""

    where: str
    what: str
    details: str
    quantity: Any
    reason: str


@dataclass(frozen=True)
class Section:
    """The rows of one verdict: all of them counted, the first of them shown."""

    verdict: str
    anchor: str
    count: int
    rows: list[RowLine]

    @property
    def more(self) -> int:
        return self.count - len(self.rows)


def _sections(planned: Plan, only: str | None) -> list[Section]:
    found = []
    for verdict, anchor in ANCHORS.items():
        rows = planned.of(verdict)
        if rows and only is None:
            found.append(Section(verdict, anchor, len(rows), [row_line(row) for row in rows[:FIRST_ROWS]]))
    return found


def row_line(row: PlannedRow) -> RowLine:
    """Return a row as its line: where it stands, what it says, why it goes where it goes."""
    fields = row.draft.fields
    what = fields.get("what") or " · ".join(filter(None, (str(value) for value in row.draft.raw.values())))[:120]
    details = " · ".join(str(fields[name]).replace(";", ", ") for name in SHOWN if fields.get(name))
    where = f"{row.draft.sheet} {row.draft.row}".strip()
    return RowLine(where, what, details, fields.get("quantity"), row.reason)


@require_POST
@in_ministry("decide_fates")
def intake_columns(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Put columns right and read the list again."""
    source = get_for_edit(
        Source.objects.select_related("ministry", "site"), viewer, "decide_fates", uid=uid, taken_in=None
    )
    draft = draft_of(source)
    form = ColumnsForm(request.POST, viewer=viewer, columns=_used(draft))
    if not form.is_valid():
        return _dry_run_page(request, viewer, source, draft, form, status=422)
    try:
        map_columns(source=source, by=viewer.member, chosen=form.chosen())
    except Unreadable as told:
        form.add_error(None, told.sentence)
        return _dry_run_page(request, viewer, source, draft, form, status=422)
    messages.success(request, _("Read again with these columns, and remembered for the next list."))
    return redirect("intake-dry-run", ministry=viewer.ministry.slug, uid=source.uid)


@require_POST
@in_ministry("decide_fates")
def source_take_in(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Take a list in, as one act."""
    source = get_for_edit(Source.objects.select_related("ministry", "site"), viewer, "decide_fates", uid=uid)
    if source.taken_in_id is None:
        try:
            take_in_source(source=source, by=viewer.member)
        except (Unreadable, FileNotFoundError) as told:
            messages.error(request, str(told))
            return redirect("intake", ministry=viewer.ministry.slug)
        tell(request, source.taken_in)
    return redirect("source", ministry=viewer.ministry.slug, uid=source.uid)


@require_POST
@in_ministry("decide_fates")
def source_set_aside(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """Forget a list that only waits."""
    source = get_for_edit(Source.objects.all(), viewer, "decide_fates", uid=uid, taken_in=None)
    tell(request, set_aside(source=source, by=viewer.member))
    return redirect("intake", ministry=viewer.ministry.slug)


@require_GET
@in_ministry("decide_fates")
def source(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """What a list came to."""
    found = get_for_edit(
        Source.objects.select_related("ministry", "site", "taken_in__ministry"), viewer, "decide_fates", uid=uid
    )
    if found.taken_in is None:
        return redirect("intake-dry-run", ministry=viewer.ministry.slug, uid=found.uid)
    result = result_of(found)
    context = {
        "source": found,
        "result": result,
        "sentence": result_sentence(result),
        "counts": count_sentence(
            {NEW: found.rows_new, CHANGES: found.rows_changed, ASK: found.rows_asked, LEFT_OUT: found.rows_left_out}
        ),
        "undo_url": undo_address(found.taken_in),
        "rows": _rows_page(request, found),
        **_worth(viewer, result),
    }
    return render(request, "inventory/intake_source.html", context)


def result_sentence(result: Result) -> str:
    """Return "56 pieces, 4 possible twins, 4 radios not legal here, 31 values in doubt."; none is said as no."""
    retune = len(result.partly_barred)
    parts = (
        ngettext("%(n)s piece", "%(n)s pieces", len(result.pieces)) % {"n": len(result.pieces)},
        ngettext("%(n)s possible twin", "%(n)s possible twins", result.twins) % {"n": result.twins or _("no")},
        ngettext("%(n)s radio not legal here", "%(n)s radios not legal here", len(result.illegal))
        % {"n": len(result.illegal) or _("no")},
        ngettext("%(n)s radio to retune or replace", "%(n)s radios to retune or replace", retune) % {"n": retune}
        if retune
        else "",
        ngettext("%(n)s value in doubt", "%(n)s values in doubt", result.doubts) % {"n": result.doubts or _("no")},
    )
    return ", ".join(filter(None, parts)) + "."


def _worth(viewer: Viewer, result: Result) -> dict[str, str]:
    """Return the money of the list in words, for those who see money."""
    if not viewer.sees_money or not result.worth_minor:
        return {}
    country = pack(viewer.ministry.country)
    currency = viewer.ministry.currency
    return {
        "worth": money(result.worth_minor, country, whole=True, currency=currency),
        "doubtful": money(result.doubtful_minor, country, whole=True, currency=currency),
    }


def _rows_page(request: HttpRequest, found: Source) -> Any:
    rows = found.rows.select_related("piece__ministry").order_by("id")
    return Paginator(rows, A_LEAF).get_page(request.GET.get("page"))
