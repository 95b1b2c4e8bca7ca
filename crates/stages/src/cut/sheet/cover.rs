//! Which panels share a sheet: the cheapest cover of all panels by sheets in strips, over all sizes of a kind together.
//!
//! Panels of one height and no others share a strip as wide as they are high. Panels come out of one sheet if the fewest strips
//! that yield them, each with the kerf that parts it from the next, keep to the width less the trim. Dynamic programming
//! over the numbers of each distinct panel finds the cheapest cover; all of it is exact and in whole numbers.

/// Panels that are alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Panel {
    /// Across the sheet: the width of its strip, in nanometres.
    pub height: i64,
    /// Along the sheet, in nanometres.
    pub length: i64,
    /// How many are needed.
    pub demand: u32,
}

/// A size of sheet on sale.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Size {
    /// Along the grain, in nanometres.
    pub length: i64,
    /// Across it, in nanometres.
    pub width: i64,
    /// What one costs, in any whole measure.
    pub cost: i64,
    /// How many there are, if limited.
    pub supply: Option<u32>,
}

impl Size {
    /// In square nanometres.
    pub fn area(self) -> i128 {
        i128::from(self.length) * i128::from(self.width)
    }
}

/// What is lost at the saw, in nanometres, along the sheet as across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Saw {
    /// Between two cuts.
    pub kerf: i64,
    /// At both ends together.
    pub trim: i64,
}

impl Saw {
    /// What is left of a length of stock after these are cut from it; below nothing if they do not come out.
    pub fn left(self, stock: i64, lengths: impl IntoIterator<Item = i64>) -> i128 {
        let with_kerf = |length: i64| i128::from(length) + i128::from(self.kerf);
        self.room(stock) - lengths.into_iter().map(with_kerf).sum::<i128>()
    }

    /// The length less trim, and one kerf more, since the last piece needs none.
    fn room(self, stock: i64) -> i128 {
        i128::from(stock) - i128::from(self.trim) + i128::from(self.kerf)
    }
}

/// What comes out of one sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Load {
    /// Which size.
    pub size: usize,
    /// How many of each panel.
    pub counts: Vec<u32>,
    /// Whether it comes out with the reserve.
    pub comfortable: bool,
}

/// The most pairs of a remainder and a load of one sheet that are looked at: some hundredths of a second. Panels of demand d
/// make (d + 1)(d + 2) / 2 of them, and different panels multiply: thirteen panels that all differ, eight pairs, or
/// two thousand alike stay below it. Each size of which there are few makes as many times more as there are numbers of it.
pub(super) const MOST_LOOKS: u64 = 2_100_000;

/// The cheapest sheets that yield all panels; among those of equal cost the fewest tight ones, then the fewest, then the least
/// area, then the cover whose first sheets hold most of the first panels. `saws` are the saw as it is and the saw with
/// the reserve. `None` if the job is too large for [`MOST_LOOKS`], or the panels do not come out of the sheets that there are.
pub(super) fn cheapest(panels: &[Panel], sizes: &[Size], saws: [Saw; 2]) -> Option<Vec<Load>> {
    let looks = panels.iter().try_fold(1_u64, |looks, panel| {
        let demand = u64::from(panel.demand);
        looks.checked_mul((demand + 1).checked_mul(demand + 2)? / 2).filter(|looks| *looks <= MOST_LOOKS)
    });
    let rack = Rack::new(panels, sizes);
    looks?.checked_mul(rack.states as u64).filter(|looks| *looks <= MOST_LOOKS)?;
    let table = Table::new(panels);
    let loads = best_loads(panels, sizes, saws, &table, &rack);
    let cover = cover(&loads, &table, &rack);
    let mut chosen = Vec::new();
    let (mut at, mut there) = (table.states - 1, rack.states - 1);
    while at > 0 {
        let Step { load, own, size, .. } = cover[at * rack.states + there]?;
        chosen.push(Load { size, counts: table.counts(load), comfortable: own.tight == 0 });
        at -= load;
        there = rack.less(there, size)?;
    }
    chosen.sort_by(|a, b| a.size.cmp(&b.size).then_with(|| b.counts.cmp(&a.counts)));
    Some(chosen)
}

/// The sizes of which there are fewer than panels, and how many of each are still there, as one index.
struct Rack {
    /// For each size its stride and supply, if it is limited.
    limited: Vec<Option<(usize, usize)>>,
    states: usize,
}

impl Rack {
    fn new(panels: &[Panel], sizes: &[Size]) -> Rack {
        let all: u32 = panels.iter().fold(0, |all, panel| all.saturating_add(panel.demand));
        let mut states = 1_usize;
        let limited = |size: &Size| {
            let supply = size.supply.filter(|supply| *supply < all)? as usize;
            let stride = states;
            states = states.saturating_mul(supply + 1);
            Some((stride, supply))
        };
        let limited = sizes.iter().map(limited).collect();
        Rack { limited, states }
    }

    /// What is there once one of a size is taken; `None` if there is none.
    fn less(&self, there: usize, size: usize) -> Option<usize> {
        let Some((stride, supply)) = self.limited[size] else { return Some(there) };
        let left = there / stride % (supply + 1);
        (left > 0).then(|| there - stride)
    }
}

/// No sheets yield the panels for less, in strips or not: not for less than their area costs where area is cheapest, in whole
/// sheets if there is one size; and not for less than a sheet that holds the panel that is hardest to hold.
pub(super) fn bound(panels: &[Panel], sizes: &[Size], saw: Saw) -> i128 {
    let there: Vec<Size> = sizes.iter().filter(|size| size.supply != Some(0)).copied().collect();
    let area: i128 =
        panels.iter().map(|panel| i128::from(panel.height) * i128::from(panel.length) * i128::from(panel.demand)).sum();
    let share = |size: &Size| match there.as_slice() {
        [only] => rounded_up(area, only.area()) * i128::from(only.cost),
        // Nothing is a bound too, where numbers grow beyond all gardens.
        _ => area.checked_mul(size.cost.into()).map_or(0, |worth| rounded_up(worth, size.area())),
    };
    let by_area = there.iter().map(share).min().unwrap_or(0);
    let by_panel = panels.iter().filter_map(|panel| {
        let holds =
            |size: &&Size| saw.left(size.length, [panel.length]) >= 0 && saw.left(size.width, [panel.height]) >= 0;
        there.iter().filter(holds).map(|size| i128::from(size.cost)).min()
    });
    by_panel.max().unwrap_or(0).max(by_area)
}

fn rounded_up(a: i128, b: i128) -> i128 {
    let b = b.max(1);
    (a + b - 1).div_euclid(b)
}

/// What a cover is judged by, the first first; sheets add up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
struct Weight {
    cost: i128,
    tight: u64,
    sheets: u64,
    area: i128,
}

impl Weight {
    fn and(self, other: Weight) -> Weight {
        Weight {
            cost: self.cost + other.cost,
            tight: self.tight + other.tight,
            sheets: self.sheets + other.sheets,
            area: self.area + other.area,
        }
    }
}

/// Numbers of each panel, each from nothing to its demand, as one index: the first panel counts most.
struct Table {
    demand: Vec<u32>,
    strides: Vec<usize>,
    states: usize,
}

impl Table {
    fn new(panels: &[Panel]) -> Table {
        let mut strides = vec![1; panels.len()];
        let mut states = 1;
        for (stride, panel) in strides.iter_mut().zip(panels).rev() {
            *stride = states;
            states *= panel.demand as usize + 1;
        }
        Table { demand: panels.iter().map(|panel| panel.demand).collect(), strides, states }
    }

    fn counts(&self, index: usize) -> Vec<u32> {
        let count = |(stride, demand): (&usize, &u32)| (index / stride % (*demand as usize + 1)) as u32;
        self.strides.iter().zip(&self.demand).map(count).collect()
    }

    fn index(&self, counts: &[u32]) -> usize {
        self.strides.iter().zip(counts).map(|(stride, count)| stride * *count as usize).sum()
    }
}

/// The sheets that a load comes out of, each with its weight: the best of the sizes of which there is no end, and every other.
type Sheets = Vec<(Weight, usize)>;

fn best_loads(panels: &[Panel], sizes: &[Size], saws: [Saw; 2], table: &Table, rack: &Rack) -> Vec<Sheets> {
    let strips: Vec<[Strips; 2]> = sizes.iter().map(|size| saws.map(|saw| Strips::new(panels, *size, saw))).collect();
    let sheets = |index: usize| {
        let counts = table.counts(index);
        let of_size = |(place, size): (usize, &Size)| {
            let [plain, roomy] = &strips[place];
            let tight = u64::from(!roomy.hold(&counts));
            let weight = Weight { cost: size.cost.into(), tight, sheets: 1, area: size.area() };
            // A cover never needs the reserve, so the plain saw decides what comes out.
            plain.hold(&counts).then_some((weight, place))
        };
        let all = || sizes.iter().enumerate().filter_map(of_size);
        let endless = all().filter(|(_, place)| rack.limited[*place].is_none()).min();
        endless.into_iter().chain(all().filter(|(_, place)| rack.limited[*place].is_some())).collect()
    };
    (0..table.states).map(sheets).collect()
}

/// The first sheet of the best cover of a remainder.
#[derive(Clone, Copy)]
struct Step {
    /// What the whole cover weighs.
    weight: Weight,
    /// What comes out of the first sheet, its own weight, and its size.
    load: usize,
    own: Weight,
    size: usize,
}

/// For each remainder and what is there of each size the best cover. Its first sheet holds the first panel that is left, so
/// that no cover is looked at in two orders.
fn cover(loads: &[Sheets], table: &Table, rack: &Rack) -> Vec<Option<Step>> {
    let mut best: Vec<Option<Step>> = vec![None; table.states * rack.states];
    let nothing = Step { weight: Weight::default(), load: 0, own: Weight::default(), size: 0 };
    best[..rack.states].fill(Some(nothing));
    for left in 1..table.states {
        let counts = table.counts(left);
        for there in 0..rack.states {
            let mut found: Option<Step> = None;
            each_load(&counts, &table.strides, |load| {
                for &(own, size) in &loads[load] {
                    let rest = rack.less(there, size).and_then(|there| best[(left - load) * rack.states + there]);
                    let Some(rest) = rest else { continue };
                    let weight = own.and(rest.weight);
                    if found.is_none_or(|least| weight < least.weight) {
                        found = Some(Step { weight, load, own, size });
                    }
                }
            });
            best[left * rack.states + there] = found;
        }
    }
    best
}

/// Visits every load out of these counts that holds one at least of the first panel that there is, the fullest first.
fn each_load(counts: &[u32], strides: &[usize], mut visit: impl FnMut(usize)) {
    let Some(first) = counts.iter().position(|count| *count > 0) else { return };
    let mut load = counts.to_vec();
    let mut index: usize = load.iter().zip(strides).map(|(count, stride)| *count as usize * stride).sum();
    while load[first] > 0 {
        visit(index);
        // `first` itself is above nothing, so there is such a place.
        let Some(last) = load.iter().rposition(|count| *count > 0) else { return };
        load[last] -= 1;
        index -= strides[last];
        for place in last + 1..load.len() {
            load[place] = counts[place];
            index += counts[place] as usize * strides[place];
        }
    }
}

/// How few strips of one size yield any load, height by height.
struct Strips {
    saw: Saw,
    width: i64,
    groups: Vec<Group>,
}

/// The panels of one height: their places and the fewest strips for any numbers of them.
struct Group {
    height: i64,
    from: usize,
    table: Table,
    fewest: Vec<Option<u32>>,
}

impl Strips {
    fn new(panels: &[Panel], size: Size, saw: Saw) -> Strips {
        let mut groups = Vec::new();
        let mut from = 0;
        for alike in panels.chunk_by(|a, b| a.height == b.height) {
            let table = Table::new(alike);
            let fewest = fewest(alike, &table, size.length, saw);
            groups.push(Group { height: alike[0].height, from, table, fewest });
            from += alike.len();
        }
        Strips { saw, width: size.width, groups }
    }

    /// Whether a load comes out of one sheet.
    fn hold(&self, counts: &[u32]) -> bool {
        let mut room = self.saw.room(self.width);
        for group in &self.groups {
            let own = &counts[group.from..group.from + group.table.demand.len()];
            let Some(strips) = group.fewest[group.table.index(own)] else { return false };
            room -= (i128::from(group.height) + i128::from(self.saw.kerf)) * i128::from(strips);
        }
        room >= 0
    }
}

/// The fewest strips for any numbers of panels of one height: add panels one by one, and keep for all numbers the fewest strips
/// and then the emptiest last one. That is exact, because a panel that opens a new strip leaves it no fuller than the same
/// panel added to a last strip that was begun already.
fn fewest(panels: &[Panel], table: &Table, length: i64, saw: Saw) -> Vec<Option<u32>> {
    let room = saw.room(length);
    let mut best: Vec<Option<(u32, i128)>> = vec![None; table.states];
    // No strip yet is a full one.
    best[0] = Some((0, room));
    for index in 1..table.states {
        let counts = table.counts(index);
        let add = |place: usize| {
            let need = i128::from(panels[place].length) + i128::from(saw.kerf);
            let (strips, filled) = best[index - table.strides[place]]?;
            let last = filled + need <= room;
            (need <= room).then_some(if last { (strips, filled + need) } else { (strips + 1, need) })
        };
        best[index] = (0..panels.len()).filter(|place| counts[*place] > 0).filter_map(add).min();
    }
    best.into_iter().map(|state| state.map(|(strips, _)| strips)).collect()
}
