//! What is made: parts, rows, and how they are cut.

use super::reader::Reader;
use crate::json::Json;

#[derive(Clone)]
pub(crate) struct Part {
    pub id: String,
    pub piece: String,
    pub role: String,
    pub face: String,
    pub course: i64,
    pub index: i64,
    pub kind: String,
    pub stock: String,
    pub length: i64,
    pub width: i64,
    pub thickness: i64,
    pub along: usize,
    pub across: usize,
    /// The corner with the least x, y and z of its frame, in the build.
    pub corner: [i64; 3],
    /// The direction of its frame's x, in millionths of a degree.
    pub heading: i64,
    /// How far its frame is turned about that, in millionths of a degree.
    pub lean: i64,
    pub planes: Vec<Plane>,
    /// Whether it is cut already; the day book says so, and no record.
    pub done: bool,
}

/// A plane that trims an end of a part.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Plane {
    /// The end of its length: 0 or 1.
    pub end: usize,
    /// Square to it and out of the part, in the frame's axes, times 10^12.
    pub normal: [i64; 3],
    /// A point on it, in the frame's axes from the part's corner.
    pub through: [i64; 3],
}

impl Part {
    /// The slot, for a message.
    pub fn slot(&self) -> String {
        format!("{} ({} {} {} {}.{})", self.id, self.piece, self.face, self.role, self.course + 1, self.index + 1)
    }

    /// A board of nothing else, for tests: length along x, width along y.
    #[cfg(test)]
    pub fn sized([length, width, thickness]: [i64; 3]) -> Part {
        let [id, piece, role, face, kind, stock] = ["A1", "p", "board", "front", "board", "b"].map(String::from);
        let (corner, planes) = ([0; 3], Vec::new());
        Part {
            id,
            piece,
            role,
            face,
            course: 0,
            index: 0,
            kind,
            stock,
            length,
            width,
            thickness,
            along: 0,
            across: 1,
            corner,
            heading: 0,
            lean: 0,
            planes,
            done: false,
        }
    }

    /// Whether it is a box along the axes of the build.
    pub fn is_plain(&self) -> bool {
        self.heading == 0 && self.lean == 0 && self.planes.is_empty()
    }

    /// How far its box reaches along each axis of its frame.
    pub fn extent(&self) -> [i64; 3] {
        let mut extent = [self.thickness; 3];
        extent[self.along] = self.length;
        extent[self.across] = self.width;
        extent
    }

    /// The corner with the greatest x, y and z, of a part along the axes of the build.
    pub fn far(&self) -> [i64; 3] {
        let extent = self.extent();
        [0, 1, 2].map(|axis| self.corner[axis] + extent[axis])
    }

    /// The letters of its id, without the number.
    pub fn letters(&self) -> &str {
        self.id.trim_end_matches(|c: char| c.is_ascii_digit())
    }
}

pub(crate) struct Row {
    pub piece: String,
    pub face: String,
    pub length: i64,
    /// The members in turn, each by what it takes along the row.
    pub pattern: Vec<i64>,
    pub count: i64,
    pub gaps_total: i64,
    pub gaps: i64,
    pub starts_with_gap: bool,
    pub up: bool,
    pub marks: Vec<i64>,
}

pub(crate) struct Cutting {
    pub kerf: i64,
    pub trim: i64,
    pub sheet_kerf: i64,
    pub sheet_trim: i64,
    pub reserve_per_cut: i64,
    pub reserve_per_board: i64,
    pub boards: Vec<Section>,
    pub sheets: Vec<Sheets>,
}

pub(crate) struct Section {
    pub board: String,
    /// What a cut takes of the board, if it is not said to be the saw's own kerf.
    pub kerf: Option<i64>,
    pub priced: bool,
    pub cost: i64,
    pub status: String,
    pub bound: i64,
    pub ties_exact: bool,
    pub certificate: Certificate,
    pub cuts: Vec<Cut>,
}

pub(crate) struct Certificate {
    pub scale: i64,
    pub lengths: Vec<i64>,
    pub duals: Vec<i64>,
    pub supply_duals: Vec<i64>,
    pub rules: Vec<BoardRule>,
    /// Where boards have bad stretches: one for each way of buying them, none where that is plainly too little.
    pub cases: Vec<Option<Certificate>>,
    pub bound: i64,
    pub kind: String,
}

/// What boards of each length hold at most by some prices, and all of a plan together have to.
pub(crate) struct BoardRule {
    pub duals: Vec<i64>,
    pub held: Vec<i64>,
}

pub(crate) struct Cut {
    pub stock: i64,
    /// What a single board or an offcut is called.
    pub name: Option<String>,
    /// Whether it lies in the shed.
    pub shed: bool,
    pub lengths: Vec<i64>,
    /// The clear stretches of a board with bad ones.
    pub stretches: Vec<Stretch>,
    pub slack: i64,
    pub kerf_room: i64,
    pub cuts: i64,
    pub comfortable: bool,
    pub boards: Vec<Vec<String>>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Stretch {
    pub from: i64,
    pub to: i64,
    pub parts: i64,
    pub slack: i64,
}

pub(crate) struct Sheets {
    pub sheet: String,
    /// What a cut takes, if it is not said to be the saw's own kerf.
    pub kerf: Option<i64>,
    pub priced: bool,
    pub cost: i64,
    pub exact: bool,
    pub bound: i64,
    pub proven: bool,
    pub sheets: Vec<Sheet>,
}

pub(crate) struct Sheet {
    pub length: i64,
    pub width: i64,
    /// What an offcut is called.
    pub name: Option<String>,
    pub slack: i64,
    pub comfortable: bool,
    pub strips: Vec<Strip>,
}

pub(crate) struct Strip {
    pub width: i64,
    pub slack: i64,
    pub parts: Vec<String>,
}

impl<'l> Reader<'l> {
    pub(super) fn part(&mut self, json: &Json, path: &str) -> Option<Part> {
        const KEYS: [&str; 17] = [
            "id",
            "piece",
            "role",
            "face",
            "course",
            "index",
            "kind",
            "stock",
            "length",
            "width",
            "thickness",
            "along",
            "across",
            "corner",
            "heading",
            "lean",
            "planes",
        ];
        let part = self.object(json, path, &KEYS)?;
        let corner = self.field(&part, "corner", Self::point)?;
        let (along, across) = (self.field(&part, "along", Self::axis)?, self.field(&part, "across", Self::axis)?);
        if along == across {
            return self.wrong(path, "length and width lie the same way");
        }
        Some(Part {
            id: self.field(&part, "id", Self::text)?,
            piece: self.field(&part, "piece", Self::text)?,
            role: self.field(&part, "role", Self::text)?,
            face: self.field(&part, "face", Self::text)?,
            course: self.field(&part, "course", Self::count)?,
            index: self.field(&part, "index", Self::count)?,
            kind: self.field(&part, "kind", Self::text)?,
            stock: self.field(&part, "stock", Self::text)?,
            length: self.field(&part, "length", Self::length)?,
            width: self.field(&part, "width", Self::length)?,
            thickness: self.field(&part, "thickness", Self::length)?,
            along,
            across,
            corner,
            heading: self.field(&part, "heading", Self::length)?,
            lean: self.field(&part, "lean", Self::length)?,
            planes: self.list(&part, "planes", Self::plane)?,
            done: false,
        })
    }

    pub(super) fn row(&mut self, json: &Json, path: &str) -> Option<Row> {
        const KEYS: [&str; 10] =
            ["piece", "face", "length", "pattern", "count", "gaps_total", "gaps", "starts_with_gap", "up", "marks"];
        let row = self.object(json, path, &KEYS)?;
        Some(Row {
            piece: self.field(&row, "piece", Self::text)?,
            face: self.field(&row, "face", Self::text)?,
            length: self.field(&row, "length", Self::length)?,
            pattern: self.list(&row, "pattern", Self::length)?,
            count: self.field(&row, "count", Self::count)?,
            gaps_total: self.field(&row, "gaps_total", Self::length)?,
            gaps: self.field(&row, "gaps", Self::count)?,
            starts_with_gap: self.field(&row, "starts_with_gap", Self::truth)?,
            up: self.field(&row, "up", Self::truth)?,
            marks: self.list(&row, "marks", Self::length)?,
        })
    }

    pub(super) fn cutting(&mut self, json: &Json, path: &str) -> Option<Cutting> {
        const KEYS: [&str; 8] =
            ["kerf", "trim", "sheet_kerf", "sheet_trim", "reserve_per_cut", "reserve_per_board", "boards", "sheets"];
        let cutting = self.object(json, path, &KEYS)?;
        Some(Cutting {
            kerf: self.field(&cutting, "kerf", Self::length)?,
            trim: self.field(&cutting, "trim", Self::length)?,
            sheet_kerf: self.field(&cutting, "sheet_kerf", Self::length)?,
            sheet_trim: self.field(&cutting, "sheet_trim", Self::length)?,
            reserve_per_cut: self.field(&cutting, "reserve_per_cut", Self::length)?,
            reserve_per_board: self.field(&cutting, "reserve_per_board", Self::length)?,
            boards: self.list(&cutting, "boards", Self::section)?,
            sheets: self.list(&cutting, "sheets", Self::sheets)?,
        })
    }

    pub(super) fn section(&mut self, json: &Json, path: &str) -> Option<Section> {
        let keys = ["board", "priced", "cost", "status", "bound", "ties_exact", "certificate", "cuts"];
        let section = self.object_with(json, path, &keys, &["kerf"])?;
        let kerf = if section.has("kerf") { Some(self.field(&section, "kerf", Self::length)?) } else { None };
        Some(Section {
            kerf,
            board: self.field(&section, "board", Self::text)?,
            priced: self.field(&section, "priced", Self::truth)?,
            cost: self.field(&section, "cost", Self::money)?,
            status: self.field(&section, "status", Self::text)?,
            bound: self.field(&section, "bound", Self::money)?,
            ties_exact: self.field(&section, "ties_exact", Self::truth)?,
            certificate: self.field(&section, "certificate", Self::certificate)?,
            cuts: self.list(&section, "cuts", Self::cut)?,
        })
    }

    pub(super) fn certificate(&mut self, json: &Json, path: &str) -> Option<Certificate> {
        let keys = ["scale", "lengths", "duals", "supply_duals", "bound", "kind"];
        let certificate = self.object_with(json, path, &keys, &["rules", "cases"])?;
        let (has_rules, has_cases) = (certificate.has("rules"), certificate.has("cases"));
        Some(Certificate {
            cases: if has_cases { self.list(&certificate, "cases", Self::case)? } else { Vec::new() },
            rules: if has_rules { self.list(&certificate, "rules", Self::board_rule)? } else { Vec::new() },
            scale: self.field(&certificate, "scale", Self::any)?,
            lengths: self.list(&certificate, "lengths", Self::length)?,
            duals: self.list(&certificate, "duals", Self::any)?,
            supply_duals: self.list(&certificate, "supply_duals", Self::any)?,
            bound: self.field(&certificate, "bound", Self::money)?,
            kind: self.field(&certificate, "kind", Self::text)?,
        })
    }

    fn case(&mut self, json: &Json, path: &str) -> Option<Option<Certificate>> {
        let case = self.object(json, path, &["certificate"])?;
        self.maybe(&case, "certificate", |reader, json, path| {
            // No case of a case: they would nest as deep as a stranger likes.
            let own = reader.certificate(json, path)?;
            if own.cases.is_empty() { Some(own) } else { reader.wrong(path, "a case has no cases") }
        })
    }

    fn board_rule(&mut self, json: &Json, path: &str) -> Option<BoardRule> {
        let rule = self.object(json, path, &["duals", "held"])?;
        Some(BoardRule { duals: self.list(&rule, "duals", Self::any)?, held: self.list(&rule, "held", Self::any)? })
    }

    pub(super) fn cut(&mut self, json: &Json, path: &str) -> Option<Cut> {
        let keys = ["stock", "name", "shed", "lengths", "slack", "kerf_room", "cuts", "comfortable", "boards"];
        let cut = self.object_with(json, path, &keys, &["stretches"])?;
        let has_stretches = cut.has("stretches");
        Some(Cut {
            stretches: if has_stretches { self.list(&cut, "stretches", Self::clear_stretch)? } else { Vec::new() },
            stock: self.field(&cut, "stock", Self::length)?,
            name: self.maybe(&cut, "name", Self::text)?,
            shed: self.field(&cut, "shed", Self::truth)?,
            lengths: self.list(&cut, "lengths", Self::length)?,
            slack: self.field(&cut, "slack", Self::length)?,
            kerf_room: self.field(&cut, "kerf_room", Self::length)?,
            cuts: self.field(&cut, "cuts", Self::count)?,
            comfortable: self.field(&cut, "comfortable", Self::truth)?,
            boards: self.list(&cut, "boards", |reader, json, path| reader.items(json, path, Self::text))?,
        })
    }

    fn clear_stretch(&mut self, json: &Json, path: &str) -> Option<Stretch> {
        let stretch = self.object(json, path, &["from", "to", "parts", "slack"])?;
        Some(Stretch {
            from: self.field(&stretch, "from", Self::length)?,
            to: self.field(&stretch, "to", Self::length)?,
            parts: self.field(&stretch, "parts", Self::count)?,
            slack: self.field(&stretch, "slack", Self::length)?,
        })
    }

    pub(super) fn sheets(&mut self, json: &Json, path: &str) -> Option<Sheets> {
        let keys = ["sheet", "priced", "cost", "exact", "bound", "proven", "sheets"];
        let sheets = self.object_with(json, path, &keys, &["kerf"])?;
        let kerf = if sheets.has("kerf") { Some(self.field(&sheets, "kerf", Self::length)?) } else { None };
        Some(Sheets {
            kerf,
            sheet: self.field(&sheets, "sheet", Self::text)?,
            priced: self.field(&sheets, "priced", Self::truth)?,
            cost: self.field(&sheets, "cost", Self::money)?,
            exact: self.field(&sheets, "exact", Self::truth)?,
            bound: self.field(&sheets, "bound", Self::money)?,
            proven: self.field(&sheets, "proven", Self::truth)?,
            sheets: self.list(&sheets, "sheets", Self::sheet)?,
        })
    }

    pub(super) fn sheet(&mut self, json: &Json, path: &str) -> Option<Sheet> {
        let sheet = self.object(json, path, &["length", "width", "name", "slack", "comfortable", "strips"])?;
        Some(Sheet {
            length: self.field(&sheet, "length", Self::length)?,
            width: self.field(&sheet, "width", Self::length)?,
            name: self.maybe(&sheet, "name", Self::text)?,
            slack: self.field(&sheet, "slack", Self::length)?,
            comfortable: self.field(&sheet, "comfortable", Self::truth)?,
            strips: self.list(&sheet, "strips", Self::strip)?,
        })
    }

    pub(super) fn strip(&mut self, json: &Json, path: &str) -> Option<Strip> {
        let strip = self.object(json, path, &["width", "slack", "parts"])?;
        Some(Strip {
            width: self.field(&strip, "width", Self::length)?,
            slack: self.field(&strip, "slack", Self::length)?,
            parts: self.list(&strip, "parts", Self::text)?,
        })
    }

    pub(super) fn plane(&mut self, json: &Json, path: &str) -> Option<Plane> {
        let plane = self.object(json, path, &["end", "normal", "through"])?;
        let end = self.field(&plane, "end", Self::index)?;
        if end > 1 {
            return self.wrong(path, "a part has the ends 0 and 1");
        }
        let (normal, through) =
            (self.field(&plane, "normal", Self::point)?, self.field(&plane, "through", Self::point)?);
        Some(Plane { end, normal, through })
    }
}
