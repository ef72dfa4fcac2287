"""Every code that the house can say has words, in every language, with the same places."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from intake.handbook.locate import resources
from intake.words import catalogue

ROOT = Path(__file__).resolve().parents[2]
WORDS = resources() / "words"
LANGUAGES = sorted(p.name for p in WORDS.iterdir() if p.is_dir())


def _reason_codes() -> Iterator[tuple[str, str]]:
    """(file, code) of every `Reason.of("code", …)` and `Reason(code="…")` in the house."""
    for path in sorted((ROOT / "intake").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if not isinstance(node, ast.Call):
                continue
            name = ast.unparse(node.func)
            given = (
                node.args[:1] if name == "Reason.of" else [k.value for k in node.keywords if k.arg == "code"]
            )
            if name in ("Reason.of", "Reason"):
                for value in given:
                    if isinstance(value, ast.Constant):
                        yield path.name, value.value


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_reason_code_has_a_sentence(language: str) -> None:
    words = catalogue(WORDS, language)
    silent = {f"{file}: {code}" for file, code in _reason_codes() if f"reason.{code}" not in words.texts}
    assert not silent


@pytest.mark.parametrize("language", LANGUAGES)
def test_sentences_are_quiet(language: str) -> None:
    # direction of the house: plain words, no exclamation marks, no slogans
    loud = {
        k: t
        for k, t in catalogue(WORDS, language).texts.items()
        if "!" in t or re.search(r"\b[A-Z]{6,}\b", t)
    }
    assert not loud


def test_no_sentence_is_empty() -> None:
    assert not [k for k, t in catalogue(WORDS, "en").texts.items() if not t.strip()]
