//! The page: one self-contained HTML file.
