"""Meshes against exact shapes, a second mesh library (numpy-stl) and the signed tetrahedra typed here."""

import math
import sys
import zipfile
from pathlib import Path

import numpy as np
import pytest
import trimesh
from stl import mesh as second

from intake.desk.mesh import mesh_cm3
from intake.errors import BadInput, Refusal

BOX = trimesh.creation.box((30, 20, 10))


def written(folder: Path, body: trimesh.Trimesh, name: str, **how: object) -> Path:
    """The body as a file."""
    path = folder / name
    body.export(path, **how)
    return path


def holed(folder: Path, name: str = "holed.stl") -> Path:
    """A box without its lid."""
    body = BOX.copy()
    body.update_faces([True] * 10 + [False] * 2)
    return written(folder, body, name)


def signed_tetrahedra(path: Path) -> float:
    """Volume by the sum over faces of a · (b × c) / 6."""
    body = trimesh.load_mesh(path)
    a, b, c = (body.vertices[body.faces[:, k]] for k in range(3))
    return float(np.abs(np.einsum("ij,ij->i", a, np.cross(b, c)).sum()) / 6)


def bored_plate() -> trimesh.Trimesh:
    """A plate with a round hole, revolved, so that it needs no boolean engine."""
    outline = [[5, 0], [50, 0], [50, 20], [5, 20], [5, 0]]
    return trimesh.creation.revolve(outline, sections=256)


@pytest.mark.parametrize("name", ["box.stl", "box.obj", "box.3mf"])
def test_a_box_has_its_exact_volume_in_every_format(tmp_path, name):
    # exact: 30 · 20 · 10 mm³
    body = BOX.copy()
    body.units = "millimeters"
    volume_cm3, note = mesh_cm3(written(tmp_path, body, name), None if name.endswith("3mf") else "mm")
    assert volume_cm3 == pytest.approx(6.0, rel=1e-9)
    assert dict(note.values)["sizes"] == "30 × 20 × 10"


@pytest.mark.parametrize(
    ("body", "exact_mm3", "apart"),
    [
        pytest.param(trimesh.creation.icosphere(4, radius=40), 4 / 3 * math.pi * 40**3, 5e-3, id="sphere"),
        pytest.param(
            trimesh.creation.cylinder(radius=25, height=80, sections=512), math.pi * 25**2 * 80, 1e-4, id="cylinder"
        ),
        pytest.param(
            trimesh.creation.cone(radius=30, height=60, sections=512), math.pi * 30**2 * 20, 1e-4, id="cone"
        ),
        pytest.param(bored_plate(), math.pi * (50**2 - 5**2) * 20, 1e-3, id="plate with a hole"),
        pytest.param(
            trimesh.creation.torus(40, 10, major_sections=128, minor_sections=48),
            2 * math.pi**2 * 40 * 100, 4e-3, id="torus",
        ),
    ],
)  # fmt: skip
def test_meshes_have_the_volume_of_the_exact_shape_and_of_the_second_library(
    tmp_path, body, exact_mm3, apart
):
    path = written(tmp_path, body, "body.stl")
    ours, _ = mesh_cm3(path, "mm")
    theirs, _, _ = second.Mesh.from_file(str(path)).get_mass_properties()
    assert ours * 1000 == pytest.approx(exact_mm3, rel=apart)
    assert ours * 1000 == pytest.approx(abs(float(theirs)), rel=1e-5)
    assert ours * 1000 == pytest.approx(signed_tetrahedra(path), rel=1e-9)


@pytest.mark.parametrize(("unit", "cm3"), [("mm", 6.0), ("cm", 6000.0), ("in", 6000 * 2.54**3)])
def test_the_unit_is_what_the_person_says(tmp_path, unit, cm3):
    assert mesh_cm3(written(tmp_path, BOX, "box.stl"), unit)[0] == pytest.approx(cm3)


def written_3mf(folder: Path, unit: str | None) -> Path:
    """A box as a 3MF file of its own, by the core specification (from memory): a unit in the model's element."""
    points = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in BOX.vertices)
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in BOX.faces)
    said = f' unit="{unit}"' if unit else ""
    model = (
        f'<?xml version="1.0"?><model{said} xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">'
        f'<resources><object id="1" type="model"><mesh><vertices>{points}</vertices><triangles>{faces}</triangles>'
        '</mesh></object></resources><build><item objectid="1"/></build></model>'
    )
    path = folder / "box.3mf"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("3D/3dmodel.model", model)
    return path


@pytest.mark.parametrize(
    ("unit", "cm3"),
    [
        (None, 6.0), ("millimeter", 6.0), ("centimeter", 6000.0), ("inch", 6000 * 2.54**3),
        ("foot", 6000 * 30.48**3), ("meter", 6e9), ("micron", 6e-9),
    ],
)  # fmt: skip
def test_a_3mf_says_its_unit_itself(tmp_path, unit, cm3):
    # 3MF core specification: micron, millimeter (default), centimeter, inch, foot, meter
    assert mesh_cm3(written_3mf(tmp_path, unit))[0] == pytest.approx(cm3)


@pytest.mark.parametrize(("unit", "said"), [("inch", "mm"), ("millimeter", "cm")])
def test_a_unit_that_the_file_denies_is_refused(tmp_path, unit, said):
    with pytest.raises(BadInput, match="says itself"):
        mesh_cm3(written_3mf(tmp_path, unit), said)


@pytest.mark.parametrize(
    ("make", "unit", "expected"),
    [
        pytest.param(holed, "mm", "a closed mesh; at 4 edges", id="holes in an STL"),
        pytest.param(
            lambda f: holed(f, "holed.obj"), "mm", "a closed mesh; at 4 edges", id="holes in an OBJ"
        ),
        pytest.param(lambda f: written(f, BOX, "box.stl"), None, "mm, cm or in", id="no unit"),
        pytest.param(lambda f: f / "none.stl", "mm", "a readable file", id="no file"),
        pytest.param(lambda f: f, "mm", "a mesh that ends in", id="a folder"),
        pytest.param(
            lambda f: _text(f / "junk.stl", "hello"), "mm", "surfaces; this one has none", id="no mesh"
        ),
        pytest.param(lambda f: _text(f / "empty.obj", ""), "mm", "a whole OBJ file|surfaces", id="empty"),
        pytest.param(lambda f: _text(f / "junk.3mf", "hello"), None, "a whole 3MF file", id="no archive"),
        pytest.param(lambda f: _text(f / "box.ply", ""), "mm", "a mesh that ends in", id="another format"),
    ],
)
def test_a_mesh_without_a_volume_is_refused(tmp_path, make, unit, expected):
    with pytest.raises(BadInput, match=expected):
        mesh_cm3(make(tmp_path), unit)


def _text(path: Path, text: str) -> Path:
    path.write_text(text, encoding="utf-8")
    return path


def test_faces_that_look_different_ways_are_refused(tmp_path):
    body = BOX.copy()
    body.faces[0] = body.faces[0][::-1]
    with pytest.raises(BadInput, match="look the same way"):
        mesh_cm3(written(tmp_path, body, "turned.obj"), "mm")


def test_a_mesh_turned_inside_out_has_its_volume(tmp_path):
    body = BOX.copy()
    body.invert()
    assert mesh_cm3(written(tmp_path, body, "inside.stl"), "mm")[0] == pytest.approx(6.0)


def test_two_bodies_add_up(tmp_path):
    other = BOX.copy()
    other.apply_translation((100, 0, 0))
    both = trimesh.util.concatenate([BOX, other])
    assert mesh_cm3(written(tmp_path, both, "two.stl"), "mm")[0] == pytest.approx(12.0)


def test_without_the_library_one_sentence_says_how_to_get_it(tmp_path, monkeypatch):
    path = written(tmp_path, BOX, "box.stl")
    monkeypatch.setitem(sys.modules, "trimesh", None)
    with pytest.raises(Refusal, match=r"pip install 'resin-intake\[mesh\]'"):
        mesh_cm3(path, "mm")
