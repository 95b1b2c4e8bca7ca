//! The `scantling` command: files in, files out. All that it says of a plan comes from the crate `scantling`; here are only
//! the rims: arguments, files, exit codes.
#![forbid(unsafe_code)]

mod files;
mod keep;
mod note;
mod open;
mod progress;
mod shell;

use clap::{Parser, Subcommand};
use files::Folder;
use progress::Progress;
use scantling::{Aim, Done, Effort, Refused, Standing, Verdict, Which};
use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

/// Sizes that come out whole, boards to buy and how to cut them, from a plan in a text file.
///
/// Exit codes: 0 done; 1 a file could not be read or written; 2 the command line is wrong; 3 something is wrong in the plan,
/// the yard or the shed; 4 nothing comes out within the wishes; 5 the referee did not pass the plan; 6 the search was stopped
/// before anything came out.
#[derive(Parser)]
#[command(name = "scantling", version, max_term_width = 100, subcommand_required = true, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Fit a plan: sizes, parts, cutting, buying, questions
    Fit {
        /// The plan, such as builds/kitchen-trough/kitchen-trough.plan.toml
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// Print the whole record as JSON instead
        #[arg(long)]
        json: bool,
        /// The largest that comes out of the shed, with no board or sheet bought
        #[arg(long, value_name = "WHAT", value_parser = ["shed"], group = "aim")]
        use_up: Option<String>,
        /// The largest that can be paid with so much
        #[arg(long, value_name = "MONEY", group = "aim")]
        within: Option<String>,
        /// With one of these, the closest to the wish instead of the largest
        #[arg(long, requires = "aim")]
        closest: bool,
        /// The size that is to be the largest or the closest, such as trough.length; otherwise the first
        #[arg(long, value_name = "NAME")]
        size: Option<String>,
    },
    /// Write the page of a plan: one HTML file with everything in it
    Page {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// The file to write
        #[arg(short, long, value_name = "FILE")]
        output: PathBuf,
    },
    /// Write the build as a three-dimensional model: one glTF file (.glb), true to size
    Model {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// The file to write
        #[arg(short, long, value_name = "FILE")]
        output: PathBuf,
    },
    /// Write every drawing as a sheet to print: one SVG file for each, in a frame with a title block
    Drawings {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// The folder to write them into; it is made if it is not there
        #[arg(short, long, value_name = "FOLDER")]
        output: PathBuf,
    },
    /// Write every list as CSV: parts, cutting, buying, materials, fixings, cards, steps
    Lists {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// The folder to write them into; it is made if it is not there
        #[arg(short, long, value_name = "FOLDER")]
        output: PathBuf,
    },
    /// Ask why a number is what it is
    Why {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// The number's name, such as trough.length; without one, all names are listed
        quantity: Option<String>,
    },
    /// Write the shed anew once a plan is cut: what is used up goes, rests worth keeping come; the same plan once
    Keep {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// Keep it once more: it is really built again, from what is bought anew
        #[arg(long)]
        again: bool,
        /// Say what would change, and write nothing
        #[arg(long)]
        dry_run: bool,
    },
    /// Let the referee check a plan, or a record that was written before
    Audit {
        /// The plan
        plan: PathBuf,
        /// Build it another way that the plan states, such as `as-written`
        #[arg(long, value_name = "NAME")]
        way: Option<String>,
        /// A record written by `fit --json`; otherwise a new one is made
        #[arg(long, value_name = "FILE")]
        record: Option<PathBuf>,
        /// Print the verdict as JSON instead
        #[arg(long)]
        json: bool,
    },
    /// Note in the day book of a plan what was read or done, and see what it changes
    Note {
        /// The plan; its day book stands beside it
        plan: PathBuf,
        #[command(subcommand)]
        kind: note::Kind,
    },
    /// Serve the app to a browser on this machine, with the plans of a folder as the files that they are
    Open {
        /// The plan to begin with; without one the start, and what is made is kept in this folder
        plan: Option<PathBuf>,
        /// The port to listen on; 0 for any that is free
        #[arg(long, default_value_t = 0)]
        port: u16,
    },
    /// Print the reference of plan, yard and shed files, of the rules behind the numbers, or of the questions
    Reference {
        /// What
        #[arg(value_parser = ["files", "rules", "questions"])]
        of: String,
    },
    /// Print the JSON Schema of plan, yard or shed files, for an editor that completes and checks them
    Schema {
        /// Of which file
        #[arg(value_parser = ["plan", "yard", "shed"])]
        of: String,
    },
    /// Print the completions of this command for a shell
    Completions {
        /// The shell
        shell: clap_complete::Shell,
    },
    /// Print the page of the manual, in roff for `man`
    Manual {
        /// Write it into this folder instead, with a page for each command; the folder is made if it is not there
        #[arg(short, long, value_name = "FOLDER")]
        output: Option<PathBuf>,
    },
}

/// How a run ended.
enum Ended {
    Well,
    /// With a message for standard error, and its exit code.
    Badly(String, u8),
}

fn main() -> ExitCode {
    match run(&Arguments::parse().command) {
        Ended::Well => ExitCode::SUCCESS,
        Ended::Badly(message, code) => {
            // If standard error is gone there is nobody left to tell.
            let _ = std::io::stderr().write_all(message.as_bytes());
            ExitCode::from(code)
        }
    }
}

fn run(command: &Command) -> Ended {
    match command {
        Command::Fit { plan, way, json, use_up: Some(_), closest, size, .. } => {
            largest((plan, way), (Aim::Shed, which(*closest), size.as_deref()), *json)
        }
        Command::Fit { plan, way, json, within: Some(sum), closest, size, .. } => match Aim::within(sum) {
            Some(aim) => largest((plan, way), (aim, which(*closest), size.as_deref()), *json),
            None => Ended::Badly(format!("error: `{sum}` is no sum of money such as `120` or `120.50`\n"), 2),
        },
        Command::Fit { plan, way, json, .. } => {
            with_plan((plan, way), |done| print(&if *json { done.record.clone() } else { done.text() }))
        }
        Command::Page { plan, way, output } => {
            with_plan((plan, way), |done| write(plan, output, done, done.page().as_bytes()))
        }
        Command::Drawings { plan, way, output } => with_plan((plan, way), |done| drawings(output, done)),
        Command::Lists { plan, way, output } => with_plan((plan, way), |done| lists(output, done)),
        Command::Model { plan, way, output } => with_plan((plan, way), |done| write(plan, output, done, &done.model())),
        Command::Why { plan, way, quantity } => with_plan((plan, way), |done| match quantity {
            Some(quantity) => match done.why(quantity) {
                Ok(why) => print(&why),
                Err(message) => Ended::Badly(message, 2),
            },
            None => print(&names(done)),
        }),
        Command::Keep { plan, way, again, dry_run } => {
            with_plan((plan, way), |done| keep_rests(plan, done, *again, *dry_run))
        }
        Command::Audit { plan, way, record, json } => audit((plan, way), record.as_deref(), *json),
        Command::Note { plan, kind } => note::run(plan, kind),
        Command::Open { plan, port } => open::run(plan.as_deref(), *port),
        Command::Reference { of } => print(&match of.as_str() {
            "files" => scantling::plan_files_reference(),
            "questions" => scantling::questions_reference(),
            _ => scantling::rules_reference(),
        }),
        Command::Schema { of } => shell::schema(of),
        Command::Completions { shell } => shell::completions(*shell),
        Command::Manual { output } => shell::manual(output.as_deref()),
    }
}

fn which(closest: bool) -> Which {
    if closest { Which::Closest } else { Which::Largest }
}

/// Writes what was made of a plan, unless that would write over the plan itself, its yard or its shed.
fn write(plan: &Path, output: &Path, done: &Done, bytes: &[u8]) -> Ended {
    let same = |other: &Path| matches!((output.canonicalize(), other.canonicalize()), (Ok(output), Ok(other)) if output == other);
    let folder = plan.parent().map(Path::to_owned).unwrap_or_default();
    let mut sources = [&done.sources.plan, &done.sources.yard, &done.sources.shed].into_iter().flatten();
    if sources.any(|source| same(&folder.join(&source.name))) {
        let message = format!(
            "error: `{}` is one of the files of this plan, and what is written would take its place\n",
            output.display()
        );
        return Ended::Badly(message + "help: name another file behind `-o`\n", 2);
    }
    match files::write(output, bytes) {
        Ok(()) => said(&format!("wrote {}\n", output.display())),
        Err(error) => Ended::Badly(format!("error: {error}\n"), 1),
    }
}

/// Writes the drawings into a folder.
fn drawings(output: &Path, done: &Done) -> Ended {
    let sheets: Vec<(String, String)> = done.drawings().into_iter().map(|sheet| (sheet.name, sheet.svg)).collect();
    into_folder(output, &sheets, "sheets")
}

/// Writes the lists into a folder.
fn lists(output: &Path, done: &Done) -> Ended {
    let lists: Vec<(String, String)> =
        done.lists().into_iter().map(|list| (format!("{}.csv", list.name), list.csv)).collect();
    into_folder(output, &lists, "lists")
}

/// Writes named texts into a folder. Files of the same names are replaced, each whole; others stay.
fn into_folder(output: &Path, texts: &[(String, String)], what: &str) -> Ended {
    if let Err(error) = std::fs::create_dir_all(output) {
        return Ended::Badly(format!("error: `{}` cannot be made: {error}\n", output.display()), 1);
    }
    for (name, text) in texts {
        if let Err(error) = files::write(&output.join(name), text.as_bytes()) {
            return Ended::Badly(format!("error: {error}\n"), 1);
        }
    }
    said(&format!("wrote {} {what} into {}\n", texts.len(), output.display()))
}

/// Writes the shed as it is once everything is cut, and says what changes. A plan that the referee does not pass changes nothing.
fn keep_rests(plan: &Path, done: &Done, again: bool, dry_run: bool) -> Ended {
    let Some(shed) = done.sources.shed.as_ref().filter(|_| done.verdict.passed()) else { return Ended::Well };
    let kept = scantling::kept(done);
    if let Some(before) = kept.before.as_ref().filter(|_| !again) {
        return Ended::Badly(keep::refused(before, &shed.name), 2);
    }
    let (text, changes) = match keep::rewritten(&shed.text, &kept) {
        Ok(rewritten) => rewritten,
        Err(error) => return Ended::Badly(format!("error: {error}\n"), 1),
    };
    if let Err(message) = reads_back(plan, &shed.name, &text) {
        return Ended::Badly(message, 1);
    }
    let path = plan.with_file_name(&shed.name);
    let written = if dry_run || changes.is_empty() { Ok(()) } else { files::write(&path, text.as_bytes()) };
    if let Err(error) = written {
        return Ended::Badly(format!("error: {error}\n"), 1);
    }
    let said = match (changes.is_empty(), dry_run) {
        (true, _) => "nothing changes".to_owned(),
        (false, true) => format!("{}\nnothing is written: `{}` stays as it is", changes.join("\n"), path.display()),
        (false, false) => format!("{}\nwrote {}", changes.join("\n"), path.display()),
    };
    let not_told = if changes.is_empty() { "" } else { NOT_KEPT };
    print(&(said + "\n" + not_told))
}

/// A shed that could not be read again is not written: a rest may be shorter than any offcut is, or the shed may be full.
fn reads_back(plan: &Path, shed: &str, text: &str) -> Result<(), String> {
    let (folder, name) = Folder::of(plan).map_err(|error| format!("error: {error}\n"))?;
    let with = files::With { folder: &folder, name: shed, text };
    scantling::read_plan(&name, &with).map(|_| ()).map_err(|refused| {
        let why = scantling::refused(&refused, colour());
        format!("{why}\nerror: the shed could not be read with what is kept, and nothing is written\n")
    })
}

/// What the plan does not know of the shed.
const NOT_KEPT: &str = "not written: spares of units that did not break, and what was spilt or cut wrong\n";

/// The largest piece out of the shed or within a sum: what changes, then the plan with it.
fn largest((plan, way): Build<'_>, asked: (Aim, Which, Option<&str>), json: bool) -> Ended {
    let (folder, name) = match Folder::of(plan) {
        Ok(found) => found,
        Err(error) => return Ended::Badly(format!("error: {error}\n"), 1),
    };
    let of = (name.as_str(), way.as_deref());
    let progress = Progress::new();
    let found = scantling::largest(of, &folder, asked, &Effort::default(), &|| progress.look());
    drop(progress);
    match found {
        Ok(Ok(found)) => {
            let told = found.told.join("\n") + "\n";
            let done = &found.done;
            let ended = print(&if json { done.record.clone() } else { format!("{told}\n{}", done.text()) });
            match ended {
                Ended::Well if !done.verdict.passed() => Ended::Badly(failed(&done.verdict), 5),
                ended => ended,
            }
        }
        Ok(Err(told)) => Ended::Badly(format!("error: {}\n", told.join("\nnote: ")), 4),
        Err(refused) => Ended::Badly(scantling::refused(&refused, colour()), code(&refused)),
    }
}

/// A plan, and which of its ways is built, if that is said.
type Build<'a> = (&'a PathBuf, &'a Option<String>);

/// Runs a plan and goes on with it; a plan that the referee does not pass is shown all the same and ends with code 5.
fn with_plan((plan, way): Build<'_>, go_on: impl FnOnce(&Done) -> Ended) -> Ended {
    let (folder, name) = match Folder::of(plan) {
        Ok(found) => found,
        Err(error) => return Ended::Badly(format!("error: {error}\n"), 1),
    };
    let progress = Progress::new();
    let settled = scantling::run_by(&name, way.as_deref(), &folder, &Effort::default(), &|| progress.look());
    drop(progress);
    match settled {
        Ok(done) => match goes_by(&done.settled.plan.standing, go_on(&done)) {
            Ended::Well if !done.verdict.passed() => Ended::Badly(failed(&done.verdict), 5),
            ended => ended,
        },
        Err(refused) => Ended::Badly(scantling::refused(&refused, colour()), code(&refused)),
    }
}

/// Says in one line that a plan went by its day book, if it has one.
fn goes_by(standing: &Standing, ended: Ended) -> Ended {
    if let Some(notice) = &standing.notice {
        said(&format!("warning: {notice}\n"));
    }
    if standing.entries > 0 {
        said(&format!("note: this goes by the day book of the plan, {} entries\n", standing.entries));
    }
    ended
}

/// Colour on a terminal, unless it cannot show any or the maker wants none (<https://no-color.org>).
fn colour() -> bool {
    let set = |name: &str| std::env::var_os(name).is_some_and(|value| !value.is_empty());
    let dumb = std::env::var_os("TERM").is_some_and(|terminal| terminal == "dumb");
    std::io::stderr().is_terminal() && !set("NO_COLOR") && !dumb
}

fn code(refused: &Refused) -> u8 {
    match refused {
        Refused::Problems { .. } => 3,
        Refused::Clash { .. } => 4,
        Refused::Unfinished { .. } | Refused::Cancelled => 6,
    }
}

/// Judges a plan, or a record that was kept: for that the plan is only read, so that the record can be judged even if the plan
/// no longer comes out.
fn audit((plan, way): Build<'_>, record: Option<&Path>, json: bool) -> Ended {
    let Some(record) = record else { return with_plan((plan, way), |done| judged(&done.verdict, json)) };
    let (folder, name) = match Folder::of(plan) {
        Ok(found) => found,
        Err(error) => return Ended::Badly(format!("error: {error}\n"), 1),
    };
    let kept = match std::fs::read_to_string(record) {
        Ok(kept) => kept,
        Err(error) => return Ended::Badly(format!("error: `{}` cannot be read: {error}\n", record.display()), 1),
    };
    match scantling::read_plan(&name, &folder) {
        Ok((read, sources)) => {
            goes_by(&read.standing, Ended::Well);
            let verdict = scantling::referee(&sources, &kept);
            match judged(&verdict, json) {
                Ended::Well if !verdict.passed() => {
                    let found = verdict.findings.len();
                    Ended::Badly(
                        format!("error: the referee found {found} things wrong with this record of the plan\n"),
                        5,
                    )
                }
                ended => ended,
            }
        }
        Err(refused) => Ended::Badly(scantling::refused(&refused, colour()), code(&refused)),
    }
}

fn judged(verdict: &Verdict, json: bool) -> Ended {
    print(&if json { verdict.json() } else { verdict.text() })
}

fn failed(verdict: &Verdict) -> String {
    format!("error: the referee found {} things wrong with this plan: do not build from it\n", verdict.findings.len())
}

fn names(done: &Done) -> String {
    done.settled.quantities().map(|quantity| format!("{}\n", quantity.name)).collect()
}

/// Data to standard output. A reader that has gone away (`| head`) is no error.
fn print(text: &str) -> Ended {
    match std::io::stdout().write_all(text.as_bytes()) {
        Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => {
            Ended::Badly(format!("error: standard output cannot be written: {error}\n"), 1)
        }
        _ => Ended::Well,
    }
}

/// A remark to standard error.
fn said(text: &str) -> Ended {
    // If standard error is gone there is nobody left to tell.
    let _ = std::io::stderr().write_all(text.as_bytes());
    Ended::Well
}
