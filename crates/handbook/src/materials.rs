//! What things weigh for their size.
//!
//! Timber figures hold for air-dry wood (12 to 15 % moisture); wood fresh from treatment can weigh half as much again.

use measure::Density;
use model::why::Mark;

/// A material and its density.
#[derive(Debug)]
pub struct Material {
    /// The name that a yard file uses.
    pub name: &'static str,
    /// Other names and the botanical one, for the reference page.
    pub also: &'static str,
    /// Mean density.
    pub density: Density,
    /// Where it stands.
    pub source: &'static str,
    /// How it is known.
    pub mark: Mark,
}

const fn row(name: &'static str, also: &'static str, kg_per_m3: u32, source: &'static str, mark: Mark) -> Material {
    Material { name, also, density: Density::kg_per_m3(kg_per_m3), source, mark }
}

const EN_338: &str = "EN 338:2016 Table 1, mean density, in two open copies";
const EN_350: &str = "EN 350 Annex B, mean";
const SPECIFIC: &str = "USDA FPL-GTR-190 (2010) Table 5-3a: specific gravity at 12 % × 1.12";
const EN_1991: &str = "EN 1991-1-1 Annex A";

/// Every material, in the order of the reference page: kg/m³, not rounded further than the source.
pub static MATERIALS: [Material; 28] = [
    row("larch", "European larch, Larix decidua", 590, EN_350, Mark::FromMemory),
    row("siberian-larch", "Larix sibirica", 650, EN_350, Mark::FromMemory),
    row("western-red-cedar", "Thuja plicata", 370, EN_350, Mark::FromMemory),
    row("douglas-fir", "Pseudotsuga menziesii", 530, EN_350, Mark::FromMemory),
    row("scots-pine", "redwood (Europe), Pinus sylvestris", 520, EN_350, Mark::FromMemory),
    row("spruce", "whitewood, Picea abies", 460, EN_350, Mark::FromMemory),
    row("radiata-pine", "Pinus radiata", 470, EN_350, Mark::FromMemory),
    row(
        "slash-pine",
        "southern pine, Pinus elliottii: 0.59 when dry, and 12 % of water",
        661,
        SPECIFIC,
        Mark::Arithmetic,
    ),
    row(
        "redwood",
        "old growth, Sequoia sempervirens: 0.40 when dry, and 12 % of water",
        448,
        SPECIFIC,
        Mark::Arithmetic,
    ),
    row("oak", "European oak, Quercus robur, Quercus petraea", 710, EN_350, Mark::FromMemory),
    row("sweet-chestnut", "Castanea sativa", 590, EN_350, Mark::FromMemory),
    row("robinia", "black locust, Robinia pseudoacacia", 740, EN_350, Mark::FromMemory),
    row("iroko", "Milicia excelsa", 650, EN_350, Mark::FromMemory),
    row("teak", "Tectona grandis", 680, EN_350, Mark::FromMemory),
    row("jarrah", "Eucalyptus marginata", 830, EN_350, Mark::FromMemory),
    row(
        "blackbutt",
        "Eucalyptus pilularis, air-dry, the upper of 900 to 930",
        930,
        "Australian hardwood species guide, 2018, by column order",
        Mark::Published,
    ),
    row("softwood-c16", "strength class C16", 370, EN_338, Mark::Published),
    row("softwood-c24", "strength class C24", 420, EN_338, Mark::Published),
    row("hardwood-d30", "strength class D30", 640, EN_338, Mark::Published),
    row(
        "spotted-gum",
        "Corymbia maculata, air-dry",
        970,
        "Forest Products Commission of Western Australia",
        Mark::Published,
    ),
    row("merbau", "kwila, Intsia, air-dry", 830, "Australian hardwood species guide, 2018", Mark::Published),
    row("ipe", "Handroanthus, air-dry", 1025, "USDA FPL-GTR-190 (2010), chapter 2", Mark::Published),
    row("birch-plywood", "18 mm", 685, "birch plywood data sheet: density by nominal thickness", Mark::Published),
    row(
        "us-plywood",
        "36 lb/ft³, design weight",
        578,
        "US panel design values as coded in an open engineering library",
        Mark::Published,
    ),
    row("spruce-plywood", "softwood plywood", 460, "Handbook of Finnish Plywood", Mark::FromMemory),
    row("granite", "", 2800, EN_1991, Mark::FromMemory),
    row("clay-brick", "clay paver", 2000, EN_1991, Mark::FromMemory),
    row("concrete", "concrete paver, normal concrete", 2400, EN_1991, Mark::FromMemory),
];

/// The material of this name.
pub fn find(name: &str) -> Option<&'static Material> {
    MATERIALS.iter().find(|material| material.name == name)
}

/// All names, in the order of the table.
pub fn names() -> Vec<&'static str> {
    MATERIALS.iter().map(|material| material.name).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_different() {
        let mut names = names();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), MATERIALS.len());
    }

    /// EN 338:2016 Table 1: ρ mean of C16 370, C24 420, D30 640 (read in two open copies).
    #[test]
    fn strength_classes_have_their_published_mean_density() {
        for (name, value) in [("softwood-c16", 370), ("softwood-c24", 420), ("hardwood-d30", 640)] {
            assert_eq!(find(name).map(|material| material.density.value()), Some(value), "{name}");
        }
    }
}
