"""Letters for a new password: a few an hour for one mail address and for one network address."""

from datetime import datetime, timedelta

from django.db import IntegrityError, transaction
from django.utils.crypto import salted_hmac

from people.models import LetterCount
from people.network import neighborhood

AN_HOUR = timedelta(hours=1)
FOR_ONE_ADDRESS = 3
FROM_ONE_NETWORK = 20


class TooManyLetters(Exception):
    """No further letter within this hour."""


def may_send_letter(*, email: str, network: str | None, now: datetime) -> bool:
    """Count a letter and tell whether it may go; one refused is not counted.

    Whether there is such an account makes no difference here, so that the answer gives nothing away.
    """
    try:
        with transaction.atomic():
            _count(f"to {email}", FOR_ONE_ADDRESS, now)
            _count(f"from {neighborhood(network)}", FROM_ONE_NETWORK, now)
    except TooManyLetters:
        return False
    except IntegrityError:  # someone else counted the same for the first time at this moment: their row is there now
        return may_send_letter(email=email, network=network, now=now)
    return True


def _count(what: str, most: int, now: datetime) -> None:
    """Write one more in the row there is, one whose hour is over, or a new one; raises TooManyLetters."""
    key = salted_hmac("people.services.letters", what, algorithm="sha256").hexdigest()
    rows = LetterCount.objects.select_for_update()
    row = rows.filter(key=key).first() or rows.filter(counts_until__lte=now).order_by("pk").first() or LetterCount()
    within_the_hour = [at for at in row.asked_at if at > (now - AN_HOUR).timestamp()]
    if len(within_the_hour) >= most:
        raise TooManyLetters
    row.key, row.asked_at, row.counts_until = key, [*within_the_hour, now.timestamp()], now + AN_HOUR
    row.save()
