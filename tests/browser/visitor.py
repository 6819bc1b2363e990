"""Someone who asks for pages without a browser: signs in by the form, follows links, keeps the cookies."""

import http.cookiejar
import mimetypes
import urllib.error
import urllib.parse
import urllib.request
import uuid
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from bs4 import BeautifulSoup


@dataclass(frozen=True)
class Answer:
    """What came back: status, kind of content, body and, for a redirect, where to."""

    address: str
    status: int
    kind: str
    body: bytes
    to: str = ""

    @property
    def is_page(self) -> bool:
        return self.kind.startswith("text/html")

    @cached_property
    def page(self) -> BeautifulSoup:
        return BeautifulSoup(self.body.decode(), "html.parser")

    @property
    def words(self) -> str:
        """Return every word a person could meet: text, and what stands in attributes that are shown or read out."""
        said = [self.page.get_text(" ")]
        for name in ("title", "alt", "aria-label", "placeholder", "value", "data-label"):
            said += [str(part[name]) for part in self.page.find_all(attrs={name: True})]
        return "\n".join(said)

    def links(self) -> list[str]:
        """Return the addresses this page links to on the same server, without the part after #."""
        found = []
        for link in self.page.find_all("a", href=True):
            full = urllib.parse.urldefrag(urllib.parse.urljoin(self.address, str(link["href"])))[0]
            if full.startswith("/"):
                found.append(full)
        return list(dict.fromkeys(found))


class NoFollowing(urllib.request.HTTPRedirectHandler):
    """A redirect is an answer to look at, not a way to go at once."""

    def redirect_request(self, *args: Any, **kwargs: Any) -> None:
        return None


@dataclass
class Visitor:
    """One person with one set of cookies; addresses begin with a slash."""

    server: str
    jar: http.cookiejar.CookieJar = field(default_factory=http.cookiejar.CookieJar)

    def __post_init__(self) -> None:
        self._opener = urllib.request.build_opener(NoFollowing, urllib.request.HTTPCookieProcessor(self.jar))

    def get(self, address: str) -> Answer:
        return self._ask(urllib.request.Request(self.server + urllib.parse.quote(address, safe="/?&=%+:;,!~*'()@")))

    def post(self, address: str, values: dict[str, Any], files: dict[str, tuple[str, bytes]] | None = None) -> Answer:
        """Send a form; files: {field: (name, content)}. The page's token is fetched first."""
        self.get(address)
        values = {**values, "csrfmiddlewaretoken": self.cookie("csrftoken")}
        body, kind = _multipart(values, files) if files else (urllib.parse.urlencode(values, doseq=True).encode(), "")
        request = urllib.request.Request(self.server + address, data=body)
        if kind:
            request.add_header("Content-Type", kind)
        return self._ask(request)

    def sign_in(self, email: str, pass_phrase: str) -> "Visitor":
        answer = self.post("/sign-in/", {"username": email, "password": pass_phrase})
        assert answer.status == 302, f"{email} could not sign in: {answer.status}"
        return self

    def cookie(self, name: str) -> str:
        return next((one.value or "" for one in self.jar if one.name == name), "")

    def cookies_for_browser(self) -> list[dict[str, str]]:
        return [{"name": one.name, "value": one.value or "", "url": self.server} for one in self.jar]

    def _ask(self, request: urllib.request.Request) -> Answer:
        address = request.full_url.removeprefix(self.server)
        try:
            with self._opener.open(request, timeout=60) as reply:
                return Answer(address, reply.status, reply.headers.get("Content-Type", ""), reply.read())
        except urllib.error.HTTPError as refused:
            kind, to = refused.headers.get("Content-Type", ""), refused.headers.get("Location", "")
            return Answer(address, refused.code, kind, refused.read(), to)


def _multipart(values: dict[str, Any], files: dict[str, tuple[str, bytes]]) -> tuple[bytes, str]:
    edge = uuid.uuid4().hex
    parts = []
    for name, value in values.items():
        parts.append(f'--{edge}\r\nContent-Disposition: form-data; name="{name}"\r\n\r\n{value}\r\n'.encode())
    for name, (file_name, content) in files.items():
        kind = mimetypes.guess_type(file_name)[0] or "application/octet-stream"
        head = f'--{edge}\r\nContent-Disposition: form-data; name="{name}"; filename="{file_name}"\r\n'
        parts.append(f"{head}Content-Type: {kind}\r\n\r\n".encode() + content + b"\r\n")
    return b"".join(parts) + f"--{edge}--\r\n".encode(), f"multipart/form-data; boundary={edge}"
