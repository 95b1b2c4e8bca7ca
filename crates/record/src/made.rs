//! Parts, rows and cutting.

use crate::small;
use advise::Settled;
use measure::Length;
use model::build::{Need, Needed};
use model::joint::NoScrew;
use model::part::{Axis, Plane};
use model::stock::From;
use packing::{Certificate, CertificateKind, Status};
use serde::Serialize;
use stages::cut::{BoardCut, Section, SheetCut, Sheets, Stretch};

/// A part in place: a prism, its ends trimmed by planes.
#[derive(Debug, Serialize)]
pub struct PartRecord {
    /// Its short id.
    pub id: String,
    /// The piece.
    pub piece: String,
    /// What it is there.
    pub role: String,
    /// The face.
    pub face: String,
    /// Its course from below, from 0.
    pub course: u32,
    /// Its place in the row, from 0.
    pub index: u32,
    /// `board`, `sheet` or `unit`.
    pub kind: &'static str,
    /// The stock's name in the yard.
    pub stock: String,
    /// Along the grain.
    pub length: i64,
    /// Across the grain.
    pub width: i64,
    /// The other way across.
    pub thickness: i64,
    /// The direction of its length in its frame: `x`, `y` or `z`.
    pub along: &'static str,
    /// The direction of its width in its frame.
    pub across: &'static str,
    /// The corner with the smallest x, y and z of its frame, as it lies in the build.
    pub corner: [i64; 3],
    /// How far its frame is turned to the left about z, in millionths of a degree; 0 for the build's own axes.
    pub heading: i64,
    /// How far its frame leans outwards (its z towards its -y), in millionths of a degree.
    pub lean: i64,
    /// The planes that trim it.
    pub planes: Vec<PlaneRecord>,
}

/// A plane that trims a part: what lies beyond it is cut away.
#[derive(Debug, Serialize)]
pub struct PlaneRecord {
    /// 0 at the end where its length begins, 1 at the other.
    pub end: usize,
    /// The direction out of the part, of unit length times 10¹², along the axes of its frame.
    pub normal: [i64; 3],
    /// A point on the plane, from the part's corner along the axes of its frame.
    pub through: [i64; 3],
}

/// A held part, what it is screwed to, and the screws.
#[derive(Debug, Serialize)]
pub struct JointRecord {
    /// The id of the part that the heads lie in.
    pub held: String,
    /// The id of the part that the threads grip.
    pub base: String,
    /// The screw's name in the yard.
    pub screw: String,
    /// How long the screws are.
    pub length: i64,
    /// The hole for the thread, across.
    pub pilot: i64,
    /// The hole through the held part, across.
    pub clearance: i64,
    /// The way of the screws, of unit length times 10¹².
    pub direction: [i64; 3],
    /// Where the heads lie.
    pub heads: Vec<[i64; 3]>,
    /// The heads that stand in slots; the others have round holes.
    pub slots: Vec<SlotRecord>,
}

/// A slot in a held part, as wide as its clearance hole, the screw in the middle of it.
#[derive(Debug, Serialize)]
pub struct SlotRecord {
    /// Which head, by its place among the heads.
    pub head: usize,
    /// From end to end.
    pub length: i64,
    /// The way it runs, of unit length times 10¹².
    pub direction: [i64; 3],
}

/// A place where no screw of the yard will do.
#[derive(Debug, Serialize)]
pub struct UnmadeRecord {
    /// The id of the part that should be held.
    pub held: String,
    /// The id of what it should be screwed to.
    pub base: String,
    /// The screw's name in the yard.
    pub screw: String,
    /// `too thin`, `not on sale`, `no room` or `would meet`.
    pub why: &'static str,
    /// The least length that holds; 0 where it is no matter of length.
    pub least: i64,
    /// The greatest length whose tip stays inside; 0 where it is no matter of length.
    pub most: i64,
    /// The least depth of a base that would do; 0 where it is not too thin.
    pub base_least: i64,
}

/// What is filled in, laid out or bought beside parts.
#[derive(Debug, Serialize)]
pub struct NeedRecord {
    /// The piece it belongs to.
    pub piece: String,
    /// What it is.
    pub what: String,
    /// `bag`, `roll`, `finish` or `extra`.
    pub kind: &'static str,
    /// The stock's name in the yard; empty for an extra.
    pub stock: String,
    /// What is to be ordered of what comes in bags or tins, in cubic millimetres.
    pub cubic_mm: i64,
    /// How much of a roll.
    pub length: i64,
}

/// What the maker should know about a piece.
#[derive(Debug, Serialize)]
pub struct NoteRecord {
    /// The piece.
    pub piece: String,
    /// What, in whole sentences.
    pub text: String,
}

/// A row of equal members.
#[derive(Debug, Serialize)]
pub struct RowRecord {
    /// The piece.
    pub piece: String,
    /// The face, or `courses`.
    pub face: String,
    /// What members and gaps fill.
    pub length: i64,
    /// Its members, as they come again and again: one for members that are all alike.
    pub pattern: Vec<i64>,
    /// How many.
    pub count: u32,
    /// All gaps together.
    pub gaps_total: i64,
    /// How many gaps.
    pub gaps: u32,
    /// Whether a gap comes first.
    pub starts_with_gap: bool,
    /// Whether it is counted from the bottom up; other rows start at the left end of their face, seen from outside.
    pub up: bool,
    /// Where each member starts, on the marks of the tape, from the start of the row.
    pub marks: Vec<i64>,
}

/// How everything is cut.
#[derive(Debug, Serialize)]
pub struct CuttingRecord {
    /// What the blade takes.
    pub kerf: i64,
    /// What is taken off each stock piece.
    pub trim: i64,
    /// What the blade that cuts sheets takes.
    pub sheet_kerf: i64,
    /// What is taken off each sheet, either way.
    pub sheet_trim: i64,
    /// What a comfortable pattern keeps for each cut.
    pub reserve_per_cut: i64,
    /// What a comfortable pattern keeps for each board.
    pub reserve_per_board: i64,
    /// Boards, by kind.
    pub boards: Vec<SectionRecord>,
    /// Sheets, by kind.
    pub sheets: Vec<SheetsRecord>,
}

/// The cutting plan of one kind of board.
#[derive(Debug, Serialize)]
pub struct SectionRecord {
    /// The board's name in the yard.
    pub board: String,
    /// What a cut takes of the board: the kerf, or more where ends are cut at a slant.
    pub kerf: i64,
    /// Whether `cost` is money; if not, all costs are lengths in thousandths of a millimetre, because a price is unknown.
    pub priced: bool,
    /// The sum of the costs of all boards.
    pub cost: i64,
    /// `proven` or `bound`.
    pub status: &'static str,
    /// No plan costs less than this.
    pub bound: i64,
    /// Whether ties between plans of equal cost were settled exactly.
    pub ties_exact: bool,
    /// What the bound rests on.
    pub certificate: CertificateRecord,
    /// Every different way of cutting a board.
    pub cuts: Vec<BoardCutRecord>,
}

/// Prices of parts at which no board is worth more than it costs.
#[derive(Debug, Serialize)]
pub struct CertificateRecord {
    /// What all duals are multiplied by.
    pub scale: i64,
    /// The lengths that the duals belong to, longest first.
    pub lengths: Vec<i64>,
    /// The dual of each length.
    pub duals: Vec<i64>,
    /// For each length of stock in the yard's order: its dual if its number is limited.
    pub supply_duals: Vec<i64>,
    /// Further prices, each a rule for the boards that are bought; left out if there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub rules: Vec<BoardRuleRecord>,
    /// Where boards with bad stretches are on offer: one for each way of buying them, in the order in which the last such stock of the yard
    /// counts fastest (those that cost nothing are all bought). Then the prices above say nothing. Left out if there are none.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cases: Vec<CaseRecord>,
    /// The bound after it is lifted to the next sum of costs that can be reached; with rules the least cost of boards that keep them all;
    /// with cases the least of what boards with bad stretches cost and their case proves for the rest, but no more than `cost`.
    pub bound: i64,
    /// `duals` if the duals alone prove it, `boards` if the rules do, `search` if an exhaustive search closed the rest.
    pub kind: &'static str,
}

/// One way of buying boards with bad stretches.
#[derive(Debug, Serialize)]
pub struct CaseRecord {
    /// A certificate of what is left to cut, for which the clear stretches of the boards that are bought stand behind the kind's own lengths
    /// as stock of no cost, each as long as what it holds and the trim; null where a part is too long for it, or all stock is too short together.
    pub certificate: Option<CertificateRecord>,
}

/// Prices of parts as a rule: what the boards hold at most, each by itself, sums at least to the worth of all parts.
#[derive(Debug, Serialize)]
pub struct BoardRuleRecord {
    /// The price of each length.
    pub duals: Vec<i64>,
    /// For each length of stock in the yard's order what the parts on one board are worth at most.
    pub held: Vec<i64>,
}

/// One way of cutting a board.
#[derive(Debug, Serialize)]
pub struct BoardCutRecord {
    /// How long the board is.
    pub stock: i64,
    /// What a single board of the yard or an offcut of the shed is called; null for a length on sale.
    pub name: Option<String>,
    /// Whether it lies in the shed.
    pub shed: bool,
    /// The parts' lengths in the order of cutting; of a board with bad stretches clear stretch by clear stretch.
    pub lengths: Vec<i64>,
    /// The numbered clear stretches of a board with bad ones, from the marked end on; left out for a sound board.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stretches: Vec<StretchRecord>,
    /// What is left; of clear stretches all together.
    pub slack: i64,
    /// What is left before any kerf is taken; over the cuts this is the kerf at which the pattern breaks. Of clear stretches those of the
    /// one that breaks first.
    pub kerf_room: i64,
    /// Cuts between parts, and in a clear stretch at its bad ends.
    pub cuts: usize,
    /// Whether it keeps the reserve.
    pub comfortable: bool,
    /// The boards that are cut so: the ids of their parts, in the order of `lengths`.
    pub boards: Vec<Vec<String>>,
}

/// A clear stretch of a board with bad ones.
#[derive(Debug, Serialize)]
pub struct StretchRecord {
    /// Where it begins, from the marked end of the board.
    pub from: i64,
    /// Where it ends.
    pub to: i64,
    /// How many parts lie in it.
    pub parts: usize,
    /// What is left of it.
    pub slack: i64,
}

/// The cutting plan of one kind of sheet.
#[derive(Debug, Serialize)]
pub struct SheetsRecord {
    /// The sheet's name in the yard.
    pub sheet: String,
    /// What a cut takes: the kerf, or more where panels' ends are cut at a slant.
    pub kerf: i64,
    /// Whether costs are money; if not, the price of one of its sizes is unknown, and a sheet costs its area in whole square
    /// millimetres, rounded down.
    pub priced: bool,
    /// The sum of the costs of all sheets, of all sizes together.
    pub cost: i64,
    /// Whether no cutting in strips costs less, where each strip is as wide as its panels are high and sizes are mixed.
    pub exact: bool,
    /// No cutting costs less, in strips or not: the panels' area where area costs least, rounded up (with one size on sale, the
    /// sheets that this area fills), or the cheapest sheet that holds one of the panels, whichever is most.
    pub bound: i64,
    /// Whether `cost` is equal to `bound`.
    pub proven: bool,
    /// The sheets, in the order of the yard's sizes.
    pub sheets: Vec<SheetRecord>,
}

/// One sheet.
#[derive(Debug, Serialize)]
pub struct SheetRecord {
    /// How long the sheet is.
    pub length: i64,
    /// How wide.
    pub width: i64,
    /// What an offcut of the shed is called; null for a size on sale.
    pub name: Option<String>,
    /// What is left of the width.
    pub slack: i64,
    /// Whether the rips and every strip's crosscuts keep the reserve.
    pub comfortable: bool,
    /// Its strips.
    pub strips: Vec<StripRecord>,
}

/// One strip.
#[derive(Debug, Serialize)]
pub struct StripRecord {
    /// How wide.
    pub width: i64,
    /// What is left of the length.
    pub slack: i64,
    /// The ids of its panels, in the order of cutting.
    pub parts: Vec<String>,
}

pub(crate) fn parts(settled: &Settled) -> Vec<PartRecord> {
    let axis = |axis: Axis| ["x", "y", "z"][axis.index()];
    let part = |part: &model::part::Part| PartRecord {
        id: part.id.clone(),
        piece: part.key.piece.clone(),
        role: part.key.role.clone(),
        face: part.key.face.clone(),
        course: part.key.course,
        index: part.key.index,
        kind: part.stock.kind.word(),
        stock: settled.plan.yard.label(part.stock).0.to_owned(),
        length: part.solid.length.nanometres(),
        width: part.solid.width.nanometres(),
        thickness: part.solid.thickness.nanometres(),
        along: axis(part.at.along),
        across: axis(part.at.across),
        corner: part.at.corner.map(Length::nanometres),
        heading: part.at.frame.heading.millionths(),
        lean: part.at.frame.lean.millionths(),
        planes: planes(&part.solid.ends),
    };
    settled.build.parts.iter().map(part).collect()
}

fn planes(ends: &[Vec<Plane>; 2]) -> Vec<PlaneRecord> {
    let of = |(end, planes): (usize, &Vec<Plane>)| {
        let plane = move |plane: &Plane| PlaneRecord {
            end,
            normal: plane.normal,
            through: plane.through.map(Length::nanometres),
        };
        planes.iter().map(plane).collect::<Vec<PlaneRecord>>()
    };
    ends.iter().enumerate().flat_map(of).collect()
}

pub(crate) fn joints(settled: &Settled) -> Vec<JointRecord> {
    let id = |place: usize| settled.build.parts[place].id.clone();
    let slot = |slot: &model::joint::Slot| SlotRecord {
        head: slot.head,
        length: slot.length.nanometres(),
        direction: slot.direction,
    };
    let joint = |joint: &model::joint::Joint| JointRecord {
        held: id(joint.held),
        base: id(joint.base),
        screw: settled.plan.yard.screws[joint.screw].name.clone(),
        length: joint.length.nanometres(),
        pilot: joint.pilot.nanometres(),
        clearance: joint.clearance.nanometres(),
        direction: joint.direction,
        heads: joint.heads.iter().map(|head| head.map(Length::nanometres)).collect(),
        slots: joint.slots.iter().map(slot).collect(),
    };
    settled.joints.made.iter().map(joint).collect()
}

pub(crate) fn unmade(settled: &Settled) -> Vec<UnmadeRecord> {
    let id = |place: usize| settled.build.parts[place].id.clone();
    let unmade = |unmade: &model::joint::Unmade| {
        let (why, [least, most, base_least]) = match unmade.why {
            NoScrew::TooThin { least, most, base } => ("too thin", [least, most, base]),
            NoScrew::NotOnSale { least, most } => ("not on sale", [least, most, Length::ZERO]),
            NoScrew::NoRoom => ("no room", [Length::ZERO; 3]),
            NoScrew::Meets => ("would meet", [Length::ZERO; 3]),
        };
        let screw = settled.plan.yard.screws[unmade.screw].name.clone();
        let [least, most, base_least] = [least, most, base_least].map(Length::nanometres);
        UnmadeRecord { held: id(unmade.held), base: id(unmade.base), screw, why, least, most, base_least }
    };
    settled.joints.unmade.iter().map(unmade).collect()
}

pub(crate) fn needs(settled: &Settled) -> Vec<NeedRecord> {
    let need = |need: &Need| {
        let name = |stock| settled.plan.yard.label(stock).0.to_owned();
        let (kind, stock, cubic_mm, length) = match need.of {
            Needed::Filled { bag, volume } => ("bag", name(bag), small(stages::buy::cubic_millimetres(volume)), 0),
            Needed::LaidOut { roll, length } => ("roll", name(roll), 0, length.nanometres()),
            Needed::Brushed { finish, volume } => {
                ("finish", name(finish), small(stages::buy::cubic_millimetres(volume)), 0)
            }
            Needed::Fitted { fitting, .. } => ("fitting", name(fitting), 0, 0),
            Needed::Extra { .. } => ("extra", String::new(), 0, 0),
        };
        NeedRecord { piece: need.piece.clone(), what: need.what.clone(), kind, stock, cubic_mm, length }
    };
    settled.build.needs.iter().map(need).collect()
}

pub(crate) fn notes(settled: &Settled) -> Vec<NoteRecord> {
    let notes = settled.build.notes.iter();
    notes.map(|note| NoteRecord { piece: note.piece.clone(), text: note.text.clone() }).collect()
}

pub(crate) fn rows(settled: &Settled) -> Vec<RowRecord> {
    let step = settled.plan.tape.step();
    let row = |row: &model::build::Row| RowRecord {
        piece: row.piece.clone(),
        face: row.face.clone(),
        length: row.length.nanometres(),
        pattern: row.pattern.iter().map(|member| member.nanometres()).collect(),
        count: row.count,
        gaps_total: row.gaps.map_or(0, |gaps| gaps.total().nanometres()),
        gaps: row.gaps.map_or(0, |gaps| gaps.places()),
        starts_with_gap: row.starts_with_gap,
        up: row.up,
        marks: row.marks(step).into_iter().map(Length::nanometres).collect(),
    };
    settled.build.rows.iter().map(row).collect()
}

pub(crate) fn cutting(settled: &Settled) -> CuttingRecord {
    let shed = &settled.plan.shed;
    CuttingRecord {
        kerf: shed.kerf.nanometres(),
        trim: shed.trim.nanometres(),
        sheet_kerf: shed.saw_for_sheets().kerf.nanometres(),
        sheet_trim: shed.saw_for_sheets().trim.nanometres(),
        reserve_per_cut: shed.reserve_per_cut.nanometres(),
        reserve_per_board: shed.reserve_per_board.nanometres(),
        boards: settled.cutting.sections.iter().map(|of| section(of, settled)).collect(),
        sheets: settled.cutting.sheets.iter().map(|of| sheets(of, settled)).collect(),
    }
}

fn ids(places: &[usize], settled: &Settled) -> Vec<String> {
    places.iter().map(|&place| settled.build.parts[place].id.clone()).collect()
}

fn section(section: &Section, settled: &Settled) -> SectionRecord {
    let (status, certificate) = match &section.status {
        Status::Proven(certificate) => ("proven", certificate),
        Status::Bound { certificate, .. } => ("bound", certificate),
    };
    SectionRecord {
        board: settled.plan.yard.label(section.stock).0.to_owned(),
        kerf: section.kerf.nanometres(),
        priced: section.priced,
        cost: section.engine_cost,
        status,
        bound: match &section.status {
            Status::Proven(_) => section.engine_cost,
            Status::Bound { lower, .. } => *lower,
        },
        ties_exact: section.ties_exact,
        certificate: certificate_record(certificate, section),
        cuts: section.cuts.iter().map(|cut| board_cut(cut, section, settled)).collect(),
    }
}

fn certificate_record(certificate: &Certificate, section: &Section) -> CertificateRecord {
    CertificateRecord {
        scale: certificate.scale,
        lengths: section.job.items.iter().map(|item| item.length).collect(),
        duals: certificate.duals.clone(),
        supply_duals: certificate.supply_duals.clone(),
        rules: (certificate.rules.iter())
            .map(|rule| BoardRuleRecord { duals: rule.duals.clone(), held: rule.held.clone() })
            .collect(),
        cases: (certificate.cases.iter())
            .map(|case| CaseRecord {
                certificate: case.certificate.as_ref().map(|own| certificate_record(own, section)),
            })
            .collect(),
        bound: certificate.bound,
        kind: match certificate.kind {
            CertificateKind::Duals => "duals",
            CertificateKind::Boards => "boards",
            CertificateKind::Search => "search",
        },
    }
}

fn board_cut(cut: &BoardCut, section: &Section, settled: &Settled) -> BoardCutRecord {
    let breaks = cut.breaks(settled.plan.shed.trim);
    let stretch = |of: &Stretch| StretchRecord {
        from: of.clear.from.nanometres(),
        to: of.clear.to.nanometres(),
        parts: of.parts.len(),
        slack: of.slack.nanometres(),
    };
    let sold = &settled.plan.yard.boards[section.stock.place].lengths[cut.length];
    BoardCutRecord {
        stock: cut.stock_length.nanometres(),
        name: sold.name.clone(),
        shed: sold.from == From::Shed,
        lengths: cut.lengths.iter().map(|length| length.nanometres()).collect(),
        stretches: cut.stretches.iter().map(stretch).collect(),
        slack: cut.slack.nanometres(),
        kerf_room: breaks.room.nanometres(),
        cuts: breaks.kerfs,
        comfortable: cut.comfortable,
        boards: cut.boards.iter().map(|board| ids(board, settled)).collect(),
    }
}

fn sheets(sheets: &Sheets, settled: &Settled) -> SheetsRecord {
    let strip = |strip: &stages::cut::Strip| StripRecord {
        width: strip.width.nanometres(),
        slack: strip.slack.nanometres(),
        parts: ids(&strip.parts, settled),
    };
    let sheet = |sheet: &SheetCut| SheetRecord {
        length: sheet.measures[0].nanometres(),
        width: sheet.measures[1].nanometres(),
        name: settled.plan.yard.sheets[sheets.stock.place].sizes[sheet.size].name.clone(),
        slack: sheet.slack.nanometres(),
        comfortable: sheet.comfortable,
        strips: sheet.strips.iter().map(strip).collect(),
    };
    SheetsRecord {
        sheet: settled.plan.yard.label(sheets.stock).0.to_owned(),
        kerf: sheets.kerf.nanometres(),
        priced: sheets.priced,
        cost: sheets.cost,
        exact: sheets.exact,
        bound: sheets.bound,
        proven: sheets.proven,
        sheets: sheets.sheets.iter().map(sheet).collect(),
    }
}
