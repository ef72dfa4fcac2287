"""Where a hub is, with names and passwords kept out of everything that can be shown."""

from dataclasses import dataclass, field
from typing import Self

from psycopg import ProgrammingError
from psycopg.conninfo import conninfo_to_dict

from intake.errors import BadInput

_SCHEMES = ("postgresql://", "postgres://")
_EXPECTED = (
    "an address such as postgresql://name@computer:5432/database; in a name or password write @ as %40, "
    "/ as %2F and a space as %20"
)
_MAX_PORT = 65_535


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """A checked address.

    Attributes:
        url: the whole of it, secrets included; never shown, not even by `repr`.
        shown: computer, port and database.
        secrets: passwords, and the name in quotes as databases write it; longest first.
    """

    url: str = field(repr=False)
    shown: str
    secrets: tuple[str, ...] = field(repr=False)

    @classmethod
    def read(cls, url: str) -> Self:
        """The address that `url` writes.

        Raises:
            BadInput: it does not read. What was typed is not repeated, since a password may be in it.
        """
        if not url.startswith(_SCHEMES) or not url.isprintable():
            raise _bad("another kind of address")
        try:
            parts = {name: str(value) for name, value in conninfo_to_dict(url).items()}
        except ProgrammingError:
            raise _bad("postgresql://…") from None
        host, database = parts.get("host", ""), parts.get("dbname", "")
        if "@" in host + database:
            raise _bad("postgresql://… with a second @ or a / in the password")
        if not all(_is_port(port) for port in parts.get("port", "5432").split(",")):
            raise _bad("postgresql://… with a port that is none")
        where = ":".join(part for part in (host or "this computer", parts.get("port", "")) if part)
        secrets = {parts[name] for name in ("password", "sslpassword") if parts.get(name)}
        secrets |= {f'"{parts["user"]}"'} if parts.get("user") else set()
        return cls(
            url=url,
            shown=f"{where}/{database}".rstrip("/"),
            secrets=tuple(sorted(secrets, key=len, reverse=True)),
        )

    def hidden(self, text: str) -> str:
        """`text` as one line, with every secret blotted out."""
        line = " ".join(text.replace(self.url, "…").split())
        for secret in self.secrets:
            line = line.replace(secret, "…")
        return line


def _is_port(text: str) -> bool:
    return text == "" or (text.isascii() and text.isdigit() and 0 < int(text) <= _MAX_PORT)


def _bad(got: str) -> BadInput:
    return BadInput(where="Hub", got=got, expected=_EXPECTED)
