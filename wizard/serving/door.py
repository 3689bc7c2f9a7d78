"""Who is let in: the right address, from the right page, with the token of this run.

A browser sends requests for any page that it shows. So a page elsewhere could reach a
server on the loopback address, by its number or by a name that it makes point there;
what tells such a request from one of ours is in its Host and Origin headers.

Sources: RFC 9110, 7.2 (Host); RFC 6454, 7 (Origin); RFC 6455, 10.2 (a server that isn't
meant for any page should look at Origin).
"""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field
from ipaddress import ip_address

TOKEN = "token"
"""The word of the address that the token follows."""

NO_HOST = "This is not the address that is served. Open the one that plugwright serve printed."
NO_ORIGIN = "Another page asked for this. Open the address that plugwright serve printed yourself."
NO_TOKEN = (
    "The token is missing, or it is one of an earlier run."
    " Open the whole address that plugwright serve printed."
)


def fresh_token() -> str:
    """A token that nobody guesses: 128 random bits."""
    return secrets.token_urlsafe(16)


@dataclass(frozen=True)
class Door:
    """What a request must show.

    Args:
        name: the host that the maker asked for, a name or an address.
        port: that is listened on.
        token: of this run.
    """

    name: str
    port: int
    token: str = field(repr=False)

    @property
    def cookie(self) -> str:
        """The cookie's name; cookies don't know ports, so it holds the port."""
        return f"plugwright-{self.port}"

    def complaint(
        self, reached: str, headers: Mapping[str, str], typed: str | None, kept: str | None
    ) -> str:
        """Why a request is refused; empty if it isn't.

        Args:
            reached: the address of this machine at which it came in.
            headers: of the request.
            typed: the token in the address, if there is one.
            kept: the token in the cookie, if there is one.
        """
        host = headers.get("Host", "").lower()
        if host not in self._hosts(reached):
            return NO_HOST
        origin = headers.get("Origin")
        opens_socket = headers.get("Upgrade", "").lower() == "websocket"
        if (origin is not None or opens_socket) and origin != f"http://{host}":
            return NO_ORIGIN
        # One that is typed counts alone: a wrong one must not pass by an old cookie.
        return "" if self._fits(kept if typed is None else typed) else NO_TOKEN

    def _hosts(self, reached: str) -> set[str]:
        """How a browser may call this server: as asked for, or by the address that it reached.

        A name that is made to point here from outside is neither.
        """
        names = {self.name.lower(), reached}
        if is_loopback(reached):
            names.add("localhost")
        found = {f"{bracketed(name)}:{self.port}" for name in names}
        return found | {bracketed(name) for name in names if self.port == 80}

    def _fits(self, token: str | None) -> bool:
        given = (token or "").encode("utf-8", "replace")
        return secrets.compare_digest(given, self.token.encode())


def is_loopback(host: str) -> bool:
    """Whether nobody but this machine can reach an address."""
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host.lower() == "localhost"


def is_everywhere(host: str) -> bool:
    """Whether it stands for all addresses of this machine."""
    try:
        return ip_address(host).is_unspecified
    except ValueError:
        return False


def bracketed(host: str) -> str:
    """A host as it stands in an address.

    Source: RFC 3986, 3.2.2: an IPv6 address in square brackets.
    """
    return f"[{host}]" if ":" in host else host
