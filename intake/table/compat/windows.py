"""At which temperature a resin, or a mixture, can be pressed in an oven; never a moulding-machine window."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from intake.table.resins import Figure, Reason, ResinId, ResinTable

_ROOM_C = 23.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Melt:
    """How one resin takes heat; a figure that nobody gives is None.

    Attributes:
        melting_c: [degC] melting range on heating; None for an amorphous resin.
        glass_c: [degC] glass transition.
        window_c: [degC] oven and compression window; None for a resin that must not be heated.
        onset_c: [degC] where it begins to break down in air.
        solubility_mpa05: [MPa**0.5] solubility parameter.
        fumes: keys of what it gives off when it is too hot (`hazard.<key>` in the words).
    """

    melting_c: Figure | None = None
    glass_c: Figure | None = None
    window_c: Figure | None = None
    onset_c: Figure | None = None
    solubility_mpa05: Figure | None = None
    fumes: tuple[str, ...] = ()
    fumes_source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Lowest and highest temperature at the mould [degC]; `low_c <= high_c`."""

    low_c: float
    high_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """The window of several resins together; without one, the reason names the two that stand apart."""

    window: Window | None
    reason: Reason | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class MeltTable:
    """How each resin takes heat, and the few figures that hold for all of them.

    Attributes:
        rows: by resin id.
        resins: the resin table, for families.
        softening_margin_k: [K] how far under its melting range a semicrystalline resin begins to soften.
        reference_volume_cm3_mol: [cm3/mol] volume of one reference unit of the second opinion.
        chain_units: [-] reference units in one chain.
    """

    rows: Mapping[ResinId, Melt]
    resins: ResinTable
    softening_margin_k: Figure
    reference_volume_cm3_mol: Figure
    chain_units: Figure

    def row(self, resin: ResinId) -> Melt:
        """The row of the resin, of its wider term or of the class that stands for it; empty where none is."""
        row = self.resins.rows.get(resin)
        line = (*self.resins.line(resin), row.judged_as if row else resin)
        return next((self.rows[r] for r in line if r in self.rows), Melt())

    def oven_window(self, resin: ResinId) -> Window | None:
        """The window at the mould: the oven and compression window, cut at the low end of breakdown in air.

        Args:
            resin: id of the resin; PVC has no window, and neither has a resin without a row.

        Returns:
            [degC] low and high; None where the resin must not or cannot be pressed.

        Source: `window_c` and `onset_c` of `melt.toml`, each with its own.
        """
        melt = self.row(resin)
        if melt.window_c is None:
            return None
        high_c = min(melt.window_c.high, melt.onset_c.low if melt.onset_c else melt.window_c.high)
        low_c = melt.window_c.low
        return Window(low_c=low_c, high_c=high_c) if low_c <= high_c else None

    def mixture_window(self, resins: Sequence[ResinId]) -> Mixture:
        """From the highest lower limit to the lowest upper limit of all resins [degC].

        Returns:
            The common window; where there is none, the reason names the two resins that stand apart,
            or the one that has no window at all.
        """
        windows = [(r, self.oven_window(r)) for r in resins]
        known = [(r, w) for r, w in windows if w is not None]
        without = next((r for r, w in windows if w is None), None)
        if without is not None or not known:
            return Mixture(window=None, reason=self._no_window(without or ResinId("")))
        hot, lower = max(known, key=lambda rw: rw[1].low_c)
        cool, upper = min(known, key=lambda rw: rw[1].high_c)
        if lower.low_c <= upper.high_c:
            return Mixture(window=Window(low_c=lower.low_c, high_c=upper.high_c))
        return Mixture(window=None, reason=self._apart(hot, cool, lower.low_c, upper.high_c))

    def _apart(self, hot: ResinId, cool: ResinId, needs_c: float, limit_c: float) -> Reason:
        """Why two share no temperature: one is still solid, or not yet soft enough, at the other's end."""
        melting = self.row(hot).melting_c
        code = "window_still_solid" if melting is not None and melting.low > limit_c else "window_apart"
        return Reason.of(code, hot=hot, cool=cool, needs_c=needs_c, limit_c=limit_c)

    def _no_window(self, resin: ResinId) -> Reason:
        """Why a resin has no window: it must not be heated, or nobody knows."""
        return Reason.of("window_forbidden" if self.row(resin).onset_c else "window_unknown", resin=resin)

    def softens_from_c(self, resin: ResinId) -> float | None:
        """[degC] where the resin begins to soften without melting.

        A resin that is glassy at room temperature softens at its glass transition; one that is stiff because
        of its crystals softens some tens of kelvin under its melting range (`softening_margin_k`, our
        estimate). None where the table does not say.
        """
        melt = self.row(resin)
        if melt.glass_c is not None and melt.glass_c.typical > _ROOM_C:
            return melt.glass_c.typical
        return melt.melting_c.low - self.softening_margin_k.typical if melt.melting_c else None

    def state_at(self, resin: ResinId, temp_c: float) -> Reason:
        """What the resin does at a temperature [degC]: solid, softens, half melted, in window, too hot.

        PE-HD at 121 degC softens without melting; at 177 degC it lies inside its window.
        """
        window, melt = self.oven_window(resin), self.row(resin)
        if window is None:
            return self._no_window(resin)
        if temp_c > window.high_c:
            return Reason.of("heat_too_hot", resin=resin, temp_c=temp_c, limit_c=window.high_c)
        if temp_c >= window.low_c:
            return Reason.of(
                "heat_in_window", resin=resin, temp_c=temp_c, low_c=window.low_c, high_c=window.high_c
            )
        flows_c = melt.melting_c.low if melt.melting_c else window.low_c
        if temp_c >= flows_c:
            return Reason.of("heat_half_melted", resin=resin, temp_c=temp_c, low_c=window.low_c)
        softens_c = self.softens_from_c(resin)
        if softens_c is not None and temp_c >= softens_c:
            return Reason.of("heat_softens_only", resin=resin, temp_c=temp_c, melts_c=flows_c)
        return Reason.of("heat_solid", resin=resin, temp_c=temp_c, melts_c=flows_c)
