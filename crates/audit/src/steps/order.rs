//! The order in which things have to be done, derived from where the parts lie, what is screwed to what and what the plan says
//! of its pieces (`docs/pieces.md`, "Order of making").
//!
//! Boxes along the axes of the build are looked at exactly. What rests on a part at an angle, or lies before a head at an
//! angle, is left to the maker of the record.

use super::borne::Borne;
use super::near::{Near, TOUCH};
use crate::claims::{Part, Record, Step};
use crate::ledger::Ledger;
use crate::texts::{Papers, Piece};
use std::collections::{BTreeMap, BTreeSet};

/// So many hours concrete hardens before anything hangs on posts in it (*common practice*).
const HARD: i64 = 48;

/// What a maker of records says where no order lets everything stand on what carries it.
const FORCED: &str = "No order of steps lets everything stand on what carries it";

/// A record whose steps place each part once.
pub(super) struct Order<'r> {
    record: &'r Record,
    papers: &'r Papers,
    near: Near,
    /// By the part's id, its place in the record.
    places: BTreeMap<&'r str, usize>,
    /// For each part the step that places it.
    stands: Vec<Option<usize>>,
    /// The steps that place something of a piece or are all that it has, by piece.
    steps: BTreeMap<&'r str, Vec<usize>>,
    /// The floors that something stands on, or may stand on.
    carrying: BTreeSet<&'r str>,
}

impl<'r> Order<'r> {
    pub fn of(record: &'r Record, papers: &'r Papers) -> Order<'r> {
        let places: BTreeMap<&str, usize> =
            record.parts.iter().enumerate().map(|(at, part)| (part.id.as_str(), at)).collect();
        let mut stands = vec![None; record.parts.len()];
        let mut steps: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (number, step) in record.steps.iter().enumerate().filter(|(_, step)| step.places()) {
            steps.entry(&step.piece).or_default().push(number);
            for at in step.parts.iter().filter_map(|id| places.get(id.as_str())) {
                stands[*at] = Some(number);
            }
        }
        let near = Near::of(&record.parts);
        let mut order = Order { record, papers, near, places, stands, steps, carrying: BTreeSet::new() };
        let floors = papers.pieces.iter().filter(|piece| piece.is == "floor" && order.may_carry(&piece.name));
        order.carrying = floors.map(|piece| piece.name.as_str()).collect();
        order
    }

    /// Whether a part of another piece begins at the height at which a part of this one ends, over it.
    fn may_carry(&self, piece: &str) -> bool {
        let own = (0..self.record.parts.len()).filter(|&at| self.record.parts[at].piece == piece);
        own.filter_map(|at| self.near.reaches[at].map(|reach| (at, reach))).any(|(at, under)| {
            let mut others = self.near.around(at).filter(|&over| self.record.parts[over].piece != piece);
            others.any(|over| {
                let over = self.near.reaches[over];
                over.is_some_and(|over| (over.from[2] - under.to[2]).abs() <= 2 * TOUCH && over.is_over(&under))
            })
        })
    }

    /// Holds all of it.
    pub fn hold(&self, ledger: &mut Ledger) {
        self.hold_carried(ledger);
        self.hold_heads(ledger);
        self.hold_treated(ledger);
        Borne { record: self.record, papers: self.papers, near: &self.near }.hold(ledger);
        for piece in &self.papers.pieces {
            let host = |key: &str| piece.named(key).into_iter().next().and_then(|name| self.piece(name));
            match (piece.is.as_str(), host("in"), host("of")) {
                ("floor", Some(host), _) => self.hold_floor(piece, host, ledger),
                ("liner", Some(host), _) => self.hold_liner(piece, host, ledger),
                ("fill", Some(host), _) => self.hold_fill(piece, host, ledger),
                ("extra", _, Some(of)) => self.hold_extra(piece, of, ledger),
                ("screen", _, _) => self.hold_screen(piece, ledger),
                _ => {}
            }
        }
    }

    fn piece(&self, name: &str) -> Option<&'r Piece> {
        self.papers.pieces.iter().find(|piece| piece.name == name)
    }

    fn steps(&self, piece: &str) -> &[usize] {
        self.steps.get(piece).map_or(&[], Vec::as_slice)
    }

    /// The pieces of a kind that name another behind a key.
    fn naming(&self, is: &str, key: &str, other: &str) -> impl Iterator<Item = &'r Piece> {
        self.papers.pieces.iter().filter(move |piece| piece.is == is && piece.named(key).contains(&other))
    }

    /// Every step of one piece comes after every one of another.
    fn after(&self, later: &str, earlier: &str, why: &str, ledger: &mut Ledger) {
        let (first, last) = (self.steps(later).first(), self.steps(earlier).last());
        let follows = first.zip(last).is_none_or(|(first, last)| first > last);
        ledger.hold(follows, || format!("`{later}` is begun before `{earlier}` is done, and {why}"));
    }

    /// A part is placed no later than another; told with both otherwise.
    fn placed(&self, first: usize, then: usize, why: &str, ledger: &mut Ledger) {
        let (Some(one), Some(other)) = (self.stands[first], self.stands[then]) else { return };
        let slots = || [first, then].map(|at| self.record.parts[at].slot());
        ledger.hold(one <= other, || {
            let [first, then] = slots();
            format!("step {} places {then}, which {why} {first} of step {}", other + 1, one + 1)
        });
    }

    /// What rests on something is placed after it.
    fn hold_carried(&self, ledger: &mut Ledger) {
        let parts = &self.record.parts;
        for upper in (0..parts.len()).filter(|&at| parts[at].is_plain()) {
            let forced = self.record.notes.iter().any(|note| {
                note.text.starts_with(FORCED)
                    && self.stands[upper].is_some_and(|at| self.record.steps[at].piece == note.piece)
            });
            let under: BTreeSet<usize> = self.near.around(upper).filter(|&at| parts[at].is_plain()).collect();
            let rests = under.into_iter().filter(|&lower| {
                let [over, under] = [upper, lower].map(|at| self.near.reaches[at]);
                over.zip(under)
                    .is_some_and(|(over, under)| (over.from[2] - under.to[2]).abs() < TOUCH && over.is_over(&under))
            });
            for lower in rests.filter(|_| !forced) {
                self.placed(lower, upper, "rests on", ledger);
            }
        }
    }

    /// What lies before the head of a screw is placed after what the screw holds.
    fn hold_heads(&self, ledger: &mut Ledger) {
        for joint in &self.record.joints {
            let Some(&held) = self.places.get(joint.held.as_str()) else { continue };
            let over = joint.heads.iter().flat_map(|&head| self.near.at(head));
            let own = |at: usize| [&joint.held, &joint.base].contains(&&self.record.parts[at].id);
            for cover in over.filter(|&at| !own(at)).collect::<BTreeSet<usize>>() {
                self.placed(held, cover, "covers the screws of", ledger);
            }
        }
    }

    /// Each board with an end that another part covers has its ends treated.
    fn hold_treated(&self, ledger: &mut Ledger) {
        let treats = self.record.steps.iter().filter(|step| step.work == "treat");
        let treated: BTreeSet<&str> = treats.flat_map(|step| &step.parts).map(String::as_str).collect();
        for (at, part) in self.record.parts.iter().enumerate() {
            let covered = || ends(part).into_iter().any(|end| self.near.at(end).any(|other| other != at));
            if part.kind == "board" && part.is_plain() && covered() {
                ledger.hold(treated.contains(part.id.as_str()), || {
                    format!("an end of {} is covered, and no step treats it before", part.slot())
                });
            }
        }
    }

    /// Loose slats go into walls that stand and were measured, before anything lies over them.
    fn hold_floor(&self, piece: &Piece, host: &Piece, ledger: &mut Ledger) {
        if self.carrying.contains(piece.name.as_str()) {
            return;
        }
        self.after(&piece.name, &host.name, "it is laid into it", ledger);
        let last = self.steps(&host.name).last().copied();
        let is_measured = |step: &(usize, &Step)| step.1.work == "measure" && last.is_none_or(|last| step.0 > last);
        let measuring = self.record.steps.iter().enumerate().filter(is_measured);
        let measured: BTreeSet<&str> = measuring.flat_map(|(_, step)| &step.parts).map(String::as_str).collect();
        let parts = &self.record.parts;
        let own: Vec<usize> = (0..parts.len()).filter(|&at| parts[at].piece == piece.name).collect();
        let top = own.iter().filter_map(|&at| self.near.reaches[at]).map(|reach| reach.to[2]).max();
        for &at in &own {
            ledger.hold(measured.contains(parts[at].id.as_str()), || {
                format!("{} is cut before the inside of `{}` is measured", parts[at].slot(), host.name)
            });
            let over: BTreeSet<usize> = self.near.around(at).collect();
            let bars = over.into_iter().filter(|&over| {
                let [over, own] = [over, at].map(|at| self.near.reaches[at]);
                let above = over.zip(own).is_some_and(|(over, own)| over.is_over(&own) && Some(over.from[2]) >= top);
                above && over.is_some_and(|over| over.is_all)
            });
            for bar in bars.filter(|&bar| ![&piece.name, &host.name].contains(&&parts[bar].piece)) {
                self.placed(at, bar, "lies over the way in of", ledger);
            }
        }
    }

    fn hold_liner(&self, piece: &Piece, host: &Piece, ledger: &mut Ledger) {
        self.after(&piece.name, &host.name, "lines it", ledger);
        for floor in self.naming("floor", "in", &host.name) {
            self.after(&piece.name, &floor.name, "lies on it", ledger);
        }
        for cap in self.naming("cap", "on", &host.name) {
            self.after(&cap.name, &piece.name, "closes the top over it", ledger);
        }
        let caps: BTreeSet<&str> = self.naming("cap", "on", &host.name).map(|cap| cap.name.as_str()).collect();
        self.hold_screwed(piece, host, &caps, ledger);
    }

    fn hold_fill(&self, piece: &Piece, host: &Piece, ledger: &mut Ledger) {
        self.after(&piece.name, &host.name, "fills it", ledger);
        for is in ["floor", "liner"] {
            for other in self.naming(is, "in", &host.name) {
                self.after(&piece.name, &other.name, "covers it", ledger);
            }
        }
        for posts in self.naming("posts", "in", &host.name).filter(|posts| !posts.named("stand").contains(&"outside")) {
            self.after(&piece.name, &posts.name, "goes round it", ledger);
        }
        for extra in self.naming("extra", "of", &host.name) {
            self.after(&piece.name, &extra.name, "covers what it is fitted to", ledger);
        }
        let tiers: BTreeSet<&str> = self.naming("walls", "in", &host.name).map(|tier| tier.name.as_str()).collect();
        self.hold_screwed(piece, host, &tiers, ledger);
        for tier in tiers {
            self.hold_tier(piece, host, tier, ledger);
        }
    }

    /// Walls that stand on what is filled in are begun once that is there; what begins as low as the fill stands first.
    fn hold_tier(&self, fill: &Piece, host: &Piece, tier: &str, ledger: &mut Ledger) {
        let lowest = |piece: &str| self.reach(piece, 2)[0];
        let floor = fill.named("on").into_iter().next();
        let low = floor.map_or_else(|| lowest(&host.name), |floor| self.reach(floor, 2)[1]);
        let steps = (self.steps(&fill.name), self.steps(tier));
        let (Some(first), Some(last), Some(filled)) = (steps.1.first(), steps.1.last(), steps.0.first()) else {
            return;
        };
        if lowest(tier) <= low {
            self.after(&fill.name, tier, "goes round it", ledger);
        } else {
            let begun = filled < first && steps.0.iter().all(|step| step < first || step > last);
            ledger.hold(begun, || format!("`{tier}` stands on `{}`, which is filled in later or meanwhile", fill.name));
        }
    }

    /// From where to where a piece reaches along an axis; of nothing, nothing.
    fn reach(&self, piece: &str, axis: usize) -> [i64; 2] {
        let own = self.record.parts.iter().zip(&self.near.reaches).filter(|(part, _)| part.piece == piece);
        let reaches: Vec<[i64; 2]> =
            own.filter_map(|(_, reach)| reach.map(|reach| [reach.from[axis], reach.to[axis]])).collect();
        let low = reaches.iter().map(|reach| reach[0]).min();
        [low.unwrap_or_default(), reaches.iter().map(|reach| reach[1]).max().unwrap_or_default()]
    }

    /// What the boards of a piece are screwed to stands before their inner faces are covered.
    fn hold_screwed(&self, piece: &Piece, host: &Piece, but: &BTreeSet<&str>, ledger: &mut Ledger) {
        let Some(&first) = self.steps(&piece.name).first() else { return };
        let made = self.record.joints.iter().map(|joint| (&joint.held, &joint.base));
        let unmade = self.record.unmade.iter().map(|joint| (&joint.held, &joint.base));
        let part = |id: &String| self.places.get(id.as_str()).map(|&at| (at, &self.record.parts[at]));
        let bases = made.chain(unmade).filter(|(held, _)| part(held).is_some_and(|(_, held)| held.piece == host.name));
        let bases: BTreeSet<usize> = bases
            .filter_map(|(_, base)| part(base))
            .filter(|(_, base)| !but.contains(base.piece.as_str()))
            .map(|(at, _)| at)
            .collect();
        for base in bases {
            ledger.hold(self.stands[base].is_none_or(|at| at < first), || {
                format!(
                    "`{}` covers the inner faces of `{}` before {} is screwed to it",
                    piece.name,
                    host.name,
                    self.record.parts[base].slot()
                )
            });
        }
    }

    fn hold_extra(&self, piece: &Piece, of: &Piece, ledger: &mut Ledger) {
        match piece.named("fitted").contains(&"before") {
            true => self.after(&of.name, &piece.name, "needs it at hand", ledger),
            false => self.after(&piece.name, &of.name, "is fitted to it", ledger),
        }
    }

    /// Slats and rails are fixed to posts that stand, and whose concrete is hard.
    fn hold_screen(&self, piece: &Piece, ledger: &mut Ledger) {
        let of = |is_post: bool| {
            let own = self.record.parts.iter().zip(&self.stands);
            own.filter(move |(part, _)| part.piece == piece.name && (part.role == "post") == is_post)
                .filter_map(|(_, stands)| *stands)
        };
        let stood = of(true).max().zip(of(false).min()).is_none_or(|(last, first)| last < first);
        ledger.hold(stood, || format!("something hangs on the posts of `{}` before all of them stand", piece.name));
        if piece.has("concrete") {
            self.hold_hard(piece, of(true).max(), ledger);
        }
    }

    /// What is joined to posts in concrete is placed after a wait that begins when the last of them stands.
    fn hold_hard(&self, piece: &Piece, last: Option<usize>, ledger: &mut Ledger) {
        let Some(last) = last else { return };
        let is_wait = |&(at, step): &(usize, &Step)| {
            at > last && step.work == "wait" && step.piece == piece.name && step.hours >= Some(HARD)
        };
        let wait = self.record.steps.iter().enumerate().find(is_wait).map(|(at, _)| at);
        ledger.hold(wait.is_some(), || {
            format!("nothing waits {HARD} hours for the concrete round the posts of `{}`", piece.name)
        });
        let is_post = |id: &str| {
            let part = self.places.get(id).map(|&at| &self.record.parts[at]);
            part.is_some_and(|part| part.piece == piece.name && part.role == "post")
        };
        let made = self.record.joints.iter().map(|joint| [&joint.held, &joint.base]);
        let all = made.chain(self.record.unmade.iter().map(|joint| [&joint.held, &joint.base]));
        let hung = all.filter(|both| both.iter().filter(|id| is_post(id)).count() == 1);
        let hung: BTreeSet<usize> =
            hung.flatten().filter(|id| !is_post(id)).filter_map(|id| self.places.get(id.as_str()).copied()).collect();
        for at in hung {
            let begun = self.stands[at];
            ledger.hold(begun.zip(wait).is_none_or(|(begun, wait)| begun > wait), || {
                format!(
                    "{} hangs on a post of `{}` before its concrete is hard",
                    self.record.parts[at].slot(),
                    piece.name
                )
            });
        }
    }
}

/// The middles of the two ends of a box.
fn ends(part: &Part) -> [[i64; 3]; 2] {
    let (near, far) = (part.corner, part.far());
    let middle = [0, 1, 2].map(|axis| near[axis] + (far[axis] - near[axis]) / 2);
    [near, far].map(|end| {
        let mut at = middle;
        at[part.along] = end[part.along];
        at
    })
}
