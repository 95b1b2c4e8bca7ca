//! The core for browsers: built small, and smaller still where `wasm-opt` is installed.

use flate2::Compression;
use flate2::write::DeflateEncoder;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;

/// Builds the core with the profile `wasm` and gives its bytes. Only a library of its own kind is linked as a whole, so the crate type
/// is said here.
const BUILD: &str = r#"set -e
cd "$HOUSE"
eval "$(sh tests/wasm/toolchain.sh)"
cargo rustc --locked $WASM_ARGS -q -p scantling-wasm --profile wasm --target wasm32-unknown-unknown --crate-type cdylib"#;

/// The bytes of the core.
pub fn build(house: &Path) -> Result<Vec<u8>, String> {
    let built = Command::new("sh").args(["-c", BUILD]).env("HOUSE", house).status();
    let built = built.map_err(|error| format!("the core was not built: {error}"))?;
    if !built.success() {
        return Err(format!("the core was not built: {built}"));
    }
    let path = target(house)?.join("wasm32-unknown-unknown/wasm/scantling_wasm.wasm");
    let smaller = path.with_extension("opt.wasm");
    let options = [
        "-Os",
        "--enable-bulk-memory",
        "--enable-nontrapping-float-to-int",
        "--enable-sign-ext",
        "--enable-mutable-globals",
        "--enable-multivalue",
        "--enable-reference-types",
        "-o",
    ];
    let path = match Command::new("wasm-opt").arg(&path).args(options).arg(&smaller).status() {
        Ok(status) if status.success() => smaller,
        Ok(status) => return Err(format!("wasm-opt: {status}")),
        // It is not installed: the core is whole without it.
        Err(_) => path,
    };
    fs::read(&path).map_err(|error| format!("`{}`: {error}", path.display()))
}

/// The folder that cargo builds into.
fn target(house: &Path) -> Result<PathBuf, String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let metadata = ["metadata", "--no-deps", "--format-version", "1", "--offline"];
    let told = Command::new(cargo).args(metadata).current_dir(house).output().map_err(|error| error.to_string())?;
    let told: serde_json::Value = serde_json::from_slice(&told.stdout).map_err(|error| error.to_string())?;
    told["target_directory"].as_str().map(PathBuf::from).ok_or_else(|| "cargo does not say where it builds".into())
}

/// Bytes compressed as browsers unpack them (`deflate-raw`).
pub fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
    encoder.write_all(bytes).and_then(|()| encoder.finish()).expect("memory takes all")
}
