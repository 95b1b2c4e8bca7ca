//! What a stranger's file may ask for, at most.

/// The limits on what is read, so that no file can take the machine away. All of them are far above what a garden holds
/// (*our own choice*).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The longest file, in bytes.
    pub file: usize,
    /// How deep lists and tables may stand in one another.
    pub nesting: usize,
    /// Keys in one file.
    pub keys: usize,
    /// Pieces in one plan.
    pub pieces: usize,
    /// Ways to build one plan.
    pub ways: usize,
    /// Things on one shelf of the yard.
    pub shelf: usize,
    /// Offcuts in the shed, and things that are left of packs.
    pub offcuts: usize,
    /// Plans that are told as kept in the shed.
    pub kept: usize,
    /// Lengths or sizes of one thing, and entries of any other list.
    pub list: usize,
    /// Characters in a text such as a title.
    pub text: usize,
    /// Characters in the name of a piece, a board, a sheet or a unit.
    pub name: usize,
    /// The dearest price, in whole units of the currency.
    pub price: i64,
    /// The heaviest mass, in kilograms.
    pub mass: i64,
    /// The densest material, in kilograms per cubic metre.
    pub density: u32,
    /// Problems that are printed; the rest is counted.
    pub problems: usize,
    /// Syntax errors of one file that are taken for slips; with more of them only the first few are told.
    pub slips: usize,
    /// How many those first few are.
    pub first: usize,
}

/// The limits that [`plan`](crate::plan()) and [`render`](crate::render()) keep to.
pub const LIMITS: Limits = Limits {
    file: 1024 * 1024,
    nesting: 16,
    keys: 10_000,
    pieces: 200,
    ways: 8,
    shelf: 200,
    offcuts: 100,
    kept: 200,
    list: 50,
    text: 200,
    name: 40,
    price: 1_000_000,
    mass: 10_000,
    density: 12_000,
    problems: 50,
    slips: 20,
    first: 5,
};
