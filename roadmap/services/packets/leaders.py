"""The leaders' packet: what is asked tonight, then a phase a page, in words a leader uses."""

from datetime import date
from typing import BinaryIO

from django.utils.translation import gettext as _
from reportlab.platypus import Flowable, KeepInFrame, Spacer

from people.access import Viewer
from people.clock import today
from people.compute import phrasing
from people.compute.packs import CountryPack
from people.packs import pack
from roadmap.compute.plan_result import Plan
from roadmap.models import Order, Phase, Step
from roadmap.services.loading import Planned, planned
from roadmap.services.money import FundRow, MoneySheet, PhaseRow, money_sheet, step_totals
from roadmap.services.packets.page import (
    ANSWER,
    BODY,
    CAUTION,
    QUIET,
    SECTION,
    Bookmarked,
    Front,
    build,
    inner_size,
    labeled,
    language,
    new_page,
    text,
)
from roadmap.services.packets.rows import Column, Rows
from roadmap.services.standing import stop_after
from roadmap.words import FundNature, GateState, OrderState


class Teller:
    """Writes the packet of one ministry from its plan and money of the day."""

    def __init__(self, viewer: Viewer) -> None:
        self.viewer, self.country = viewer, pack(viewer.ministry.country)
        self.day: date = today(viewer.ministry)
        self.made: Planned = planned(viewer.ministry)
        self.sheet: MoneySheet = money_sheet(viewer, self.made)
        self.costs = step_totals(self.made)
        self.steps: dict[str, list[Step]] = {}
        for step in (
            Step.objects.visible_to(viewer).select_related("phase").prefetch_related("requires_links__requires")
        ):
            self.steps.setdefault(step.phase.key, []).append(step)

    @property
    def plan(self) -> Plan:
        return self.made.plan

    def amount(self, minor: int) -> str:
        return phrasing.money(minor, self.country, whole=True)

    def on(self, when: date | None) -> str:
        return phrasing.day(when, self.country, "long") if when else _("not set")

    def asked(self) -> PhaseRow | None:
        """Return the phase whose gate is next."""
        ahead = [row for row in self.sheet.phases if row.phase.gate_state == GateState.AHEAD]
        return min(ahead, key=lambda row: row.phase.gate_on or date.max, default=None)


def leaders_packet(*, viewer: Viewer, out: BinaryIO) -> str:
    """Write the packet and return its version. For viewers who may see money: others must not be handed it."""
    tell = Teller(viewer)
    front = Front(
        _("For the %(leaders)s") % {"leaders": tell.country.word("leaders")},
        viewer.ministry.name,
        phrasing.day(tell.day, tell.country, "long"),
        language(),
    )
    pages = [_tonight(tell), *(_phase(tell, row) for row in tell.sheet.phases)]
    width, height = inner_size(tell.country)
    story: list[Flowable] = []
    for page in pages:
        # A page each, however long: a page that would run over is set smaller.
        story += [new_page()] if story else []
        story.append(KeepInFrame(width, height - 2, page, mode="shrink"))
    return build(story, front, tell.country, out)


def _tonight(tell: Teller) -> list[Flowable]:
    row, leaders = tell.asked(), tell.country.word("leaders")
    if row is None:
        story: list[Flowable] = [Bookmarked(_("Every phase is decided: nothing is asked tonight."))]
    else:
        asked = _("On %(day)s the %(leaders)s decide on phase %(phase)s: at most %(amount)s.") % {
            "day": tell.on(row.phase.gate_on),
            "leaders": leaders,
            "phase": f"{row.phase.key}, {row.phase.name}",
            "amount": tell.amount(row.totals.total_with_contingency),
        }
        story = [Bookmarked(asked, name=_("What is decided tonight")), text(row.phase.gives)]
    story += _all_phases(tell)
    story += _funds(tell)
    if row is not None:
        story += _if_nothing_is_decided(tell, row) + _lines_to_sign(tell)
    return story


def _all_phases(tell: Teller) -> list[Flowable]:
    columns = [
        Column(_("Phase"), 25),
        Column(_("Decided on"), 16),
        Column(_("Before tax"), 12, right=True),
        Column(_("Tax"), 10, right=True),
        Column(_("Total"), 12, right=True),
        Column(_("Contingency"), 12, right=True),
        Column(_("At most"), 13, right=True),
    ]
    rows = [
        (
            f"{row.phase.key} {row.phase.name}",
            f"{tell.on(row.phase.gate_on)} ({row.phase.get_gate_state_display()})",
            *(tell.amount(v) for v in _figures(row.totals)),
        )
        for row in tell.sheet.phases
    ]
    rows.append((_("All"), "", *(tell.amount(v) for v in _figures(tell.sheet.whole))))
    story: list[Flowable] = [
        Bookmarked(_("The whole in figures"), SECTION, 1),
        Rows(columns, rows, frozenset({len(rows) - 1})),
    ]
    if tell.sheet.whole.resale:
        words = _("After the sales these steps expect, %(resale)s, it would be %(after)s; no sum above counts on that.")
        amounts = {"resale": tell.sheet.whole.resale, "after": tell.sheet.whole.after_resale}
        story.append(text(words % {name: tell.amount(minor) for name, minor in amounts.items()}, QUIET))
    return story


def _figures(totals: object) -> tuple[int, ...]:
    names = ("before_tax", "tax", "total", "contingency", "total_with_contingency")
    return tuple(getattr(totals, name) for name in names)


def _funds(tell: Teller) -> list[Flowable]:
    if not tell.sheet.funds:
        return []
    # What sales may bring is no money until it is in hand: it stands in no sum, here as on the money page.
    counted = [row for row in tell.sheet.funds if row.fund.nature != FundNature.RESALE]
    sales = sum(row.expected for row in tell.sheet.funds if row.fund.nature == FundNature.RESALE)
    columns = [
        Column(_("Fund"), 25),
        Column(_("Given for"), 33),
        Column(_("In the bank"), 13, right=True),
        Column(_("Expected in all"), 14, right=True),
        Column(_("Its steps need"), 14, right=True),
        Column(_("Left"), 12, right=True),
    ]
    rows = [
        (
            row.fund.name,
            _given_for(row, tell.country),
            *(tell.amount(v) for v in (row.banked, row.expected, row.needed, row.left)),
        )
        for row in counted
    ]
    sums = [sum(getattr(row, name) for row in counted) for name in ("banked", "expected", "needed", "left")]
    rows.append((_("Together"), "", *map(tell.amount, sums)))
    story: list[Flowable] = [
        Bookmarked(_("Where the money comes from"), SECTION, 1),
        Rows(columns, rows, frozenset({len(rows) - 1})),
    ]
    if sales:
        words = _("Sales are to bring %(amount)s; it is counted when it is in hand, not before.")
        story.append(text(words % {"amount": tell.amount(sales)}, QUIET))
    for row in counted:
        if row.short:
            words = _("%(fund)s is %(amount)s short for its steps.")
            story.append(text(words % {"fund": row.fund.name, "amount": tell.amount(row.short)}))
    return story


def _given_for(row: FundRow, country: CountryPack) -> str:
    nature = {
        FundNature.RESTRICTED: country.word("fund_restricted"),
        FundNature.DESIGNATED: country.word("fund_designated"),
        FundNature.FREE: country.word("fund_free"),
    }.get(FundNature(row.fund.nature), str(FundNature(row.fund.nature).label))
    return " · ".join(filter(None, (row.fund.nature_words or nature, row.fund.purpose_words)))


def _if_nothing_is_decided(tell: Teller, row: PhaseRow) -> list[Flowable]:
    orders = (
        Order.objects.visible_to(tell.viewer)
        .filter(state=OrderState.PRICED, quote_valid_to__gte=tell.day, lines__step__phase=row.phase)
        .select_related("supplier")
        .distinct()
        .order_by("quote_valid_to")
    )
    story: list[Flowable] = [Bookmarked(_("If nothing is decided"), SECTION, 1)]
    for order in orders:
        words = _("The price of order %(key)s (%(supplier)s) holds until %(day)s.")
        story.append(
            text(words % {"key": order.key, "supplier": order.supplier.name, "day": tell.on(order.quote_valid_to)})
        )
    first = tell.plan.phases[row.phase.key].start if row.phase.key in tell.plan.phases else None
    story.append(
        text(
            _("The first step of this phase is dated %(day)s; it moves with the decision.") % {"day": tell.on(first)}
            if first
            else _("No step of this phase has a date yet."),
        )
    )
    return story


def _lines_to_sign(tell: Teller) -> list[Flowable]:
    rows = [
        (_("Yes, up to the amount above"), "", ""),
        (_("Not yet, because"), "", ""),
        (_("Signed for the church"), "", ""),
    ]
    columns = [Column(_("Decided"), 30), Column(_("Name"), 45, by_hand=True), Column(_("Date"), 25, by_hand=True)]
    return [Bookmarked(_("What is decided tonight"), SECTION, 1), Rows(columns, rows, air=8), Spacer(1, 4)]


def _phase(tell: Teller, row: PhaseRow) -> list[Flowable]:
    phase, totals = row.phase, row.totals
    answer = _("Phase %(key)s, %(name)s: %(gives)s") % {"key": phase.key, "name": phase.name, "gives": phase.gives}
    name = f"{phase.key} {phase.name}"
    story: list[Flowable] = [Bookmarked(answer.rstrip(".") + ".", ANSWER, name=name)]
    story.append(text(_when(tell, phase), QUIET))
    story += _steps(tell, phase)
    low, high = tell.amount(totals.total), tell.amount(totals.total_with_contingency)
    story.append(Bookmarked(_("What it costs"), SECTION, 1))
    story.append(
        text(
            _(
                "Between %(low)s and %(high)s: goods %(goods)s, labor %(labor)s, shipping %(shipping)s, tax %(tax)s; "
                "the difference of %(contingency)s is contingency."
            )
            % {
                "low": low,
                "high": high,
                "goods": tell.amount(totals.goods),
                "labor": tell.amount(totals.labor),
                "shipping": tell.amount(totals.shipping),
                "tax": tell.amount(totals.tax),
                "contingency": tell.amount(totals.contingency),
            }
        )
    )
    story.append(labeled(_("Paid from"), _paid_from(tell, phase)))
    story += _if_we_stop(tell, phase)
    story += _who_signs(tell, phase)
    return story


def _when(tell: Teller, phase: Phase) -> str:
    totals = tell.plan.phases[phase.key]
    if not totals.start or not totals.finish:
        return _("No step of it has a date yet.")
    span = phrasing.day_range(totals.start, totals.finish, tell.country, year=True)
    hours = phrasing.counted(totals.volunteer_hours, _("volunteer hour"), _("volunteer hours"), tell.country)
    return f"{span} · {hours}"


def _steps(tell: Teller, phase: Phase) -> list[Flowable]:
    order = {key: place for place, key in enumerate(tell.plan.order)}
    columns = [
        Column(_("Step"), 6),
        Column(_("What is done"), 40),
        Column(_("Requires"), 14),
        Column(_("When"), 18),
        Column(_("State"), 14),
        Column(_("Cost"), 11, right=True),
    ]
    rows = []
    for step in sorted(tell.steps.get(phase.key, []), key=lambda one: order.get(one.key, 10**6)):
        dates = tell.plan.steps.get(step.key)
        when = phrasing.day_range(dates.start, dates.finish, tell.country) if dates else _("no date yet")
        needs = ", ".join(link.requires.key for link in step.requires_links.all()) or "–"
        rows.append((step.key, step.title, needs, when, step.get_state_display(), tell.amount(tell.costs[step.key])))
    return [Bookmarked(_("The steps, in order"), SECTION, 1), Rows(columns, rows)]


def _paid_from(tell: Teller, phase: Phase) -> str:
    names = {row.fund.code: row.fund.name for row in tell.sheet.funds}
    sums: dict[str, int] = {}
    for step in tell.made.given.steps:
        if step.phase == phase.key:
            sums[step.fund] = sums.get(step.fund, 0) + tell.costs[step.key]
    parts = [f"{names.get(code, _('no fund yet'))} {tell.amount(amount)}" for code, amount in sums.items() if amount]
    return phrasing.join_words(parts, tell.country) + "." if parts else _("nothing to pay.")


def _if_we_stop(tell: Teller, phase: Phase) -> list[Flowable]:
    stop = stop_after(tell.made.given, phase.key)
    words = _("%(n)d of %(all)d Sunday promises hold.") % {
        "n": len(stop.holds),
        "all": len(stop.holds) + len(stop.missing),
    }
    if stop.missing:
        missing = phrasing.join_words([one.words for one in stop.missing], tell.country)
        words += " " + _("Not yet: %(missing)s.") % {"missing": missing}
    story: list[Flowable] = [Bookmarked(_("If we stop after this phase"), SECTION, 1), text(words)]
    if phase.if_we_stop:
        story.append(text(phase.if_we_stop, BODY))
    return story


def _who_signs(tell: Teller, phase: Phase) -> list[Flowable]:
    signers = [step for step in tell.steps.get(phase.key, []) if step.signs]
    lines = [_("%(key)s is signed by %(who)s.") % {"key": step.key, "who": step.signs} for step in signers]
    lines.append(
        _(
            "Work on mains, overhead or by radio follows local codes "
            "and is signed by licensed people, never by this paper."
        )
    )
    return [text(" ".join(lines), CAUTION)]
