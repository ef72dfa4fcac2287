"""`intake charge`: what a mould needs, from its cavity to the oven."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from intake.cli.show import console, print_json
from intake.errors import BadInput
from intake.units import (
    number,
    parse_length_mm,
    parse_mass_g,
    parse_share,
    parse_temperature_c,
    parse_volume_cm3,
)

if TYPE_CHECKING:
    from intake.desk.charge import Oven
    from intake.handbook import Handbook
    from intake.table.charge.parts import MeasuredPart
    from intake.table.charge.target import ChargeSpec
    from intake.table.resins import Reason

_WAYS = ("cavity", "shape", "water", "mesh", "campaign")


@click.command()
@click.argument("cavity", required=False)
@click.option("--resin", help="Host resin, such as PE-HD or HDPE.  [default: PE-HD]")
@click.option("--shape", help='Cavity as shapes: "box 300x200x20 mm - 4*cylinder d10x20 mm".')
@click.option("--water", help="Mass of water that fills the mould to the rim, such as 3.6kg.")
@click.option("--water-temperature", default="20°C", show_default=True, help="Of that water.")
@click.option("--mesh", type=click.Path(path_type=Path), help="Cavity as a closed mesh: STL, OBJ or 3MF.")
@click.option("--mesh-unit", type=click.Choice(["mm", "cm", "in"]), help="Unit of the mesh; 3MF has its own.")
@click.option("--campaign", type=click.Path(path_type=Path), help="Take a charge of this campaign file.")
@click.option("--charge", "charge_id", help="Id of the charge, where the campaign has several.")
@click.option("--overfill", help="Extra over the part, such as 5%.")
@click.option("--flash", help="Mass trimmed off the part, such as 25g.")
@click.option("--losses", help="Share that sticks to bowls and parchment, such as 2%.")
@click.option("--unpressed", is_flag=True, help="It cools without a weight on it.")
@click.option("--form", help="Form of shred: granulator-flake, blender-fluff, ...")
@click.option("--kind", help="A kind of item, to see how large a pile of it makes the charge.")
@click.option("--at", "at", help="Temperature of the melt; the middle of the oven window where not given.")
@click.option("--oven", help="Setting of the oven's dial; the melt's temperature where not given.")
@click.option("--mould-limit", help="What the mould stands, by its maker, such as 220°C.")
@click.option("--parchment-limit", help="What the parchment stands, by its maker.")
@click.option("--measured-kwh", help="What the oven drew, by a meter in the socket.")
@click.option("--part-mass", multiple=True, help="What a finished, pressed part from this mould weighed.")
@click.option("--part-side", multiple=True, help="A side of such a part and of its mould: 291/300mm.")
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of words.")
def charge(*, as_json: bool, **given: Any) -> None:
    """Say what a mould needs: CAVITY is its volume, such as 3.6L or 3600cm3.

    Instead of a volume give one of --shape, --water, --mesh or --campaign.
    """
    from intake.cli.charge_words import charge_json, charge_lines
    from intake.desk.charge import form_of, plan_charge
    from intake.handbook import Handbook
    from intake.handbook.locate import resources
    from intake.words import catalogue

    book, words = Handbook(), catalogue(resources() / "words")
    _check_ways(given)
    spec, notes, oven, shredder = _asked(book, given)
    told = parse_parts(given["part_mass"], given["part_side"], spec)
    spec = replace(spec, parts=(*spec.parts, *told))
    answer = plan_charge(
        book, spec, form=given["form"] or form_of(book, shredder), oven=oven, kind=given["kind"],
        shredder=shredder, notes=notes,
    )  # fmt: skip
    if as_json:
        print_json(charge_json(answer, words))
        return
    for line in charge_lines(answer, book, words):
        console().print(line, markup=False)


def parse_parts(
    masses: Sequence[str], sides: Sequence[str], spec: "ChargeSpec"
) -> "tuple[MeasuredPart, ...]":
    """The finished parts that somebody weighed or measured.

    Raises:
        BadInput: a mass or a side that cannot be, or parts of a mould that is not pressed.
    """
    from intake.table.charge.parts import MeasuredPart

    if (masses or sides) and not spec.pressed:
        expected = "parts that were pressed while they cooled: others draw in by another amount each time"
        raise BadInput(where="--part-mass", got="an unpressed mould", expected=expected)
    cavity_cm3 = spec.cavity_cm3
    sides_mm = [parse_side(text, where="--part-side") for text in sides]
    measured = [MeasuredPart(cavity_cm3=cavity_cm3, side_mm=s, mould_mm=m) for s, m in sides_mm]
    weighed = [
        MeasuredPart(cavity_cm3=cavity_cm3, mass_g=parse_mass_g(m, where="--part-mass")) for m in masses
    ]
    return (*measured, *weighed)


def parse_side(text: str, *, where: str) -> tuple[float, float]:
    """[mm] A side of a part and the same side of its mould, written 291/300mm; one unit serves both.

    Raises:
        BadInput: not two lengths.
    """
    part, slash, mould = text.partition("/")
    if not slash:
        raise BadInput(where=where, got=text, expected="part/mould with a unit, such as 291/300mm")
    mould_mm = parse_length_mm(mould, where=where)
    unit = mould.strip().lstrip("0123456789.,")
    return parse_length_mm(part if part.strip()[-1:].isalpha() else part + unit, where=where), mould_mm


def _check_ways(given: dict[str, Any]) -> None:
    """One way to say how large the mould is, and nothing beside it that another way answers."""
    ways = [w for w in _WAYS if given[w] is not None]
    names = {w: "CAVITY" if w == "cavity" else f"--{w}" for w in _WAYS}
    if len(ways) != 1:
        got = " and ".join(names[w] for w in ways) or "nothing"
        expected = "one of: a volume such as 3.6L, --shape, --water, --mesh or --campaign"
        raise BadInput(where="Cavity", got=got, expected=expected)
    owners = {"mesh_unit": "mesh", "charge_id": "campaign"}
    for name, owner in owners.items():
        if given[name] is not None and ways != [owner]:
            option = "--charge" if name == "charge_id" else "--mesh-unit"
            raise BadInput(where=option, got=given[name], expected=f"--{owner} beside it")
    if ways == ["campaign"]:
        for name in ("resin", "overfill", "flash", "losses"):
            if given[name] is not None:
                raise BadInput(where=f"--{name}", got=given[name], expected="nothing: the campaign says it")


def _asked(book: "Handbook", given: dict[str, Any]) -> "tuple[ChargeSpec, tuple[Reason, ...], Oven, str]":
    """What is to be moulded, how its cavity was measured, the oven and the cutting machine."""
    from intake.desk.campaign import read_campaign
    from intake.desk.charge import charge_of

    if given["campaign"] is None:
        spec, notes = _own_spec(book, given)
        return spec, notes, _oven(given, None), "granulator"
    campaign = read_campaign(given["campaign"], book)
    spec = charge_of(campaign, given["charge_id"])
    limit_c = next(c.mould_limit for c in campaign.charge if c.id == spec.id)
    return spec, (), _oven(given, limit_c), campaign.shredder


def _own_spec(book: "Handbook", given: dict[str, Any]) -> "tuple[ChargeSpec, tuple[Reason, ...]]":
    """The charge that the options describe."""
    from intake.desk.check import plastic_named
    from intake.table.charge.target import ChargeSpec

    cavity_cm3, notes = _cavity(book, given)
    flash_g = parse_mass_g(given["flash"] or "0", where="--flash", zero_ok=True)
    resin = plastic_named(book, given["resin"] or "PE-HD", where="--resin")
    spec = ChargeSpec(
        id="mould", resin=resin, cavity_cm3=cavity_cm3, flash_g=flash_g, pressed=not given["unpressed"]
    )
    if given["overfill"] is not None:
        spec = replace(spec, overfill_share=parse_share(given["overfill"], where="--overfill"))
    if given["losses"] is not None:
        spec = replace(spec, loss_share=parse_share(given["losses"], where="--losses"))
    return spec, notes


def _cavity(book: "Handbook", given: dict[str, Any]) -> "tuple[float, tuple[Reason, ...]]":
    """[cm3] The cavity, and the sentence about how it was measured."""
    from intake.desk.charge import water_filled_cm3
    from intake.desk.mesh import mesh_cm3
    from intake.table.charge.shape import shape_cm3

    if given["shape"] is not None:
        return shape_cm3(given["shape"]), ()
    if given["water"] is not None:
        water_g = parse_mass_g(given["water"], where="--water")
        temp_c = parse_temperature_c(given["water_temperature"], where="--water-temperature")
        volume_cm3, note = water_filled_cm3(book, water_g, temp_c)
        return volume_cm3, (note,)
    if given["mesh"] is not None:
        volume_cm3, note = mesh_cm3(given["mesh"], given["mesh_unit"])
        return volume_cm3, (note,)
    return parse_volume_cm3(given["cavity"], where="CAVITY"), ()


def _oven(given: dict[str, Any], campaign_limit_c: float | None) -> "Oven":
    """What is known of the heating; an option comes before the campaign's figure."""
    from intake.desk.charge import Oven

    options = {
        "melt_c": "at",
        "setting_c": "oven",
        "mould_c": "mould_limit",
        "parchment_c": "parchment_limit",
    }
    temps = {
        field: parse_temperature_c(given[name], where="--" + name.replace("_", "-"))
        for field, name in options.items()
        if given[name] is not None
    }
    if campaign_limit_c is not None:
        temps = {"mould_c": campaign_limit_c, "parchment_c": campaign_limit_c} | temps
    kwh = given["measured_kwh"]
    measured = (
        None
        if kwh is None
        else number(
            kwh.lower().removesuffix("kwh"), where="--measured-kwh", expected="kilowatt hours, such as 1.8"
        )
    )
    return Oven(**temps, measured_kwh=measured)
