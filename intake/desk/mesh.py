"""Volume of a cavity drawn as a mesh (STL, OBJ, 3MF): closed or refused, in a unit somebody said."""

from io import BytesIO
from pathlib import Path
from types import MappingProxyType
from typing import Any

from intake.errors import BadInput, Refusal
from intake.table.resins import Reason

UNITS_CM = MappingProxyType({"mm": 0.1, "cm": 1.0, "in": 2.54})
"""[cm] the units a person may name."""
_FILE_UNITS_CM = MappingProxyType(
    {"micron": 1e-4, "millimeter": 0.1, "centimeter": 1.0, "inch": 2.54, "foot": 30.48, "meter": 100.0}
)
_WITH_UNIT = ".3mf"
_FORMATS = (".stl", ".obj", _WITH_UNIT)
_LARGEST_BYTES = 200 * 1024 * 1024
_GET = "python -m pip install 'resin-intake[mesh]'"


def mesh_cm3(path: Path, unit: str | None = None) -> tuple[float, Reason]:
    """Volume of a closed mesh [cm3], and what was read, so that a person can check the sizes.

    Args:
        path: the file; a mesh of the cavity (or of the part), not of the mould around it.
        unit: `mm`, `cm` or `in`; needed for STL and OBJ, which have none, and not for 3MF, which has its own.

    Raises:
        BadInput: unreadable, not closed, without a unit, or with another unit than its own.
        Refusal: the library that reads meshes is not installed.
    """
    ending = path.suffix.lower()
    if ending not in _FORMATS:
        expected = "a mesh that ends in " + ", ".join(_FORMATS)
        raise BadInput(where="--mesh", got=path.name, expected=expected)
    if ending != _WITH_UNIT and unit is None:
        expected = f"mm, cm or in: the sizes in {path.name} are bare numbers"
        raise BadInput(where="--mesh-unit", got="nothing", expected=expected)
    mesh, own = _read(path, ending)
    cm = _unit_cm(own, unit, path)
    _check_closed(mesh, path)
    volume_cm3 = abs(float(mesh.volume)) * cm**3
    sizes = " × ".join(f"{10.0 * cm * float(side):.4g}" for side in mesh.extents)
    return volume_cm3, Reason.of("mesh_read", file=path.name, sizes=sizes, faces=len(mesh.faces))


def _read(path: Path, ending: str) -> tuple[Any, str | None]:
    """The mesh with all its bodies, and the unit that stands in the file."""
    try:
        import trimesh
    except ModuleNotFoundError:
        raise _missing() from None
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise BadInput(
                where="--mesh", got=path.name, expected="a file up to 200 MB; make the mesh coarser"
            )
        content = path.read_bytes()
    except OSError as error:
        expected = f"a readable file ({error.strerror})"
        raise BadInput(where="--mesh", got=path.name, expected=expected) from None
    try:
        scene = trimesh.load_scene(BytesIO(content), file_type=ending[1:])
        mesh = scene.to_mesh()
    except (ModuleNotFoundError, NameError):
        raise _missing() from None
    except Exception:  # noqa: BLE001  a damaged file fails in any way inside the reader
        raise BadInput(where="--mesh", got=path.name, expected=f"a whole {ending[1:].upper()} file") from None
    if len(mesh.faces) == 0:
        raise BadInput(where="--mesh", got=path.name, expected="a mesh with surfaces; this one has none")
    return mesh, scene.units


def _missing() -> Refusal:
    """What to do where the optional readers are not there."""
    return Refusal(f"Reading a mesh needs one more package: {_GET}. Or give the volume as a number.")


def _unit_cm(own: str | None, unit: str | None, path: Path) -> float:
    """[cm] One unit of the file; what the person says must not speak against what the file says."""
    in_file = _FILE_UNITS_CM.get((own or "").rstrip("s"))
    if in_file is None and unit is None:
        raise BadInput(where="--mesh-unit", got="nothing", expected=f"mm, cm or in; {path.name} does not say")
    if in_file is not None and unit is not None and UNITS_CM[unit] != in_file:
        raise BadInput(where="--mesh-unit", got=unit, expected=f"{own}, which {path.name} says itself")
    return in_file if in_file is not None else UNITS_CM[str(unit)]


def _check_closed(mesh: Any, path: Path) -> None:
    """Only a closed surface whose faces all look outward has a volume."""
    if not mesh.is_watertight:
        raise BadInput(
            where="--mesh", got=path.name,
            expected=f"a closed mesh; at {_open_edges(mesh)} edges it is open or surfaces cross, so it has "
            "no volume. Close it in the program that drew it",
        )  # fmt: skip
    if not mesh.is_winding_consistent:
        expected = "faces that all look the same way; repair its normals in the program that drew it"
        raise BadInput(where="--mesh", got=path.name, expected=expected)
    if not abs(float(mesh.volume)) > 0.0:
        raise BadInput(where="--mesh", got=path.name, expected="a mesh that is not flat")


def _open_edges(mesh: Any) -> int:
    """How many edges do not join exactly two faces."""
    import numpy as np

    _, faces = np.unique(mesh.edges_sorted, axis=0, return_counts=True)
    return int((faces != 2).sum())  # noqa: PLR2004  each edge of a closed surface joins two faces
