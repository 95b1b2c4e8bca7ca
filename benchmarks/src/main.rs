//! How every performance figure of the project is reproduced: `cargo run --release -p benchmarks -- refit | scale | pages | exploded | systems | boards | jobs | goals | paired`.
//! One JSON object a line on standard output; `benchmarks/README.md` keeps what was measured.
#![forbid(unsafe_code)]

mod boards;
mod builds;
mod goals;
mod jobs;
mod paired;
mod refit;
mod scale;
mod systems;

fn main() -> std::process::ExitCode {
    let what = std::env::args().nth(1).unwrap_or_default();
    let measured = match what.as_str() {
        "refit" => refit::run(),
        "scale" => scale::run(),
        "pages" => refit::pages(),
        "exploded" => scale::exploded(),
        "systems" => systems::run(std::env::args().nth(2).and_then(|count| count.parse().ok()).unwrap_or(200)),
        "boards" => boards(&std::env::args().skip(2).collect::<Vec<String>>()),
        "jobs" => jobs::run(std::env::args().nth(2).and_then(|count| count.parse().ok()).unwrap_or(1000)),
        "goals" => goals(&std::env::args().skip(2).collect::<Vec<String>>()),
        "paired" => paired::run(std::env::args().nth(2).and_then(|count| count.parse().ok()).unwrap_or(400)),
        // Called by `scale` itself, so that each size has a process of its own and its memory can be told.
        "scale-one" => scale::one(std::env::args().nth(2).and_then(|parts| parts.parse().ok()).unwrap_or(0)),
        _ => {
            Err("usage: benchmarks refit | scale | pages | exploded | systems [COUNT] | boards DIR [CLASS] [each] | jobs [COUNT] | goals [COUNT [FILE]] | paired [COUNT]"
                .to_owned())
        }
    };
    match measured {
        Ok(()) => std::process::ExitCode::SUCCESS,
        Err(message) => {
            eprintln!("{message}");
            std::process::ExitCode::FAILURE
        }
    }
}

/// A folder of instances, perhaps the name of one class, and `each` to be told of every instance.
fn boards(words: &[String]) -> Result<(), String> {
    let (each, words): (Vec<&String>, Vec<&String>) = words.iter().partition(|word| *word == "each");
    let folder = words.first().ok_or("boards needs the folder of the instances")?;
    boards::run(folder, words.get(1).map(|class| class.as_str()), !each.is_empty())
}

/// A number of jobs, and perhaps what an earlier build made of them.
fn goals(words: &[String]) -> Result<(), String> {
    let count = words.first().and_then(|count| count.parse().ok()).unwrap_or(300);
    goals::run(count, words.get(1).map(String::as_str))
}

/// The median and the 95th percentile of some times, in milliseconds.
fn median_and_p95(mut times: Vec<f64>) -> (f64, f64) {
    times.sort_by(f64::total_cmp);
    let at = |share: f64| times[((times.len() - 1) as f64 * share).round() as usize];
    (at(0.5), at(0.95))
}
