"""The steps as a Sunday ladder, with the same in figures."""

from datetime import date, timedelta
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET

from people.access import Viewer, in_ministry
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from roadmap.compute.ladder import Ladder, Rung, StepRow, ladder
from roadmap.compute.ordering import implied_links
from roadmap.compute.plan_input import StepIn
from roadmap.services.loading import Planned, planned
from roadmap.services.money import money_sheet

WEEKS_SHOWN = 14  # what one sheet of Letter paper holds
WEEKS_BACK = 6  # a ghost further back than this is told in words
BEFORE_GRID = 1  # the grid counts its rows from 1
SLIDE_LANES = 3  # dashed lines side by side; steps beyond are late in words only
LABEL_ROWS = 6  # rows over which the name and money of a phase spread, so that they push none apart


@require_GET
@in_ministry("see_plan")
def steps(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The ladder for the next weeks; `?until=end` to the end of the plan."""
    made = planned(viewer.ministry)
    whole = request.GET.get("until") == "end"
    laid = laid_out(made, whole=whole)
    country = pack(viewer.ministry.country)
    open_steps = [one for one in made.given.steps if (dates := made.plan.steps.get(one.key)) and not dates.done]
    late = [row for row in laid.rows if isinstance(row, StepRow) and row.weeks_late]
    phases = brackets(laid, made, viewer)
    context = {
        "ladder": laid,
        "rows": with_phases([shown(row, made, country) for row in laid.rows], phases),
        "hatches": [
            (row.row + BEFORE_GRID, row.last_row + BEFORE_GRID + 1) for row in laid.rows if row.kind == "freeze"
        ],
        "slides": [
            (s.first_row + BEFORE_GRID, s.last_row + BEFORE_GRID + 1, s.lane + 1)
            for s in laid.slides
            if s.lane < SLIDE_LANES
        ],
        "phases": phases,
        "open": open_steps,
        "late": late,
        "latest": max(late, key=lambda row: row.days_late, default=None),
        "end": max((dates.finish for dates in made.plan.steps.values()), default=None),
        "titles": {step.key: step.title for step in made.given.steps},
        "done": [
            (step, made.plan.steps[step.key])
            for step in made.given.steps
            if step.key in made.plan.steps and made.plan.steps[step.key].done
        ],
        "figures": figures(made, country),
        "heads": [
            _("Step"),
            _("Starts"),
            _("Ends"),
            _("Latest start"),
            _("Slack in days"),
            _("Critical"),
            _("Requires"),
        ],
        "implied": implied(made),
        "unplaced": made.plan.unplaced,
        "whole": whole,
        "may_plan": viewer.may("plan"),
    }
    return render(request, "roadmap/steps.html", context)


def laid_out(made: Planned, *, whole: bool) -> Ladder:
    """Return the ladder from the earliest place a late step was agreed for, for some weeks or to the end."""
    last = None if whole else _monday(made.given.today) + timedelta(weeks=WEEKS_SHOWN)
    return ladder(made.given, made.plan, first_day(made), last)


def first_day(made: Planned) -> date:
    """Return the Monday the ladder begins at: where the earliest late step stood, some weeks back at most."""
    monday = _monday(made.given.today)
    agreed = [
        step.agreed_start
        for step in made.given.steps
        if step.agreed_start
        and (dates := made.plan.steps.get(step.key))
        and not dates.done
        and step.agreed_start < dates.start
        and not step.actual_start
    ]
    return _monday(max(min([monday, *agreed]), monday - timedelta(weeks=WEEKS_BACK)))


def _monday(day: date) -> date:
    return day - timedelta(day.weekday())


def shown(row: Any, made: Planned, country: CountryPack) -> dict[str, Any]:
    """Return what the template needs of one row: its kind, its place in the grid and its words."""
    found: dict[str, Any] = {"kind": row.kind, "at": row.row + BEFORE_GRID, "row": row}
    if isinstance(row, Rung):
        found |= {
            "day": phrasing.day(row.day, country, "short"),
            "beads": [bead.standing for bead in row.beads if bead.standing],
            "words": rung_words(row, made),
            "past": row.day < made.given.today,
            "next": row.day >= made.given.today and row.day < made.given.today + timedelta(days=7),
        }
    elif row.kind in {"step", "ghost"}:
        step = next(one for one in made.given.steps if one.key == row.key)
        found |= {"step": step, "weeks": (row.days_late + 3) // 7}
        if row.kind == "ghost":
            found["day"] = phrasing.day(row.day, country)
        if row.kind == "step":
            found["stood"] = stood_before(row, step, made, country)
            found["look"] = {"in hand": "on it", "waiting": "waiting on", "planned": "planned", "done": "signed over"}[
                row.look
            ]
            found["span"] = phrasing.day_range(row.day, row.finish, country)
            found["needs"] = needs_words(row, country)
    return found


def stood_before(row: StepRow, step: StepIn, made: Planned, country: CountryPack) -> str:
    """Return where a late step was agreed to start when that day lies above the ladder, '' when its ghost stands."""
    if not row.days_late or step.agreed_start is None or step.agreed_start >= first_day(made):
        return ""
    return phrasing.day(step.agreed_start, country)


def with_phases(rows: list[dict[str, Any]], phases: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Return the rows with each phase said over its first step, for narrow screens, which have no brackets."""
    at = {phase["from"]: phase for phase in phases}
    return [row | {"over": at.get(row["at"])} for row in rows]


def rung_words(rung: Rung, made: Planned) -> str:
    """Return the words at the right of a rung: what is not kept, named when it is one promise."""
    asked = [bead for bead in rung.beads if bead.standing]
    parts = [*rung.services]
    if not asked:
        return " · ".join(parts)
    words = {promise.key: promise.words for promise in made.given.promises}
    troubles = [bead for bead in rung.not_kept if bead.standing != "not yet promised"]
    if not rung.not_kept:
        return " · ".join([*parts, _("all kept")])
    kept = len(asked) - len(rung.not_kept)
    parts.append(ngettext("%(n)d kept", "%(n)d kept", kept) % {"n": kept})
    for standing in ("broken", "at risk", "kept by fall-back", "not yet promised"):
        found = [bead for bead in rung.not_kept if bead.standing == standing]
        if found:
            named = f": {words[found[0].promise]}" if len(found) == 1 and found[0] in troubles else ""
            parts.append(f"{len(found)} {_(standing)}{named}")
    return " · ".join(parts)


def needs_words(row: StepRow, country: CountryPack) -> str:
    """Return what an open step still needs, in words."""
    parts = []
    if row.requires:
        parts.append(_("requires %(steps)s") % {"steps": phrasing.join_words(list(row.requires), country)})
    if row.orders and row.look == "waiting":
        parts.append(_("waits for order %(orders)s") % {"orders": phrasing.join_words(list(row.orders), country)})
    return " · ".join(parts)


def brackets(laid: Ladder, made: Planned, viewer: Viewer) -> list[dict[str, Any]]:
    """Return the phases at the right, with their money for viewers who see any.

    label: the row its words begin on, below the words of the phase before.
    """
    rows = {row.phase.key: row for row in money_sheet(viewer, made).phases} if viewer.sees_money else {}
    names = {phase.key: phase.name for phase in made.given.phases}
    found = []
    free = BEFORE_GRID
    for one in sorted(laid.brackets, key=lambda bracket: bracket.first_row):
        label = max(free, one.first_row + BEFORE_GRID)
        free = label + LABEL_ROWS
        found.append(
            {
                "from": one.first_row + BEFORE_GRID,
                "to": one.last_row + BEFORE_GRID + 1,
                "label": label,
                "label_to": free,
                "lane": one.lane + 1,
                "key": one.phase,
                "name": names.get(one.phase, one.phase),
                "money": rows.get(one.phase),
            }
        )
    return found


def figures(made: Planned, country: CountryPack) -> list[list[str]]:
    """Return every step as cells: the ladder in figures."""

    def on(when: date) -> str:
        return phrasing.day(when, country, "numeric")

    found = []
    for key in made.plan.order:
        dates = made.plan.steps.get(key)
        step = next(one for one in made.given.steps if one.key == key)
        needs = ", ".join(link.step for link in step.links)
        if dates is None:
            found.append([f"{key} {step.title}", _("no date"), "", "", "", "", needs])
            continue
        slack = "–" if dates.done else str(dates.float_days)
        critical = _("yes") if dates.critical else ""
        found.append([f"{key} {step.title}", on(dates.start), on(dates.finish), on(dates.late), slack, critical, needs])
    return found


def implied(made: Planned) -> list[tuple[str, str]]:
    """Return (step, required) for links that others already imply; plain ones only, a lag of its own says more."""
    plain = {
        (step.key, link.step)
        for step in made.given.steps
        for link in step.links
        if link.kind == "FS" and not link.lag_days and not link.lag_services
    }
    requires = {step.key: [link.step for link in step.links] for step in made.given.steps}
    return sorted(implied_links(requires) & plain)
