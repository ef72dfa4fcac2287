"""The campaign file: what is collected, toward which charges, with which limits and kit.

TOML, validated by pydantic; the JSON Schema in `shared/campaign.schema.json` is generated from these models.
A value is written with its unit ("3.6 L", "5 %", "1 g") and kept as a float in the house's own unit.
"""

import tomllib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from intake.errors import BadInput, Finding, ManyFaults, UnknownName, nearest_names
from intake.handbook import Handbook
from intake.table.resins import ResinId
from intake.units import (
    MAX_MASS_G,
    number,
    parse_length_mm,
    parse_mass_g,
    parse_share,
    parse_temperature_c,
    parse_volume_cm3,
)

MAX_CAVITY_CM3 = 1e6
"""[cm3] a cavity of a cubic metre is a slip of the unit."""


def _parsed(parse: Callable[[str], float]) -> BeforeValidator:
    """A validator that reads text with a unit and speaks pydantic's language when it cannot."""

    def read(value: object) -> float:
        try:
            return parse(str(value))
        except BadInput as error:
            raise PydanticCustomError("bad_value", "{expected}", {"expected": error.expected}) from None

    return BeforeValidator(read)


def _cavity(text: str) -> float:
    volume_cm3 = parse_volume_cm3(text, where="cavity")
    if volume_cm3 >= MAX_CAVITY_CM3:
        raise BadInput(where="cavity", got=text, expected="a cavity below 1 m³ (did you mean cm³?)")
    return volume_cm3


def _text_field(parse: Callable[[str], float], example: str) -> Any:
    schema = WithJsonSchema({"type": ["string", "number"], "examples": [example]})
    return (_parsed(parse), schema)


def _flow(text: str) -> float:
    expected = "a melt flow rate above 0 g/10 min, such as 0.3"
    bare = text.removesuffix("g/10 min").removesuffix("g/10min")
    rate = number(bare, where="", expected=expected)
    if rate <= 0.0:
        raise BadInput(where="", got=text, expected=expected)
    return rate


def _grams_a_minute(text: str) -> float:
    expected = "clean grams a minute above 0, such as 3 g/min"
    rate = number(text.removesuffix("/min").rstrip().removesuffix("g"), where="", expected=expected)
    if not 0.0 < rate <= MAX_MASS_G:
        raise BadInput(where="", got=text, expected=expected)
    return rate


MassG = Annotated[float, *_text_field(lambda t: parse_mass_g(t, where="", zero_ok=True), "20 g")]
ScaleG = Annotated[float, *_text_field(lambda t: parse_mass_g(t, where=""), "1 g")]
VolumeCm3 = Annotated[float, *_text_field(lambda t: parse_volume_cm3(t, where=""), "60 L")]
CavityCm3 = Annotated[float, *_text_field(_cavity, "3.6 L")]
FlowRate = Annotated[float, *_text_field(_flow, "0.3 g/10 min")]
GramsPerMinute = Annotated[float, *_text_field(_grams_a_minute, "3 g/min")]
LengthMm = Annotated[float, *_text_field(lambda t: parse_length_mm(t, where=""), "291 mm")]
TempC = Annotated[float, *_text_field(lambda t: parse_temperature_c(t, where=""), "220 °C")]
Share = Annotated[float, *_text_field(lambda t: parse_share(t, where=""), "5 %")]


class _Part(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, serialize_by_alias=True)


class Measured(_Part):
    """A finished, pressed part of this charge: what it weighs, and one side of it beside its mould's."""

    mass: Annotated[ScaleG | None, Field(description="of the part, trimmed")] = None
    side: Annotated[LengthMm | None, Field(description="one side of the cold part")] = None
    mould: Annotated[LengthMm | None, Field(description="the same side of its mould")] = None

    @model_validator(mode="after")
    def _both_sides(self) -> Self:
        if (self.side is None) != (self.mould is None):
            expected = "side and mould together: the same side of both"
            raise PydanticCustomError("bad_value", "{expected}", {"expected": expected})
        return self


class Charge(_Part):
    """One charge: the mould to fill, and what may go into it."""

    id: Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9-]{0,39}$", description="short id, such as bench-top")]
    resin: Annotated[str, Field(description="host resin, ISO 1043-1 (PE-HD)")]
    cavity: Annotated[CavityCm3, Field(description="cavity volume of the mould")]
    overfill: Annotated[Share, Field(description="extra charge over the part")] = 0.05
    flash: Annotated[MassG, Field(description="flash trimmed off the part")] = 0.0
    losses: Annotated[Share, Field(description="left on tools and in the mould's gaps")] = 0.02
    pressed: Annotated[bool, Field(description="pressed while it cools")] = True
    colours: Annotated[tuple[str, ...], Field(description="colour groups that may go in; empty: any")] = ()
    flow: Annotated[
        tuple[FlowRate, FlowRate] | None,
        Field(description="lowest and highest melt flow rate of the mix, g/10 min; none: any"),
    ] = None
    mould_limit: Annotated[
        TempC | None, Field(description="what mould and parchment stand, by their makers; none: not asked")
    ] = None
    part: Annotated[
        tuple[Measured, ...], Field(description="finished parts; they teach shrinkage and charge of the next")
    ] = ()


def _not_empty(charges: tuple[Charge, ...]) -> tuple[Charge, ...]:
    """Checked after the charges themselves: pydantic's own length check would count a faulty one as missing."""
    if not charges:
        raise PydanticCustomError("bad_value", "{expected}", {"expected": "at least one [[charge]]"})
    return charges


class Limits(_Part):
    """When an item is sure enough, and how much foreign material a lot may carry."""

    accept_probability: Share = 0.9
    foreign_chance: Annotated[Share, Field(description="allowed P(foreign share > tolerance)")] = 0.05
    pvc_per_item: Annotated[Share, Field(description="highest PVC probability of an item")] = 0.001
    pvc_of_lot: Annotated[Share, Field(description="highest expected PVC share of a lot")] = 0.0002
    least_worth: Annotated[
        GramsPerMinute | None,
        Field(description="clean shred for a minute of work below which good plastic is refused; none: any"),
    ] = None


class Bins(_Part):
    """How large a bin is; full is the first limit reached."""

    capacity: VolumeCm3 = 60_000.0
    weight: ScaleG = 15_000.0
    filled_as: Annotated[
        Literal["whole", "flattened"],
        Field(alias="as", description="how containers lie in a bin before they are shredded"),
    ] = "whole"


class Campaign(_Part):
    """A collection drive toward one or more charges."""

    name: Annotated[str, Field(min_length=1, max_length=80)]
    table: Annotated[str, Field(min_length=1, max_length=80, description="name of the collection table")] = (
        "Table"
    )
    letters: Annotated[str, Field(pattern=r"^[A-Z]{1,4}$", description="letters that start every bin id")] = (
        "T"
    )
    scale: Annotated[ScaleG, Field(description="smallest step of the scale")] = 1.0
    kit: Annotated[
        tuple[str, ...] | None, Field(description="what the table has for tests; none: the usual kit")
    ] = None
    hot_tests: Annotated[
        bool, Field(description="whether a hot needle or a flame may be proposed; cautions come first")
    ] = False
    shredder: Literal["scissors", "blender-dry", "blender-wet", "granulator"] = "granulator"
    limits: Limits = Limits()
    bins: Bins = Bins()
    charge: Annotated[
        tuple[Charge, ...], AfterValidator(_not_empty), Field(json_schema_extra={"minItems": 1})
    ]

    @property
    def hosts(self) -> tuple[ResinId, ...]:
        """The resins of the charges, each once, in file order."""
        return tuple(dict.fromkeys(ResinId(c.resin) for c in self.charge))


def read_campaign(path: Path, handbook: Handbook) -> Campaign:
    """The campaign in a TOML file.

    Raises:
        BadInput: the file cannot be read or is no TOML.
        ManyFaults: values are missing, unknown or impossible; every one is named with what would be right.
    """
    try:
        raw = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except OSError as error:
        raise BadInput(
            where="Campaign file", got=path.name, expected=f"a readable file ({error.strerror})"
        ) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadInput(where=f"Campaign file {path.name}", got=str(error), expected="TOML in UTF-8") from None
    return campaign_of(raw, handbook, where=path.name)


def campaign_of(raw: dict[str, Any], handbook: Handbook, *, where: str) -> Campaign:
    """The campaign in plain values, as read from TOML or from an event.

    Raises:
        ManyFaults: as for `read_campaign`.
    """
    try:
        campaign = Campaign.model_validate(raw)
    except ValidationError as error:
        raise ManyFaults(_finding(where, e) for e in error.errors()) from None
    _check_names(campaign, handbook, where)
    return campaign


def _check_names(campaign: Campaign, handbook: Handbook, where: str) -> None:
    """Every resin and colour group must be in the handbook, and every charge id once."""
    findings = []
    groups = tuple(str(g) for g in handbook.colours.swatches)
    kit = handbook.identify.cues.kit
    findings += [
        Finding(where=f"{where}, kit", got=name, expected="one of " + ", ".join(kit))
        for name in campaign.kit or ()
        if name not in kit
    ]
    for place, charge in enumerate(campaign.charge, 1):
        at = f"{where}, charge {place}"
        try:
            handbook.resins.get(charge.resin, where=f"{at}, resin")
        except UnknownName as error:
            findings.append(Finding.of(error))
        for colour in charge.colours:
            if colour not in groups:
                expected = "a colour group: " + ", ".join(groups)
                findings.append(Finding(where=f"{at}, colours", got=colour, expected=expected))
        if [c.id for c in campaign.charge].count(charge.id) > 1:
            findings.append(
                Finding(where=f"{at}, id", got=charge.id, expected="an id that no other charge has")
            )
        findings.extend(_empty_windows(charge, handbook, at))
    if findings:
        raise ManyFaults(findings)


def _empty_windows(charge: Charge, handbook: Handbook, at: str) -> Iterator[Finding]:
    """A flow window without inside, and a mould that stands less than the oven needs."""
    if charge.flow is not None and charge.flow[0] > charge.flow[1]:
        got = f"{charge.flow[0]:g} to {charge.flow[1]:g} g/10 min"
        yield Finding(where=f"{at}, flow", got=got, expected="the low end first; nothing lies between these")
    window = handbook.melts.oven_window(ResinId(charge.resin))
    if charge.mould_limit is None or window is None:
        return
    over_k = handbook.heat.overshoot_k.typical
    if charge.mould_limit < window.low_c + over_k:
        expected = (
            f"{window.low_c + over_k:.0f} °C or more: {charge.resin} is pressed from {window.low_c:.0f} °C on and "
            f"an oven can run {over_k:.0f} °C hotter than its dial, so no setting is left"
        )
        yield Finding(where=f"{at}, mould_limit", got=f"{charge.mould_limit:g} °C", expected=expected)


def _finding(where: str, error: Any) -> Finding:
    """A pydantic error as one of our sentences."""
    path = [f"{p}" if isinstance(p, str) else f"{p + 1}" for p in error["loc"]]
    at = ", ".join([where, " ".join(path)])
    if error["type"] == "missing":
        return Finding(where=at, got="", expected=f"a value for '{path[-1]}'; the file does not have it")
    if error["type"] == "extra_forbidden":
        parts = (Campaign, Charge, Limits, Bins)
        known = {field.alias or name for part in parts for name, field in part.model_fields.items()}
        near = " or ".join(nearest_names(path[-1], known)) or "one of the documented names"
        return Finding(where=at, got=path[-1], expected=f"{near} (nearest known)")
    expected = error["ctx"]["expected"] if error["type"] == "bad_value" else error["msg"].lower()
    return Finding(where=at, got=str(error["input"])[:60], expected=expected)
