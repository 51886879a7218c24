"""The second geometry of a part: triangle meshes with real threads, and CAD solids."""
