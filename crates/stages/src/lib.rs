//! What follows from a detailed plan: check, cut, buy; each a pure function of what stands above it.
