//! How strong and how stiff wood is, and what time, wet and safety take off it.
//!
//! A garden board carries no stamp: each material is taken as a low class of its kind (*common practice*). A yard that sells
//! graded timber names its class as the material.

use measure::{Factor, Length, Pressure};
use model::why::Mark;

/// A strength class: characteristic bending strength, mean modulus along the grain, characteristic density.
#[derive(Debug)]
pub struct Class {
    /// Its name.
    pub name: &'static str,
    /// Bending strength `fm,k`.
    pub bending: Pressure,
    /// Modulus of elasticity `E0,mean`.
    pub stiffness: Pressure,
    /// Characteristic density `ρk` in kg/m³.
    pub density: i64,
}

/// Where the classes stand.
pub const CLASS_SOURCE: &str = "EN 338:2016 Tables 1 and 3, in two open copies";

const fn class(name: &'static str, bending: i64, stiffness_hundreds: i64, density: i64) -> Class {
    let stiffness = Pressure::n_per_mm2(stiffness_hundreds * 100);
    Class { name, bending: Pressure::n_per_mm2(bending), stiffness, density }
}

/// The classes, as published.
pub static CLASSES: [Class; 15] = [
    class("C14", 14, 70, 290),
    class("C16", 16, 80, 310),
    class("C18", 18, 90, 320),
    class("C20", 20, 95, 330),
    class("C24", 24, 110, 350),
    class("C27", 27, 115, 360),
    class("C30", 30, 120, 380),
    class("C35", 35, 130, 390),
    class("D24", 24, 100, 485),
    class("D30", 30, 110, 530),
    class("D35", 35, 120, 540),
    class("D40", 40, 130, 550),
    class("D50", 50, 140, 620),
    class("D60", 60, 170, 700),
    class("D70", 70, 200, 800),
];

/// The class of a material that carries no stamp.
#[derive(Debug)]
pub struct Grade {
    /// The material as a yard names it.
    pub material: &'static str,
    /// The class.
    pub class: &'static str,
    /// How it is known that it may be taken so.
    pub mark: Mark,
}

const fn grade(material: &'static str, class: &'static str, mark: Mark) -> Grade {
    Grade { material, class, mark }
}

/// The class of each timber of the house.
pub static GRADES: [Grade; 22] = [
    grade("larch", "C16", Mark::CommonPractice),
    grade("siberian-larch", "C16", Mark::CommonPractice),
    grade("western-red-cedar", "C14", Mark::CommonPractice),
    grade("douglas-fir", "C16", Mark::CommonPractice),
    grade("scots-pine", "C16", Mark::CommonPractice),
    grade("softwood-c16", "C16", Mark::Published),
    grade("softwood-c24", "C24", Mark::Published),
    grade("hardwood-d30", "D30", Mark::Published),
    grade("spotted-gum", "D40", Mark::CommonPractice),
    grade("merbau", "D40", Mark::CommonPractice),
    grade("ipe", "D40", Mark::CommonPractice),
    grade("spruce", "C16", Mark::CommonPractice),
    grade("radiata-pine", "C14", Mark::CommonPractice),
    grade("slash-pine", "C16", Mark::CommonPractice),
    grade("redwood", "C14", Mark::CommonPractice),
    grade("oak", "D24", Mark::CommonPractice),
    grade("sweet-chestnut", "D24", Mark::CommonPractice),
    grade("robinia", "D30", Mark::CommonPractice),
    grade("iroko", "D30", Mark::CommonPractice),
    grade("teak", "D30", Mark::CommonPractice),
    grade("jarrah", "D30", Mark::CommonPractice),
    grade("blackbutt", "D40", Mark::CommonPractice),
];

/// The class of a material and how it is known.
pub fn class_of(material: &str) -> Option<(&'static Class, Mark)> {
    let grade = GRADES.iter().find(|grade| grade.material == material)?;
    CLASSES.iter().find(|class| class.name == grade.class).map(|class| (class, grade.mark))
}

/// A panel, in its weaker direction, so that nobody has to know how it was cut.
#[derive(Debug)]
pub struct Panel {
    /// The material as a yard names it.
    pub material: &'static str,
    /// Bending strength `fm,k`.
    pub bending: Pressure,
    /// Modulus of elasticity in bending.
    pub stiffness: Pressure,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const PLYWOOD: &str = "Handbook of Finnish Plywood (2002), the weaker direction";

/// The panels of the house.
pub static PANELS: [Panel; 3] = [
    panel("birch-plywood", 33, 7500, PLYWOOD),
    panel("spruce-plywood", 10, 3000, PLYWOOD),
    panel("us-plywood", 10, 3000, "as spruce plywood of the Handbook of Finnish Plywood (2002), the weaker direction"),
];

const fn panel(material: &'static str, bending: i64, stiffness: i64, source: &'static str) -> Panel {
    let (bending, stiffness) = (Pressure::n_per_mm2(bending), Pressure::n_per_mm2(stiffness));
    Panel { material, bending, stiffness, source, mark: Mark::FromMemory }
}

/// The panel of this material.
pub fn panel_of(material: &str) -> Option<&'static Panel> {
    PANELS.iter().find(|panel| panel.material == material)
}

/// A reference design value of the NDS: allowable stress for ten years of load, dry.
#[derive(Debug)]
pub struct Reference {
    /// The material as a yard names it.
    pub material: &'static str,
    /// Species and grade.
    pub grade: &'static str,
    /// Bending `Fb`.
    pub bending: Pressure,
    /// Modulus of elasticity `E`, nine tenths of the dry one: `CM` of wet wood, from memory.
    pub stiffness: Pressure,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

/// So many pounds per square inch, to the pascal below: 1 psi = 6894.757 Pa (NIST SP 811).
const fn psi(value: i64) -> Pressure {
    Pressure::pascals(value * 6_894_757 / 1000)
}

const NDS: &str = "NDS Supplement (AWC, 2018) Table 4A, without the factors for size and flat use, which only add";

/// The NDS values of the timbers of the house.
pub static REFERENCES: [Reference; 2] = [
    Reference {
        material: "western-red-cedar",
        grade: "Western Cedars No. 2",
        bending: psi(700),
        stiffness: psi(900_000),
        source: NDS,
        mark: Mark::FromMemory,
    },
    Reference {
        material: "douglas-fir",
        grade: "Douglas Fir-Larch No. 2",
        bending: psi(900),
        stiffness: psi(1_440_000),
        source: NDS,
        mark: Mark::FromMemory,
    },
];

/// The NDS values of a material.
pub fn reference_of(material: &str) -> Option<&'static Reference> {
    REFERENCES.iter().find(|reference| reference.material == material)
}

/// How long a load lasts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duration {
    /// For good: soil.
    Permanent,
    /// For less than a week: a person.
    Short,
    /// For a gust.
    Instant,
}

/// A number without unit, with its source.
#[derive(Debug)]
pub struct Known {
    /// The number.
    pub factor: Factor,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const fn known(thousandths: i64, source: &'static str, mark: Mark) -> Known {
    Known { factor: Factor::thousandths(thousandths), source, mark }
}

const KMOD: &str = "EN 1995-1-1 Table 3.1, service class 3, as coded in an open engineering library";
static KMOD_PERMANENT: Known = known(500, KMOD, Mark::Published);
static KMOD_SHORT: Known = known(700, KMOD, Mark::Published);
static KMOD_INSTANT: Known = known(900, KMOD, Mark::Published);

/// What time and wet leave of the strength of timber and plywood outdoors: `kmod` in service class 3.
pub fn kmod(duration: Duration) -> &'static Known {
    match duration {
        Duration::Permanent => &KMOD_PERMANENT,
        Duration::Short => &KMOD_SHORT,
        Duration::Instant => &KMOD_INSTANT,
    }
}

/// Partial factors of timber and plywood: `γM` (Table 2.3, recommended).
pub static GAMMA_TIMBER: Known =
    known(1300, "EN 1995-1-1 Table 2.3, as coded in an open engineering library", Mark::Published);
/// The same of plywood.
pub static GAMMA_PANEL: Known =
    known(1200, "EN 1995-1-1 Table 2.3, as coded in an open engineering library", Mark::Published);
/// The partial factor of soil: `γG`.
pub static GAMMA_PERMANENT: Known = known(1350, "EN 1990 Table A1.2(B)", Mark::FromMemory);
/// The partial factor of people and wind: `γQ`.
pub static GAMMA_VARIABLE: Known = known(1500, "EN 1990 Table A1.2(B)", Mark::FromMemory);

/// Creep of timber in service class 3: final bend is `1 + kdef` times the first.
pub static CREEP_TIMBER: Known = known(3000, "EN 1995-1-1 Table 3.2, service class 3: 1 + kdef 2.0", Mark::Published);
/// The same of plywood.
pub static CREEP_PANEL: Known = known(3500, "EN 1995-1-1 Table 3.2, service class 3: 1 + kdef 2.5", Mark::Published);

/// Creep by the NDS for wet wood: `Kcr` of 3.5.2.
pub static CREEP_NDS: Known = known(2000, "NDS (AWC, 2018) 3.5.2, wet", Mark::FromMemory);

static CD_PERMANENT: Known = known(900, "NDS (AWC, 2018) Table 2.3.2", Mark::FromMemory);
static CD_SHORT: Known = known(1250, "NDS (AWC, 2018) Table 2.3.2, seven days", Mark::FromMemory);
static CD_INSTANT: Known = known(1600, "NDS (AWC, 2018) Table 2.3.2", Mark::FromMemory);
/// What wet leaves of NDS bending values: `CM`.
pub static WET_BENDING: Known = known(850, "NDS Supplement (AWC, 2018) Table 4A", Mark::FromMemory);

/// The load duration factor of the NDS: `CD`.
pub fn load_duration(duration: Duration) -> &'static Known {
    match duration {
        Duration::Permanent => &CD_PERMANENT,
        Duration::Short => &CD_SHORT,
        Duration::Instant => &CD_INSTANT,
    }
}

/// Below this depth solid timber up to 700 kg/m³ is stronger in bending, by [`MOST_SIZE`] at most: `kh`.
pub const SIZE_BELOW: Length = Length::mm(150);
/// The most that `kh` comes to.
pub const MOST_SIZE: Factor = Factor::thousandths(1300);

/// A wall that bulges by more than this share of its span is seen: span over so many.
pub static VISIBLE_BULGE: Known = known(200_000, "span/200 for a planter wall or screen", Mark::CommonPractice);
/// A slat that gives by more than this share under one person is felt.
pub static SLAT_SAG: Known = known(200_000, "span/200 under 1 kN for a seat slat or deck board", Mark::CommonPractice);
/// Joists under people: span over so many.
pub static JOIST_SAG: Known = known(
    360_000,
    "span/360 under the people's load: IRC R301.7, HUD Residential Structural Design Guide",
    Mark::Published,
);

#[cfg(test)]
mod tests {
    use super::*;
    use crate::materials;

    #[test]
    fn every_timber_and_panel_of_the_house_has_its_strength() {
        for name in materials::names().into_iter().filter(|name| !["granite", "clay-brick", "concrete"].contains(name))
        {
            assert!(class_of(name).is_some() != panel_of(name).is_some(), "{name}");
        }
    }

    /// EN 338:2016: C16 fm,k 16, E 8.0, ρk 310; C24 24, 11.0, 350; D30 30, 11.0, 530 (read in two open copies).
    #[test]
    fn classes_are_as_published() {
        for (name, bending, stiffness, density) in
            [("C16", 16, 8000, 310), ("C24", 24, 11_000, 350), ("D30", 30, 11_000, 530)]
        {
            let class = CLASSES.iter().find(|class| class.name == name).expect("a class");
            let own = (class.bending, class.stiffness, class.density);
            assert_eq!(own, (Pressure::n_per_mm2(bending), Pressure::n_per_mm2(stiffness), density));
        }
    }
}
