//! A pad: whole units in rows under pieces that stand on the ground, showing as far beyond them on all four sides.

use super::slats::{boxed, in_line};
use super::{Asked, BEYOND, Form, Planned, Stand};
use crate::geometry::{Case, parts_of};
use crate::ground::{Outline, Sum, Way};
use crate::laid::{Built, Laid, Number, RowOf, Site};
use crate::ledger::{Ledger, Mm};
use crate::texts::{Papers, Piece};

/// The most units in a row either way.
const MOST_IN_A_ROW: i128 = 141;

/// A pad as it is planned.
struct Pad {
    under: Vec<usize>,
    /// What the pieces cover, from the first's first corner to the last's far one.
    covered: Outline,
    showing: Sum,
    unit: String,
    /// What a unit takes along the front, and from front to back.
    members: [i128; 2],
    /// Whether its longer side lies along the front.
    along: bool,
    rows: [usize; 2],
}

pub(super) fn ask(asked: &mut Asked, piece: &Piece, papers: &Papers) -> Result<Planned, String> {
    let under: Vec<usize> = piece.named("under").into_iter().map(|name| asked.find(name)).collect::<Result<_, _>>()?;
    let (Some(&first), Some(&last)) = (under.first(), under.last()) else {
        return Err(format!("`{}` lies under nothing", piece.name));
    };
    let outlines: Vec<Outline> = under.iter().map(|&place| asked.pieces[place].stand.outline.clone()).collect();
    for other in &outlines[1..] {
        in_line(asked, &outlines[0], other)?;
    }
    let lines = |place: usize| asked.pieces[place].stand.outline.lines().ok_or("it is no rectangle");
    let ([front, _, back, left], [_, right, _, _]) = (lines(first)?, lines(last)?);
    let covered = Outline::of_lines([front, right, back, left]);
    let showing = asked.size(piece, "showing")?;
    let name = piece.word("unit", "")?;
    let unit = papers.unit(&name).ok_or_else(|| format!("no unit is called `{name}`"))?;
    let along = piece.word("laid", "along")? == "along";
    let [long, wide, thick] = [unit.length, unit.width, unit.thickness].map(i128::from);
    let members = if along { [long, wide] } else { [wide, long] };
    let joint = asked.gap(piece, "joint", None)?;
    let out = Sum::default().plus(&showing, -1);
    let outline = covered.shrunk(&out).ok_or("it is no rectangle")?;
    let rows = [0, 1].map(|way| {
        let reach = outline.length(way);
        asked.limit(Vec::new(), reach.clone(), -BEYOND, MOST_IN_A_ROW * members[way]);
        asked.row(Vec::new(), reach, members[way], 0, joint)
    });
    let stand = Stand::plain(outline, Sum::fixed(-thick), Sum::default());
    let pad = Pad { under, covered, showing, unit: name, members, along, rows };
    Ok(Planned { around: Some(first), ..Planned::new(piece, "pad", stand, Box::new(pad)) })
}

impl Pad {
    fn row<'p>(&self, own: &'p Planned, way: usize) -> RowOf<'p> {
        RowOf {
            piece: &own.name,
            face: ["front", "right"][way],
            pattern: vec![self.members[way]],
            and_first: false,
            starts_with_gap: false,
            up: false,
        }
    }
}

impl Form for Pad {
    fn lay<'a>(&'a self, own: &'a Planned, site: &Site<'a>, built: &mut Built<'a>) -> Option<()> {
        let ([x, y], up) = (site.ground(&own.stand.outline).corners[0], own.up(site));
        let along = site.row(&self.row(own, 0), self.rows[0])?;
        let back = site.row(&self.row(own, 1), self.rows[1])?;
        // What the limits of both rows allow together; a record may claim any number.
        if along.count.saturating_mul(back.count) > MOST_IN_A_ROW * MOST_IN_A_ROW {
            return None;
        }
        let (length, width) = if self.along { (Way::Along, Way::Out) } else { (Way::Out, Way::Along) };
        for course in 0..back.count {
            let deep = back.reach(course).map(|at| y + at);
            for index in 0..along.count {
                let spot = boxed([along.reach(index).map(|at| x + at), deep, up]);
                // Each row has at most 20 000 units.
                let slot = (own.name.as_str(), "unit", "front", course as i64, index as i64);
                built.parts.push(Laid::new(slot, ("unit", &self.unit), spot, length, width));
            }
        }
        let showing = site.value(&self.showing);
        for (way, what) in ["length", "width"].into_iter().enumerate() {
            let inputs = vec![site.value(&self.covered.length(way)), showing];
            let name = format!("{}.{what}", own.name);
            built.numbers.push(Number { name, rule: "all-round", of: "nm", inputs });
        }
        let name = format!("{}.units", own.name);
        built.numbers.push(Number { name, rule: "field", of: "count", inputs: vec![along.count, back.count] });
        built.rows.extend([along, back]);
        Some(())
    }

    /// As much shows on all four sides of what stands there.
    fn hold(&self, own: &Planned, case: &Case<'_>, ledger: &mut Ledger) {
        let pieces = &case.site.asked.pieces;
        // Walls alone are sure to reach to their outline with parts of their own.
        if self.under.iter().any(|&place| pieces[place].is != "walls") {
            return;
        }
        let reach = |names: &[&str]| {
            let parts: Vec<_> = names.iter().flat_map(|name| parts_of(case.record, name)).collect();
            [0, 1].map(|axis| {
                let least = parts.iter().map(|part| i128::from(part.corner[axis])).min().unwrap_or(0);
                [least, parts.iter().map(|part| i128::from(part.far()[axis])).max().unwrap_or(0)]
            })
        };
        let standing: Vec<&str> = self.under.iter().map(|&place| pieces[place].name.as_str()).collect();
        let (field, stands) = (reach(&[own.name.as_str()]), reach(&standing));
        let shows = [0, 1].map(|axis| [stands[axis][0] - field[axis][0], field[axis][1] - stands[axis][1]].map(Mm));
        let wished = Mm(case.site.value(&self.showing));
        ledger.same(&format!("what shows of {} on the left, right, front and back", own.name), shows, [[wished; 2]; 2]);
    }
}

#[cfg(test)]
mod tests {
    use super::super::slats::tests::{MM, with_seat};

    /// Worked outside this project (a seat between two planters): thirteen pavers of 200 by six of 100 with joints of 3 are 2636
    /// by 615, which leaves 69 on all four sides of 2498 by 477.
    #[test]
    fn a_field_under_two_planters() {
        let pad =
            "[piece.pad]\nis = \"pad\"\nunder = [\"left\", \"right\"]\nunit = \"paver\"\njoint = 3\nshowing = 69\n";
        let asked = with_seat("like = \"left\"", pad).expect("a pad");
        let sizes = asked.sizes.iter().map(|size| size.1.want).collect::<Vec<_>>();
        let outline = asked.pieces[3].stand.outline.at(&sizes);
        assert_eq!(outline.lengths[..2], [2_636 * MM, 615 * MM]);
        assert_eq!(outline.corners[0], [-69 * MM, -69 * MM]);
        for (way, member, count) in [(0, 200, 13), (1, 100, 6)] {
            let length = asked.pieces[3].stand.outline.length(way);
            let row = asked.rows.iter().find(|row| row.length == length).expect("a row");
            assert_eq!((row.member, row.gaps_per_member, row.end_gaps), (member * MM, 1, -1));
            assert_eq!(count * member * MM + (count - 1) * 3 * MM, length.at(&sizes));
            let most = asked.limits.iter().find(|limit| limit.value == length).expect("a limit");
            assert_eq!(most.to, 141 * member * MM);
        }
    }
}
