"""Marks against the standards: every number, example mark and filled density typed again from outside."""

import pytest

from intake.handbook import Handbook
from intake.table.identify.mark_reading import MarkReading
from intake.table.identify.marks import read_mark

MARKS = Handbook().marks


def read(text: str) -> MarkReading:
    return read_mark(text, MARKS)


D7611 = [
    (1, "PETE", "PET"),
    (2, "HDPE", "PE-HD"),
    (3, "V", "PVC"),
    (4, "LDPE", "PE-LD"),
    (5, "PP", "PP"),
    (6, "PS", "PS"),
    (7, "OTHER", "other"),
]


@pytest.mark.parametrize(
    ("number", "letters", "resin"),
    [pytest.param(*row, id=f"ASTM D7611 table 1, code {row[0]}") for row in D7611],
)
@pytest.mark.parametrize("form", ["{n}", "{n} {a}", "{a} {n}", "{symbol}", "{symbol} {a}"])
def test_a_resin_code_names_its_resin(number: int, letters: str, resin: str, form: str) -> None:
    reading = read(form.format(n=number, a=letters, symbol=chr(0x2672 + number)))
    assert (reading.valid, reading.standard, reading.kind) == (True, "ASTM D7611", "plastic")
    assert [c.resin for c in reading.components] == [resin]
    assert reading.number == number


@pytest.mark.parametrize(
    ("symbol", "number"),
    [pytest.param(c, n, id=f"Unicode U+{ord(c):04X}, type-{n} plastics") for n, c in enumerate("♳♴♵♶♷♸♹", 1)],
)
def test_a_unicode_triangle_is_its_number(symbol: str, number: int) -> None:
    assert read(symbol).number == number


EU_OTHER = [
    (20, "PAP", "corrugated fibreboard", "II"),
    (21, "PAP", "non-corrugated fibreboard", "II"),
    (22, "PAP", "paper", "II"),
    (40, "FE", "steel", "III"),
    (41, "ALU", "aluminium", "III"),
    (50, "FOR", "wood", "IV"),
    (51, "FOR", "cork", "IV"),
    (60, "TEX", "cotton", "V"),
    (61, "TEX", "jute", "V"),
    (70, "GL", "colourless glass", "VI"),
    (71, "GL", "green glass", "VI"),
    (72, "GL", "brown glass", "VI"),
]


@pytest.mark.parametrize(
    ("number", "letters", "material"),
    [pytest.param(n, a, m, id=f"97/129/EC annex {x}, {n}") for n, a, m, x in EU_OTHER],
)
@pytest.mark.parametrize("form", ["{n}", "{n} {a}", "{a} {n}", "{a}{n}"])
def test_a_european_number_says_what_is_no_plastic(
    number: int, letters: str, material: str, form: str
) -> None:
    reading = read(form.format(n=number, a=letters))
    assert (reading.valid, reading.standard, reading.kind) == (True, "97/129/EC", "not-plastic")
    assert [x.material for x in reading.layers] == [material]
    assert reading.components == ()


COMPOSITES = [
    (80, ("paper", "metals")),
    (81, ("paper", "plastic")),
    (82, ("paper", "aluminium")),
    (83, ("paper", "tinplate")),
    (84, ("paper", "plastic", "aluminium")),
    (85, ("paper", "plastic", "aluminium", "tinplate")),
    (90, ("plastic", "aluminium")),
    (91, ("plastic", "tinplate")),
    (92, ("plastic", "metals")),
    (95, ("glass", "plastic")),
    (96, ("glass", "aluminium")),
    (97, ("glass", "tinplate")),
    (98, ("glass", "metals")),
]


@pytest.mark.parametrize(
    ("number", "parts"), [pytest.param(n, p, id=f"97/129/EC annex VII, {n}") for n, p in COMPOSITES]
)
@pytest.mark.parametrize("form", ["{n}", "C/PAP {n}", "{n} C/LDPE"])
def test_a_composite_is_a_bonded_mixture(number: int, parts: tuple[str, ...], form: str) -> None:
    reading = read(form.format(n=number))
    assert (reading.valid, reading.standard, reading.kind) == (True, "97/129/EC", "not-plastic")
    assert all(p in reading.layers[0].material for p in parts)
    assert "mark_composite" in {n.code for n in reading.notes}


@pytest.mark.parametrize(
    "number",
    [
        pytest.param(n, id=f"97/129/EC, {n} not assigned, from memory")
        for n in (8, 19, 23, 39, 42, 49, 59, 62, 73, 86, 94, 99)
    ],
)
def test_a_number_nobody_gave_away_is_not_decoded(number: int) -> None:
    assert not read(str(number)).valid


@pytest.mark.parametrize(
    ("text", "resin"),
    [
        pytest.param("01", "PET", id="GB/T 16288, 01, shopping bag standard"),
        pytest.param("02", "PE-HD", id="GB/T 16288, 02, shopping bag standard"),
        pytest.param("05 PP", "PP", id="GB/T 16288, 05"),
        pytest.param("09", "ABS", id="GB/T 16288, 9"),
        pytest.param("9 ABS", "ABS", id="GB/T 16288, 9 with letters"),
        pytest.param("58", "PC", id="GB/T 16288, 58"),
        pytest.param("PC 58", "PC", id="GB/T 16288, 58 with letters"),
        pytest.param("92 PLA", "PLA", id="GB/T 16288, 92 with letters"),
        pytest.param("108 PS-HI", "PS-HI", id="GB/T 16288, 108 with letters"),
    ],
)
def test_a_chinese_number_names_its_resin(text: str, resin: str) -> None:
    reading = read(text)
    assert (reading.standard, [c.resin for c in reading.components]) == ("GB/T 16288", [resin])


ISO = "ISO 11469"
EXAMPLES = [
    (">ABS<", "5.2 single", ["ABS"], [], None, [], None),
    (">PP<", "single", ["PP"], [], None, [], None),
    (">PE-HD<", "ISO 1043-1 characteristic", ["PE-HD"], [], None, [], None),
    (">PS-HI<", "ISO 1043-1 characteristic", ["PS-HI"], [], None, [], None),
    (">PC+ABS<", "blend", ["PC", "ABS"], [], None, [], None),
    (">ABS+PC<", "blend, order kept", ["ABS", "PC"], [], None, [], None),
    (">PPE+PS-HI<", "blend", ["PPE", "PS-HI"], [], None, [], None),
    (">PBT+ASA<", "blend", ["PBT", "ASA"], [], None, [], None),
    (">PP-MD30<", "one filler", ["PP"], [("MD", "mineral", 30)], None, [], None),
    (">PP-TD20<", "one filler", ["PP"], [("TD", "talc", 20)], None, [], None),
    (">PE-HD-KD20<", "one filler", ["PE-HD"], [("KD", "calcium carbonate", 20)], None, [], None),
    (">PS-HI-GF20<", "one filler", ["PS-HI"], [("GF", "glass", 20)], None, [], None),
    (
        ">PA66-(GF25+MD15)<",
        "two fillers",
        ["PA66"],
        [("GF", "glass", 25), ("MD", "mineral", 15)],
        None,
        [],
        None,
    ),
    (">PP-(GF25+MD15)<", "two fillers", ["PP"], [("GF", "glass", 25), ("MD", "mineral", 15)], None, [], None),
    (">PA6-MED(Al)10<", "ISO 1043-2 metal", ["PA6"], [("MED", "metal", 10)], None, [], None),
    (">PA6-GB30<", "ISO 1043-2 beads", ["PA6"], [("GB", "glass", 30)], None, [], None),
    (">PVC-P<", "plasticized", ["PVC-P"], [], None, [], None),
    (">PVC-P(DBP)<", "plasticizer", ["PVC-P"], [], "DBP", [], None),
    (">PVC-P(DINP+DOA)<", "two plasticizers", ["PVC-P"], [], "DINP+DOA", [], None),
    (">PVC-U<", "ISO 1043-1 characteristic", ["PVC-U"], [], None, [], None),
    (">ABS-FR(40)<", "flame retardant", ["ABS"], [], None, [40], None),
    (">PC+ABS-FR(40)<", "flame retardant", ["PC", "ABS"], [], None, [40], None),
    (">ABS-FR(17+62)<", "two flame retardants", ["ABS"], [], None, [17, 62], None),
    (">PA66-GF25-FR(17)<", "filler and flame retardant", ["PA66"], [("GF", "glass", 25)], None, [17], None),
    (
        ">PA66-(GF25+MD15)-FR(52)<",
        "fillers and flame retardant",
        ["PA66"],
        [("GF", "glass", 25), ("MD", "mineral", 15)],
        None,
        [52],
        None,
    ),
    (">PP(REC30)<", "recyclate", ["PP"], [], None, [], 30),
    (">ABS(REC30)<", "recyclate", ["ABS"], [], None, [], 30),
    (">ABS(REC)<", "recyclate, share not told", ["ABS"], [], None, [], None),
    (">PC+ABS(REC30)<", "recyclate in a blend", ["PC", "ABS"], [], None, [], 30),
    (">PP-GF30(REC50)<", "filler and recyclate", ["PP"], [("GF", "glass", 30)], None, [], 50),
    (">PE-X<", "cross-linked", ["PE-X"], [], None, [], None),
    (">PUR<", "thermoset", ["PUR"], [], None, [], None),
    (">PS-E<", "expanded", ["PS-E"], [], None, [], None),
    (">POM<", "single", ["POM"], [], None, [], None),
    (">TPV<", "ISO 18064 term", ["TPV"], [], None, [], None),
    (">PVC-U,PUR,ABS<", "three materials", ["PVC-U", "PUR", "ABS"], [], None, [], None),
    (">PE-HD,PET<", "two materials", ["PE-HD", "PET"], [], None, [], None),
]


@pytest.mark.parametrize(
    ("text", "polymers", "fillers", "plasticizer", "flame", "recycled"),
    [pytest.param(t, *rest, id=f"{ISO} {what}, from memory: {t}") for t, what, *rest in EXAMPLES],
)
def test_an_example_mark_of_the_standard_reads_as_it_says(
    text: str,
    polymers: list[str],
    fillers: list[tuple[str, str, int]],
    plasticizer: str | None,
    flame: list[int],
    recycled: float | None,
) -> None:
    reading = read(text)
    assert (reading.valid, reading.standard, reading.kind) == (True, ISO, "plastic")
    assert [c.resin for c in reading.components] == polymers
    assert [(f.symbol, f.material, f.percent) for f in reading.fillers] == fillers
    assert reading.plasticizer == plasticizer
    assert list(reading.flame_retardant) == flame
    assert reading.recycled_percent == recycled
    assert "mark_spelled_oddly" not in {n.code for n in reading.notes}


@pytest.mark.parametrize(
    ("text", "polymers", "principal"),
    [
        pytest.param(">_PE_,EVAC<", ["PE", "EVAC"], 0, id="Japanese packaging example PE,EVAC"),
        pytest.param(
            ">_PET_,PA,EVAC<", ["PET", "PA", "EVAC"], 0, id="Japanese packaging example PET,PA,EVAC"
        ),
        pytest.param(">_PP_,EVOH<", ["PP", "EVOH"], 0, id="Japanese packaging example PP,EVOH"),
        pytest.param(
            ">_PE_,PET,PVDC,PA<",
            ["PE", "PET", "PVDC", "PA"],
            0,
            id="Japanese packaging example PE,PET,PVDC,PA",
        ),
        pytest.param(
            ">PVC-U,_PUR_,ABS<", ["PVC-U", "PUR", "ABS"], 1, id="ISO 11469 underlined part, from memory"
        ),
        pytest.param(">PE-HD,PET<", ["PE-HD", "PET"], None, id="no underline, no principal"),
    ],
)
def test_the_underlined_material_is_the_principal(
    text: str, polymers: list[str], principal: int | None
) -> None:
    reading = read(text)
    assert [c.resin for c in reading.components] == polymers
    assert next((i for i, x in enumerate(reading.layers) if x.principal), None) == principal


@pytest.mark.parametrize("text", ["PP,M,PET", "PP,T", "EVAC,P,PET"])
def test_japanese_letters_for_metal_paper_and_talc_are_layers(text: str) -> None:
    reading = read(text)
    assert reading.valid
    assert sum(bool(x.material) for x in reading.layers) == 1


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        pytest.param(">PP-TD20<", 1.03, 1.06, id="PP-TD20 1.04-1.05 g/cm3, usual data sheets, from memory"),
        pytest.param(">PP-TD40<", 1.21, 1.26, id="PP-TD40 1.22-1.25 g/cm3, usual data sheets, from memory"),
        pytest.param(">PP-GF30<", 1.11, 1.15, id="PP-GF30 1.12-1.14 g/cm3, usual data sheets, from memory"),
        pytest.param(">PA6-GF30<", 1.34, 1.38, id="PA6-GF30 1.36 g/cm3, usual data sheets, from memory"),
        pytest.param(
            ">PA66-GF30<", 1.34, 1.39, id="PA66-GF30 1.36-1.37 g/cm3, usual data sheets, from memory"
        ),
        pytest.param(">PBT-GF30<", 1.51, 1.56, id="PBT-GF30 1.52-1.55 g/cm3, usual data sheets, from memory"),
        pytest.param(">PC-GF20<", 1.32, 1.37, id="PC-GF20 1.33-1.35 g/cm3, usual data sheets, from memory"),
        pytest.param(">POM-GF25<", 1.55, 1.61, id="POM-GF25 1.58 g/cm3, usual data sheets, from memory"),
        pytest.param(">ABS-GF20<", 1.17, 1.21, id="ABS-GF20 1.18-1.20 g/cm3, usual data sheets, from memory"),
    ],
)
def test_a_filled_density_is_what_data_sheets_say(text: str, low: float, high: float) -> None:
    density_g_cm3 = read(text).density_g_cm3
    assert density_g_cm3 is not None
    assert low <= density_g_cm3 <= high


@pytest.mark.parametrize(
    ("code", "halogen"),
    [
        pytest.param(c, True, id=f"ISO 1043-4, {c}: 10-29 are the halogen families")
        for c in (10, 14, 15, 17, 23, 24)
    ]
    + [
        pytest.param(c, h, id=f"ISO 1043-4, {c}, from memory")
        for c, h in (
            (30, False),
            (40, False),
            (41, True),
            (42, True),
            (52, False),
            (60, False),
            (72, False),
            (75, False),
            (80, False),
        )
    ],
)
def test_halogen_flame_retardants_are_known_by_code(code: int, halogen: bool) -> None:
    notes = {n.code for n in read(f">ABS-FR({code})<").notes}
    assert ("mark_flame_halogen" in notes) == halogen


def test_every_code_of_the_halogen_range_is_halogenated() -> None:
    first, last = MARKS.halogen_range
    assert all(row.halogen for code, row in MARKS.flame_retardants.items() if first <= code <= last)
