//! How long the drag lane takes on each build, as the app asks it, and how long its answers are:
//! `cargo run --release -p scantling-app --example drag`, from the root of the repository.

use serde_json::{Map, Value, json};
use std::time::Instant;

/// How often each size is drawn to another place.
const TIMES: usize = 200;

fn main() -> std::io::Result<()> {
    let mut folders: Vec<_> = std::fs::read_dir("builds")?.flatten().map(|entry| entry.path()).collect();
    folders.retain(|path| path.is_dir());
    folders.sort();
    for folder in folders {
        let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let mut files = Map::new();
        for what in ["plan", "yard", "shed"] {
            let file = format!("{name}.{what}.toml");
            files.insert(file.clone(), std::fs::read_to_string(folder.join(&file))?.into());
        }
        let ask = |ask: &str, wants: Value| {
            let plan = format!("{name}.plan.toml");
            json!({ "ask": ask, "plan": plan, "files": files, "wants": wants }).to_string()
        };
        let begun = Instant::now();
        let answer = scantling_app::answer(ask("settle", json!({})).as_bytes());
        let (settle, bytes) = (begun.elapsed(), answer.len());
        let settled: Value = serde_json::from_str(&answer)?;
        let mut took = Vec::new();
        let mut longest = 0;
        for at in 0..TIMES {
            for size in settled["ok"]["sizes"].as_array().into_iter().flatten() {
                let [from, to] = ["from", "to"].map(|end| size[end].as_i64().unwrap_or_default());
                let want = from + (to - from) / TIMES as i64 * at as i64;
                let request = ask("drag", json!({ size["name"].as_str().unwrap_or_default(): want }));
                let begun = Instant::now();
                longest = scantling_app::answer(request.as_bytes()).len().max(longest);
                took.push(begun.elapsed());
            }
        }
        took.sort();
        let [median, most] = [took[took.len() / 2], took[took.len() * 99 / 100]];
        println!(
            "{name:16} drag {median:8.2?}, 99 % within {most:8.2?}, {longest:6} bytes; settle {settle:8.2?}, {bytes} bytes"
        );
    }
    Ok(())
}
