//! Plans drawn to scale as SVG: the rod, views, boards as they lie at the saw.
