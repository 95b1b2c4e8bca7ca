//! Chores of the house.
//!
//! `cargo xtask app FOLDER` builds the app: a folder of static files for any web host, and in it `single.html`, the same in one
//! file that opens from disk. `docs/app.md` says what stands in both.
#![forbid(unsafe_code)]

mod bundle;
mod core;
mod single;

use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Files by their paths in the folder of the app.
type Files = BTreeMap<String, Vec<u8>>;

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match arguments[..] {
        ["app", folder] => app(Path::new(folder), None),
        ["app", folder, "--core", file] => app(Path::new(folder), Some(Path::new(file))),
        _ => Err("usage: cargo xtask app FOLDER [--core FILE]".into()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("error: {error}");
            ExitCode::FAILURE
        }
    }
}

/// Builds the app into a folder, with a core that was built before if there is one. Files of the same names are replaced; others stay, and are no part of the app.
fn app(folder: &Path, core: Option<&Path>) -> Result<(), String> {
    let house = house()?;
    let mut files = Files::new();
    gather(&house.join("app"), "", &mut files)?;
    gather(&house.join("builds"), "examples/", &mut files)?;
    files.retain(|path, _| !path.starts_with("examples/") || path.ends_with(".toml") || path.ends_with(".json"));
    let core = match core {
        Some(core) => fs::read(core).map_err(|error| format!("`{}`: {error}", core.display()))?,
        None => core::build(&house)?,
    };
    files.insert("scantling.wasm".into(), core);
    let version = version(&files);
    // A browser looks for a newer app when the bytes of its keeper change.
    let keeper = files.get_mut("sw.js").ok_or("the app has no sw.js")?;
    keeper.splice(..0, format!("// {version}\n").into_bytes());
    let single = single::html(&files)?;
    let list = serde_json::json!({ "version": version, "files": files.keys().collect::<Vec<_>>() });
    files.insert("files.json".into(), format!("{list}\n").into_bytes());
    let packed: usize = files.values().map(|bytes| core::packed(bytes).len()).sum();
    files.insert("single.html".into(), single.into_bytes());
    for (path, bytes) in &files {
        put(&folder.join(path), bytes)?;
    }
    let one = files["single.html"].len();
    println!("wrote {} files into {}, version {version}", files.len(), folder.display());
    println!("kept without a network: {packed} bytes, compressed one by one; single.html: {one} bytes");
    Ok(())
}

/// The root of the repository.
fn house() -> Result<PathBuf, String> {
    let own = PathBuf::from(std::env::var_os("CARGO_MANIFEST_DIR").ok_or("run me as `cargo xtask`")?);
    own.parent().map(Path::to_owned).ok_or_else(|| "the house has no root".into())
}

/// The files below a folder, with the paths that they get.
fn gather(folder: &Path, under: &str, files: &mut Files) -> Result<(), String> {
    let entries = fs::read_dir(folder).map_err(|error| format!("`{}`: {error}", folder.display()))?;
    for entry in entries.flatten() {
        let (path, name) = (entry.path(), entry.file_name().to_string_lossy().into_owned());
        if path.is_dir() {
            gather(&path, &format!("{under}{name}/"), files)?;
        } else {
            let bytes = fs::read(&path).map_err(|error| format!("`{}`: {error}", path.display()))?;
            files.insert(format!("{under}{name}"), bytes);
        }
    }
    Ok(())
}

/// The version of the house, and a digest of all paths and files.
fn version(files: &Files) -> String {
    let mut digest = Sha256::new();
    for (path, bytes) in files {
        digest.update(format!("{path} {}\n", bytes.len()));
        digest.update(bytes);
    }
    let hex: String = digest.finalize()[..8].iter().map(|byte| format!("{byte:02x}")).collect();
    format!("{}-{hex}", env!("CARGO_PKG_VERSION"))
}

fn put(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let told = |error: std::io::Error| format!("`{}`: {error}", path.display());
    fs::create_dir_all(path.parent().unwrap_or(path)).map_err(told)?;
    fs::write(path, bytes).map_err(told)
}
