//! The example builds, from the folder `builds/` of the repository.

use scantling::{Missing, World};
use std::path::PathBuf;

/// One example: its folder and the name of its plan.
pub struct Example {
    /// The folder's name.
    pub name: String,
    /// The plan's file name.
    pub plan: String,
    folder: PathBuf,
}

impl World for Example {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        std::fs::read(self.folder.join(name)).map_err(|error| Missing { reason: error.to_string() })
    }
}

/// Every example, by name.
pub fn all() -> Result<Vec<Example>, String> {
    let folder = PathBuf::from(concat!(env!("CARGO_MANIFEST_DIR"), "/../builds"));
    let mut examples = Vec::new();
    for entry in
        std::fs::read_dir(&folder).map_err(|error| error.to_string())?.flatten().filter(|entry| entry.path().is_dir())
    {
        let name = entry.file_name().to_string_lossy().into_owned();
        examples.push(Example { plan: format!("{name}.plan.toml"), name, folder: entry.path() });
    }
    examples.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(examples)
}
