//! Published sets of the one-dimensional bin packing problem: how many instances are proven best, and how fast.
//!
//! A folder holds one file `CLASS.jsonl` for each class, one instance a line (`name`, `capacity`, and `items` as pairs of size and
//! count), and perhaps `optima.csv`, against which every answer is held. Every board costs 1; there is no kerf and no trim.

use packing::{Cutting, Item, Job, Limits, Status, Stock};
use std::collections::BTreeMap;
use std::path::Path;
use std::time::Instant;

/// Steps for one instance: some seconds of work.
const STEPS: u64 = 1_000_000_000;

/// One instance.
struct Instance {
    name: String,
    job: Job,
}

/// What came of one instance.
struct Ran {
    proven: bool,
    wrong: bool,
    milliseconds: f64,
}

/// Runs every class of a folder, or one of them; with `each` every instance is told on standard error.
pub fn run(folder: &str, only: Option<&str>, each: bool) -> Result<(), String> {
    let folder = Path::new(folder);
    let optima = optima(&folder.join("optima.csv"))?;
    let mut files: Vec<_> = std::fs::read_dir(folder)
        .map_err(|error| format!("{}: {error}", folder.display()))?
        .filter_map(|entry| Some(entry.ok()?.path()))
        .filter(|path| path.extension().is_some_and(|extension| extension == "jsonl"))
        .collect();
    files.sort();
    for path in files {
        let class = path.file_stem().and_then(|stem| stem.to_str()).unwrap_or_default().to_owned();
        if only.is_none_or(|only| only == class) {
            run_class(&class, &path, &optima, each)?;
        }
    }
    Ok(())
}

fn run_class(class: &str, path: &Path, optima: &BTreeMap<String, (i64, i64)>, each: bool) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|error| format!("{}: {error}", path.display()))?;
    let mut ran = Vec::new();
    for (line, told) in text.lines().enumerate().filter(|(_, told)| !told.trim().is_empty()) {
        let instance = instance(told).ok_or_else(|| format!("{}:{}: not an instance", path.display(), line + 1))?;
        let one = run_one(&instance, optima.get(&instance.name).copied(), each)?;
        ran.push(one);
    }
    if ran.is_empty() {
        return Ok(());
    }
    let count = |keep: &dyn Fn(&Ran) -> bool| ran.iter().filter(|one| keep(one)).count();
    let times: Vec<f64> = ran.iter().map(|one| one.milliseconds).collect();
    let longest = times.iter().copied().fold(0.0, f64::max);
    let (median, p95) = crate::median_and_p95(times);
    // No proof of this engine rests on floats: what is proven is proven in whole numbers.
    println!(
        "{{\"class\": \"{class}\", \"total\": {}, \"proven\": {}, \"proven_numeric\": 0, \"wrong\": {}, \
         \"median_ms\": {median:.3}, \"p95_ms\": {p95:.3}, \"max_ms\": {longest:.3}}}",
        ran.len(),
        count(&|one| one.proven && !one.wrong),
        count(&|one| one.wrong),
    );
    Ok(())
}

fn run_one(instance: &Instance, known: Option<(i64, i64)>, each: bool) -> Result<Ran, String> {
    let start = Instant::now();
    let cutting = packing::cheapest(&instance.job, &Limits { steps: STEPS }, &|| false);
    let milliseconds = start.elapsed().as_secs_f64() * 1e3;
    let cutting = cutting.map_err(|problem| format!("{}: {problem}", instance.name))?;
    let (proven, lower) = match &cutting.status {
        Status::Proven(_) => (true, cutting.cost),
        Status::Bound { lower, .. } => (false, *lower),
    };
    let certificate = match &cutting.status {
        Status::Proven(certificate) | Status::Bound { certificate, .. } => certificate,
    };
    let sound = is_a_plan(&instance.job, &cutting) && packing::verify(&instance.job, certificate).is_ok();
    let contradicts = known.is_some_and(|(least, most)| lower > most || cutting.cost < least);
    if each {
        let kind = certificate.kind;
        eprintln!(
            "{} cost {} lower {lower} bound {} {kind:?} proven {proven} sound {sound} known {known:?} steps {} ms {milliseconds:.3}",
            instance.name, cutting.cost, certificate.bound, cutting.steps
        );
    }
    Ok(Ran { proven, wrong: !sound || contradicts, milliseconds })
}

/// Whether a plan cuts what is asked from boards that hold it, worked out anew.
fn is_a_plan(job: &Job, cutting: &Cutting) -> bool {
    let mut made = vec![0_u32; job.items.len()];
    let mut boards = 0;
    for pattern in &cutting.patterns {
        let length: i64 = pattern.parts.iter().map(|&(item, count)| job.items[item].length * i64::from(count)).sum();
        if length > job.stocks[pattern.stock].length {
            return false;
        }
        pattern.parts.iter().for_each(|&(item, count)| made[item] += count * pattern.times);
        boards += i64::from(pattern.times);
    }
    boards == cutting.cost && job.items.iter().zip(&made).all(|(item, &made)| item.demand == made)
}

/// The bounds that are known of each instance; empty if there is no such file.
fn optima(path: &Path) -> Result<BTreeMap<String, (i64, i64)>, String> {
    let Ok(text) = std::fs::read_to_string(path) else { return Ok(BTreeMap::new()) };
    let mut lines = text.lines();
    let head: Vec<&str> = lines.next().unwrap_or_default().split(',').collect();
    let column = |name: &str| {
        head.iter().position(|&known| known == name).ok_or_else(|| format!("{}: no column {name}", path.display()))
    };
    let (name, least, most) = (column("instance")?, column("best_known_lower")?, column("best_known_upper")?);
    let row = |line: &str| {
        let fields: Vec<&str> = line.split(',').collect();
        let number = |at: usize| fields.get(at).and_then(|field| field.trim().parse::<i64>().ok());
        Some(((*fields.get(name)?).to_owned(), (number(least)?, number(most)?)))
    };
    Ok(lines.filter_map(row).collect())
}

fn instance(line: &str) -> Option<Instance> {
    let name = after(line, "\"name\"")?.trim_start().strip_prefix('"')?.split('"').next()?.to_owned();
    let capacity = numbers(after(line, "\"capacity\"")?).next()?;
    let list = after(line, "\"items\"")?;
    let sizes: Vec<i64> = numbers(&list[..list.find("]]")?]).collect();
    let item = |pair: &[i64]| Some(Item { length: pair[0], demand: u32::try_from(*pair.get(1)?).ok()? });
    let items = sizes.chunks(2).map(item).collect::<Option<Vec<Item>>>()?;
    let stocks = vec![Stock { length: capacity, cost: 1, supply: None }];
    Some(Instance { name, job: Job { items, stocks, ..Job::default() } })
}

/// What follows a key and its colon.
fn after<'t>(line: &'t str, key: &str) -> Option<&'t str> {
    line[line.find(key)? + key.len()..].trim_start().strip_prefix(':')
}

/// The whole numbers of a text in their order.
fn numbers(text: &str) -> impl Iterator<Item = i64> {
    text.split(|letter: char| !letter.is_ascii_digit()).filter_map(|digits| digits.parse().ok())
}
