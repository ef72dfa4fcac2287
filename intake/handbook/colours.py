"""`resources/colours.toml` → `ColourTable`."""

from intake.errors import BadInput, Finding
from intake.handbook.figures import RawTable, raw_table
from intake.table.bins.colour import ColourTable, GroupId, Lab, lab_of, parse_srgb
from intake.table.bins.light import Rgb


def read_colours() -> ColourTable:
    """The colour table; every colour value must be readable and every hue a listed group.

    Raises:
        HandbookGap: the file is missing or a row is faulty.
    """
    table = raw_table("colours.toml")
    limits = {name: table.figure(raw, name) for name, raw in table.data["limits"].items()}
    groups = table.data["groups"]
    swatches = {GroupId(g): _rgb(table, g, raw["srgb"]) if raw else None for g, raw in groups.items()}
    words: dict[str, Lab] = {}
    for word, text in table.data["words"]["srgb"].items():
        rgb = _rgb(table, word, text)
        if rgb is not None:
            words[word] = lab_of(rgb)
    for hue in table.data["hues"]["from_degrees"]:
        if hue not in groups:
            table.findings.append(Finding(where="colours.toml, hues", got=hue, expected="a listed group"))
    for section in ("hues", "natural", "mixed", "words", "shades"):
        table.basis(table.data[section], f"colours.toml, {section}")
    table.done()
    return ColourTable(
        neutral_chroma=limits["neutral_chroma"],
        white_lightness=limits["white_lightness"],
        black_lightness=limits["black_lightness"],
        brown_lightness=limits["brown_lightness"],
        paper_lightness=limits["paper_lightness"],
        paper_chroma=limits["paper_chroma"],
        hue_from_degrees={GroupId(g): float(v) for g, v in table.data["hues"]["from_degrees"].items()},
        swatches=swatches,
        words=words,
        natural_words=frozenset(table.data["natural"]["words"]),
        mixed_words=frozenset(table.data["mixed"]["words"]),
        shades=frozenset(table.data["shades"]["words"]),
    )


def _rgb(table: RawTable, where: str, text: str) -> Rgb | None:
    """The colour `text`; a fault is collected."""
    try:
        return parse_srgb(text)
    except BadInput as error:
        table.findings.append(Finding(where=f"colours.toml, {where}", got=str(text), expected=error.expected))
        return None
