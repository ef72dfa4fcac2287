"""Values of bins as sentences: what a bin takes and holds, how clean it is, what happened to it."""

from intake.app.screens.said import item_text, mass_texts
from intake.desk.views.bins import BinItem, BinTile, BinView, ForeignLine, Move
from intake.table.identify.evidence import Cue, Density, Evidence, FloatTest, Mark, SpotTest
from intake.table.identify.next_test import FLOAT
from intake.words import Words
from intake.words.figures import interval_parts, mass_text, share_text

_PPM = 1e6


def kind_text(words: Words, tile: BinTile) -> str:
    """What a bin takes: resin, colour, how it was formed, whether filled."""
    values = {"colour": words(f"colour.{tile.colour}"), "flow": words(f"flow.{tile.flow}")}
    return words("app.bins.kind_filled" if tile.filled else "app.bins.kind", resin=tile.resin, **values)


def content_text(words: Words, tile: BinTile) -> str:
    """The shred that a bin will give."""
    if not tile.items:
        return words("app.bins.empty")
    mean, low, high, unit = interval_parts(tile.shred)
    return words("app.bins.holds", mass=f"{mean} {unit}", low=low, high=high)


def full_text(words: Words, tile: BinTile) -> str:
    """How full a bin is."""
    return words("app.bins.full", share=share_text(tile.full))


def pieces_text(words: Words, tile: BinTile) -> str:
    """How many pieces lie in a bin, and how full that makes it."""
    return words("app.bins.pieces", pieces=tile.pieces, full=full_text(words, tile))


def room_text(words: Words, view: BinView) -> str:
    """The two limits of a bin, and how far each is reached."""
    return words(
        "app.bin.room", mass=mass_text(view.mass_g), most=mass_text(view.capacity_g),
        volume=f"{view.volume_l:.0f}", volume_most=f"{view.capacity_l:.0f}",
    )  # fmt: skip


def foreign_texts(words: Words, lines: tuple[ForeignLine, ...]) -> tuple[str, ...]:
    """How much foreign material there is to be expected, against what the bin stands."""
    return tuple(_foreign_text(words, line) for line in lines) or (words("app.bin.clean_none"),)


def _foreign_text(words: Words, line: ForeignLine) -> str:
    """One material; one of which hardly any is allowed is told in parts per million."""
    name = words.material(line.material)
    if line.over is None:
        ppm = {"expected": f"{line.expected * _PPM:.0f}", "tolerated": f"{line.tolerated * _PPM:.0f}"}
        return words("app.bin.hazard", material=name, **ppm)
    return words(
        "app.bin.foreign", material=name, expected=share_text(line.expected),
        tolerated=share_text(line.tolerated), over=share_text(line.over),
    )  # fmt: skip


def item_lines(words: Words, one: BinItem) -> tuple[str, ...]:
    """What an item of a bin was judged to be, gives, and what was observed."""
    mass, doubt = mass_texts(words, one.shred)
    judged = words("app.bin.judged", resin=one.resin, chance=share_text(one.probability))
    gives = words("app.bin.gives_guessed" if one.guessed else "app.bin.gives", mass=mass, doubt=doubt)
    seen = tuple(evidence_text(words, e) for e in one.evidence) or (words("app.seen.nothing"),)
    return judged, gives, *seen


def evidence_text(words: Words, piece: Evidence) -> str:
    """What somebody observed, as question and answer where it was one."""
    if isinstance(piece, Mark):
        return words("app.seen.mark", text=piece.text, how=words(f"walk.how.{piece.how}"))
    if isinstance(piece, SpotTest):
        return words("app.seen.spot", tested=piece.tested, odd=piece.odd)
    if isinstance(piece, Density):
        values = {"density": f"{piece.density_g_cm3:.3f}", "doubt": f"{piece.sd_g_cm3:.3f}"}
        return words("app.seen.density", **values)
    if isinstance(piece, Cue):
        ask, answer = f"walk.test.{piece.name}.question", f"walk.test.{piece.name}.{piece.value}"
        said = words(answer) if answer in words.texts else words("walk.test.unsure")
        return words("app.seen.answer", question=words(ask), answer=said)
    return _bath_text(words, piece)


def _bath_text(words: Words, piece: FloatTest) -> str:
    """What a piece did in a bath; one that is not the house's own is told by its density."""
    ask, answer = f"walk.test.{FLOAT}{piece.bath}.question", words(f"walk.test.float.{piece.outcome}")
    if ask in words.texts:
        return words("app.seen.answer", question=words(ask), answer=answer)
    return words("app.seen.bath", density=f"{piece.bath_g_cm3:.3f}", answer=answer)


def move_text(words: Words, move: Move) -> str:
    """When something happened, and what."""
    item = item_text(words, move.item) if move.item else words("app.move.gone")
    return words(f"app.move.{move.what}", when=move.when, item=item)
