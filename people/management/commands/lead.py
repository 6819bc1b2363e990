"""Makes someone the technical lead of a church from the shell: the first one, or after the last one left."""

from typing import Any

from django.conf import settings
from django.contrib.auth.tokens import default_token_generator
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.core.validators import validate_email
from django.urls import reverse
from django.utils.encoding import force_bytes
from django.utils.http import urlsafe_base64_encode

from people.models import Ministry, User
from people.models.users import tidy_email
from people.services.members import make_lead


class Command(BaseCommand):
    help = "Makes someone a technical lead; a new account gets a link that sets its password once, within a day."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("email", help="the address they sign in with")
        parser.add_argument("--ministry", default="", metavar="SLUG", help="which church, when there are several")
        parser.add_argument("--name", default="", help="their name, for a new account")

    def handle(self, *args: Any, **options: Any) -> None:
        ministry = find_ministry(options["ministry"])
        user, is_new = find_or_make_user(options["email"], options["name"])
        make_lead(ministry=ministry, user=user)
        self.stdout.write(f"{user} is a technical lead of {ministry} ({ministry.slug}).")
        if is_new:
            self.stdout.write(f"A password is chosen here, once, within a day: {password_link(user)}")


def find_ministry(slug: str) -> Ministry:
    """Return the named church, or the only one; CommandError says which there are."""
    churches = list(Ministry.objects.filter(slug=slug) if slug else Ministry.objects.order_by("slug"))
    if len(churches) == 1:
        return churches[0]
    known = (
        ", ".join(Ministry.objects.order_by("slug").values_list("slug", flat=True)) or "none yet; open /new/ to begin"
    )
    raise CommandError(f"Say which church with --ministry. There are: {known}.")


def find_or_make_user(email: str, name: str) -> tuple[User, bool]:
    """Return the account of the address and whether it was made now; without a password nobody can use it yet."""
    try:
        validate_email(tidy_email(email))
    except ValidationError as wrong:
        raise CommandError(f"{email!r} is no e-mail address.") from wrong
    known = User.objects.filter(email=tidy_email(email)).first()
    return (known, False) if known else (User.objects.create_user(email, name=name), True)


def password_link(user: User) -> str:
    path = reverse(
        "password-reset-confirm",
        kwargs={
            "uidb64": urlsafe_base64_encode(force_bytes(user.pk)),
            "token": default_token_generator.make_token(user),
        },
    )
    secure = getattr(settings, "SECURE_SSL_REDIRECT", False)
    host = next((host for host in settings.ALLOWED_HOSTS if host != "*"), "127.0.0.1:8000")
    return f"{'https' if secure else 'http'}://{host}{path}"
