//! `scantling note`: one entry appended to the day book of a plan, under a lock, and on the disk before anything is said.

use crate::files::{self, Folder};
use crate::progress::Progress;
use crate::{Ended, code, colour, print};
use clap::Subcommand;
use scantling::{Done, Effort, Note, Noted, Refused, Unnoted, World, daybook_name};
use std::fs::{File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

/// What was read or done. Lengths are written as in the plan: `444`, `"17 1/2 in"`.
#[derive(Subcommand)]
pub enum Kind {
    /// The yard has only so many boards of a length
    Only {
        /// The board's name in the yard file
        #[arg(long)]
        board: String,
        /// The length by the label
        #[arg(long)]
        length: String,
        /// How many there are; 0 for none
        #[arg(long)]
        left: u32,
    },
    /// Boards that came home
    Bought {
        /// The board's name in the yard file
        #[arg(long)]
        board: String,
        /// The length by the label
        #[arg(long)]
        length: String,
        /// How many
        #[arg(long)]
        count: u32,
    },
    /// Boards laid side by side and measured across all of them
    Width {
        /// The board's name in the yard file
        #[arg(long)]
        board: String,
        /// How many lie side by side
        #[arg(long)]
        over: u32,
        /// What they read together
        #[arg(long)]
        reads: String,
    },
    /// How thick a board or a sheet is
    #[command(group = clap::ArgGroup::new("what").required(true))]
    Thickness {
        /// The board's name in the yard file
        #[arg(long, group = "what")]
        board: Option<String>,
        /// The sheet's name in the yard file
        #[arg(long, group = "what")]
        sheet: Option<String>,
        /// What it reads
        #[arg(long)]
        reads: String,
    },
    /// Boards at home that are not as long as their label says
    TrueLength {
        /// The board's name in the yard file
        #[arg(long)]
        board: String,
        /// The length by the label
        #[arg(long)]
        length: String,
        /// What each of them reads, one after the other
        #[arg(long, num_args = 1.., required = true)]
        reads: Vec<String>,
    },
    /// How wide a test slot is
    Kerf {
        /// What it reads
        #[arg(long)]
        reads: String,
    },
    /// Setts, pavers, bricks or blocks laid dry in a row with their joints
    Units {
        /// The unit's name in the yard file
        #[arg(long)]
        unit: String,
        /// How many lie in the row
        #[arg(long)]
        over: u32,
        /// The joint between each two
        #[arg(long)]
        joint: String,
        /// Which side of them lies along the row
        #[arg(long, value_parser = ["length", "width"], default_value = "length")]
        along: String,
        /// What they read together, from the first end to the last
        #[arg(long)]
        reads: String,
    },
    /// Parts that are cut
    Cut {
        /// Their ids, such as A1 A2
        #[arg(required = true)]
        parts: Vec<String>,
        /// How long they are, if not to the nanometre as they should be
        #[arg(long)]
        length: Option<String>,
        /// The number of the board at home that they came off, or one for each; otherwise that of the cutting plan
        #[arg(long, num_args = 1..)]
        from: Vec<u32>,
    },
    /// A part that was cut and came out too long or too short
    Wrong {
        /// Its id, such as A10
        part: String,
        /// How long it is
        #[arg(long)]
        length: String,
        /// The number of the board at home that it came off; otherwise that of the cutting plan
        #[arg(long)]
        from: Option<u32>,
    },
    /// A way out that is taken, by its number in the list
    Took {
        /// The number of the entry that it is a way out of
        entry: u32,
        /// The number of the way out
        way: usize,
    },
    /// An entry that is to count no longer
    Undo {
        /// Its number
        entry: u32,
    },
}

impl Kind {
    fn note(&self) -> Note {
        match self {
            Kind::Only { board, length, left } => {
                Note::Only { board: board.clone(), length: length.clone(), left: *left }
            }
            Kind::Bought { board, length, count } => {
                Note::Bought { board: board.clone(), length: length.clone(), count: *count }
            }
            Kind::Width { board, over, reads } => {
                Note::Width { board: board.clone(), over: *over, reads: reads.clone() }
            }
            Kind::Thickness { board, sheet, reads } => Note::Thickness {
                sheet: sheet.is_some(),
                name: sheet.clone().or_else(|| board.clone()).unwrap_or_default(),
                reads: reads.clone(),
            },
            Kind::TrueLength { board, length, reads } => {
                Note::TrueLength { board: board.clone(), length: length.clone(), reads: reads.clone() }
            }
            Kind::Kerf { reads } => Note::Kerf { reads: reads.clone() },
            Kind::Units { unit, over, joint, along, reads } => Note::Units {
                unit: unit.clone(),
                over: *over,
                joint: joint.clone(),
                widths: along == "width",
                reads: reads.clone(),
            },
            Kind::Cut { parts, length, from } => {
                Note::Cut { parts: parts.clone(), from: from.clone(), length: length.clone() }
            }
            Kind::Wrong { part, length, from } => {
                Note::Wrong { part: part.clone(), from: *from, length: length.clone() }
            }
            Kind::Took { entry, way } => Note::Took { entry: *entry, way: *way },
            Kind::Undo { entry } => Note::Undo { entry: *entry },
        }
    }
}

/// Notes an entry and says what it changes. That nothing comes out with an entry is no failure of noting it: it is kept, and
/// the exit code is that of the plan.
pub fn run(plan: &Path, kind: &Kind) -> Ended {
    let (folder, name) = match Folder::of(plan) {
        Ok(found) => found,
        Err(error) => return Ended::Badly(format!("error: {error}\n"), 1),
    };
    let note = kind.note();
    let path = plan.with_file_name(daybook_name(&name));
    // No day book is begun for an entry that is refused.
    if !path.exists()
        && let Err(ended) = next(&name, &folder, &note)
    {
        return ended;
    }
    let noted = match write_down(&path, || next(&name, &folder, &note)) {
        Ok(noted) => noted,
        Err(ended) => return ended,
    };
    let after = fit(&name, &folder);
    let progress = Progress::new();
    let told = noted.told(&name, &folder, &after, &Effort::default(), &|| progress.look());
    drop(progress);
    match (print(&told), after) {
        (Ended::Well, Err(refused)) => Ended::Badly(String::new(), code(&refused)),
        (ended, _) => ended,
    }
}

fn fit(name: &str, world: &dyn World) -> Result<Done, Refused> {
    let progress = Progress::new();
    scantling::run(name, world, &Effort::default(), &|| progress.look())
}

fn next(name: &str, world: &dyn World, note: &Note) -> Result<Noted, Ended> {
    let progress = Progress::new();
    let noted = scantling::note(name, world, note, &Effort::default(), &|| progress.look());
    drop(progress);
    noted.map_err(|unnoted| match unnoted {
        Unnoted::Refused(refused) => Ended::Badly(
            scantling::refused(&refused, colour()) + "note: nothing was written into the day book\n",
            code(&refused),
        ),
        Unnoted::Said(says) => Ended::Badly(format!("error: {says}\nnote: nothing was written into the day book\n"), 3),
    })
}

/// Appends what `next` makes of the day book, with nobody else writing between its reading and the line's being on the disk.
fn write_down(path: &Path, next: impl FnOnce() -> Result<Noted, Ended>) -> Result<Noted, Ended> {
    let failed = |error: io::Error| {
        let lost = "help: the entry was not kept; make room and note it again";
        Ended::Badly(format!("error: `{}` cannot be written: {}\n{lost}\n", path.display(), files::reason(&error)), 1)
    };
    let mut file = OpenOptions::new().read(true).append(true).create(true).open(path).map_err(failed)?;
    file.lock().map_err(failed)?;
    let noted = next()?;
    append(&mut file, noted.append.as_bytes()).map_err(failed)?;
    file.sync_all().map_err(failed)?;
    sync_folder(path).map_err(failed)?;
    Ok(noted)
}

/// The name of a new file is in its folder, which has to be on the disk too.
fn sync_folder(path: &Path) -> io::Result<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

/// The whole line in one call; what a full disk leaves of it is the cut-off line of the next reader.
fn append(file: &mut impl Write, line: &[u8]) -> io::Result<()> {
    file.write_all(line)?;
    file.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A disk with so much room left.
    struct Disk {
        kept: Vec<u8>,
        room: usize,
    }

    impl Write for Disk {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            let taken = bytes.len().min(self.room);
            if taken == 0 && !bytes.is_empty() {
                return Err(io::Error::from(io::ErrorKind::StorageFull));
            }
            self.room -= taken;
            self.kept.extend(&bytes[..taken]);
            Ok(taken)
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    #[test]
    fn a_full_disk_is_an_error_and_never_touches_what_is_there() {
        let line = b"{\"n\":2}\n";
        for room in 0..=line.len() {
            let mut disk = Disk { kept: b"{\"n\":1}\n".to_vec(), room };
            let kept = append(&mut disk, line);
            assert_eq!(kept.is_ok(), room == line.len(), "room for {room}");
            assert_eq!(disk.kept, [b"{\"n\":1}\n", &line[..room]].concat());
        }
    }
}
