"""What every named address answers to whom: one row a name. A name without a row fails the suite.

To add one: `"gear-take": row("record", lambda make: {"uid": make.piece().uid}, method="post")`. `may` is the ability
of people.roles the page needs; the maker returns the rest of the address (`ministry` is filled in) and runs inside the
ministry of the cast. A page that answers POST only says method="post"; whatever it says to an empty form is fine.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from inventory.models import Account, Choice, NeedsLink, Photo, Twin
from inventory.services.intake import bring
from people.models import Act, Invitation
from people.services import invitations
from roadmap.models import Freeze, FundIncome, Goal, Payment, Promise, StepCost, StepLink
from tests.makers import Maker

Kwargs = Callable[[Maker], dict[str, Any]]


@dataclass(frozen=True)
class Row:
    """may: ability a member needs, or several of which one will do ("record edit_orders"); '' outside a ministry.

    for_nobody: what a signed-out visitor gets. seen_with: ability a member needs to know that the thing is there at
    all; without it the answer is 404, not 403. names_a_thing: false where the address tells no row of a ministry.
    to_write: ability that sending its form needs, where opening the page needs less. reads_words: the answer is a page
    whose words a test may read.
    """

    may: str = "see"
    kwargs: Kwargs | None = None
    method: str = "get"
    data: Kwargs | None = None
    for_nobody: int = 302
    ok: frozenset[int] = frozenset({200, 204, 302, 400, 409, 410, 422})
    seen_with: str = "see"
    names_a_thing: bool = True
    to_write: str = ""
    reads_words: bool = True


def row(may: str = "see", kwargs: Kwargs | None = None, **rest: Any) -> Row:
    return Row(may, kwargs, **rest)


def outside(kwargs: Kwargs | None = None, **rest: Any) -> Row:
    """Return a row for a page that belongs to no ministry."""
    return Row("", kwargs, **rest)


def an_act(make: Maker) -> dict[str, Any]:
    make.piece()
    return {"act": Act.objects.filter(ministry=make.cast.ministry).latest("id").pk}


def a_secret(make: Maker) -> dict[str, Any]:
    return {"secret": invitations.invite(email="new@example.org", roles=["crew"], by=make.cast.lead)[1]}


def an_invitation(make: Maker) -> dict[str, Any]:
    now = timezone.now()
    values = {"email": "late@example.org", "roles": ["crew"], "secret_hash": "0" * 64, "invited_by": make.cast.lead}
    kept = Invitation.objects.create(ministry=make.cast.ministry, expires_at=now + timezone.timedelta(days=7), **values)
    return {"invitation": kept.pk}


PEOPLE = {
    "churches": outside(),
    "new-church": outside(),
    "sign-in": outside(for_nobody=200),
    "sign-out": outside(method="post", reads_words=False),
    "account": outside(),
    "password-change": outside(),
    "password-reset": outside(for_nobody=200),
    "password-reset-sent": outside(for_nobody=200),
    "password-reset-confirm": outside(lambda make: {"uidb64": "MQ", "token": "set-password"}, for_nobody=200),
    "join": outside(a_secret, for_nobody=200),
    "healthz": outside(for_nobody=200, reads_words=False),
    "patterns": outside(for_nobody=200, reads_words=False),
    "church": row(reads_words=False),
    "first-list": row("decide_fates"),
    "members": row("manage"),
    "ministry-edit": row("manage"),
    "invitation-new": row("manage"),
    "invitation-again": row("manage", an_invitation, method="post"),
    "invitation-withdraw": row("manage", an_invitation, method="post"),
    "member-edit": row("manage", lambda make: {"member": make.cast["crew"].pk}),
    "member-serves": row("manage", lambda make: {"member": make.cast["crew"].pk}, method="post"),
    "persons": row("see"),
    "person-add": row("record"),
    "person-edit": row("record", lambda make: {"uid": make.person().uid}),
    "person-remove": row("remove", lambda make: {"uid": make.person().uid}),
    "happened": row("see"),
    "happened-act": row("see", an_act),
    "happened-thing": row("see", lambda make: {"kind": "piece", "uid": make.piece().uid}),
    "undo": row("plan", an_act),  # the lead's act: those who plan may take anyone's back, others only their own
}


def a_source(make: Maker) -> dict[str, Any]:
    church = make.cast.ministry
    by = church.members.filter(is_active=True).order_by("pk").first()
    return {"uid": bring(ministry=church, by=by, name="list.csv", data=b"Item,Qty\nMixer,1\nSpeaker,2\n").uid}


def a_twin(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Twin, first=make.piece(), second=make.piece(), bits=9).uid}


def a_piece(make: Maker) -> dict[str, Any]:
    return {"uid": make.piece().uid}


def a_needs_link(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(NeedsLink, piece=make.piece(), needs=make.piece()).uid}


def a_photo(make: Maker) -> dict[str, Any]:
    name = default_storage.save("photos/picture.webp", ContentFile(b"a picture"))
    return {"uid": make.add(Photo, piece=make.piece(), file=name, small=name, width=1, height=1).uid}


def an_account(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Account, key=f"A{next(make.numbers)}", kind="software", what="Words").uid}


def a_need(make: Maker) -> dict[str, Any]:
    return {"uid": make.need().uid}


def a_choice(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Choice, need=make.need(), piece=make.piece()).uid}


def a_site(make: Maker) -> dict[str, Any]:
    return {"code": make.site().code}


INVENTORY = {
    "intake": row("decide_fates"),
    "sources": row("decide_fates"),
    "source": row("decide_fates", a_source),
    "intake-dry-run": row("decide_fates", a_source),
    "intake-columns": row("decide_fates", a_source, method="post"),
    "source-take-in": row("decide_fates", a_source, method="post"),
    "source-set-aside": row("decide_fates", a_source, method="post"),
    "questions": row("decide_fates"),
    "question-answer": row("decide_fates", method="post"),
    "twins": row("decide_fates"),
    "twin": row("decide_fates", a_twin),
    "twin-rule": row("decide_fates", a_twin, method="post"),
    "twin-unmerge": row("decide_fates", a_twin, method="post"),
    "gear": row("see"),
    "gear-next": row("record", method="post"),
    "gear-bulk": row("record", method="post"),
    "gear-csv": row("see", reads_words=False),
    "gear-xlsx": row("see", reads_words=False),
    "place-words": row("see", reads_words=False),
    "piece-add": row("record"),
    "piece": row("see", a_piece),
    "piece-edit": row("record", a_piece),
    "piece-move": row("record", a_piece),
    "piece-check": row("record", a_piece),
    "piece-split": row("record", lambda make: {"uid": make.piece(quantity=4, is_lot=True).uid}),
    "piece-remove": row("remove", a_piece),
    "piece-photo-add": row("record", a_piece),
    "needs-link-add": row("record", a_piece),
    "needs-link-remove": row("record", a_needs_link, method="post"),
    "photo": row("see", lambda make: {**a_photo(make), "size": "small"}, reads_words=False),
    "photo-remove": row("remove", a_photo),
    "places": row("see"),
    "place-add": row("plan"),
    "place": row("see", lambda make: {"uid": make.place().uid}),
    "place-edit": row("plan", lambda make: {"uid": make.place().uid}),
    "accounts": row("see"),
    "account-add": row("plan"),
    "account-page": row("see", an_account),
    "account-edit": row("plan", an_account),
    "account-remove": row("remove", an_account),
    "fates": row("see"),
    "fates-accept": row("decide_fates", method="post"),
    "piece-fate": row("see", a_piece, to_write="decide_fates"),
    "match": row("see"),
    "match-accept": row("decide_fates", method="post"),
    "needs": row("see"),
    "need": row("see", a_need),
    "need-add": row("decide_fates"),
    "need-edit": row("decide_fates", a_need),
    "need-choose": row("decide_fates", a_need, method="post"),
    "need-leave": row("decide_fates", a_choice, method="post"),
    "need-remove": row("remove", a_need),
    "radio": row("see"),
    "tv-channels": row("decide_fates"),
    "leaving": row("see"),
    "site-add": row("plan"),
    "site": row("see", a_site),
    "site-edit": row("plan", a_site),
}


def an_order(make: Maker) -> dict[str, Any]:
    return {"key": make.order().key}


def a_line(make: Maker) -> dict[str, Any]:
    line = make.order_line()
    return {"key": line.order.key, "uid": line.uid}


def a_step(make: Maker) -> dict[str, Any]:
    return {"key": make.step().key}


def a_link(make: Maker) -> dict[str, Any]:
    link = make.add(StepLink, step=make.step(), requires=make.step())
    return {"key": link.step.key, "uid": link.uid}


def a_phase(make: Maker) -> dict[str, Any]:
    return {"key": make.phase().key}


def a_fund(make: Maker) -> dict[str, Any]:
    return {"code": make.fund().code}


def a_supplier(make: Maker) -> dict[str, Any]:
    return {"uid": make.supplier().uid}


def a_freeze(make: Maker) -> dict[str, Any]:
    day = make.cast.ministry.today_is
    return {"kind": "freeze", "uid": make.add(Freeze, name="Holy Week", first_on=day, last_on=day).uid}


def a_promise(make: Maker) -> dict[str, Any]:
    return {"key": make.add(Promise, key=f"SP-{next(make.numbers)}", text="The preacher is heard").key}


def a_goal(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Goal, key=f"GO{next(make.numbers)}", goal="Speech clear").uid}


def a_cost(make: Maker) -> dict[str, Any]:
    step = make.step()
    return {"key": step.key, "uid": make.add(StepCost, step=step, net_minor=100).uid}


def an_income(make: Maker) -> dict[str, Any]:
    fund = make.fund()
    kept = make.add(FundIncome, fund=fund, on=make.cast.ministry.today_is, amount_minor=100)
    return {"code": fund.code, "uid": kept.uid}


def a_payment(make: Maker) -> dict[str, Any]:
    return {"uid": make.add(Payment, step=make.step(), on=make.cast.ministry.today_is, amount_minor=100).uid}


def a_place(make: Maker) -> dict[str, Any]:
    return {"code": make.place().code}


ROADMAP = {
    "this-sunday": row("see_plan"),
    "waiting": row("see_plan"),
    "calendar": row("see_plan"),
    "calendar-add": row("plan", lambda make: {"kind": "freeze"}, names_a_thing=False),
    "calendar-edit": row("plan", a_freeze),
    "calendar-remove": row("plan", a_freeze, method="post"),
    "order": row("see_plan", an_order),
    "order-add": row("edit_orders"),
    "order-edit": row("edit_orders", an_order),
    "order-line-add": row("edit_orders", an_order, method="post"),
    "order-date": row("edit_orders", an_order, method="post"),
    "order-receive": row("record edit_orders", a_line, method="post"),
    "order-tested": row("record edit_orders", an_order, method="post"),
    "suppliers": row("see_plan"),
    "supplier-add": row("edit_orders"),
    "supplier-edit": row("edit_orders", a_supplier),
    "steps": row("see_plan"),
    "step": row("see_plan", a_step),
    "step-add": row("plan"),
    "step-edit": row("plan", a_step),
    "step-state": row("record", a_step, method="post"),
    "step-require": row("plan", a_step, method="post"),
    "step-require-no-more": row("plan", a_link, method="post"),
    "money": row("see_money"),
    "money-csv": row("see_money", reads_words=False),
    "phase": row("see_money", a_phase),
    "phase-edit": row("plan", a_phase),
    "phase-decide": row("decide_gates", a_phase, method="post"),
    "fund": row("see_money", a_fund),
    "fund-add": row("edit_money"),
    "fund-edit": row("edit_money", a_fund),
    "need-to-step": row("plan", a_need),
    "promises": row("see_plan"),
    "promise-add": row("plan"),
    "promise-edit": row("plan", a_promise),
    "promise-stands": row("plan", a_promise),
    "goals": row("see_plan"),
    "goal-add": row("plan"),
    "goal-edit": row("plan", a_goal),
    "order-line-edit": row("edit_orders", a_line),
    "order-line-remove": row("edit_orders", a_line, method="post"),
    "order-pay": row("edit_money", an_order),
    "step-link": row("plan", a_link),
    "step-move": row("plan", a_step, method="post"),
    "step-cost-add": row("edit_money", a_step),
    "step-cost-edit": row("edit_money", a_cost),
    "step-cost-remove": row("edit_money", a_cost, method="post"),
    "step-pay": row("edit_money", a_step),
    "phase-add": row("plan"),
    "phases-propose": row("plan"),
    "fund-rules": row("edit_money", a_fund),
    "income-add": row("edit_money", a_fund),
    "income-edit": row("edit_money", an_income),
    "income-remove": row("edit_money", an_income, method="post"),
    "payment-remove": row("edit_money", a_payment, method="post"),
    "paper": row("see"),
    "packet-leaders": row("see_money", reads_words=False),
    "packet-handover": row("see", reads_words=False),
    "packet-handover-room": row("see", a_place, reads_words=False),
}
ROWS: dict[str, Row] = {**PEOPLE, **INVENTORY, **ROADMAP}

# What a form of a ministry needs besides its viewer, where `make.<name>()` or an empty list will not do:
# {(form's name, argument): value}. tests/test_tenancy.py builds every form with it.
FORM_ARGUMENTS: dict[tuple[str, str], Any] = {}
