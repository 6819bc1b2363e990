"""The account a person signs in with: an e-mail address and a password."""

import unicodedata

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils.translation import gettext_lazy as _


def tidy_email(email: str) -> str:
    """Return the address as it is stored: composed, trimmed, lower case.

    Addresses are compared without case because people type them on phones that capitalize.
    """
    return unicodedata.normalize("NFKC", email).strip().lower()


class UserManager(BaseUserManager["User"]):
    def create_user(self, email: str, password: str | None = None, *, name: str = "") -> "User":
        """Store and return a new user; without a password none can be used until one is set."""
        user = self.model(email=tidy_email(email), name=name.strip())
        user.set_password(password)
        user.save(using=self._db)
        return user

    def get_by_natural_key(self, username: str | None) -> "User":
        return self.get(email=tidy_email(username or ""))


class User(AbstractBaseUser):
    email = models.EmailField(_("e-mail address"), unique=True)
    name = models.CharField(_("name"), max_length=120, blank=True)
    is_active = models.BooleanField(_("may sign in"), default=True)
    joined_at = models.DateTimeField(auto_now_add=True)

    objects = UserManager()

    USERNAME_FIELD = "email"
    REQUIRED_FIELDS = []

    class Meta:
        verbose_name = _("user")
        verbose_name_plural = _("users")

    def __str__(self) -> str:
        return self.name or self.email

    def get_full_name(self) -> str:
        return str(self)

    def get_short_name(self) -> str:
        return self.name.split(" ")[0] if self.name else self.email
