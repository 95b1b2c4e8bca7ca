//! The example builds, and the core asked as the app asks it.

use serde_json::{Map, Value, json};
use std::path::{Path, PathBuf};

/// A plan and its files.
#[derive(Clone)]
pub struct Build {
    pub plan: String,
    pub files: Map<String, Value>,
}

/// All example builds.
pub fn builds() -> Vec<Build> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds");
    let entries = std::fs::read_dir(folder).expect("builds").flatten().map(|entry| entry.path());
    let mut folders: Vec<PathBuf> = entries.filter(|path| path.is_dir()).collect();
    folders.sort();
    assert!(folders.len() > 7);
    folders.iter().map(|folder| build(folder)).collect()
}

/// One of them.
pub fn build_of(name: &str) -> Build {
    build(&Path::new(env!("CARGO_MANIFEST_DIR")).join("../../builds").join(name))
}

fn build(folder: &Path) -> Build {
    let name = folder.file_name().expect("a name").to_string_lossy().into_owned();
    let texts = ["plan", "yard", "shed"].map(|what| format!("{name}.{what}.toml"));
    let read = |file: String| {
        let text = std::fs::read_to_string(folder.join(&file)).expect("a text");
        (file, Value::from(text))
    };
    Build { plan: format!("{name}.plan.toml"), files: texts.map(read).into_iter().collect() }
}

/// The answer to a request.
pub fn ask(request: &Value) -> Value {
    let answer = scantling_app::answer(request.to_string().as_bytes());
    serde_json::from_str(&answer).expect("an answer is JSON")
}

impl Build {
    /// What a question about this plan is answered with.
    pub fn ask(&self, ask: &str, with: Value) -> Value {
        let mut request = json!({ "ask": ask, "plan": self.plan, "files": self.files });
        request.as_object_mut().expect("an object").extend(with.as_object().cloned().unwrap_or_default());
        self::ask(&request)
    }

    /// The text of one of its files.
    pub fn text(&self, file: &str) -> &str {
        self.files[file].as_str().expect("a text")
    }

    /// The same with one file changed.
    pub fn with(&self, file: &str, text: &str) -> Build {
        let mut other = self.clone();
        other.files.insert(file.to_owned(), text.into());
        other
    }

    /// The same after some edits.
    pub fn edited(&self, edits: &Value) -> Build {
        let mut build = self.clone();
        for one in edits.as_array().expect("a list of edits") {
            let file = one["file"].as_str().expect("a file");
            let request = json!({ "ask": "edit", "text": build.text(file), "path": one["path"], "to": one["to"] });
            let answer = ask(&request);
            build = build.with(file, answer["ok"]["text"].as_str().unwrap_or_else(|| panic!("{one}: {answer}")));
        }
        build
    }
}
