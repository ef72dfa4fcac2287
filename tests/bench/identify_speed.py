"""How long a judgement takes, beside numpy doing the same sum: `python tests/bench/identify_speed.py`.

Medians in milliseconds on this machine, and ratios. "new readings" gives every call a bath and a density that were
never seen before, so that nothing kept from earlier calls helps; "standing baths" is a table at work.
"""

import statistics
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from intake.handbook import Handbook
from intake.table.identify.density_tests import seen_density, seen_float
from intake.table.identify.evidence import Cue, Density, FloatTest, Mark, Outcome
from intake.table.identify.likelihood import mark_log_likelihood, mark_says
from intake.table.identify.next_test import next_tests
from intake.table.identify.posterior import judge, log_prior

LOOKS = {
    "transparency": "opaque", "stiffness": "semi_flexible", "crease": "no_mark", "feel": "waxy_slippery",
    "nail_scratch": "faint_mark", "sound": "dull_thud", "forming_mark": "pinch_seam",
}  # fmt: skip
BATHS = ((0.998, Outcome.FLOATS), (0.925, Outcome.SINKS), (1.08, Outcome.FLOATS))


def twelve(shift=0.0):
    """One mark, three baths, a weighing, seven looks; `shift` [g/cm3] makes the readings new ones."""
    return [
        Mark(text="2 HDPE"),
        *(FloatTest(bath=f"{b}", bath_g_cm3=b + shift, outcome=o) for b, o in BATHS),
        Density(density_g_cm3=0.955 + shift, sd_g_cm3=0.004),
        *(Cue(name=n, value=v) for n, v in LOOKS.items()),
    ]


def median_ms(call, times):
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        taken.append(time.perf_counter() - start)
    return 1000 * statistics.median(taken)


def numpy_posterior(kind, evidence, tables):
    """The same posterior on arrays made ready before, as one expression; returns a call and its answer."""
    ladder, cues = tables.ladder, tables.cues
    shares, prior = np.array(ladder.shares), np.array(log_prior(kind, tables))
    said = mark_says(evidence[0], tables)
    mark = np.array(mark_log_likelihood(said.named, said.trust, tables))
    groups = {}
    for cue in evidence[5:]:
        groups.setdefault(cues.cues[cue.name].group, []).append(cues.cues[cue.name].logs[cue.value])
    weights = [(1.0 if len(g) == 1 else cues.within_group) for g in groups.values() for _ in g]
    looks = np.array([row for g in groups.values() for row in g]) * np.array(weights)[:, None]
    along = []
    for e in evidence[1:5]:
        r = (
            seen_float(e, ladder, cues.float_errors)
            if isinstance(e, FloatTest)
            else seen_density(e, ladder, cues.gross_error)
        )
        row = np.full(len(ladder.middles), r.over)
        row[: r.start], row[r.start : r.stop] = r.under, r.values
        along.append(row)
    along = np.array(along)
    return lambda: (
        (p := np.exp((x := prior + mark + looks.sum(0) + np.log(shares @ along.prod(0))) - x.max())) / p.sum()
    )


def main():
    book = Handbook()
    tables, kind = book.identify, book.kinds.get("detergent bottle")
    evidence = twelve()
    ours = judge(kind, evidence, tables)
    line = numpy_posterior(kind, evidence, tables)
    gap = np.abs(line() - np.array(list(ours.probabilities.values()))).max()
    fresh = iter([twelve(k * 1e-7) for k in range(1, 1001)])
    standing = median_ms(lambda: judge(kind, evidence, tables), 2000)
    new = median_ms(lambda: judge(kind, next(fresh), tables), 1000)
    array = median_ms(line, 2000)
    whole = frozenset(tables.cues.kit)
    rank = median_ms(lambda: next_tests(kind, evidence[:3], tables, kit=whole), 200)
    print(f"12 pieces, largest difference from numpy        {gap:.1e}")
    print(
        f"posterior of 12 pieces, standing baths           {standing:.3f} ms   goal 0.3   {standing / 0.3:.2f}"
    )
    print(f"posterior of 12 pieces, new readings each time   {new:.3f} ms   goal 0.3   {new / 0.3:.2f}")
    print(
        f"numpy, the sum alone on arrays made ready        {array:.3f} ms   ours / numpy {standing / array:.1f}"
    )
    print("  (ours also reads the mark, explains every piece, looks for conflicts and for filler)")
    print(
        f"ranking all next tests, whole kit                {rank:.2f} ms    goal 20    {rank / 20:.2f} of it"
    )


if __name__ == "__main__":
    main()
