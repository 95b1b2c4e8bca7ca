//! Text to typed plan, yard and shed; every error with its place and a hint.
