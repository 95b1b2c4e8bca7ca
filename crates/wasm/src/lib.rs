//! The core behind a C ABI for browsers: bytes in, bytes out.
