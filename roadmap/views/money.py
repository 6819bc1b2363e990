"""Money: phases and funds, each with the same in figures; the treasurer's spreadsheet."""

from django.http import HttpRequest, HttpResponse, StreamingHttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from people.access import Viewer, in_ministry
from people.clock import today
from people.packs import pack
from people.services.sheets import csv_lines
from roadmap.services.loading import planned
from roadmap.services.money import money_sheet, not_allowed
from roadmap.services.money_export import sheet_of_money
from roadmap.words import FundNature, GateState


@require_GET
@in_ministry("see_money")
def money(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    made = planned(viewer.ministry)
    sheet = money_sheet(viewer, made)
    counted = [row for row in sheet.funds if row.fund.nature != FundNature.RESALE]
    ahead = [row for row in sheet.phases if row.phase.gate_state == GateState.AHEAD]
    context = {
        "sheet": sheet,
        "funds": counted,
        "sales": [row for row in sheet.funds if row.fund.nature == FundNature.RESALE],
        "together": {
            "banked": sum(row.banked for row in counted),
            "expected": sum(row.expected for row in counted),
            "needed": sum(row.needed for row in counted),
            "left": sum(row.left for row in counted),
        },
        "short": [row for row in counted if row.left < 0],
        "refused": sorted(not_allowed(viewer)),
        "asked": ahead[0] if ahead else None,
        "leaders": pack(viewer.ministry.country).word("leaders"),
        "may_edit": viewer.may("edit_money"),
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/money.html", context)


@require_GET
@in_ministry("see_money")
def money_csv(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The lines behind the money page, for the treasurer's own spreadsheet."""
    answer = StreamingHttpResponse(csv_lines(*sheet_of_money(viewer)), content_type="text/csv; charset=utf-8")
    name = f"{viewer.ministry.slug}-money-{today(viewer.ministry):%Y-%m-%d}.csv"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    answer["Cache-Control"] = "private, no-store"
    return answer
