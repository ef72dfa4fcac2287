"""Words and figures for people."""

from pathlib import Path

import pytest

from intake.errors import HandbookGap
from intake.spread import Interval
from intake.table.resins import Reason
from intake.words import catalogue
from intake.words.figures import interval_text, mass_text, share_text


def _write(folder: Path, name: str, *entries: tuple[str, str]) -> None:
    (folder / "en").mkdir(exist_ok=True)
    head = 'msgid ""\nmsgstr "Content-Type: text/plain; charset=UTF-8\\n"\n\n'
    body = "".join(f'msgid "{key}"\nmsgstr "{text}"\n\n' for key, text in entries)
    (folder / "en" / name).write_text(head + body, encoding="utf-8")


def test_a_reason_becomes_a_sentence_with_its_values(tmp_path: Path) -> None:
    _write(tmp_path, "a.po", ("reason.too_sure", "{resin} at {probability}, {mass_g} on the scale."))
    words = catalogue(tmp_path)
    reason = Reason.of("too_sure", resin="PP", probability=0.534, mass_g=41.2)
    assert words.reason(reason) == "PP at 53 %, 41 g on the scale."


def test_a_missing_key_shows_itself_and_a_missing_value_its_name(tmp_path: Path) -> None:
    _write(tmp_path, "a.po", ("hello", "Hello {name}"))
    words = catalogue(tmp_path)
    assert words("nobody.wrote.this") == "nobody.wrote.this"
    assert words("hello") == "Hello {name}"


def test_two_files_may_not_claim_one_key(tmp_path: Path) -> None:
    _write(tmp_path, "a.po", ("hello", "Hello"))
    _write(tmp_path, "b.po", ("hello", "Hi"))
    with pytest.raises(HandbookGap, match="written twice"):
        catalogue(tmp_path)


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (0.0, "0 %"),
        (1.0, "100 %"),
        (0.0004, "< 0.1 %"),
        (0.9996, "> 99.9 %"),
        (0.034, "3.4 %"),
        (0.534, "53 %"),
        (0.972, "97.2 %"),
    ],
)
def test_a_share_never_claims_certainty_it_does_not_have(share: float, text: str) -> None:
    assert share_text(share) == text


@pytest.mark.parametrize(
    ("low", "mean", "high", "text"),
    [
        (36, 41, 45, "41 g (36–45)"),
        (2010, 2140, 2280, "2.14 kg (2.01–2.28)"),
        (5, 5, 5, "5.0 g"),
        (1900, 2140, 2400, "2.1 kg (1.9–2.4)"),
    ],
)
def test_an_interval_has_the_digits_its_doubt_allows(low: float, mean: float, high: float, text: str) -> None:
    assert interval_text(Interval(mean=mean, low=low, high=high)) == text


@pytest.mark.parametrize(("mass_g", "text"), [(3.21, "3.2 g"), (41.4, "41 g"), (2140, "2.14 kg")])
def test_a_mass_has_three_digits_at_most(mass_g: float, text: str) -> None:
    assert mass_text(mass_g) == text
