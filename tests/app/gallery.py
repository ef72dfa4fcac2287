"""Every part on one page, to look at: `python gallery.py` prints its address. Not shipped."""

from pathlib import Path
from tempfile import TemporaryDirectory

import flet as ft
from sample import sample_desk

from intake.app.guards import safe_handler
from intake.app.main import address
from intake.app.parts.buttons import answers, choice, primary_button, quiet_button
from intake.app.parts.cards import bin_tile, caution_card, reason_card
from intake.app.parts.counter import counter
from intake.app.parts.frame import Panes, Section, Width, section_view, step_view
from intake.app.parts.keypad import keypad
from intake.app.parts.kind_tile import kind_tile, tile_grid
from intake.app.parts.mark_tile import mark_tile
from intake.app.parts.odds import Odds, odds_bars
from intake.app.parts.pictures import PICTURES, float_tank
from intake.app.parts.question import question
from intake.app.parts.snack import tell
from intake.app.parts.steps_bar import steps_bar
from intake.app.parts.verdict_card import verdict_card
from intake.app.screens.home import charge_ring
from intake.app.server import bound_socket, hosts_of, serve, web_app
from intake.app.theme import DARK, LIGHT, theme
from intake.app.webpage import write_webpage
from intake.desk.views.home import home_view
from intake.handbook.locate import resources
from intake.table.compat.decision import Verdict
from intake.words import catalogue

WORDS = catalogue(resources() / "words")
MARKS = (
    ("1", "PET"),
    ("2", "PE-HD"),
    ("3", "PVC"),
    ("4", "PE-LD"),
    ("5", "PP"),
    ("6", "PS"),
    ("7", "other"),
    ("", "no mark"),
)
SECTIONS = tuple(
    Section(path=p, text_key=t, icon=i)
    for p, t, i in (
        ("/ring", "Today", ft.Icons.TODAY_OUTLINED),
        ("/bins", "Bins", ft.Icons.INVENTORY_2_OUTLINED),
        ("/keypad", "Weigh", ft.Icons.SCALE_OUTLINED),
    )
)
ODDS = (
    Odds(name="PE-HD", share=0.97, text="97 %"),
    Odds(name="PP", share=0.01, text="1.0 %"),
    Odds(name="other", share=0.02, text="2.0 %"),
)


def kinds(chosen, choose):
    names = (
        ("jug", "jug"),
        ("bottle", "detergent bottle"),
        ("cap", "bottle cap"),
        ("pail", "pail"),
        ("tub", "margarine tub"),
    )
    rest = [(n, n) for n in PICTURES if n not in {"jug", "bottle", "cap", "pail", "tub"}]
    tiles = [kind_tile(t, n, lambda n=n: choose(n), chosen=n == chosen) for n, t in (*names, *rest)]
    return [
        question("What is it?"),
        choice("Same again", print, hint="jug, film label off"),
        tile_grid(tiles, per_row=3),
    ]


def marks(chosen, choose):
    tiles = [mark_tile(n, t, lambda t=t: choose(t), chosen=t == chosen) for n, t in MARKS]
    head = question(
        "What does the mark say?", hint="Look under the base. Moulded marks count more than stickers."
    )
    return [head, tile_grid(tiles, per_row=4), odds_bars("So far", ODDS)]


def tests():
    picks = [choice(t, print) for t in ("It floats", "It sinks", "It hangs in between", "Cannot test now")]
    tank = float_tank(floats="PE, PP", sinks="PET, PS, PVC", label="PE and PP float, PET, PS and PVC sink")
    return [
        question("Does a piece float in plain water?", hint="1 minute · push it under and rub off bubbles"),
        tank,
        answers(picks),
    ]


def refusal(verdict):
    word, act = {
        Verdict.ACCEPT: ("Accept", "Put it in bin H2-04"),
        Verdict.HOLD: ("Hold", "Put it on the hold shelf"),
        Verdict.REFUSE: ("Refuse", "This would spoil the melt"),
    }[verdict]
    cards = [
        verdict_card(verdict, word, act, detail="PE-HD · natural · blow grade"),
        reason_card(
            "41 g of clean shred", ("between 36 and 45", "received 63 g, closure 3 g and label 2 g off")
        ),
    ]
    if verdict is Verdict.REFUSE:
        cards.append(
            caution_card(
                "Do not heat it",
                ("PVC gives off hydrogen chloride well below the temperature you press PE-HD at.",),
            )
        )
    return cards


@ft.component
def Gallery():  # noqa: N802
    route, page = ft.use_view_path(), ft.context.page
    width, set_width = ft.use_state(Width.of(page.width))
    chosen, choose = ft.use_state("jug")
    text, set_text = ft.use_state("63,5")
    unit, set_unit = ft.use_state("g")
    count, set_count = ft.use_state(1)
    name = page.route.strip("/") or "ring"
    ft.use_effect(lambda: setattr(page, "on_resize", lambda e: set_width(Width.of(e.width))), [])
    bins = [bin_tile(i, "PE-HD · natural · blow", "2.1 kg (2.0–2.3)", print) for i in ("H2-04", "H2-05")]
    body = {
        "ring": lambda: [
            question("Quayside table", hint="Bench-top charge · PE-HD"),
            charge_ring(WORDS, home_view(sample_desk()).charges[0]),
            *bins,
        ],
        "kinds": lambda: [*kinds(chosen, choose), counter(WORDS, "How many alike?", count, set_count)],
        "marks": lambda: marks(chosen if chosen != "jug" else "PE-HD", choose),
        "tests": tests,
        "accept": lambda: refusal(Verdict.ACCEPT),
        "hold": lambda: refusal(Verdict.HOLD),
        "refuse": lambda: refusal(Verdict.REFUSE),
        "keypad": lambda: [
            question("What does it weigh?"),
            keypad(WORDS, text, unit, set_text, set_unit, label="Mass", error="" if text else "Type a mass"),
        ],
        "bins": lambda: [question("Bins"), *bins],
    }[name]()
    panes = Panes(left=(reason_card("The pile", ("12 jugs", "64 caps")),), right=tuple(bins))
    foot = [
        ft.Row([quiet_button("Undo", print), quiet_button("Same again", print, expand=True)]),
        primary_button("Next", safe_handler(WORDS, lambda: tell("Saved", action="Undo"))),
    ]
    if name in {"ring", "bins"}:
        return section_view(
            route,
            body,
            foot[1:],
            words=WORDS,
            sections=SECTIONS,
            at=0,
            go=page.navigate,
            width=width,
            panes=panes,
        )
    steps = steps_bar(2, 5, label="Step 2 of 5")
    return step_view(
        route,
        body,
        foot,
        steps=steps,
        back="Back",
        on_back=lambda: page.navigate("/ring"),
        width=width,
        panes=panes,
    )


@ft.component
def Rooms():  # noqa: N802
    return ft.Router(
        [ft.Route(path="/", component=Gallery), ft.Route(path=":name", component=Gallery)], manage_views=True
    )


def main(page):
    page.title = "Gallery"
    page.theme, page.dark_theme = theme(LIGHT), theme(DARK)
    page.render_views(Rooms)


if __name__ == "__main__":
    with bound_socket("127.0.0.1", 0) as held, TemporaryDirectory() as folder:
        write_webpage(resources() / "web", Path(folder), WORDS)
        served = web_app(main, Path(folder), WORDS, {}, hosts=hosts_of("127.0.0.1"))
        held.listen()
        print(address("127.0.0.1", held.getsockname()[1]), flush=True)
        serve(served, (held,))
