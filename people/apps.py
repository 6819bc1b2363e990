from django.apps import AppConfig
from django.utils.translation import gettext_lazy as _


class PeopleConfig(AppConfig):
    name = "people"
    verbose_name = _("People")
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from people import checks  # noqa: F401  registers them
