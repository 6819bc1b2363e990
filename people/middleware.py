"""The member a request acts as, and the language and time zone of their ministry."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.utils import timezone, translation

LANGUAGE_OF_COUNTRY = {"GB": "en-gb", "IE": "en-gb"}


class MinistryLanguageMiddleware:
    """Find the viewer once for an address that begins with a ministry, and switch to its language and zone."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        try:
            return self.get_response(request)
        finally:
            timezone.deactivate()

    def process_view(self, request: HttpRequest, view: object, args: object, kwargs: dict[str, str]) -> None:
        from people.access import find_viewer

        slug = kwargs.get("ministry")
        request.viewer = find_viewer(request.user, slug) if slug and request.user.is_authenticated else None
        if request.viewer:
            language = LANGUAGE_OF_COUNTRY.get(request.viewer.ministry.country, "en")
            translation.activate(language)
            request.LANGUAGE_CODE = language
            timezone.activate(request.viewer.ministry.zone)
