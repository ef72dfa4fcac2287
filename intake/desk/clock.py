"""Now, today and new ids: the only ones in the house, so that a test can set the day."""

import secrets
import time
from datetime import UTC, datetime


def now_ms() -> int:
    """[ms] Wall-clock time since 1970-01-01 UTC; it may step backwards, the ledger's own clock never does."""
    return time.time_ns() // 1_000_000


def today(at_ms: int | None = None) -> str:
    """The day as ISO 8601 (UTC), of now or of `at_ms`."""
    moment = datetime.fromtimestamp((now_ms() if at_ms is None else at_ms) / 1000, tz=UTC)
    return moment.date().isoformat()


def new_token(size: int = 4) -> str:
    """A random token of `size` bytes in lower-case hex, for station ids."""
    return secrets.token_hex(size)


def local_minute(at_ms: int) -> str:
    """A moment as this machine's clock on the wall shows it, to the minute."""
    return datetime.fromtimestamp(at_ms / 1000, tz=UTC).astimezone().strftime("%Y-%m-%d %H:%M")
