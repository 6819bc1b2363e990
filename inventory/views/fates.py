"""What is to decide, and the decision on one piece with every gate shown."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from inventory.compute.gates import PASS, Gate
from inventory.forms.fates import FateForm
from inventory.models import Piece
from inventory.services.fates import (
    REFUSALS,
    FateRefused,
    SetGoesTogether,
    gate_words,
    refusals,
    set_fate,
    together_with,
)
from inventory.services.proposing import ProposedFor, propose_fates
from inventory.services.saying import said
from inventory.services.standing import Ground, ground
from inventory.words import Fate
from people.access import Viewer, in_ministry
from people.compute import phrasing
from people.packs import pack
from people.querysets import get_for_edit, get_visible
from people.services import record
from people.views.told import tell

A_PAGE = 50
FOR_PAGE = ("place__site", "goes_to__site", "found_at", "owner", "ministry")
GATE_NAMES = {
    "legal": gettext_noop("Legal here today"),
    "safe": gettext_noop("Safe"),
    "ours": gettext_noop("Ours to decide"),
    "free": gettext_noop("Free when needed"),
    "complete": gettext_noop("Complete"),
    "fits": gettext_noop("Fits"),
    "needed": gettext_noop("Not needed elsewhere"),
    "must_have": gettext_noop("Does what is asked"),
}


@dataclass(frozen=True)
class ShownGate:
    """A gate in words; `result` is pass, depends or fail; rule: the law behind it with source and date, or nothing."""

    name: str
    result: str
    say: str
    rule: str = ""
    judgment: bool = False


@dataclass(frozen=True)
class ShownFate:
    """A fate with the gates it has to pass. `may`: yes, with a reason, together or no."""

    fate: str
    label: str
    may: str
    gates: list[ShownGate]
    strands: list[str]

    @property
    def asks_reason(self) -> bool:
        return self.may != "no" and any(gate.judgment for gate in self.gates)

    @property
    def passed(self) -> list[str]:
        """Return the names of the gates that say yes."""
        return [gate.name for gate in self.gates if gate.result == PASS]


def gate_shown(on: Ground, gate: Gate, judgment: bool = False) -> ShownGate:
    say = said(gate.say, pack(on.ministry.country), on.names)
    return ShownGate(_(GATE_NAMES[gate.name]), gate.result, say, gate_words(on, gate), judgment)


def shown_fates(on: Ground, piece: Piece) -> list[ShownFate]:
    """Return every fate with what speaks for and against it."""
    return [_shown(on, piece, fate) for fate in Fate.values]


def _shown(on: Ground, piece: Piece, fate: str) -> ShownFate:
    if fate == piece.fate:
        return ShownFate(fate, str(Fate(fate).label), "yes", [gate_shown(on, one) for one in on.gates(piece, fate)], [])
    against = refusals(on, piece, fate)
    strands = [on.names.get(tag, tag) for tag in together_with(on, [piece], fate)]
    gates = [*on.gates(piece, fate), *(one.gate for one in against if one.gate.name == "needed")]
    by_reason = [one.gate for one in against if one.judgment]
    shown = [gate_shown(on, one, one in by_reason) for one in gates]
    may = "no" if any(not one.judgment for one in against) else "reason" if against else "yes"
    return ShownFate(fate, str(Fate(fate).label), "together" if may != "no" and strands else may, shown, strands)


@require_GET
@in_ministry("see")
def fates(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """The pieces that wait for a decision, those whose building empties first at the top, with a proposal each."""
    rows = Piece.objects.visible_to(viewer).listed().undecided().select_related(*FOR_PAGE)
    ordered = sorted(rows, key=_urgency)
    page = Paginator(ordered, A_PAGE).get_page(request.GET.get("page"))
    page.object_list = list(page.object_list)
    proposed = propose_fates(viewer.ministry, page.object_list)
    linked = _linked(proposed.ground, ordered)
    context = {
        "page": page,
        "groups": _groups(viewer, page.object_list, proposed.of),
        "count": len(ordered),
        "answer": _answer(viewer, ordered),
        "lede": _lede(viewer, linked),
        "may_decide": viewer.may("decide_fates"),
        "any_proposed": any(one.fate for one in proposed.of.values()),
    }
    return render(request, "inventory/fate_list.html", context)


def _urgency(piece: Piece) -> Any:
    site = _site(piece)
    return (site is None or site.exit_on is None, site and site.exit_on, site and site.name, piece.tag_number)


def _site(piece: Piece) -> Any:
    """Return the site a piece must leave: the one it stands in, or was found at; none where it may stay."""
    site = piece.place.site if piece.place else piece.found_at
    return None if site is None or site.receives or site.is_closed else site


def _answer(viewer: Viewer, rows: list[Piece]) -> str:
    if not rows:
        return _("Every piece has a fate.")
    text = ngettext("%(n)s still needs a decision", "%(n)s still need a decision", len(rows))
    n = phrasing.counted(len(rows), _("piece"), _("pieces"), pack(viewer.ministry.country), at_start=True)
    site = _site(rows[0])
    if site is None or site.exit_on is None:
        return text % {"n": n} + "."
    when = phrasing.day(site.exit_on, pack(viewer.ministry.country), "long")
    return text % {"n": n} + _("; %(site)s must be empty by %(when)s.") % {"site": site.name, "when": when}


def _linked(on: Ground, rows: list[Piece]) -> list[str]:
    """Return the undecided pieces that need one another."""
    open_tags = {piece.tag for piece in rows}
    return [piece.tag for piece in rows if any(link.needs in open_tags for link in on.kits.needs(piece.tag))]


def _lede(viewer: Viewer, linked: list[str]) -> str:
    if not linked:
        return _("A proposal is a first word: you decide.")
    tags = phrasing.join_words(linked[:6], pack(viewer.ministry.country))
    text = ngettext(
        "%(tags)s needs another of them: decide on both together.",
        "%(tags)s need others of them: decide on the set together.",
        len(linked),
    )
    return text % {"tags": tags}


def _groups(viewer: Viewer, rows: list[Piece], proposed: dict[int, ProposedFor]) -> list[dict[str, Any]]:
    """Return the rows under the building they must leave, in order."""
    groups: list[dict[str, Any]] = []
    for piece in rows:
        site = _site(piece)
        if not groups or groups[-1]["site"] != site:
            groups.append({"site": site, "rows": []})
        groups[-1]["rows"].append({"piece": piece, "proposed": proposed[piece.pk]})
    return groups


@require_POST
@in_ministry("decide_fates")
def fates_accept(request: HttpRequest, viewer: Viewer) -> HttpResponse:
    """Decide as proposed on the ticked pieces, in one act; what is refused is said, and nothing of it is kept."""
    rows = list(
        Piece.objects.visible_to(viewer)
        .listed()
        .undecided()
        .select_related(*FOR_PAGE)
        .filter(uid__in=[uid for uid in request.POST.getlist("pick") if _is_uid(uid)])
    )
    proposed = propose_fates(viewer.ministry, rows).of if rows else {}
    by_fate: dict[str, list[Piece]] = {}
    for piece in rows:
        if proposed[piece.pk].fate:
            by_fate.setdefault(proposed[piece.pk].fate, []).append(piece)
    if not by_fate:
        messages.info(request, _("Tick pieces that have a proposal."))
    else:
        _accept(request, viewer, by_fate, proposed)
    return redirect("fates", ministry=viewer.ministry.slug)


def _accept(
    request: HttpRequest, viewer: Viewer, by_fate: dict[str, list[Piece]], proposed: dict[int, ProposedFor]
) -> None:
    count = sum(len(pieces) for pieces in by_fate.values())
    says = ngettext("Decided on %(n)d piece as proposed.", "Decided on %(n)d pieces as proposed.", count) % {"n": count}
    try:
        with (
            transaction.atomic(),
            record.act(ministry=viewer.ministry, by=viewer.member, kind="fates-accept", says=says) as act,
        ):
            for fate, pieces in by_fate.items():
                by_place: dict[Any, list[Piece]] = {}
                for piece in pieces:
                    by_place.setdefault(proposed[piece.pk].place, []).append(piece)
                for place, ones in by_place.items():
                    set_fate(pieces=ones, fate=fate, by=viewer.member, why=_("as proposed"), goes_to=place)
    except REFUSALS as refused:
        for sentence in refused.sentences:
            messages.error(request, sentence)
    else:
        tell(request, act)


def _is_uid(text: str) -> bool:
    try:
        UUID(text)
    except ValueError:
        return False
    return True


@require_http_methods(["GET", "POST"])
@in_ministry("see")
def piece_fate(request: HttpRequest, viewer: Viewer, uid: str) -> HttpResponse:
    """What may become of a piece: each fate with its gates; deciding needs the ability."""
    rows = Piece.objects.listed().select_related(*FOR_PAGE)
    if request.method == "POST":
        return _decide(request, viewer, get_for_edit(rows, viewer, "decide_fates", uid=uid))
    piece = get_visible(rows, viewer, uid=uid)
    wanted = request.GET.get("fate", "")
    initial = {
        "fate": wanted if wanted in Fate.values else piece.fate,
        "next_fate": piece.next_fate,
        "until": piece.fate_until,
        "until_on": piece.fate_until_on,
        "goes_to": piece.goes_to_id,
        "why": piece.fate_why[:200],
    }
    form = FateForm(viewer=viewer, initial=initial)
    return render(request, "inventory/fate.html", _page(request, viewer, piece, form))


def _decide(request: HttpRequest, viewer: Viewer, piece: Piece) -> HttpResponse:
    form = FateForm(request.POST, viewer=viewer)
    more: dict[str, Any] = {}
    if form.is_valid():
        together = request.POST.get("together") == "yes"
        try:
            act = set_fate(pieces=[piece], by=viewer.member, together=together, **form.cleaned_data)
        except SetGoesTogether as refused:
            more = {"refused": refused.sentences, "together": refused.together}
        except FateRefused as refused:
            more = {"refused": refused.sentences, "reason_helps": refused.judgment}
        else:
            if act:
                tell(request, act)
            return redirect(_way_back(request, viewer, piece))
    return render(request, "inventory/fate.html", _page(request, viewer, piece, form, **more), status=422)


def _way_back(request: HttpRequest, viewer: Viewer, piece: Piece) -> str:
    if request.POST.get("back") == "fates":
        return reverse("fates", kwargs={"ministry": viewer.ministry.slug})
    return piece.get_absolute_url()


def _page(request: HttpRequest, viewer: Viewer, piece: Piece, form: FateForm, **more: Any) -> dict[str, Any]:
    on = ground(viewer.ministry)
    shown = shown_fates(on, piece)
    by_fate = {one.fate: one for one in shown}
    chosen = form["fate"].value()
    return {
        "piece": piece,
        "form": form,
        "fates": shown,
        "chosen": chosen,
        "chosen_label": str(dict(Fate.choices).get(chosen, "")),
        "answer": _may_sell(by_fate[Fate.SELL], piece),
        "reasons": [gate.rule for gate in by_fate[Fate.SELL].gates if gate.result != PASS],
        "rules": _disposal(on, piece),
        "back": request.GET.get("back") or request.POST.get("back") or "",
        "may_decide": viewer.may("decide_fates"),
        **more,
    }


def _may_sell(sell: ShownFate, piece: Piece) -> str:
    """Return the answer to "may I sell it?" in one sentence."""
    words = {"what": piece.what}
    if sell.may == "no":
        return _("%(what)s: it may not be sold.") % words
    if sell.may == "reason":
        return _("%(what)s: it may be sold, but only with a reason.") % words
    if sell.may == "together":
        return _("%(what)s: it may be sold only together with what needs it.") % words
    return _("%(what)s: it may be sold.") % words


def _disposal(on: Ground, piece: Piece) -> list[str]:
    """Return the country's rules for getting rid of such a thing, each with its source."""
    its = on.standing(piece)
    kinds = {"electrical"} if piece.area not in {"stand", "case"} else set()
    kinds |= {"radio"} if its.radio_use else set()
    kinds |= {"data"} if piece.area == "computer" else set()
    kinds |= {"gift"} if piece.bond in {"donor bound", "in memory"} else set()
    return [f"{rule.text} ({rule.source})" for rule in pack(on.ministry.country).disposal_for(*kinds)]
