"""Sentences as a narrow screen may break them: a resin's name, a number and its unit stay on one line."""

import re

from intake.words import Words

_HYPHEN = re.compile(r"(?<=[A-Z0-9])-(?=[A-Z0-9])")
_SPACE = re.compile(r"(?<=[<>×]) (?=[0-9])|(?<=[0-9]) (?=(?:%|°C|k?g|l|min|cm3?|g/cm3)(?![A-Za-z]))")


class Unbroken(Words):
    """Words whose sentences are never broken inside a name or an amount."""

    __slots__ = ()

    def __call__(self, key: str, **values: object) -> str:
        """The sentence for `key`, as `Words` fills it."""
        return kept_together(Words.__call__(self, key, **values))


def unbroken(words: Words) -> Unbroken:
    """The same sentences, for a screen."""
    return Unbroken(words.language, words.texts)


def kept_together(text: str) -> str:
    """`text` with no-break hyphens and spaces where a line must not end: `PE-HD`, `QT-01`, `< 0.1 %`, `41 g`."""
    return _SPACE.sub("\N{NO-BREAK SPACE}", _HYPHEN.sub("\N{NON-BREAKING HYPHEN}", text))
