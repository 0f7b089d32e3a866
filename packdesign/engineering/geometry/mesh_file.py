"""A cavity out of a CAD file: STL, OBJ or 3MF through trimesh, checked before it is used."""

from __future__ import annotations

import math
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from packdesign.engineering.geometry.cavities import LARGEST_M, MeshCavity
from packdesign.foundation.errors import InputError, OutOfRangeError

if TYPE_CHECKING:
    from trimesh import Trimesh

__all__ = ["MESH_UNITS_M", "MOST_FACES", "load_mesh_cavity"]

MESH_UNITS_M: Final = {"mm": 1e-3, "cm": 1e-2, "m": 1.0, "in": 0.0254}
"""Units a mesh may be drawn in, and their length. [m]"""
MOST_FACES: Final = 200_000
"""More triangles than this say nothing more of a cavity and are slow. Chosen here."""
SHORTEST_M: Final = 0.020
"""The longest edge of a cavity for any cell of the trade is above this. Chosen here. [m]"""
_KINDS: Final = (".stl", ".obj", ".3mf")
_LONG_NAMES: Final = {
    "millimeter": "mm", "millimeters": "mm", "centimeter": "cm", "centimeters": "cm",
    "meter": "m", "meters": "m", "inch": "in", "inches": "in",
}  # fmt: skip


def load_mesh_cavity(
    path: Path, *, unit: str | None = None, is_sealed: bool = False, is_rigid: bool = True
) -> MeshCavity:
    """Read the free inside of a device from a mesh.

    Parameters
    ----------
    path : Path
        STL, OBJ or 3MF: the free inside as one closed body, not the shell around it.
    unit : str or None
        What one unit of the file is: "mm", "cm", "m" or "in". ``None`` only for a 3MF, which says
        it itself.
    is_sealed, is_rigid : bool
        As in :class:`packdesign.engineering.geometry.cavities.Tube`.

    Returns
    -------
    MeshCavity
        In metres, in the frame of the file.

    Raises
    ------
    InputError
        If the file is missing, of another kind, unreadable, not closed, or its unit is not said.
    OutOfRangeError
        If it has too many triangles, or a size that points to another unit.
    """
    path = Path(path)
    _check_file(path)
    mesh = _read(path)
    if len(mesh.faces) > MOST_FACES:
        raise OutOfRangeError(_too_many(path, len(mesh.faces)))
    unit_m = MESH_UNITS_M[_unit_of(path, mesh, unit)]
    _check_closed(path, mesh)
    _check_size(path, mesh, unit_m)
    faces = np.asarray(mesh.faces, dtype=np.int64)
    volume = float(mesh.volume)
    return MeshCavity(
        vertices_m=np.asarray(mesh.vertices, dtype=np.float64) * unit_m,
        faces=faces[:, ::-1] if volume < 0 else faces,
        volume_m3=abs(volume) * unit_m**3,
        name=path.name,
        is_sealed=is_sealed,
        is_rigid=is_rigid,
    )


def _check_file(path: Path) -> None:
    if path.suffix.lower() not in _KINDS:
        msg = f"{path.name}: a cavity is read from {', '.join(_KINDS)}; got '{path.suffix}'"
        raise InputError(msg)
    if not path.is_file():
        msg = f"{path}: no such file"
        raise InputError(msg)
    if path.suffix.lower() == ".stl":
        count = _binary_stl_faces(path)
        if count is not None and count > MOST_FACES:
            raise OutOfRangeError(_too_many(path, count))


def _binary_stl_faces(path: Path) -> int | None:
    """Count the triangles of a binary STL by its head: 80 bytes, a count, 50 bytes each."""
    with path.open("rb") as file:
        head = file.read(84)
    count = int.from_bytes(head[80:84], "little") if len(head) == 84 else 0
    return count if count and path.stat().st_size == 84 + 50 * count else None


def _too_many(path: Path, count: int) -> str:
    return (
        f"{path.name} has {count:,} triangles; at most {MOST_FACES:,} are used. "
        "Export it coarser: 0.1 mm is fine enough for a cavity"
    )


def _read(path: Path) -> Trimesh:
    import trimesh

    try:
        loaded: Any = trimesh.load(path, force="mesh")
    except ImportError as missing:
        msg = f"{path.name}: reading this kind needs the package '{missing.name}'; export an STL"
        raise InputError(msg) from None
    except Exception as problem:  # trimesh raises whatever its readers meet in a broken file
        msg = f"{path.name} cannot be read as {path.suffix[1:].upper()}: {problem}"
        raise InputError(msg) from None
    if not isinstance(loaded, trimesh.Trimesh) or not len(loaded.faces):
        msg = f"{path.name} holds no triangles"
        raise InputError(msg)
    return loaded


def _unit_of(path: Path, mesh: Trimesh, unit: str | None) -> str:
    said = unit or _LONG_NAMES.get(str(mesh.units), str(mesh.units))
    if said in MESH_UNITS_M:
        return said
    longest = float(max(mesh.extents))
    allowed = ", ".join(MESH_UNITS_M)
    got = f"'{unit}' is not one" if unit else "the file does not say"
    msg = (
        f"{path.name}: say its unit ({allowed}); {got}. Its longest side is {longest:.4g}: "
        f"{longest:.4g} mm, or {longest * 25.4:.4g} mm if it is drawn in inches"
    )
    raise InputError(msg)


def _check_closed(path: Path, mesh: Trimesh) -> None:
    if mesh.is_watertight and mesh.is_winding_consistent:
        return
    edges = np.sort(mesh.edges, axis=1)
    _unique, times = np.unique(edges, axis=0, return_counts=True)
    open_edges = int(np.sum(times != 2))
    msg = (
        f"{path.name} is not closed: {open_edges} edges do not join exactly two triangles. "
        "Export the free inside as one solid body, or repair it in the program that drew it"
    )
    raise InputError(msg)


def _check_size(path: Path, mesh: Trimesh, unit_m: float) -> None:
    longest = float(max(mesh.extents))
    longest_m = longest * unit_m
    if not math.isfinite(longest_m) or SHORTEST_M <= longest_m <= LARGEST_M:
        return
    others = [
        name
        for name, length_m in MESH_UNITS_M.items()
        if SHORTEST_M <= longest * length_m <= LARGEST_M
    ]
    offer = f" Was it drawn in {' or '.join(others)}?" if others else ""
    msg = (
        f"{path.name} is {longest_m * 1e3:.4g} mm at its longest; a cavity is "
        f"{SHORTEST_M * 1e3:g} to {LARGEST_M * 1e3:g} mm.{offer}"
    )
    raise OutOfRangeError(msg)
