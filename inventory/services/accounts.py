"""Writing software, subscriptions and permissions."""

from typing import Any

from django.utils.translation import gettext as _

from inventory.models import Account
from inventory.services.places import change_named
from people.models import Act, Member, Ministry
from people.services import record


def next_account_key(ministry: Ministry) -> str:
    """Return the number the next account gets: A08 after A07. Queries once."""
    keys = Account.objects.filter(ministry=ministry).values_list("key", flat=True)
    numbers = [int(key[1:]) for key in keys if key[:1] == "A" and key[1:].isdecimal()]
    return f"A{max(numbers, default=0) + 1:02d}"


def add_account(*, ministry: Ministry, by: Member | None, **values: Any) -> tuple[Account, Act]:
    """Store an account; its number is made when none is given."""
    says = _("Wrote down %(name)s.") % {"name": values["what"]}
    with record.act(ministry=ministry, by=by, kind="account-add", says=says) as act:
        values.setdefault("key", next_account_key(ministry))
        return record.add(Account(ministry=ministry, **values)), act


def change_account(*, account: Account, by: Member | None, **how: Any) -> Act | None:
    """Change an account; takes base_version, chosen, chosen_at and the values. Raises merging.Clashed."""
    return change_named(row=account, by=by, act_kind="account-change", **how)


def remove_account(*, account: Account, by: Member | None) -> Act:
    """Take an account off the list."""
    says = _("Took %(name)s off the list.") % {"name": account.what}
    with record.act(ministry=account.ministry, by=by, kind="account-remove", says=says) as act:
        record.remove(account)
        return act
