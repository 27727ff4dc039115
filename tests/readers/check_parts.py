#!/usr/bin/env python3
"""Reads drawings and solids of parts with other people's readers, and measures them.

    check_parts.py FOLDER

opens every .dxf, .stl and .3mf below FOLDER. Drawings are read by ezdxf, whose auditor must
find nothing; every line that is not a text or a short mark must be closed. Solids are read
by trimesh and must be watertight with a volume above 0. Where `tooth-data.json` beside a
file names it ({file: {teeth, tip_mm, root_mm, side}}, side "external" or "internal"), the
teeth are counted and the tip and root diameters measured, to 1 µm.

Ends with status 1 and a line for each fault, and where there is nothing to read.
Needs ezdxf, trimesh, numpy, networkx, lxml from PyPI.
"""

import json
import math
import sys
from pathlib import Path

import ezdxf
import numpy
import trimesh

TOLERANCE_MM = 0.001
KINDS = (".dxf", ".stl", ".3mf")


def crossings(loop, radius):
    """How often a closed line crosses the circle of that radius about the axis."""
    outside = [math.hypot(x, y) > radius for x, y in loop]
    return sum(a != b for a, b in zip(outside, outside[1:] + outside[:1]))


def teeth_faults(loops, data):
    """Compares the toothed line among closed lines with what is told of it."""
    tip, root = data["tip_mm"] / 2, data["root_mm"] / 2
    low, high = min(tip, root), max(tip, root)
    if (data["side"] == "external") != (tip > root):
        yield f"the side is {data['side']}, but the tip radius is {tip} and the root radius {root}"
    toothed = [loop for loop in loops if crossings(loop, (tip + root) / 2)]
    if len(toothed) != 1:
        yield f"{len(toothed)} lines cross the teeth's middle circle"
        return
    count = crossings(toothed[0], (tip + root) / 2)
    if count != 2 * data["teeth"]:
        yield f"{count / 2} teeth, not {data['teeth']}"
    radii = [math.hypot(x, y) for x, y in toothed[0]]
    for name, found, told in (("inner", min(radii), low), ("outer", max(radii), high)):
        if abs(2 * found - 2 * told) > TOLERANCE_MM:
            yield f"the {name} diameter of the teeth is {2 * found:.6f}, not {2 * told:.6f} mm"


def drawing_faults(path, data):
    drawing = ezdxf.readfile(path)
    if drawing.dxfversion != "AC1009":
        yield f"version {drawing.dxfversion}"
    auditor = drawing.audit()
    for fault in list(auditor.errors) + list(auditor.fixes):
        yield f"the auditor says: {fault.message}"
    loops, closed = [], 0
    for entity in drawing.modelspace():
        layer, kind = entity.dxf.layer, entity.dxftype()
        if layer not in drawing.layers:
            yield f"a {kind} on layer {layer}, which the table has not"
        if kind == "POLYLINE":
            if not entity.is_closed:
                yield f"an open polyline on {layer}"
            points = [(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices]
            if len(points) < 3 or points[0] == points[-1]:
                yield f"a polyline on {layer} with {len(points)} points or its first point twice"
            loops.append(points)
        closed += kind in ("POLYLINE", "CIRCLE") and layer == "OUTLINE"
        if layer in ("OUTLINE", "HOLES") and kind not in ("POLYLINE", "CIRCLE"):
            yield f"a {kind} on {layer}, which is to be cut"
    if not closed:
        yield "no outline"
    if data:
        yield from teeth_faults(loops, data)


def section(mesh):
    """The closed lines of the face at the lower end."""
    bottom = mesh.bounds[0][2]
    flat = numpy.all(numpy.abs(mesh.triangles[:, :, 2] - bottom) < 1e-6, axis=1)
    edges = mesh.faces[flat][:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2)
    # An edge of one triangle of the face only is one of its border.
    directed = {tuple(edge) for edge in edges.tolist()}
    after = {a: b for a, b in directed if (b, a) not in directed}
    loops = []
    while after:
        start, point = after.popitem()
        corners = [start]
        while point != start:
            corners.append(point)
            point = after.pop(point)
        loops.append([tuple(mesh.vertices[corner][:2]) for corner in corners])
    return loops


def solid_faults(path, data):
    scene = trimesh.load_scene(path)
    meshes = list(scene.geometry.values())
    if not meshes:
        yield "no solid"
    if path.suffix == ".3mf" and scene.units not in ("mm", "millimeter", "millimeters"):
        yield f"the unit is {scene.units}, not millimetres"
    for mesh in meshes:
        if not mesh.is_watertight or not mesh.is_winding_consistent:
            yield "not watertight"
        elif not mesh.volume > 0:
            yield f"the volume is {mesh.volume} mm³"
    if data:
        if len(meshes) != 1:
            yield f"{len(meshes)} solids where teeth of one are told"
        else:
            yield from teeth_faults(section(meshes[0]), data)


def main(folder):
    paths = sorted(path for path in Path(folder).rglob("*") if path.suffix in KINDS)
    faults, measured, tables = [], 0, {}
    for path in paths:
        table = path.parent / "tooth-data.json"
        if table not in tables:
            tables[table] = json.loads(table.read_text()) if table.exists() else {}
        data = tables[table].get(path.name)
        measured += data is not None
        judge = drawing_faults if path.suffix == ".dxf" else solid_faults
        try:
            faults += [f"{path}: {fault}" for fault in judge(path, data)]
        except Exception as error:  # A reader that gives up is a fault of the file.
            faults.append(f"{path}: cannot be read: {error!r}")
    for table, told in tables.items():
        missing = [name for name in told if not (table.parent / name).exists()]
        faults += [f"{table}: tells of {name}, which is not there" for name in missing]
    if not paths:
        faults.append(f"{folder}: no drawings and no solids")
    for fault in faults:
        print(fault, file=sys.stderr)
    print(f"{len(paths)} files read, {measured} measured, {len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
