//! The places of the page, section by section, as the app shows them.

use scantling::{Done, Effort, Missing, World};

struct Texts(Vec<(&'static str, &'static str)>);

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.iter().find(|(known, _)| *known == name).map(|(_, text)| text.as_bytes().to_vec());
        text.ok_or_else(|| Missing { reason: "there is no such file".into() })
    }
}

fn picket_box() -> Done {
    let texts = Texts(vec![
        ("p", include_str!("../../../builds/picket-box/picket-box.plan.toml")),
        ("picket-box.yard.toml", include_str!("../../../builds/picket-box/picket-box.yard.toml")),
        ("picket-box.shed.toml", include_str!("../../../builds/picket-box/picket-box.shed.toml")),
    ]);
    match scantling::run("p", &texts, &Effort::default(), &|| false) {
        Ok(done) => done,
        Err(refused) => panic!("{}", scantling::refused(&refused, false)),
    }
}

/// Page and app never differ: the page is its head and the sections of all places, one after the other.
#[test]
fn the_page_is_made_of_its_places() {
    let done = picket_box();
    let (page, places) = (done.page(), done.places());
    let names: Vec<&str> = places.iter().map(|place| place.name).collect();
    assert_eq!(names, ["table", "yard", "saw", "bench", "gate"]);
    let mut rest = page.as_str();
    for place in &places {
        let (_, after) = rest.split_once(&format!("<div class=\"place\" id=\"{}\">", place.name)).expect(place.name);
        rest = after;
        assert!(!place.sections.is_empty(), "nothing stands at {}", place.name);
        for section in &place.sections {
            assert!(section.html.starts_with(&format!("<section id=\"{}\"", section.name)), "{}", section.name);
            assert!(section.html.contains(&format!(">{}</h2>", section.title)), "{}", section.title);
            let (between, after) = rest.split_once(&section.html).expect(section.name);
            // Nothing but the sign of the place lies between two sections.
            assert!(!between.contains("<section"), "{}", section.name);
            rest = after;
        }
    }
    assert!(!rest.contains("<section"), "{rest}");
}

/// Each card, each step's picture and each why also stands alone.
#[test]
fn cards_pictures_and_whys_one_by_one() {
    let done = picket_box();
    let page = done.page();
    let cards = done.cards();
    assert_eq!(cards.len(), done.settled.sawing.cards.len());
    assert!(cards.len() > 3 && cards.iter().all(|card| page.contains(card.as_str())));
    let whys = done.whys();
    assert_eq!(whys.len(), done.settled.quantities().count());
    assert!(whys.iter().all(|(name, html)| page.contains(html.as_str()) && html.contains(name.as_str())));
    let pictures = done.build_up();
    assert!(pictures.len() > 5);
    for (at, (caption, svg)) in pictures.iter().enumerate() {
        assert!(!caption.is_empty() && svg.contains(&format!("step {} of {}", at + 1, pictures.len())), "{svg}");
    }
}
