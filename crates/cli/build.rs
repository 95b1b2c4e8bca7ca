//! Lists the files of the app, and the builds as its examples, so that the command carries them.

use std::fmt::Write;
use std::path::{Path, PathBuf};

fn main() {
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    let mut files = Vec::new();
    gather(&house.join("app"), "", &mut files);
    gather(&house.join("builds"), "examples/", &mut files);
    files.retain(|(name, _)| !name.starts_with("examples/") || name.ends_with(".toml") || name.ends_with(".json"));
    files.sort();
    let mut list = String::from("&[\n");
    for (name, path) in files {
        writeln!(list, "    ({name:?}, include_bytes!({path:?}) as &[u8]),").expect("a string takes all");
    }
    let out = std::env::var_os("OUT_DIR").expect("cargo says where");
    std::fs::write(Path::new(&out).join("app.rs"), list + "]").expect("the list is written");
    println!("cargo::rerun-if-changed=../../app");
    println!("cargo::rerun-if-changed=../../builds");
}

/// The files below a folder with the names that they get.
fn gather(folder: &Path, under: &str, files: &mut Vec<(String, PathBuf)>) {
    for entry in std::fs::read_dir(folder).expect("a folder of the house").flatten() {
        let (path, name) = (entry.path(), entry.file_name().into_string().expect("a plain name"));
        match path.is_dir() {
            true => gather(&path, &format!("{under}{name}/"), files),
            false => files.push((format!("{under}{name}"), path)),
        }
    }
}
