"""Where a request comes from, behind as many servers of our own as the settings say."""

from ipaddress import ip_address, ip_network

from django.conf import settings
from django.http import HttpRequest


def client_address(request: HttpRequest) -> str | None:
    """Return the visitor's network address, None where it is not known (a socket of the same machine).

    Each server in front appends the address it was asked from to X-Forwarded-For; what stands further left than the
    entry our outermost server wrote is the visitor's own invention. Source: RFC 7239, section 5.2 and 8.1.
    """
    written = [one.strip() for one in request.headers.get("X-Forwarded-For", "").split(",") if one.strip()]
    count: int = settings.PROXIES
    said = written[-count] if 0 < count <= len(written) else request.META.get("REMOTE_ADDR", "")
    try:
        return str(ip_address(said))
    except ValueError:
        return None


def neighborhood(address: str | None) -> str:
    """Return what one household or host has to itself: an IPv4 address, the first 64 bits of an IPv6 one.

    Source: RFC 6177, which gives a site at least so much.
    """
    if not address or ":" not in address:
        return address or "unknown"
    return str(ip_network(f"{address}/64", strict=False))
