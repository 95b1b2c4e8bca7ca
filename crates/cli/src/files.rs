//! Files in and out: the plan's folder, and writing so that the old file or the new one is there whole.

use scantling::{Missing, World};
use std::fs;
use std::io::{self, Read, Write};
use std::path::{Path, PathBuf};

/// The most that is read of any file: twice what the reader takes, so that it can say what is wrong with a long one.
const MOST_BYTES: u64 = 2 << 20;

/// The most that is read of a day book: one byte more than its reader takes, so that it can say that it is too long.
pub const MOST_OF_A_BOOK: u64 = scantling::MOST_OF_A_BOOK as u64 + 1;

/// The folder of a plan: its yard and shed are looked for there.
pub struct Folder {
    path: PathBuf,
}

impl Folder {
    /// The folder of a plan and the plan's name in it.
    ///
    /// # Errors
    /// If the path names no file.
    pub fn of(plan: &Path) -> Result<(Folder, String), String> {
        let name = plan.file_name().and_then(|name| name.to_str());
        let name = name.ok_or_else(|| format!("`{}` is not the name of a plan", plan.display()))?;
        let path = plan.parent().map(Path::to_owned).unwrap_or_default();
        Ok((Folder { path }, name.to_owned()))
    }
}

impl World for Folder {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        read(&self.path.join(name), MOST_BYTES, "plan, yard or shed").map_err(|reason| Missing { reason })
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        let path = self.path.join(name);
        match fs::symlink_metadata(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            _ => read(&path, MOST_OF_A_BOOK, "day book").map(Some).map_err(|reason| Missing { reason }),
        }
    }
}

/// A folder in which one file says something else.
pub struct With<'f> {
    /// The folder.
    pub folder: &'f Folder,
    /// The name of the file.
    pub name: &'f str,
    /// What it says.
    pub text: &'f str,
}

impl World for With<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        if name == self.name { Ok(self.text.as_bytes().to_vec()) } else { self.folder.file(name) }
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        self.folder.file_if_there(name)
    }
}

fn read(path: &Path, most: u64, what: &str) -> Result<Vec<u8>, String> {
    let file = fs::File::open(path).map_err(|error| reason(&error))?;
    read_open(&file, most, what)
}

/// All bytes of a file that is open.
///
/// # Errors
/// If it is longer than any `what`, or cannot be read.
pub fn read_open(file: &fs::File, most: u64, what: &str) -> Result<Vec<u8>, String> {
    let length = file.metadata().map_or(0, |metadata| metadata.len());
    if length > most {
        return Err(format!("it is {length} bytes long, which no {what} is"));
    }
    let mut bytes = Vec::new();
    // A file that tells no length, such as a pipe, is cut off.
    file.take(most).read_to_end(&mut bytes).map_err(|error| reason(&error))?;
    Ok(bytes)
}

/// Why, in words.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file".into(),
        io::ErrorKind::PermissionDenied => "it may not be read".into(),
        io::ErrorKind::IsADirectory => "it is a folder".into(),
        _ => error.to_string(),
    }
}

/// Writes a file whole: into a temporary file beside it, which then takes its name. If anything fails on the way the old
/// file stays as it was.
///
/// # Errors
/// What failed, with the path.
pub fn write(path: &Path, bytes: &[u8]) -> Result<(), String> {
    let name = path.file_name().ok_or_else(|| format!("`{}` is not the name of a file", path.display()))?;
    let mut beside = std::ffi::OsString::from(".");
    beside.push(name);
    beside.push(format!(".{}.part", std::process::id()));
    let part = path.with_file_name(beside);
    let written = fs::File::create(&part).and_then(|mut file| {
        // Who may read the old file may read the new one, and nobody else.
        if let Ok(old) = fs::metadata(path) {
            file.set_permissions(old.permissions())?;
        }
        file.write_all(bytes)?;
        file.sync_all()
    });
    let renamed = written.and_then(|()| fs::rename(&part, path));
    renamed.map_err(|error| {
        // The part may not exist; there is nothing more to do about it then.
        let _ = fs::remove_file(&part);
        let why =
            if error.kind() == io::ErrorKind::NotFound { "there is no such folder".into() } else { reason(&error) };
        format!("`{}` cannot be written: {why}", path.display())
    })
}
