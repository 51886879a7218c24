"""Exact geometry of turned bodies in the half-plane (z, r): regions of lines and arcs, and threads.

This floor alone speaks of radii; every floor above it speaks of diameters.
"""
