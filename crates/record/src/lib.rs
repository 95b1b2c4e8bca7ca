//! Everything a settled plan says, as one versioned JSON.
