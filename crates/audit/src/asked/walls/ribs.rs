//! Ribs: courses that are longer than the stock gives are joined over them, with the joints of one course in the middle between
//! those of the next.

use crate::asked::lines::Line;
use crate::asked::{Asked, Planned, of_board};
use crate::ground::{Ground, Sum, Way};
use crate::laid::{Built, Laid, Site};
use crate::texts::{Papers, Piece};

/// What stands behind the joints.
pub(super) struct Ribs {
    board: String,
    width: i128,
    thickness: i128,
    /// The longest part that the courses' stock gives.
    longest: i128,
}

impl Ribs {
    /// Asks for ribs, if the courses are joined over them.
    pub fn ask(
        asked: &mut Asked,
        piece: &Piece,
        papers: &Papers,
        height: &Sum,
        longest: i128,
    ) -> Result<Option<Ribs>, String> {
        if piece.word("join", "")? != "over ribs" {
            return Ok(None);
        }
        let board = piece.word("rib", "")?;
        let [thickness, width, high] = of_board(&board, papers)?;
        asked.comes_out(Vec::new(), height.clone(), high);
        Ok(Some(Ribs { board, width, thickness, longest: longest.max(1) }))
    }

    /// Where the parts of a course begin and end, from the start of its side.
    fn places(&self, length: i128, course: usize) -> Vec<i128> {
        let parts = (length + self.longest - 1).div_euclid(self.longest).max(1);
        let each = (length + parts - 1).div_euclid(parts);
        let joints = (1..parts).map(|i| i * each);
        let half = (each + 1) / 2;
        let between = (0..parts).map(|i| i * each + half);
        let mut places = vec![0];
        if parts > 1 && course.is_multiple_of(2) {
            places.extend(joints);
        } else if parts > 1 {
            places.extend(between);
        }
        places.push(length);
        places
    }

    /// The numbers that have a why, of a side whose courses are cut.
    pub fn numbers(&self, piece: &str, face: &str, length: i128, built: &mut Built<'_>) {
        let boards = (length + self.longest - 1).div_euclid(self.longest);
        if boards > 1 {
            let face = face.replace(' ', "-");
            built.number(piece, &format!("{face}.boards"), "boards-in-a-course", "count", vec![length, self.longest]);
            built.number(piece, &format!("{face}.board"), "joined-length", "nm", vec![length, boards]);
        }
    }

    /// A course cut into the parts that it is joined of, from the start of its side.
    pub fn cut<'a>(&self, whole: Laid<'a>, course: usize) -> Vec<Laid<'a>> {
        let (axis, length) = (whole.along, whole.spot.extent[whole.along]);
        let places = self.places(length, course);
        let last = places.len() - 2;
        let part = |(index, pair): (usize, &[i128])| {
            let mut part = whole.clone();
            part.slot.4 = index as i64;
            let [from, to] =
                if whole.spot.backwards { [length - pair[1], length - pair[0]] } else { [pair[0], pair[1]] };
            part.spot = whole.spot.ahead(axis, from, to - from);
            let ends = [index == 0, index == last];
            part.planes.retain(|plane| ends[plane.end]);
            for plane in &mut part.planes {
                plane.through[axis] -= from as f64;
            }
            part
        };
        places.windows(2).enumerate().map(part).collect()
    }

    /// The ribs behind the joints of one side, of the even courses and, if there is one, of the odd ones.
    #[allow(clippy::too_many_arguments)]
    pub fn stand<'a>(
        &'a self,
        own: &'a Planned,
        ground: &Ground,
        site: &Site<'a>,
        lines: &[&Line],
        wall: i128,
        up: [i128; 2],
        built: &mut Built<'a>,
    ) {
        let mut joints: Vec<i128> = Vec::new();
        for (course, line) in lines.iter().enumerate() {
            let [start, end] = [&line.start.at, &line.finish.at].map(|at| site.value(at));
            let places = self.places(end - start, course);
            joints.extend(places[1..places.len() - 1].iter().map(|place| start + place));
        }
        let side = lines[0].side;
        joints.sort_unstable();
        for (index, joint) in joints.into_iter().enumerate() {
            let left = joint - self.width / 2;
            let spot = ground.beside(side, [left, left + self.width], [-wall - self.thickness, -wall], up);
            let slot = (own.name.as_str(), "rib", ground.outline.name(side), 0, index as i64);
            built.parts.push(Laid::new(slot, ("board", &self.board), spot, Way::Up, Way::Along));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A wall of 5 m of boards that give 3.99: two of 2.5 in even courses; halves of 1.25 at the ends of odd ones (worked by
    /// hand). One of 3 m is whole.
    #[test]
    fn joints_are_staggered() {
        let ribs = Ribs { board: "b".into(), width: 45, thickness: 45, longest: 3990 };
        assert_eq!(ribs.places(5000, 0), [0, 2500, 5000]);
        assert_eq!(ribs.places(5000, 1), [0, 1250, 3750, 5000]);
        assert_eq!(ribs.places(9000, 1), [0, 1500, 4500, 7500, 9000]);
        assert_eq!((ribs.places(3000, 0), ribs.places(3000, 1)), (vec![0, 3000], vec![0, 3000]));
    }
}
