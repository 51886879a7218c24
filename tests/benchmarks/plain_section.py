"""A plain script: parts from mesh files, put in their places, a quarter cut out, drawn on one picture.

python plain_section.py PLACES.json PICTURE.png WIDTH HEIGHT
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import pyvista
import trimesh

places, picture, width, height = sys.argv[1:]
pyvista.OFF_SCREEN = True
plotter = pyvista.Plotter(off_screen=True, window_size=[int(width), int(height)])
plotter.set_background("white")
plotter.enable_anti_aliasing("msaa", multi_samples=8)
plotter.enable_parallel_projection()
volumes = {}
for name, (file, matrix, colour, whole) in json.loads(Path(places).read_text(encoding="utf-8")).items():
    mesh = trimesh.load_mesh(file).apply_transform(np.array(matrix))
    if not whole:
        box = trimesh.creation.box((1e3, 1e3, 2e3))
        box.apply_translation((5e2, -5e2, 0))
        mesh = trimesh.boolean.difference([mesh, box], engine="manifold")
    volumes[name] = mesh.volume
    faces = np.hstack([np.full((len(mesh.faces), 1), 3), mesh.faces])
    plotter.add_mesh(
        pyvista.PolyData(np.array(mesh.vertices), faces),
        color=colour,
        pbr=True,
        metallic=0.6,
        roughness=0.3,
        smooth_shading=True,
        split_sharp_edges=True,
    )
plotter.camera_position = [(1.0, -1.0, 0.0), (0.0, 0.0, 0.0), (1.0, 1.0, 0.0)]
plotter.reset_camera()
plotter.screenshot(picture)
Path(picture).with_suffix(".json").write_text(json.dumps(volumes), encoding="utf-8")
