//! tmp
mod common;
use common::angled::*;
use common::*;
use drawing::*;
use measure::{Tape, Unit};
#[test]
fn dump() {
    let Ok(dir) = std::env::var("DUMP") else { return };
    std::fs::create_dir_all(&dir).unwrap();
    let mm = Tape::usual(Unit::Millimetre);
    for (name, build) in builds().into_iter().chain(angled_builds()) {
        for (look, draw) in [
            ("above", plan as fn(&model::build::Build, Tape, Paper) -> Svg),
            ("front", front),
            ("side", side),
            ("exploded", |b: &_, _, p| exploded(b, p)),
            ("section", |b: &_, t, p| section(b, None, t, p)),
        ] {
            std::fs::write(
                format!("{dir}/{}_{look}.svg", name.replace(['/', ' '], "_")),
                draw(&build, mm, Paper::Page).standalone(),
            )
            .unwrap();
        }
    }
    let (build, joints) = screwed();
    std::fs::write(format!("{dir}/templates.svg"), templates(&build, &joints, mm, Paper::A4Portrait).standalone())
        .unwrap();
    std::fs::write(
        format!("{dir}/details.svg"),
        details(&build, &joints, &["deck screw 5".to_owned()], mm, Paper::A4Portrait).standalone(),
    )
    .unwrap();
    let wide = {
        let mut b = build.clone();
        for p in &mut b.parts {
            if p.key.piece == "trough" && p.id.starts_with('A') {
                p.solid.length = measure::Length::mm(4800);
            }
        }
        b
    };
    std::fs::write(format!("{dir}/broken.svg"), templates(&wide, &joints, mm, Paper::Phone).standalone()).unwrap();
    let find = |names: &[&str]| -> Vec<usize> {
        (0..build.parts.len()).filter(|&i| names.contains(&build.parts[i].key.piece.as_str())).collect()
    };
    let steps =
        [find(&["pad"]), find(&["posts"]), find(&["trough"]), find(&["floor"]), find(&["cladding"]), find(&["cap"])];
    let captions = [
        "Lay the pad of pavers level, on sand",
        "Stand the posts",
        "Fix the walls",
        "Lay bearers and slats into the box",
        "Clad front and back",
        "Fix the cap from below",
    ]
    .map(str::to_owned);
    std::fs::write(format!("{dir}/build_up.svg"), build_up(&build, &steps, &captions, Paper::A4Portrait).standalone())
        .unwrap();
    let block = TitleBlock { project: "Planter by the kitchen door", tape: mm, sheet: 2, of: 9 };
    std::fs::write(
        format!("{dir}/framed.svg"),
        framed(&front(&build, mm, Paper::A4Portrait), &block, Paper::A4Portrait).standalone(),
    )
    .unwrap();
    let inch = Tape::usual(Unit::FootInch);
    let block = TitleBlock { project: "Planter by the kitchen door", tape: inch, sheet: 2, of: 9 };
    std::fs::write(
        format!("{dir}/framed_phone.svg"),
        framed(&section(&build, None, inch, Paper::Phone), &block, Paper::Phone).standalone(),
    )
    .unwrap();
}
