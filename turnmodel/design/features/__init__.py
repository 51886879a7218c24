"""The features a turned part is made of: outside, inside, across, and the treatment of edges."""
