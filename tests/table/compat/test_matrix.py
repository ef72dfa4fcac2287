"""The rule table: families, wildcards, forms, and what it refuses to be."""

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from intake.errors import HandbookGap, UnknownName
from intake.handbook import Handbook
from intake.handbook.locate import resources
from intake.table.compat.decision import Verdict
from intake.table.compat.matrix import ANY, Matrix
from intake.table.compat.rules import Form, PairRule, Rating
from intake.table.resins import OTHER, Reason, ResinId
from intake.words import catalogue

BOOK = Handbook()
MATRIX, RESINS = BOOK.matrix, BOOK.resins
WORDS = catalogue(resources() / "words")
ALL = sorted(RESINS.rows)
resin_ids = st.sampled_from(ALL)
forms = st.sampled_from(list(Form))


def rule(host: str, guest: str, host_form: Form | None = None, guest_form: Form | None = None) -> PairRule:
    return MATRIX.rule(ResinId(host), ResinId(guest), host_form=host_form, guest_form=guest_form)


def row(host: str, guest: str, rating: Rating = Rating.POOR, share: float = 0.0) -> PairRule:
    return PairRule(
        host=ResinId(host), guest=ResinId(guest), rating=rating, tolerated_share=share,
        reasons=(Reason.of("pair_weak_droplets"),),
    )  # fmt: skip


def with_rows(*rows: PairRule) -> Matrix:
    return replace(MATRIX, pairs={**MATRIX.pairs, **{(r.host, r.guest): r for r in rows}})


def test_the_table_speaks_of_at_least_sixteen_resins_in_both_roles() -> None:
    hosts = {h for h, _ in MATRIX.pairs} & set(RESINS.rows)
    guests = {g for _, g in MATRIX.pairs} & set(RESINS.rows)
    assert len(hosts) >= 16
    assert len(guests) >= 16


@pytest.mark.parametrize("resin", [r for r in ALL if r not in ("PVC", "PVC-U", "PVC-P", "PE-X", "other")])
def test_a_resin_is_the_same_as_itself(resin: str) -> None:
    assert rule(resin, resin).rating is Rating.SAME
    assert rule(resin, resin).tolerated_share == 1.0


@pytest.mark.parametrize("host", ALL)
@pytest.mark.parametrize("pvc", ["PVC", "PVC-U", "PVC-P"])
def test_pvc_in_anything_is_a_hazard_without_tolerance(host: str, pvc: str) -> None:
    found = rule(host, pvc)
    assert (found.rating, found.tolerated_share) == (Rating.HAZARD, 0.0)
    assert "hydrogen-chloride" in found.hazards


@pytest.mark.parametrize("guest", ["PE-HD", "ABS", "SAN", "PMMA", "EVAC", "PET", "TPU", "other"])
def test_nothing_is_melted_into_pvc(guest: str) -> None:
    assert rule("PVC", guest).rating is Rating.HAZARD


@pytest.mark.parametrize(
    ("kind", "family"), [("PVC-P", "PVC"), ("PE-MD", "PE-LLD"), ("PA66", "PA"), ("PS-E", "PS")]
)
@pytest.mark.parametrize("host", ["PE-HD", "PP", "PET"])
def test_a_kind_takes_the_rule_of_its_family(kind: str, family: str, host: str) -> None:
    narrow, wide = rule(host, kind), rule(host, family)
    assert (narrow.rating, narrow.tolerated_share) == (wide.rating, wide.tolerated_share)
    assert narrow.guest == kind
    assert all(("guest", kind) in r.values for r in narrow.reasons)


def test_two_kinds_of_one_family_can_still_be_apart() -> None:
    assert rule("PA6", "PA66").rating is Rating.POOR
    assert rule("PA66", "PA6").rating is Rating.LIMITED


@pytest.mark.parametrize("host", [r for r in ALL if r not in ("PVC", "PVC-U", "PVC-P", "other")])
def test_cross_linked_plastic_melts_into_nothing(host: str) -> None:
    found = rule(host, "PE-X")
    assert found.tolerated_share == 0.0
    assert found.reasons[0].code == "pair_cross_linked"


def test_petg_under_code_1_is_told_beside_pet() -> None:
    assert "pair_petg_marked_1" in [r.code for r in rule("PET", "PETG").reasons]


@pytest.mark.parametrize(
    ("host", "guest"), [("TPU", "PP"), ("PE-HD", "TPU"), ("PP", "EVOH"), ("other", "PP")]
)
def test_where_the_table_is_silent_the_pair_is_held_apart(host: str, guest: str) -> None:
    found = rule(host, guest)
    assert found.silent
    assert found.tolerated_share == 0.0
    assert found.why
    assert found.verdict_at(0.01) is Verdict.HOLD


def test_two_unknown_materials_are_not_the_same_material() -> None:
    assert rule("other", "other").rating is Rating.POOR


@pytest.mark.parametrize(
    ("share", "verdict"),
    [(0.0, Verdict.ACCEPT), (0.05, Verdict.ACCEPT), (0.0501, Verdict.REFUSE), (1.0, Verdict.REFUSE)],
)
def test_a_share_is_accepted_up_to_the_tolerated_one(share: float, verdict: Verdict) -> None:
    assert rule("PE-HD", "PP").verdict_at(share) is verdict


@pytest.mark.parametrize("name", ["PPX", "", "  ", "H-D-P-E", "17"])
def test_an_unknown_resin_is_refused_with_names(name: str) -> None:
    with pytest.raises(UnknownName, match="nearest known"):
        rule("PE-HD", name)


@pytest.mark.parametrize("name", ["pe-hd", "Pe-Hd", " PE-HD "])
def test_ids_are_matched_without_case(name: str) -> None:
    assert rule(name, "PP") == rule("PE-HD", "PP")


# --- forms -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("resin", "host_form", "guest_form", "code"),
    [
        ("PE-HD", Form.BLOW, Form.INJECTION, "grade_flow_differs"),
        ("PE-HD", Form.INJECTION, Form.BLOW, "grade_flow_differs"),
        ("PP", Form.INJECTION, Form.BLOW, "grade_flow_differs"),
        ("PE-HD", Form.BLOW, Form.FILLED, "grade_filled"),
        ("PP", Form.FILM, Form.FILLED, "grade_filled"),
        ("PS", Form.INJECTION, Form.FOAMED, "pair_foamed"),
        ("PE-LD", Form.FILM, Form.CROSS_LINKED, "pair_cross_linked"),
        ("PE-HD", Form.CROSS_LINKED, Form.CROSS_LINKED, "pair_cross_linked"),
    ],
)
def test_two_forms_of_one_resin_are_told_apart(
    resin: str, host_form: Form, guest_form: Form, code: str
) -> None:
    found = rule(resin, resin, host_form, guest_form)
    assert found.reasons[0].code == code
    assert found.rating.badness > Rating.GOOD.badness


@pytest.mark.parametrize("form", [f for f in Form if f is not Form.CROSS_LINKED])
def test_the_same_form_of_the_same_resin_stays_the_same(form: Form) -> None:
    assert rule("PE-HD", "PE-HD", form, form).rating is Rating.SAME


@given(host=resin_ids, guest=resin_ids, host_form=forms, guest_form=forms)
def test_knowing_the_forms_never_loosens_a_rule(
    host: str, guest: str, host_form: Form, guest_form: Form
) -> None:
    plain, formed = rule(host, guest), rule(host, guest, host_form, guest_form)
    assert formed.rating.badness >= plain.rating.badness
    assert formed.tolerated_share <= plain.tolerated_share


# --- the table as a whole --------------------------------------------------------------------------------------


@given(host=resin_ids, guest=resin_ids)
def test_every_pair_has_a_rule_with_a_reason_and_a_share(host: str, guest: str) -> None:
    found = rule(host, guest)
    assert found.reasons
    assert 0.0 <= found.tolerated_share <= 1.0
    assert (found.host, found.guest) == (host, guest)
    assert found.rating is not Rating.HAZARD or found.tolerated_share == 0.0


@given(host=resin_ids, guest=resin_ids, small=st.floats(0, 1), more=st.floats(0, 1))
def test_a_larger_share_is_never_judged_milder(host: str, guest: str, small: float, more: float) -> None:
    low, high = sorted((small, more))
    found = rule(host, guest)
    assert found.verdict_at(high) is not Verdict.ACCEPT or found.verdict_at(low) is Verdict.ACCEPT


def test_a_hazard_in_one_direction_is_at_least_kept_apart_in_the_other() -> None:
    mild = [
        (h, g)
        for h, g in product(ALL, ALL)
        if rule(h, g).rating is Rating.HAZARD and rule(g, h).rating.melts_together
    ]
    assert not mild


@pytest.mark.parametrize("host", ["PE-HD", "PP", "PS", "PET", "ABS"])
def test_partners_and_hazards_of_a_host_never_meet(host: str) -> None:
    partners, hazards = MATRIX.partners(ResinId(host)), MATRIX.hazards(ResinId(host))
    assert ResinId(host) in partners
    assert ResinId("PVC") in hazards
    assert OTHER not in partners
    assert not set(partners) & set(hazards)


@pytest.mark.parametrize(
    ("bad", "said"),
    [
        pytest.param(row("PE-HD", "unobtainium"), "no resin of resins.toml", id="unknown resin"),
        pytest.param(row("PE-HD", "PVC", Rating.POOR), "PVC is a hazard in anything", id="PVC not a hazard"),
        pytest.param(row("PE-HD", "PP", Rating.LIMITED, 1.5), "not within 0 to 1", id="no share"),
        pytest.param(row("PE-HD", "PP", Rating.LIMITED, -0.1), "not within 0 to 1", id="negative share"),
        pytest.param(row("PE-HD", "PP", Rating.LIMITED, float("nan")), "not within 0 to 1", id="no number"),
        pytest.param(
            row("PE-HD", "POM", Rating.HAZARD, 0.01), "a hazard has tolerance 0", id="tolerated hazard"
        ),
        pytest.param(
            row("PE-HD", "TPU", Rating.LIMITED, 0.05), "PE-HD in TPU is not", id="one direction only"
        ),
    ],
)
def test_an_unsafe_table_is_refused(bad: PairRule, said: str) -> None:
    with pytest.raises(HandbookGap, match=said):
        with_rows(bad)


def test_a_closer_row_wins_over_a_wildcard() -> None:
    assert MATRIX.pairs[ANY, ResinId("PVC")].reasons[0].code == "pair_acid_breakdown"
    assert rule("POM", "PVC").reasons[0].code == "pair_acetal_acid"
    assert rule("TPU", "PVC").reasons[0].code == "pair_acid_breakdown"


def test_every_place_of_a_pair_sentence_is_filled() -> None:
    everything = (*ALL, *MATRIX.materials)
    said = {WORDS.reason(r) for h, g in product(everything, everything) for r in rule(h, g).reasons}
    formed = {
        WORDS.reason(r)
        for resin, a, b in product(("PE-HD", "PP", "PS"), Form, Form)
        for r in rule(resin, resin, a, b).reasons
    }
    assert not [s for s in said | formed if "{" in s or s.startswith("reason.")]


def test_every_fact_and_every_hazard_has_words() -> None:
    published = [p for r in MATRIX.pairs.values() for p in r.published]
    published += [p for g in MATRIX.grades for p in g.published]
    keys = {f"fact.{p.fact}" for p in published}
    keys |= {f"hazard.{h}" for r in MATRIX.pairs.values() for h in r.hazards}
    keys |= {f"hazard.{f}" for row in BOOK.melts.rows.values() for f in row.fumes}
    assert not keys - set(WORDS.texts)
    assert {k for k in WORDS.texts if k.startswith(("fact.", "hazard."))} == keys


@pytest.mark.parametrize("rating", list(Rating))
def test_every_rating_has_words(rating: Rating) -> None:
    assert f"rating.{rating}" in WORDS.texts
