//! A line on the terminal while a search goes on: it comes after half a second and goes when there is an answer.

use std::cell::RefCell;
use std::io::{IsTerminal, Write};
use std::time::{Duration, Instant};

/// What is done sooner needs no word.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often the line moves.
const EVERY: Duration = Duration::from_millis(100);
/// How wide the bar is, and how much of it moves along it: how long a search takes is not known before.
const WIDTH: usize = 24;
const BLOCK: usize = 6;

/// What a search asks from step to step whether it is to stop: here it only tells that it goes on.
pub struct Progress<W: Write> {
    begun: Instant,
    line: RefCell<Line<W>>,
}

struct Line<W: Write> {
    /// Where it is shown, if anybody is there to see it.
    to: Option<W>,
    shown: Option<Duration>,
}

impl Progress<std::io::Stderr> {
    /// On standard error, if that is a terminal that can be written over.
    pub fn new() -> Progress<std::io::Stderr> {
        let dumb = std::env::var_os("TERM").is_none_or(|terminal| terminal == "dumb");
        let stderr = std::io::stderr();
        Progress::on((stderr.is_terminal() && !dumb).then_some(stderr))
    }
}

impl<W: Write> Progress<W> {
    fn on(to: Option<W>) -> Progress<W> {
        Progress { begun: Instant::now(), line: RefCell::new(Line { to, shown: None }) }
    }

    /// Moves the line on if it is time to; never stops the search.
    pub fn look(&self) -> bool {
        self.line.borrow_mut().at(self.begun.elapsed());
        false
    }
}

impl<W: Write> Line<W> {
    fn at(&mut self, elapsed: Duration) {
        let due = self.shown.map_or(PATIENCE, |shown| shown + EVERY);
        if elapsed < due {
            return;
        }
        self.shown = Some(elapsed);
        if let Some(to) = &mut self.to {
            // A terminal that is gone is no reason to stop.
            let _ = write!(to, "\r{}", line(elapsed)).and_then(|()| to.flush());
        }
    }
}

/// When there is an answer the line is wiped out.
impl<W: Write> Drop for Progress<W> {
    fn drop(&mut self) {
        let Line { to, shown } = self.line.get_mut();
        if let (Some(to), Some(_)) = (to, shown) {
            let _ = write!(to, "\r\x1b[K").and_then(|()| to.flush());
        }
    }
}

/// A block that goes to and fro, and the seconds so far.
fn line(elapsed: Duration) -> String {
    let ways = WIDTH - BLOCK;
    let step = (elapsed.as_millis() / EVERY.as_millis()) as usize % (2 * ways);
    let at = step.min(2 * ways - step);
    let rest = ways - at;
    format!("[{}{}{}] reckoning, {} s", " ".repeat(at), "=".repeat(BLOCK), " ".repeat(rest), elapsed.as_secs())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(at: &[u64]) -> String {
        let mut text = Vec::new();
        let mut line = Line { to: Some(&mut text), shown: None };
        at.iter().for_each(|&at| line.at(Duration::from_millis(at)));
        String::from_utf8(text).expect("text")
    }

    #[test]
    fn nothing_is_said_within_half_a_second() {
        assert_eq!(shown(&[0, 100, 499]), "");
        assert_eq!(shown(&[500]), "\r[     ======             ] reckoning, 0 s");
    }

    #[test]
    fn it_moves_ten_times_a_second_at_most_and_to_and_fro() {
        assert_eq!(shown(&[500, 510, 550, 599]), shown(&[500]));
        assert_eq!(shown(&[500, 600]).matches('\r').count(), 2);
        let places: Vec<Option<usize>> = (0..80).map(|at| line(EVERY * at).find('=')).collect();
        assert_eq!((places.iter().min(), places.iter().max()), (Some(&Some(1)), Some(&Some(1 + WIDTH - BLOCK))));
        assert!(places.windows(2).all(|two| two[0].zip(two[1]).is_some_and(|(a, b)| a.abs_diff(b) == 1)));
    }

    #[test]
    fn the_line_is_wiped_out_and_nobody_who_is_not_there_is_told() {
        let mut text = Vec::new();
        let progress = Progress::on(Some(&mut text));
        progress.line.borrow_mut().at(PATIENCE);
        drop(progress);
        assert!(String::from_utf8(text).expect("text").ends_with("\r\x1b[K"));
        let mut text = Vec::new();
        drop(Progress::on(Some(&mut text)));
        assert!(text.is_empty());
        let progress: Progress<Vec<u8>> = Progress::on(None);
        assert!(!progress.look());
    }
}
