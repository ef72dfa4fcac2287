"""Numbers, letters and words: what a person may type, and what must come of it."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from intake.handbook import Handbook
from intake.table.identify.evidence import MarkHow
from intake.table.identify.mark_reading import MarkReading, judged_components
from intake.table.identify.marks import MAX_LENGTH, read_mark

BOOK = Handbook()
MARKS = BOOK.marks


def read(text: str, how: MarkHow = MarkHow.MOULDED) -> MarkReading:
    return read_mark(text, MARKS, how=how)


def codes(reading: MarkReading) -> set[str]:
    return {n.code for n in reading.notes}


@pytest.mark.parametrize(
    "text",
    [
        "2",
        "(2)",
        "#2",
        "02",
        "♴",
        "♴ HDPE",
        "2 HDPE",
        "HDPE 2",
        "2HDPE",
        "HDPE2",
        "2-HDPE",
        "2/HDPE",
        "hdpe",
        "PE-HD 2",
        "pe-hd",
        "PE - HD",
        "PEHD",
        "PEAD",
        "HD-PE",
        "ПНД",
        "ПЭНД",
        "2 ПНД",
        "高密度聚乙烯",
        "02 PEHD",
        "PE 2",
        "２",
        "ＨＤＰＥ",
        "  HDPE  ",
        ">PE-HD<",
        "＞PE–HD＜",
        "»PE-HD«",
        "<PE-HD>",
        "△2",
        "PE-HD2",
        "PE-HD02",
        "2 >PE-HD<",
        ">PE-HD< 2",
    ],
)
def test_every_usual_spelling_of_pe_hd_is_pe_hd(text: str) -> None:
    reading = read(text)
    assert reading.valid
    assert reading.kind == "plastic"
    assert [c.resin for c in reading.components] == ["PE-HD"]
    assert judged_components(reading, BOOK.resins) == ("PE-HD",)


@pytest.mark.parametrize(
    ("text", "resin"),
    [
        ("PETE", "PET"),
        ("PETP", "PET"),
        ("ПЭТФ", "PET"),
        ("V", "PVC"),
        ("VINYL", "PVC"),
        ("ПВХ", "PVC"),
        ("PEBD", "PE-LD"),
        ("ПВД", "PE-LD"),
        ("LLDPE", "PE-LLD"),
        ("HIPS", "PS-HI"),
        ("EPS", "PS-E"),
        ("AS", "SAN"),
        ("EVA", "EVAC"),
        ("NYLON", "PA"),
        ("PA 66", "PA66"),
        ("PA6", "PA6"),
        ("PPO", "PPE"),
        ("ПП", "PP"),
        ("BOPP", "PP"),
        ("聚丙烯", "PP"),
        ("OTHER", "other"),
        ("ALTRO", "other"),
        ("ДРУГОЕ", "other"),
        ("ASA", "ASA"),
        ("E/P", "E/P"),
    ],
)
def test_a_spelling_leads_to_its_term(text: str, resin: str) -> None:
    assert [c.resin for c in read(text).components] == [resin]


@pytest.mark.parametrize(("text", "resin"), [("ПС", "PS"), ("ПП", "PP"), ("ПНД", "PE-HD"), ("ПВД", "PE-LD")])
def test_cyrillic_is_looked_up_as_it_stands(text: str, resin: str) -> None:
    assert [c.resin for c in read(text).components] == [resin]


def test_latin_look_alikes_in_cyrillic_are_asked_about_not_read() -> None:
    reading = read("РЕТ")  # three Cyrillic letters
    assert not reading.valid
    assert "PET" in reading.nearest


@pytest.mark.parametrize(
    ("text", "judged"),
    [
        ("PE", {"PE-HD", "PE-LD", "PE-LLD"}),
        ("4", {"PE-LD", "PE-LLD"}),
        ("4 LDPE", {"PE-LD", "PE-LLD"}),
        ("4 LLDPE", {"PE-LLD"}),
        ("PE-LD4", {"PE-LD", "PE-LLD"}),
        ("PE-LD04", {"PE-LD", "PE-LLD"}),
        ("LDPE", {"PE-LD"}),
        ("MDPE", {"PE-LLD"}),
        ("6", {"PS", "PS-HI", "PS-E"}),
        ("PS", {"PS", "PS-HI", "PS-E"}),
        ("6 EPS", {"PS-E"}),
        ("1", {"PET"}),
        ("3", {"PVC"}),
        ("5", {"PP"}),
        (">PP-TD20<", {"PP"}),
        ("PP-R", {"PP"}),
        ("7", {"ABS", "SAN", "PC", "PMMA", "PA", "POM", "PLA", "other"}),
        ("O", {"ABS", "SAN", "PC", "PMMA", "PA", "POM", "PLA", "other"}),
        ("7 PC", {"PC"}),
        ("PA 7", {"PA"}),
        (">PA12<", {"PA"}),
        (">PVC-P(DBP)<", {"PVC"}),
        (">PC+ABS<", {"other"}),
        ("ASA", {"other"}),
        ("PE-X", {"other"}),
        ("1 PETG", {"other"}),
        ("PP,M,PET", {"other"}),
        ("C/LDPE 90", {"other"}),
        ("PAP 21", {"other"}),
        ("108", {"PS-HI"}),
        ("cap: PE / bottle: PET", set()),
        ("XYZ", set()),
        ("2 PP", set()),
        ("♻", set()),
    ],
)
def test_a_mark_allows_these_classes_of_the_posterior(text: str, judged: set[str]) -> None:
    assert set(judged_components(read(text), BOOK.resins)) == judged


def test_a_term_stays_valid_where_the_resin_table_has_no_row() -> None:
    component = read("ASA").components[0]
    assert (component.resin, component.listed) == ("ASA", "other")


@pytest.mark.parametrize(
    ("weaker", "stronger"),
    [
        ("2", "HDPE"),
        ("HDPE", "2 HDPE"),
        ("7", "7 PC"),
        ("V", "3 V"),
        ("9", "5"),
        ("O", "PP"),
        ("AS", "SAN"),
        ("41", "ALU 41"),
    ],
)
def test_less_said_is_less_trusted(weaker: str, stronger: str) -> None:
    assert 0 < read(weaker).trust < read(stronger).trust <= 1


@pytest.mark.parametrize("how", [MarkHow.PRINTED, MarkHow.STICKER, MarkHow.UNCLEAR])
def test_a_moulded_mark_is_trusted_most(how: MarkHow) -> None:
    assert read("2 HDPE", how).trust < read("2 HDPE").trust


def test_no_mark_is_trusted_like_a_proof() -> None:
    assert max(f.typical for f in MARKS.trust.values()) < 0.95
    # BR-MARKS: in some groups up to 40 % of the marks were wrong
    assert MARKS.trust["number"].low <= 0.6


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("5", "mark_number_alone"),
        ("9", "mark_long_number"),
        ("7", "mark_rest_class"),
        ("V", "mark_single_letter"),
        ("PS", "mark_letters_clash"),
        ("1", "mark_petg_in_one"),
        ("4", "mark_linear_too"),
        ("6", "mark_foam_and_solid"),
        ("EPS", "mark_foam"),
        ("PLA 92", "mark_number_clash"),
        ("12 PP", "mark_number_ignored"),
        ("R-PET", "mark_recycled"),
        ("BOPP", "mark_form"),
        ("PUR", "mark_no_remelt"),
        ("PVC", "mark_halogen"),
        ("PTFE", "mark_halogen"),
        ("ASA", "mark_rare"),
        ("PC/ABS", "mark_blend"),
        ("PP,M,PET", "mark_several"),
        ("cap: PE / bottle: PET", "mark_parts"),
        ("2 HDPE", "mark_no_proof"),
        ("compostable", "mark_claim_compost"),
        ("bio-based", "mark_claim_biobased"),
        ("♻", "mark_claim_loop"),
        ("プラ", "mark_claim_plastic"),
        ("33", "mark_number_kept"),
        ("150", "mark_number_unknown"),
        ("2 PP", "mark_disagree"),
        ("XYZ", "mark_unknown"),
        ("", "mark_empty"),
    ],
)
def test_what_follows_is_said(text: str, code: str) -> None:
    assert code in codes(read(text))


@pytest.mark.parametrize("text", ["2 PP", "PET 5", "40 PP", "HDPE 84", "7 PET", "1 ALU", "21 FE", "C/PAP 21"])
def test_number_and_letters_that_disagree_are_told_not_decided(text: str) -> None:
    reading = read(text)
    assert not reading.valid
    assert reading.components == ()
    assert len(reading.nearest) == 2
    assert "mark_disagree" in codes(reading)


@pytest.mark.parametrize(
    ("text", "near"), [("HDPP", "HDPE"), ("PEET", "PET"), ("HDEP", "HDPE"), ("POMM", "POM"), (">PPP<", "PP")]
)
def test_an_unknown_mark_gets_the_nearest_as_a_question(text: str, near: str) -> None:
    reading = read(text)
    assert not reading.valid
    assert reading.components == ()
    assert near in reading.nearest


@pytest.mark.parametrize(
    "text",
    [
        "8",
        "43",
        "57",
        "007 X",
        "1234",
        "9999999999",
        "A/B/S",
        "P",
        "M",
        "T20",
        "PP T20",
        "GF30",
        "PVC-PM",
        "PE-L",
        "PP-GF",
    ],
)
def test_what_no_list_confirms_is_not_read(text: str) -> None:
    assert not read(text).valid


def test_parts_keep_their_roles() -> None:
    reading = read("Cap: PE / Bottle: PET, label: PP")
    assert [(x.role, x.components[0].resin) for x in reading.layers] == [
        ("cap", "PE"),
        ("bottle", "PET"),
        ("label", "PP"),
    ]


@pytest.mark.parametrize(
    "text", ["", " ", "\t\n", "x" * (MAX_LENGTH + 1), "9" * 5000, "(" * 150, "\x00", "𝟚", ">" * 100]
)
def test_odd_texts_get_an_answer(text: str) -> None:
    reading = read(text)
    assert reading.trust == 0 or reading.valid


PIECES = st.sampled_from(
    [
        ">",
        "<",
        "(",
        ")",
        "+",
        "-",
        ",",
        "_",
        "/",
        " ",
        ":",
        "PP",
        "PA",
        "66",
        "GF",
        "30",
        "FR",
        "40",
        "REC",
        "MED",
        "AL",
        "PVC-P",
        "DBP",
        "7",
        "♴",
        "C",
        "PAP",
        "ПНД",
        "É",
        "*",
    ]
)


@given(st.text(max_size=40) | st.lists(PIECES, max_size=14).map("".join))
@settings(max_examples=400, deadline=None)
def test_reading_never_raises_and_is_never_half_sure(text: str) -> None:
    reading = read(text)
    assert 0 <= reading.trust <= 1
    assert (reading.trust > 0) == reading.valid
    assert reading.notes
    if reading.fault:
        assert not reading.valid
        assert 0 <= reading.fault.at <= len(text)
    if not reading.valid:
        assert reading.components == ()
        assert judged_components(reading, BOOK.resins) == ()
    assert set(judged_components(reading, BOOK.resins)) <= set(BOOK.resins.judged)


def _content(reading: MarkReading) -> tuple[object, ...]:
    return (reading.valid, reading.standard, reading.kind, reading.number, reading.layers, reading.trust)


@given(
    st.sampled_from(sorted({*MARKS.terms, *MARKS.aliases, *MARKS.not_plastic})),
    st.sampled_from(["lower", "title", "padded", "wide"]),
)
@settings(max_examples=150, deadline=None)
def test_case_space_and_width_do_not_matter(mark: str, change: str) -> None:
    wide = "".join(chr(ord(c) + 0xFEE0) if "!" <= c <= "~" else c for c in mark)
    changed = {"lower": mark.lower(), "title": mark.title(), "padded": f"  {mark} \n", "wide": wide}[change]
    assert _content(read(changed)) == _content(read(mark))


@given(st.sampled_from([r for r in MARKS.numbers if r.term and r.letters]), st.data())
@settings(max_examples=60, deadline=None)
def test_number_and_letters_may_stand_in_any_order(row: object, data: st.DataObject) -> None:
    letters = data.draw(st.sampled_from(row.letters))  # type: ignore[attr-defined]
    gap = data.draw(st.sampled_from(["", " ", "-", "  "]))
    number = row.number  # type: ignore[attr-defined]
    assert _content(read(f"{number}{gap}{letters}")) == _content(read(f"{letters}{gap}{number}"))
