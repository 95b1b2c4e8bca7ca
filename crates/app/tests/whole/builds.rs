//! The example builds, asked as the app asks them.

use crate::common::{ask, build_of, builds};
use serde_json::{Value, json};

/// Everything of a settled plan is there, and every number that is shown leads to a why that is there too.
#[test]
fn a_build_is_settled() {
    for build in builds() {
        let answer = build.ask("settle", json!({}));
        let ok = &answer["ok"];
        assert_eq!(ok["passed"], true, "{}", build.plan);
        let places: Vec<&str> =
            ok["places"].as_array().expect("places").iter().filter_map(|place| place["name"].as_str()).collect();
        assert_eq!(places, ["table", "yard", "saw", "bench", "gate"]);
        let whys = ok["whys"].as_object().expect("whys");
        let sections = ok["places"]
            .as_array()
            .into_iter()
            .flatten()
            .flat_map(|place| place["sections"].as_array().into_iter().flatten());
        let mut numbers = 0;
        for html in sections.filter_map(|section| section["html"].as_str()) {
            for link in html.split("href=\"#why-").skip(1) {
                let name = link.split('"').next().unwrap_or_default();
                assert!(whys.contains_key(name), "{}: no why of `{name}`", build.plan);
                numbers += 1;
            }
        }
        assert!(numbers > 30, "{numbers}");
        let ways = ok["ways"].as_array().expect("ways");
        let chosen: Vec<&Value> = ways.iter().filter(|way| way["chosen"] == true).collect();
        assert_eq!(chosen.len(), 1);
        for size in ok["sizes"].as_array().expect("sizes") {
            let (name, at) = (size["name"].as_str().expect("a name"), size["at"].as_i64().expect("a length"));
            assert_eq!(chosen[0]["sizes"][name], at);
            assert!(size["from"].as_i64() <= Some(at) && Some(at) <= size["to"].as_i64(), "{name}");
            let notches = size["notches"].as_array().expect("notches").iter();
            assert_eq!(notches.filter(|notch| notch["chosen"] == true).count(), 1, "{}: {name}", build.plan);
        }
        assert!(!ok["cards"].as_array().expect("cards").is_empty());
        assert!(ok["build_up"][0]["svg"].as_str().is_some_and(|svg| svg.starts_with("<svg")));
    }
}

/// The page of the app is the page of the command; its lists and its model are there.
#[test]
fn page_lists_and_model() {
    let build = build_of("kitchen-trough");
    let page = build.ask("page", json!({}))["ok"]["html"].as_str().expect("a page").to_owned();
    assert!(page.starts_with("<!doctype html>") && page.contains("Kitchen trough"));
    let places = build.ask("settle", json!({}))["ok"]["places"].clone();
    assert!(page.contains(places[0]["sections"][0]["html"].as_str().expect("a section")));
    let lists = build.ask("lists", json!({}))["ok"]["lists"].clone();
    assert_eq!(lists[0]["name"], "parts");
    assert!(lists[0]["csv"].as_str().is_some_and(|csv| csv.contains("\r\n")));
    // A binary glTF begins with the letters `glTF`.
    assert!(build.ask("model", json!({}))["ok"]["glb"].as_str().is_some_and(|glb| glb.starts_with("Z2xURg")));
    let about = ask(&json!({ "ask": "about" }));
    assert!(about["ok"]["kinds"].as_array().is_some_and(|kinds| kinds.iter().any(|kind| kind["kind"] == "walls")));
}

/// What is no request is told so, and is none of the two others.
#[test]
fn what_is_no_request() {
    let build = build_of("kitchen-trough");
    for request in [
        json!({}),
        json!({ "ask": "tea" }),
        json!({ "ask": "settle" }),
        json!({ "ask": "edit", "text": "" }),
        json!([1]),
    ] {
        let answer = ask(&request);
        assert!(
            answer["error"].is_string() && answer.as_object().is_some_and(|all| all.len() == 1),
            "{request}: {answer}"
        );
    }
    assert!(build.ask("drag", json!({ "wants": { "trough.length": "long" } }))["error"].is_string());
    assert!(build.ask("move", json!({ "sizes": { "trough.depth": 1 } }))["error"].is_string());
    assert!(scantling_app::answer(b"{").contains("error"));
}

/// What is wrong in a file is told with its place; the place is that of the word.
#[test]
fn a_misspelt_key_has_its_place() {
    let build = build_of("kitchen-trough");
    let text = build.text(&build.plan).replacen("width", "widht", 1);
    let answer = build.with(&build.plan, &text).ask("settle", json!({}));
    let refused = &answer["refused"];
    assert!(refused["text"].as_str().is_some_and(|text| text.contains("widht")), "{answer}");
    let problems = refused["problems"].as_array().expect("problems");
    let at = problems.iter().find(|problem| problem["message"].as_str().is_some_and(|words| words.contains("widht")));
    let at = at.expect("the key is told");
    assert_eq!(at["file"], build.plan.as_str());
    let line = text.lines().nth(at["line"].as_u64().expect("a line") as usize - 1).expect("the line is there");
    let (column, length) =
        (at["column"].as_u64().expect("a column") as usize, at["length"].as_u64().expect("a length") as usize);
    let word: String = line.chars().skip(column - 1).take(length).collect();
    assert_eq!(word, "widht");
}

/// Wishes that collide have ways out, and each one's edits free them, whether the wish is bare, exact or a range.
#[test]
fn a_way_out_frees_what_collides() {
    let build = build_of("kitchen-trough");
    let plan = build.text(&build.plan).replacen("joint = { want = 10, from = 8, to = 12, rank = 1 }", "joint = 10", 1);
    let mut taken = 0;
    for wish in ["{ want = 1523, from = 1522, to = 1524, rank = 2 }", "{ exactly = 1523 }"] {
        let plan = plan.replacen("{ want = 1500, from = 1350, to = 1650, rank = 2 }", wish, 1);
        let build = build.with(&build.plan, &plan);
        let answer = build.ask("settle", json!({}));
        let ways = answer["refused"]["ways_out"].as_array().unwrap_or_else(|| panic!("{answer}")).clone();
        assert!(!ways.is_empty(), "{answer}");
        assert_eq!(answer["refused"]["problems"][0]["file"], build.plan.as_str());
        for way in ways {
            let freed = build.edited(&way["edits"]).ask("settle", json!({}));
            assert_eq!(freed["ok"]["passed"], true, "{way}: {}", freed["refused"]["text"]);
            taken += 1;
        }
    }
    assert!(taken >= 4, "{taken}");
}

/// A size that is taken to another notch comes out there, and nothing else of the text changes.
#[test]
fn a_size_is_moved_to_a_notch() {
    let mut moved = 0;
    for build in builds() {
        let settled = build.ask("settle", json!({}));
        for size in settled["ok"]["sizes"].as_array().expect("sizes") {
            let name = size["name"].as_str().expect("a name");
            let notches = size["notches"].as_array().expect("notches").iter();
            let Some(to) = notches.filter(|notch| notch["chosen"] == false).map(|notch| notch["best"].clone()).next()
            else {
                continue;
            };
            let edits = build.ask("move", json!({ "sizes": { name: to } }))["ok"]["edits"].clone();
            assert_eq!(edits.as_array().map(Vec::len), Some(1), "{name}");
            let other = build.edited(&edits);
            let (was, is) = (build.text(&build.plan), other.text(&build.plan));
            let differ = was.lines().zip(is.lines()).filter(|(was, is)| was != is).count();
            assert_eq!((differ, was.lines().count()), (1, is.lines().count()), "{name}");
            let dragged = other.ask("drag", json!({ "wants": { name: to } }));
            let sizes = dragged["ok"]["sizes"].as_array().unwrap_or_else(|| panic!("{name} {to}: {dragged}"));
            assert!(sizes.iter().any(|size| size["name"] == name), "{name}");
            moved += 1;
        }
    }
    assert!(moved > 5, "{moved}");
    // The ring closes at 1510 (README of the build), and one sett and one joint of it are 110: 1400 is its neighbour.
    let trough = build_of("kitchen-trough");
    let edits = trough.ask("move", json!({ "sizes": { "trough.length": 1_400_000_000_i64 } }))["ok"]["edits"].clone();
    assert_eq!(
        edits,
        json!([{ "file": "kitchen-trough.plan.toml", "path": ["piece", "trough", "length", "want"], "to": "1400" }])
    );
    let screen = build_of("bin-screen");
    let edits =
        screen.ask("move", json!({ "sizes": { "screen.height": 25_400_000_i64 * 747 / 16 } }))["ok"]["edits"].clone();
    assert_eq!(
        edits,
        json!([{ "file": "bin-screen.plan.toml", "path": ["piece", "screen", "height", "exactly"], "to": "\"46-11/16\"" }])
    );
}

/// Without wishes of its own the drag lane says what the settle lane says first; with one it follows it within its range.
#[test]
fn the_drag_lane_agrees_with_the_other() {
    for build in builds() {
        let (settled, dragged) = (build.ask("settle", json!({})), build.ask("drag", json!({ "wants": {} })));
        let nearest = &settled["ok"]["ways"][0]["sizes"];
        let sizes = dragged["ok"]["sizes"].as_array().expect("sizes");
        for size in sizes {
            assert_eq!(size["at"], nearest[size["name"].as_str().expect("a name")], "{}: {}", build.plan, size["name"]);
        }
        for drawing in ["front", "above"] {
            assert!(dragged["ok"][drawing].as_str().is_some_and(|svg| svg.starts_with("<svg")), "{drawing}");
        }
    }
    let trough = build_of("kitchen-trough");
    let at = |want: i64| {
        let dragged = trough.ask("drag", json!({ "wants": { "trough.length": want } }));
        let sizes = dragged["ok"]["sizes"].as_array().expect("sizes").clone();
        sizes
            .iter()
            .find(|size| size["name"] == "trough.length")
            .and_then(|size| size["at"].as_i64())
            .expect("a length")
    };
    // The ring closes every 110: one sett and one joint; beyond the range the nearest inside it counts.
    assert_eq!((at(1_400_000_000), at(1_510_000_000)), (1_400_000_000, 1_510_000_000));
    assert!((1_350_000_000..=1_400_000_000).contains(&at(1)));
}

/// The form of each file has each of its tables once, and each key that is written with its text.
#[test]
fn forms_say_what_is_written() {
    for build in builds() {
        let answer = build.ask("form", json!({}));
        let files = answer["ok"]["files"].as_array().expect("files");
        assert_eq!(files.len(), 3);
        for file in files {
            let text = build.text(file["name"].as_str().expect("a name"));
            let headers = text.lines().filter(|line| line.starts_with('[')).count();
            let tables = file["tables"].as_array().expect("tables");
            assert_eq!(tables.len(), headers + 1, "{}", file["name"]);
            for table in tables {
                for field in table["fields"].as_array().expect("fields").iter() {
                    let (key, written) = (field["key"].as_str().expect("a key"), field["text"].as_str());
                    let Some(written) = written else { continue };
                    assert!(text.contains(&format!("{key} = {written}")), "{}: {key} = {written}", file["name"]);
                }
            }
        }
    }
    let answer = build_of("picket-box").ask("form", json!({}));
    let tables = answer["ok"]["files"][0]["tables"].as_array().expect("tables").clone();
    let posts = tables.iter().find(|table| table["path"] == json!(["piece", "posts"])).expect("the posts");
    let board = posts["fields"]
        .as_array()
        .and_then(|fields| fields.iter().find(|field| field["key"] == "board"))
        .expect("a board");
    assert_eq!(
        (&board["kind"], &board["text"], &board["must"]),
        (&json!("stock board"), &json!("\"post-45\""), &json!(true))
    );
    assert_eq!(board["words"][2], json!(["post-45", "treated batten 45 × 45"]));
}

/// A reading is a line for the day book and what it changes; with the line appended the plan comes out as was said. What went
/// wrong has ways out, and one of them is taken by its number.
#[test]
fn an_entry_is_told_before_it_is_written() {
    let build = build_of("kitchen-trough");
    let note = |build: &crate::common::Build, entry: Value| build.ask("note", json!({ "entry": entry }));
    let told = note(&build, json!({ "what": "width", "board": "larch-145", "over": 10, "reads": "1440 mm" }));
    let changes = told["ok"]["changes"].as_array().unwrap_or_else(|| panic!("{told}"));
    // Three boards of 144 and two gaps of 8 are 448 where three of 145 are 451.
    let height = changes.iter().find(|change| change["what"].as_str().is_some_and(|what| what.contains("height")));
    let height = height.unwrap_or_else(|| panic!("{told}"));
    assert_eq!(
        (&height["was"], &height["is"], &height["why"]),
        (&json!("451"), &json!("448"), &json!("entry 1, width"))
    );
    let line = told["ok"]["line"].as_str().expect("a line");
    assert!(line.ends_with("}\n") && line.contains("\"n\":1"), "{line}");
    let book = "kitchen-trough.daybook.jsonl";
    let settled = build.with(book, line).ask("settle", json!({}));
    let sizes = settled["ok"]["sizes"].as_array().expect("sizes");
    assert!(sizes.iter().any(|size| size["name"] == "trough.height" && size["shown"] == "448"));

    let wrong = note(&build, json!({ "what": "wrong", "part": "A1", "length": "1400 mm" }));
    let ways = wrong["ok"]["ways_out"].as_array().unwrap_or_else(|| panic!("{wrong}"));
    assert!(ways.first().is_some_and(|way| way["way"] == 1 && way["words"].is_string()), "{wrong}");
    let build = build.with(book, wrong["ok"]["line"].as_str().expect("a line"));
    let took = note(&build, json!({ "what": "took", "entry": 1, "way": 1 }));
    assert!(took["ok"]["line"].as_str().is_some_and(|line| line.contains("\"took\"")), "{took}");

    let unknown = note(&build, json!({ "what": "kerf", "reads": "60 mm" }));
    assert!(unknown["refused"]["text"].is_string(), "{unknown}");
    assert!(note(&build, json!({ "what": "sneeze" }))["error"].is_string());
}

/// The body of a settled build is turned without its plan: from every side its picture is one of its size, and step by step it
/// grows to the whole.
#[test]
fn a_body_is_turned() {
    for build in builds() {
        let body = build.ask("settle", json!({}))["ok"]["body"].clone();
        let steps = body["steps"].as_array().expect("steps").len();
        assert!(steps > 0 && body["parts"].as_array().is_some_and(|parts| !parts.is_empty()), "{}", build.plan);
        let turned = |with: Value| {
            let mut request = json!({ "ask": "turned", "body": body });
            request.as_object_mut().expect("an object").extend(with.as_object().cloned().unwrap_or_default());
            ask(&request)["ok"].clone()
        };
        let box_of = |answer: &Value| {
            let svg = answer["svg"].as_str().expect("a picture");
            svg.split("viewBox=").nth(1).and_then(|rest| rest.split('"').nth(1)).expect("a box").to_owned()
        };
        let first = turned(json!({ "around": 3, "above": 2, "steps": 1 }));
        assert_eq!(first["from"], "from the front right, 30° above");
        for around in [0, 9, 18] {
            assert_eq!(box_of(&turned(json!({ "around": around, "above": -1 }))), box_of(&first), "{}", build.plan);
        }
        // The last step still adds something, and the whole is drawn all alike.
        let last = turned(json!({ "around": 3, "above": 2, "steps": steps }));
        let whole = turned(json!({ "around": 3, "above": 2 }));
        let widths = |answer: &Value| answer["svg"].as_str().map(|svg| svg.matches("stroke-width=").count());
        assert!(widths(&whole) < widths(&last) || steps == 1, "{}", build.plan);
    }
    for bad in [json!(null), json!({ "parts": [], "steps": [[0]] }), json!("x")] {
        assert!(ask(&json!({ "ask": "turned", "body": bad }))["error"].is_string(), "{bad}");
    }
}

/// Every line of the buying list is there, with or without a price, and leads to its table in the yard.
#[test]
fn what_is_to_be_bought() {
    for build in builds() {
        let answer = build.ask("settle", json!({}));
        let html = answer["ok"]["places"][1]["sections"][0]["html"].as_str().expect("the list");
        let lines = answer["ok"]["buy"].as_array().expect("lines").clone();
        assert!(!lines.is_empty());
        let tables = build.ask("form", json!({}))["ok"]["files"].to_string();
        for line in lines {
            let (shelf, name) = (line["shelf"].as_str().expect("a shelf"), line["name"].as_str().expect("a name"));
            let words = line["words"].as_str().expect("words");
            assert!(html.contains(&words.replace('&', "&amp;").replace('"', "&quot;")), "{}: {words}", build.plan);
            assert!(
                shelf == "extra" || tables.contains(&format!("[\"{shelf}\",\"{name}\"]")),
                "{}: {shelf} {name}",
                build.plan
            );
            assert!(line["count"].as_u64() > Some(0));
        }
    }
}

/// Drawings for a phone are narrower paper, and their letters as large.
#[test]
fn drawings_for_a_phone() {
    let build = build_of("kitchen-trough");
    let width = |narrow: bool| {
        let answer = build.ask("drag", json!({ "wants": {}, "narrow": narrow }));
        let svg = answer["ok"]["front"].as_str().expect("a drawing").to_owned();
        svg.split("width=\"")
            .nth(1)
            .and_then(|rest| rest.split("mm").next())
            .expect("a width")
            .parse::<f64>()
            .expect("mm")
    };
    assert_eq!((width(false), width(true)), (170.0, 90.0));
    assert!(build.ask("drag", json!({ "wants": {}, "narrow": 1 }))["error"].is_string());
}
