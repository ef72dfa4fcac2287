"""Sentences, not rules: text by key, from the message catalogues of `resources/words/`.

Each language is a folder of gettext `.po` files, one per room or door; the msgid is a key such as
`reason.residue_motor_oil`, the msgstr the sentence with named places (`{resin}`). A key nobody wrote fails
loudly in tests (`tests/house`), and shows as the key itself to a person rather than as nothing.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Formatter

from babel.messages.pofile import read_po

from intake.errors import HandbookGap
from intake.table.resins import Reason


@dataclass(frozen=True, slots=True)
class Words:
    """All sentences of one language."""

    language: str
    texts: Mapping[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """The sentence for `key` with its places filled; an unknown key comes back as itself."""
        text = self.texts.get(key)
        return key if text is None else text.format_map(_Filled(values))

    def reason(self, reason: Reason) -> str:
        """The sentence of a reason code, its values formatted."""
        from intake.words.figures import value_text

        values = {k: self.material(v) if k == "material" else value_text(k, v) for k, v in reason.values}
        return self(f"reason.{reason.code}", **values)

    def material(self, material: str | float) -> str:
        """What people call a foreign material; a resin is called by its own abbreviation."""
        return self.texts.get(f"material.{material}", str(material))

    def reasons(self, reasons: Iterable[Reason]) -> str:
        """Several reasons as one run of sentences."""
        return " ".join(self.reason(r) for r in reasons)

    def places(self, key: str) -> set[str]:
        """The named places of a sentence, for the test that compares languages."""
        return {name for _, name, _, _ in Formatter().parse(self.texts[key]) if name}


class _Filled(dict[str, object]):
    """A place without a value shows its own name instead of stopping the sentence."""

    def __missing__(self, key: str) -> str:
        return "{" + key + "}"


@cache
def catalogue(folder: Path, language: str = "en") -> Words:
    """All `.po` files of `folder`/`language` as one catalogue.

    Raises:
        HandbookGap: the language has no folder, or two files claim one key.
    """
    texts: dict[str, str] = {}
    files = sorted((folder / language).glob("*.po"))
    if not files:
        raise HandbookGap(f"There are no words for language '{language}'.")
    for path in files:
        with path.open("rb") as stream:
            for message in read_po(stream, locale=language):
                if not message.id:
                    continue
                if message.id in texts:
                    raise HandbookGap(f"{path.name}: the key {message.id} is written twice.")
                texts[str(message.id)] = str(message.string)
    return Words(language, texts)
