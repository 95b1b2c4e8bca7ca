//! What lies level under people, found anew from the parts in place: the numbers behind *Will it sag?*.

use super::{A_PERSON, STIFF, bears, is_known, touch};
use crate::claims::{Part, Record};
use crate::texts::Papers;
use crate::whys::Book;

/// One person in millinewtons; people who stand close in Pa, in North America and elsewhere.
const PERSON: i128 = 1_000_000;
const CROWD: [i128; 2] = [1_915, 4_000];
/// The most that a board and a joist may sag: span over so much, in thousandths.
const SAGS: [i128; 2] = [200_000, 360_000];

/// What is asked of one thing that sags: about what, and the numbers, or that nobody can tell.
pub(crate) struct Sagging<'r> {
    /// The piece and what of it: `deck, a board under one person`.
    pub about: String,
    /// The names of the numbers how far and how hard; nothing where nobody can tell.
    pub names: Option<[String; 2]>,
    piece: &'r str,
    part: &'r Part,
    span: i128,
    /// Of a joist, its share of the deck.
    share: Option<i128>,
}

/// Everything that is asked.
pub(crate) fn all<'r>(record: &'r Record, papers: &'r Papers) -> Vec<Sagging<'r>> {
    let mut found = Vec::new();
    for piece in &papers.pieces {
        let people = piece.word("bears", "people").is_ok_and(|word| word == "people");
        let own: Vec<&Part> =
            record.parts.iter().filter(|part| part.piece == piece.name && part.is_plain() && part.along != 2).collect();
        match piece.is.as_str() {
            "slats" if people => {
                found.extend([board(&piece.name, &own, record, papers), carrier(&piece.name, &own, record, papers)])
            }
            "frame" => found.push(carrier(&piece.name, &own, record, papers)),
            _ => {}
        }
    }
    found.into_iter().flatten().collect()
}

fn board<'r>(piece: &'r str, own: &[&'r Part], record: &Record, papers: &Papers) -> Option<Sagging<'r>> {
    let mut furthest: Option<(Option<i128>, &Part)> = None;
    for &part in own.iter().filter(|part| part.role == "board") {
        let span = widest(under(part, record));
        if furthest.is_none_or(|(before, _)| span >= before) {
            furthest = Some((span, part));
        }
    }
    let (span, part) = furthest?;
    let known = span.is_some() && is_known(part, papers);
    Some(Sagging {
        about: format!("{piece}, a board under one person"),
        names: known.then(|| ["sag", "stress"].map(|what| format!("{piece}.{what}"))),
        piece,
        part,
        span: span.unwrap_or(0),
        share: None,
    })
}

fn carrier<'r>(piece: &'r str, own: &[&'r Part], record: &Record, papers: &Papers) -> Option<Sagging<'r>> {
    let carriers: Vec<&Part> =
        own.iter().copied().filter(|part| ["joist", "rim", "bearer"].contains(&part.role.as_str())).collect();
    let mut worst: Option<(f64, &Part, i128, i128)> = None;
    for &part in &carriers {
        let span = if part.role == "joist" { Some(i128::from(part.length)) } else { widest(legs(part, record)) };
        let Some(span) = span else { continue };
        let share = share(part, &carriers);
        let depth = part.width as f64;
        let bends = share as f64 * (span as f64).powi(2) / (depth * depth * part.thickness as f64);
        if worst.is_none_or(|(most, ..)| bends >= most) {
            worst = Some((bends, part, span, share));
        }
    }
    let (_, part, span, share) = worst?;
    Some(Sagging {
        about: format!("{piece}, a {} under people", part.role),
        names: is_known(part, papers).then(|| ["joist-sag", "joist-stress"].map(|what| format!("{piece}.{what}"))),
        piece,
        part,
        span,
        share: Some(share),
    })
}

/// The middles of what lies right below a board.
fn under(board: &Part, record: &Record) -> Vec<i64> {
    let (low, high, axis) = (board.corner, board.far(), board.along);
    let carries = |part: &&Part| {
        part.is_plain()
            && part.far()[2] == low[2]
            && (0..2).all(|axis| part.corner[axis] < high[axis] && low[axis] < part.far()[axis])
    };
    let middle = |part: &Part| (part.corner[axis].max(low[axis]) + part.far()[axis].min(high[axis])).div_euclid(2);
    record.parts.iter().filter(carries).map(middle).collect()
}

/// The middles of the legs that a bearer touches.
fn legs(bearer: &Part, record: &Record) -> Vec<i64> {
    let axis = bearer.along;
    let legs = record.parts.iter().filter(|leg| leg.piece == bearer.piece && leg.role == "leg" && leg.is_plain());
    legs.filter(|leg| touch(leg, bearer)).map(|leg| (leg.corner[axis] + leg.far()[axis]).div_euclid(2)).collect()
}

/// The widest step between neighbouring places, if there is one.
fn widest(mut places: Vec<i64>) -> Option<i128> {
    places.sort_unstable();
    let steps = places.iter().zip(places.iter().skip(1)).map(|(from, to)| i128::from(to - from));
    steps.max().filter(|widest| *widest > 0)
}

/// Half of the way from the carrier before to the one after, among those that run the same way.
fn share(part: &Part, carriers: &[&Part]) -> i128 {
    let across = 1 - part.along;
    let middle = |part: &Part| (part.corner[across] + part.far()[across]).div_euclid(2);
    let own = middle(part);
    let places = || carriers.iter().filter(|other| other.along == part.along).map(|other| middle(other));
    let before = places().filter(|place| *place < own).max().map_or(0, |place| own - place);
    let after = places().filter(|place| *place > own).min().map_or(0, |place| place - own);
    i128::from((before + after).div_euclid(2).max(part.thickness))
}

/// Expects every number of all that sags.
pub(crate) fn expect(record: &Record, papers: &Papers, book: &mut Book<'_, '_>) {
    for sagging in all(record, papers).iter().filter(|sagging| sagging.names.is_some()) {
        sagging.expect(papers, book);
    }
}

impl Sagging<'_> {
    fn expect(&self, papers: &Papers, book: &mut Book<'_, '_>) {
        let called = |what: &str| format!("{}.{what}", self.piece);
        let [width, thickness] = [self.part.width, self.part.thickness].map(i128::from);
        let (prefix, load, rules, depth, most) = match self.share {
            None => ("", vec![PERSON, self.span, width, thickness], ["point-sag", "point-stress"], thickness, SAGS[0]),
            Some(share) => {
                let crowd = if papers.in_america { CROWD[0] } else { CROWD[1] };
                let load = vec![crowd, share, self.span, thickness, width];
                ("joist-", load, ["joist-sag", "joist-stress"], width, SAGS[1])
            }
        };
        let [sag, stress] = ["sag", "stress"].map(|what| called(&format!("{prefix}{what}")));
        book.expect_wood(&sag, rules[0], &load, &[&STIFF]);
        book.expect(&format!("{sag}-limit"), "most-bend", "nm", vec![self.span, most]);
        book.expect(&stress, rules[1], "Pa", load);
        bears(&format!("{stress}-limit"), depth, A_PERSON, book);
    }
}
