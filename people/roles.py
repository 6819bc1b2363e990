"""Roles and what each may do. One table; pages, querysets and tests read it."""

from enum import StrEnum

from django.db import models
from django.utils.translation import gettext_lazy as _


class Role(models.TextChoices):
    LEAD = "lead", _("technical lead")
    COACH = "coach", _("coach")
    CREW = "crew", _("crew")
    LEADERSHIP = "leadership", _("leadership")
    TREASURER = "treasurer", _("treasurer")
    READER = "reader", _("reader")


class Ability(StrEnum):
    SEE = "see"  # rooms, pieces, steps, packets
    SEE_PLAN = "see_plan"  # steps, orders and what is awaited
    SEE_MONEY = "see_money"  # any price, fund, total
    SEE_CONTACTS = "see_contacts"  # persons' addresses and numbers
    RECORD = "record"  # record, move, test, tick off
    DECIDE_FATES = "decide_fates"  # fates, needs, matching, merging twins, intake
    PLAN = "plan"  # steps, links, phases, services, freezes
    EDIT_MONEY = "edit_money"  # costs, funds
    EDIT_ORDERS = "edit_orders"  # orders, promised dates, arrivals
    DECIDE_GATES = "decide_gates"  # say yes or no on a gate night
    MANAGE = "manage"  # members, invitations, the ministry itself
    REMOVE = "remove"  # delete rows
    UNDO = "undo"  # take back an act


_EVERYONE = frozenset(Role.values)
_WRITERS = frozenset({Role.LEAD, Role.COACH})
_MONEY = frozenset({Role.LEAD, Role.COACH, Role.LEADERSHIP, Role.TREASURER})

ABILITIES: dict[Ability, frozenset[str]] = {
    Ability.SEE: _EVERYONE,
    Ability.SEE_PLAN: _EVERYONE - {Role.READER},
    Ability.SEE_MONEY: _MONEY,
    Ability.SEE_CONTACTS: _EVERYONE - {Role.READER},
    Ability.RECORD: _WRITERS | {Role.CREW},
    Ability.DECIDE_FATES: _WRITERS,
    Ability.PLAN: _WRITERS,
    Ability.EDIT_MONEY: _WRITERS | {Role.TREASURER},
    Ability.EDIT_ORDERS: _WRITERS | {Role.TREASURER},
    Ability.DECIDE_GATES: frozenset({Role.LEAD, Role.LEADERSHIP}),
    Ability.MANAGE: frozenset({Role.LEAD}),
    Ability.REMOVE: frozenset({Role.LEAD}),
    Ability.UNDO: _WRITERS | {Role.CREW, Role.TREASURER, Role.LEADERSHIP},
}
