//! The independent referee: reads the exported JSON and trusts none of it.
