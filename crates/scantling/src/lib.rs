//! The whole house in one call: texts in, record, verdict and page out. No I/O.
