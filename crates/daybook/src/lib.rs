//! The day book: what was read and what was done, one line of JSON for each entry, append-only. `docs/daybook.md` says what the
//! lines mean.
//!
//! [`Book::read`] takes the bytes of a file, whatever they are; [`Book::next`] gives the text that is appended to it. No file is
//! touched here: that is for the rims.
#![forbid(unsafe_code)]

mod book;
mod entry;
mod fields;
mod lines;
mod stand;

pub use book::{BadBook, Book, MOST_BYTES, MOST_LINES};
pub use entry::{Along, Entry, Holds, Shelf, What};
pub use model::standing::Out;
pub use stand::stand;

use sha2::{Digest, Sha256};

/// The first 16 hexadecimal digits of the SHA-256 (FIPS 180-4) of a plan's text: which plan an entry was written against.
pub fn digest(plan: &str) -> String {
    Sha256::digest(plan.as_bytes()).iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    /// FIPS 180-4, example of one block: the SHA-256 of `abc` is ba7816bf 8f01cfea 4141…
    #[test]
    fn the_digest_is_the_head_of_sha_256() {
        assert_eq!(super::digest("abc"), "ba7816bf8f01cfea");
    }
}
