"""Puts the envelope around new facts: number, time, id and the hash of the event before."""

from collections.abc import Sequence

from intake.errors import BadInput
from intake.ledger.chain import Chain
from intake.ledger.codec import written
from intake.ledger.envelope import Event, digest, ticks
from intake.ledger.events import SCHEMA, Body, Unknown


def stamped(
    bodies: Sequence[Body], *, station: str, chain: Chain, now_ms: int
) -> tuple[tuple[Event, ...], list[bytes], list[str]]:
    """The events of one act, each chained to the one before; their bytes as they will be written; their hashes.

    Args:
        bodies: what happened, in order.
        station: the table that writes.
        chain: what is known of all stations; it is not changed.
        now_ms: [ms] the clock, since 1970.

    Raises:
        BadInput: something cannot be written, or the clock is out of this age.
    """
    last, prev = chain.end(station)
    events, payloads, hashes = [], [], []
    times = ticks(chain.latest, now_ms)
    for seq, body in enumerate(bodies, last + 1):
        if isinstance(body, Unknown):
            raise BadInput(where="Event", got=body.kind, expected="a kind that this version knows")
        event = Event(
            v=SCHEMA,
            station=station,
            seq=seq,
            hlc=next(times),
            id=f"{station}.{seq}",
            kind=type(body).__name__,
            body=body,
            prev=prev,
        )
        payload = written(event)
        prev = digest(payload)
        events.append(event)
        payloads.append(payload)
        hashes.append(prev)
    return tuple(events), payloads, hashes
