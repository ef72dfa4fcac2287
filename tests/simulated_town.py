"""Made-up towns: what items really weigh there and give as shred, by formulas typed apart from the house's own."""

import math

from intake.table.item import Adhesive, Closure, Item, Label, LabelOff, Residue, Weighing

NAMES = ("jug", "milk-bottle-2l", "milk-bottle-1l", "jerrycan", "detergent-bottle", "detergent-bottle-3l",
         "dish-soap-bottle", "shampoo-bottle", "oil-bottle", "pail")  # fmt: skip
"""Kinds that are common in such a town."""


def three(figure):
    """Mean and sd of a range by 30-40-30, typed again."""
    points, weights = (figure.low, figure.typical, figure.high), (0.3, 0.4, 0.3)
    mean = sum(w * p for w, p in zip(weights, points, strict=True))
    return mean, math.sqrt(sum(w * (p - mean) ** 2 for w, p in zip(weights, points, strict=True)))


class Truth:
    """One made-up town: what its items really weigh, drawn once per campaign, by its own formulas."""

    def __init__(self, handbook, chance, skewed):
        self.book, self.chance, self.skewed = handbook, chance, skewed
        self.known = {}

    def draw(self, mean, sd):
        if sd == 0.0:
            return mean
        if self.skewed:
            return float(self.chance.gamma((mean / sd) ** 2, sd**2 / mean))
        return float(self.chance.normal(mean, sd))

    def shared(self, name, figure):
        if name not in self.known:
            self.known[name] = self.draw(*three(figure))
        return self.known[name]

    def body(self, kind, count):
        """Half of the variance is the row's own, 0.15 the town's, alike for all kinds, the rest the kind's."""
        mean, sd = three(kind.body_g)
        part = sd * math.sqrt(0.5)
        if kind.id not in self.known:
            if "town" not in self.known:
                self.known["town"] = float(self.chance.normal())
            own = self.draw(mean, sd * math.sqrt(0.35))
            self.known[kind.id] = own + sd * math.sqrt(0.15) * self.known["town"]
        return count * (self.known[kind.id] + self.draw(mean, part) - mean)

    def item(self, kind):
        """A row as a collector enters it, and its true shred."""
        chance, losses = self.chance, self.book.losses
        count = int(chance.integers(1, 9))
        weighed = (None, Weighing.AS_RECEIVED, Weighing.PREPARED)[chance.integers(3)]
        closure = (Closure.ON, Closure.OFF)[chance.integers(2)]
        residue = (Residue.CLEAN, Residue.RINSED, Residue.RINSED, Residue.EDIBLE_OIL, Residue.FOOD)[
            chance.integers(5)
        ]
        adhesive = (Adhesive.NONE, Adhesive.RESIDUE)[chance.integers(2)]
        label = Label(kind.label)
        label_off = (LabelOff.YES, LabelOff.NO)[chance.integers(2)]
        body = self.body(kind, count)
        resolution = float((1.0, 5.0)[chance.integers(2)])
        item = Item(
            kind=kind, count=count, closure=closure, residue=residue, adhesive=adhesive, label=label,
            label_off=label_off, resolution_g=resolution,
        )  # fmt: skip
        if weighed is None:
            return item, body
        gone = label_off is LabelOff.YES
        on = body * (1 + (0.0 if gone else self.shared(f"{kind.id} label", kind.label_share)))
        on += body * (
            self.shared("glue", losses.adhesive[adhesive]) if adhesive is not Adhesive.NONE else 0.0
        )
        if closure is Closure.ON:
            on += count * self.shared(f"{kind.id} closure", kind.closure_g)
        on /= 1 - self.shared("moisture", losses.moisture)
        if weighed is Weighing.AS_RECEIVED:
            row = losses.residue_row(item)
            on /= 1 - self.shared(row, losses.residue[row])
        reading = max(round(on / resolution), 1) * resolution
        return Item(
            **{f: getattr(item, f) for f in Item.__slots__} | {"weighed": weighed, "gross_g": reading}
        ), body

    def kept(self):
        losses = self.book.losses
        return (1 - self.shared("wash", losses.wash_and_handling)) * (
            1 - self.shared("fines", losses.fines["granulator"])
        )

    def still_on(self, item, body):
        """What of a row goes into the shredder beside its clean bodies, by what the sheet says of it."""
        losses, prepared = self.book.losses, item.weighed is Weighing.PREPARED
        label, closure, glue = self._label(item, body), self._closures(item), self._glue(item, body)
        on_now = label * (item.label_off is LabelOff.NO) + closure * (item.closure is Closure.ON)
        dry = body + glue + (label + closure if item.weighed is None else on_now)
        came = dry / (1 - self.shared("moisture", losses.moisture)) + prepared * (label + closure - on_now)
        row = losses.residue_row(item)
        share = self.shared(row, losses.residue[row])
        left = {k: self.shared(f"left {k}", f) for k, f in losses.left_after_cleaning.items()}
        stays = came * share / (1 - share) * left["residue"]
        return stays + (glue + on_now if prepared else glue * left["adhesive"])

    def _label(self, item, body):
        return body * self.shared(f"{item.kind.id} label", item.kind.label_share)

    def _closures(self, item):
        return item.count * self.shared(f"{item.kind.id} closure", item.kind.closure_g)

    def _glue(self, item, body):
        none = item.adhesive is Adhesive.NONE
        return 0.0 if none else body * self.shared("glue", self.book.losses.adhesive[item.adhesive])

    def weighed(self, pairs, resolution=1.0):
        """A bin's shred on the scale: what was in it, what the shredder kept, and one run against the next."""
        inside = sum(body + self.still_on(item, body) for item, body in pairs)
        run = self.book.losses.run_to_run.typical
        shred = inside * self.kept() * float(self.chance.normal(1.0, run))
        return max(round(shred / resolution), 1) * resolution
