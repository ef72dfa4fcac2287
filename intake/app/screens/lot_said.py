"""Values of lots as sentences: what one is, how much is left, how pure and how hot."""

from intake.desk.views.lots import LotTile, LotView
from intake.words import Words
from intake.words.figures import mass_text, share_span_text, share_text, value_text


def lot_kind_text(words: Words, tile: LotTile) -> str:
    """What a lot is: resin, colour, how it was formed, whether filled."""
    values = {"colour": words(f"colour.{tile.colour}"), "flow": words(f"flow.{tile.flow}")}
    return words("app.bins.kind_filled" if tile.filled else "app.bins.kind", resin=tile.resin, **values)


def left_text(words: Words, tile: LotTile) -> str:
    """How much is left of a lot; weighed, so its doubt is below the last digit shown."""
    if not tile.left_share:
        return words("app.lots.used_up")
    return words("app.lots.left", mass=mass_text(tile.left.mean))


def purity_text(words: Words, tile: LotTile) -> str:
    """How pure a lot is, and what its test melt said."""
    return words("app.lots.purity", purity=share_span_text(tile.purity), melt=melt_text(words, tile))


def melt_text(words: Words, tile: LotTile) -> str:
    """What the test melt said."""
    return words(f"app.lot.melt.{tile.verdict or 'none'}")


def share_left_text(words: Words, tile: LotTile) -> str:
    """How much of a lot is left, as a share."""
    return words("app.lots.share", share=share_text(tile.left_share))


def gone_texts(words: Words, view: LotView) -> tuple[str, ...]:
    """What a lot weighed, and where the rest of it went."""
    weighed = words("app.lot.weighed", mass=mass_text(view.mass_g))
    return (weighed, *(words(f"app.lot.way.{way}", mass=mass_text(g)) for way, g in view.gone))


def oven_texts(words: Words, view: LotView) -> tuple[str, str]:
    """How hot it may and must get, and what to mind; why it must not be heated where there is no window."""
    if view.window is None:
        return words("app.lot.no_oven"), words.reason(view.oven) if view.oven else ""
    low, high = (value_text("temp_c", t) for t in (view.window.low_c, view.window.high_c))
    return words("app.lot.oven", low=low, high=high), words("app.lot.oven_why")
