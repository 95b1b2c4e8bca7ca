//! Answers one question of the app from standard input: `cargo run -p scantling-app --example answer < request.json`.

use std::io::{Read, Write};

fn main() -> std::io::Result<()> {
    let mut request = Vec::new();
    std::io::stdin().read_to_end(&mut request)?;
    std::io::stdout().write_all(scantling_app::answer(&request).as_bytes())
}
