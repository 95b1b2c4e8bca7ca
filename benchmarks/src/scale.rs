//! Growth: plans of 100 to 10,000 parts, text to page.

use crate::median_and_p95;
use advise::Effort;
use scantling::{Missing, World};
use std::process::Command;
use std::time::Instant;

/// Long beds, each clad all round with narrow upright boards, in a ring of small setts: as many beds as it takes, since one is
/// at most 20 m long.
struct Long {
    parts: u32,
}

impl World for Long {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let texts =
            [("long.plan.toml", self.plan()), ("long.yard.toml", YARD.to_owned()), ("long.shed.toml", SHED.to_owned())];
        let text = texts.into_iter().find(|(known, _)| *known == name);
        text.map(|(_, text)| text.into_bytes()).ok_or_else(|| Missing { reason: "there is no such file".into() })
    }
}

impl Long {
    fn plan(&self) -> String {
        let beds = self.parts.div_ceil(1_000);
        // Slats and setts take some 57 mm of the outline each, so the outline is about 28 mm for each part.
        let round = 28 * i64::from(self.parts / beds);
        let (length, width) = (round * 3 / 10, round * 2 / 10);
        let head =
            "format = 1\ntitle = \"Long bed\"\nyard = \"long.yard.toml\"\nshed = \"long.shed.toml\"\n".to_owned();
        (0..beds).map(|bed| bed_of(bed, length, width)).fold(head, |text, bed| text + &bed)
    }
}

fn bed_of(bed: u32, length: i64, width: i64) -> String {
    let (from, to) = (|size: i64| size - 60, |size: i64| size + 60);
    format!(
        "\n[piece.bed-{bed}]\nis = \"walls\"\nlength = {{ want = {length}, from = {}, to = {} }}\n\
         width = {{ want = {width}, from = {}, to = {} }}\nheight = {{ exactly = 400 }}\nboard = \"plank\"\n\n\
         [piece.skin-{bed}]\nis = \"cladding\"\non = \"bed-{bed}\"\nboard = \"slat\"\n\
         gap = {{ want = 8, from = 5, to = 12 }}\n\n\
         [piece.ring-{bed}]\nis = \"edging\"\naround = \"skin-{bed}\"\nunit = \"cube\"\n\
         joint = {{ want = 6, from = 4, to = 9 }}\nclearance = 10\n",
        from(length),
        to(length),
        from(width),
        to(width)
    )
}

const YARD: &str = "format = 1\ncurrency = \"EUR\"\n\n\
    [board.plank]\nthickness = 40\nwidth = 200\nmaterial = \"larch\"\nlengths = [{ length = 20000, price = 90.00 }]\n\n\
    [board.slat]\nthickness = 20\nwidth = 45\nmaterial = \"larch\"\nlengths = [{ length = 2400, price = 3.10 }, { length = 3000, price = 3.85 }]\n\n\
    [unit.cube]\nlength = 50\nwidth = 50\nthickness = 50\nprice = 0.40\nmaterial = \"granite\"\n";
const SHED: &str = "format = 1\n\n[saw]\nkerf = 3\ntrim = 10\n";

/// Each size in a process of its own.
pub fn run() -> Result<(), String> {
    let own = std::env::current_exe().map_err(|error| error.to_string())?;
    for parts in [100, 300, 1_000, 3_000, 10_000] {
        let status =
            Command::new(&own).args(["scale-one", &parts.to_string()]).status().map_err(|error| error.to_string())?;
        if !status.success() {
            return Err(format!("{parts} parts did not come out"));
        }
    }
    Ok(())
}

/// The exploded view of some hundred, five hundred and two thousand parts.
pub fn exploded() -> Result<(), String> {
    for parts in [100, 500, 2_000] {
        let (plan, _) = scantling::read_plan("long.plan.toml", &Long { parts })
            .map_err(|refused| scantling::refused(&refused, false))?;
        let dragged = advise::drag(&plan, &Effort::dragging(), &|| false)
            .map_err(|_| format!("{parts} parts do not come out"))?;
        let time = |_| {
            let start = Instant::now();
            std::hint::black_box(drawing::exploded(&dragged.build, drawing::Paper::Page));
            start.elapsed().as_secs_f64() * 1e3
        };
        let (median, p95) = median_and_p95((0..20).map(time).collect());
        println!("{{\"parts\": {}, \"median_ms\": {median:.1}, \"p95_ms\": {p95:.1}}}", dragged.build.parts.len());
    }
    Ok(())
}

/// One size: text to page, and the most memory the process ever had.
pub fn one(parts: u32) -> Result<(), String> {
    let long = Long { parts };
    let start = Instant::now();
    let done = scantling::run("long.plan.toml", &long, &Effort::default(), &|| false);
    let done = done.map_err(|refused| scantling::refused(&refused, false))?;
    let bytes = done.page().len();
    let seconds = start.elapsed().as_secs_f64();
    let built = done.settled.build.parts.len();
    let passed = done.verdict.passed();
    println!(
        "{{\"parts\": {built}, \"seconds\": {seconds:.3}, \"peak_mb\": {:.0}, \"page_bytes\": {bytes}, \"refereed\": {passed}}}",
        peak_megabytes()?
    );
    Ok(())
}

/// The high-water mark of this process's memory, as Linux tells it.
fn peak_megabytes() -> Result<f64, String> {
    let status = std::fs::read_to_string("/proc/self/status").map_err(|error| error.to_string())?;
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kilobytes = line.and_then(|line| line.trim().trim_end_matches("kB").trim().parse::<f64>().ok());
    kilobytes
        .map(|kilobytes| kilobytes / 1024.0)
        .ok_or_else(|| "this system does not tell how much memory a process had".to_owned())
}
