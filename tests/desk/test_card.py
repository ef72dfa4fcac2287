"""What stands on the card at the table."""

import pytest

from intake.desk.campaign import campaign_of
from intake.desk.card import card_page
from intake.desk.card_tests import useful_tests
from intake.drawing.card import SMALLEST, draw_card
from intake.drawing.fonts import Fonts
from intake.drawing.ink import Paper
from intake.errors import BadInput
from intake.handbook.locate import resources

HOSTS = ("PE-HD", "PE-LD", "PP", "PET", "PS", "ABS", "PLA", "PC")


def _campaign(handbook, *hosts, name="Slats"):
    charges = [{"id": f"c{n}", "resin": host, "cavity": "1 L"} for n, host in enumerate(hosts)]
    return campaign_of({"name": name, "table": "Quay", "charge": charges}, handbook, where="test")


@pytest.fixture
def card(handbook, words):
    """The card of a campaign toward these hosts."""
    return lambda *hosts, **how: card_page(_campaign(handbook, *hosts), handbook, words, **how)


def _everything(page) -> str:
    parts = [*page.bath, page.cautions, page.before, *page.steps]
    parts += [text for row in page.refused for text in row]
    parts += [
        t for test in page.tests for t in (test.question, test.how, *(seen for seen, _ in test.results))
    ]
    return " ".join(parts)


@pytest.mark.parametrize("host", HOSTS)
def test_alcohol_stands_on_no_card(host, card) -> None:
    assert "alcohol" not in _everything(card(host)).casefold()


@pytest.mark.parametrize("host", HOSTS)
def test_pvc_is_refused_first_with_the_reason(host, card) -> None:
    # common practice: PVC is kept out of every melt
    assert card(host).refused[0] == ("PVC (3)", "It gives off acid gas when it is heated.")


@pytest.mark.parametrize("host", HOSTS)
def test_every_text_is_written(host, card) -> None:
    page = card(host)
    assert not [
        t
        for t in _everything(page).split()
        if t.startswith(("card.", "walk.", "caution.", "reason.", "kind."))
    ]
    assert not [name for one in page.wanted for _, name in one.kinds if name.startswith("kind.")]
    assert "{" not in _everything(page)


@pytest.mark.parametrize("paper", Paper)
@pytest.mark.parametrize(
    "hosts", [*((h,) for h in HOSTS), ("PP", "PE-HD"), ("PP", "PE-HD", "PS", "PET")], ids="+".join
)
def test_every_card_fits_on_one_page(hosts, paper, card) -> None:
    image = draw_card(
        card(*hosts, address="http://192.168.1.20:8550"), paper, Fonts.of(resources() / "fonts")
    )
    width, height = paper.size_mm
    assert image.size == (round(width * 300 / 25.4), round(height * 300 / 25.4))


def test_what_is_taken_is_not_refused(card) -> None:
    names = " ".join(what for what, _ in card("PP", "PE-HD").refused)
    assert "PP" not in names
    assert "PE-HD" not in names
    assert "PET (1)" in names


def test_each_number_is_named_once(card) -> None:
    named = ", ".join(what for what, _ in card("PS").refused)
    assert [named.count(f"({n})") for n in range(1, 7)] == [1, 1, 1, 1, 1, 0]


def test_the_two_tests_are_a_look_and_a_bath(handbook) -> None:
    cue, bath = useful_tests(_campaign(handbook, "PE-HD"), handbook)
    assert (cue, bath) == ("transparency", "water")


def test_in_water_polyolefins_float_and_the_rest_sinks(card) -> None:
    # handbook densities at 23 °C (resins.toml): PE and PP lie below water, PET, PVC and PS above it
    results = card("PE-HD").tests[1].results
    assert results == (("It floats", (2, 4, 5)), ("It sinks", (1, 3, 6)))


@pytest.mark.parametrize(("volume_cm3", "said"), [(2000.0, "2 L"), (500.0, "0.5 L"), (10_000.0, "10 L")])
def test_the_bath_is_for_the_litres_at_hand(volume_cm3, said, card) -> None:
    title, text = card("PE-HD", bath_cm3=volume_cm3).bath
    assert title.endswith(said)
    assert text.startswith(said)


def test_a_salt_bath_says_what_to_weigh(handbook, words) -> None:
    from intake.desk.card_tests import recipe_words, the_bath

    _, text = recipe_words(the_bath("salt-1.08", handbook, 2000.0), words)
    assert "of table salt into" in text
    assert "1.08 g/cm3" in text


@pytest.mark.parametrize("volume_cm3", [60_000.0, 1e9])
def test_a_bath_nobody_mixes_is_refused(volume_cm3, card) -> None:
    with pytest.raises(BadInput, match="at most 50 L"):
        card("PE-HD", bath_cm3=volume_cm3)


@pytest.mark.parametrize(
    "address",
    [
        "quay table",
        "ftp://x",
        "http://tisch.example/ä",
        "http://" + "x" * 80,
        "javascript:alert(1)",
        "http://a b",
    ],
)
def test_an_address_no_phone_can_open_is_refused(address, card) -> None:
    with pytest.raises(BadInput, match="an address such as"):
        card("PE-HD", address=address)


def test_nothing_on_the_card_is_smaller_than_a_metre_allows() -> None:
    # legibility of signs, 25 mm of letter to 7.6 m (common practice, no source): 3.3 mm to a metre
    assert pytest.approx(25.0 / 7.6, abs=0.05) == SMALLEST
