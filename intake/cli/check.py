"""`intake check`: will a guest melt into a host, how much of it, and how hot."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, mind_line, print_json
from intake.errors import BadInput
from intake.table.compat.rules import Form, Published
from intake.table.compat.windows import Window
from intake.units import parse_share, parse_temperature_c, temperature_in_f
from intake.words import Words

if TYPE_CHECKING:
    from intake.desk.check import PairCheck
    from intake.handbook.sources import Work

_FORMS = click.Choice([f.value for f in Form])


@click.command()
@click.argument("host")
@click.argument("guest")
@click.option("--share", help="Mass share of the guest in the batch: 5% or 0.05.")
@click.option("--at", "at", help="Temperature at the mould, such as 180°C or 350°F.")
@click.option("--host-form", type=_FORMS, help="How the host was made; with --guest-form.")
@click.option("--guest-form", type=_FORMS, help="How the guest was made; with --host-form.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def check(
    host: str, guest: str, *, share: str | None, at: str | None, host_form: str | None,
    guest_form: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Say whether GUEST melts into HOST, at which share and in which window."""
    from intake.desk.check import check_pair
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book = Handbook()
    result = check_pair(
        book, host, guest,
        share=None if share is None else parse_share(share, where="--share"),
        at_c=None if at is None else parse_temperature_c(at, where="--at"),
        forms=_forms(host_form, guest_form),
    )  # fmt: skip
    words = catalogue(resources() / "words")
    if as_json:
        print_json(check_json(result, words))
    else:
        print_check(result, words, book.sources)


def _forms(host_form: str | None, guest_form: str | None) -> tuple[Form, Form] | None:
    """Both forms or none: one alone says nothing about the pair."""
    if host_form is None and guest_form is None:
        return None
    if host_form is None or guest_form is None:
        missing = "--host-form" if host_form is None else "--guest-form"
        raise BadInput(where=missing, got="nothing", expected="both forms or neither")
    return Form(host_form), Form(guest_form)


def check_json(result: "PairCheck", words: Words) -> dict[str, Any]:
    """The document of `shared/compatibility.schema.json`."""
    rule, opinion = result.rule, result.opinion
    window = opinion.mixture.window
    reasons = (*rule.reasons, *opinion.reasons, *result.heat)
    return {
        "host": rule.host,
        "guest": rule.guest,
        "rating": rule.rating.value,
        "tolerated_share": rule.tolerated_share,
        "share": result.share,
        "verdict_at_share": result.verdict.value if result.verdict else None,
        "reasons": [words.reason(r) for r in reasons],
        "reason_codes": [r.code for r in reasons],
        "basis": rule.basis.value,
        "why": rule.why or None,
        "in_table": not rule.silent,
        "published": [_published_json(p, words) for p in rule.published],
        "chi": _rounded(opinion.chi),
        "chi_critical": _rounded(opinion.chi_critical),
        "computed_mixes": opinion.mixes,
        "window_c": [window.low_c, window.high_c] if window else None,
        "hazards": [words(f"hazard.{h}") for h in result.hazards],
        "cautions": [c.id for c in result.cautions],
        "advice": words("check.heat"),
        "sources": list(result.sources),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 6)


def _published_json(said: Published, words: Words) -> dict[str, Any]:
    return {
        "fact": words(f"fact.{said.fact}"),
        "kind": said.kind.value,
        "share": said.value,
        "source": said.source,
    }


def print_check(result: "PairCheck", words: Words, works: "Mapping[str, Work]") -> None:
    """A short table and the sentences for a person; every source with its title."""
    from rich.table import Table

    rule, out = result.rule, console()
    table = Table(title=words("check.title", host=rule.host, guest=rule.guest), show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    for name, text in _lines(result, words, works):
        table.add_row(name, text)
    out.print(table)
    for reason in (*rule.reasons, *result.opinion.reasons, *result.heat):
        out.print(words.reason(reason), markup=False)
    out.print(words("check.heat"), markup=False)
    out.print(mind_line(result.cautions, words), markup=False)
    for caution in result.cautions:
        if caution.applies_to:
            out.print(words(f"caution.{caution.id}.text"), markup=False)
    out.print(words("check.not_food"), markup=False)


def _lines(result: "PairCheck", words: Words, works: "Mapping[str, Work]") -> Iterator[tuple[str, str]]:
    """Name and text of each line of the table."""
    rule, window = result.rule, result.opinion.mixture.window
    yield words("check.rating"), words(f"rating.{rule.rating.value}")
    yield words("check.tolerated"), words("check.tolerated_text", share=percent_text(rule.tolerated_share))
    if result.share is not None and result.verdict is not None:
        asked = words("check.at_share", share=percent_text(result.share))
        yield asked, words(f"verdict.{result.verdict.value}")
    yield words("check.window"), window_text(window) if window else words("check.no_window")
    if result.hazards:
        yield words("check.hazards"), ", ".join(words(f"hazard.{h}") for h in result.hazards)
    for said in rule.published:
        figure = "" if said.value is None else f" ({percent_text(said.value)})"
        yield words("check.published"), f"{words(f'fact.{said.fact}')}{figure} {said.source}"
    if rule.why:
        yield words("check.why"), rule.why
    yield words("check.basis"), rule.basis.value
    yield words("check.sources"), "\n".join(works[key].cited for key in result.sources)


def window_text(window: Window) -> str:
    """A window in both scales, such as "160–210 °C (320–410 °F)"."""
    low_f, high_f = temperature_in_f(window.low_c), temperature_in_f(window.high_c)
    return f"{window.low_c:.0f}–{window.high_c:.0f} °C ({low_f:.0f}–{high_f:.0f} °F)"


def percent_text(share: float) -> str:
    """A share somebody chose, to the last digit: 0.0001 is "0.01 %", since it carries no doubt."""
    return f"{100.0 * share:.6g} %"
