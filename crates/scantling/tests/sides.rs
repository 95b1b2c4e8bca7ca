//! Ways side by side: each column is what the plan built that way takes, and what is wrong in a way is said.

use scantling::{Done, Effort, Missing, Refused, World, run, run_by};

struct Texts {
    plan: String,
}

impl World for Texts {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = match name {
            "yard.toml" => include_str!("../../audit/tests/records/bed-three-ways/yard.toml"),
            "shed.toml" => include_str!("../../audit/tests/records/bed-three-ways/shed.toml"),
            _ => &self.plan,
        };
        Ok(text.as_bytes().to_vec())
    }
}

fn texts() -> Texts {
    Texts { plan: include_str!("../../audit/tests/records/bed-three-ways/plan.toml").to_owned() }
}

fn built(texts: &Texts, way: Option<&str>) -> Result<Done, Refused> {
    run_by("p", way, texts, &Effort::default(), &|| false)
}

fn record(done: &Done) -> serde_json::Value {
    serde_json::from_str(&done.record).expect("a record is JSON")
}

fn message(refused: Result<Done, Refused>) -> String {
    refused.map_or_else(|refused| scantling::refused(&refused, false), |_| String::new())
}

#[test]
fn each_column_is_the_record_of_its_way() {
    let texts = texts();
    let Ok(done) = built(&texts, None) else { panic!("it comes out") };
    assert!(done.verdict.passed(), "{}", done.verdict.text());
    let all = record(&done);
    assert_eq!(all["way"], "as-written");
    let Ok(other) = built(&texts, Some("box")) else { panic!("it comes out") };
    assert!(other.verdict.passed(), "{}", other.verdict.text());
    let own = record(&other);
    assert_eq!((&own["way"], &own["sides"]), (&serde_json::json!("box"), &all["sides"]), "the same table either way");
    let column = &all["sides"][1]["column"];
    assert_eq!(column["pay"], own["buying"]["pay"]["total"]);
    // Counted by hand from its cutting plan: one sheet and the slats, nothing screwed.
    let boards: u64 = own["cutting"]["boards"][0]["cuts"]
        .as_array()
        .map_or(0, |cuts| cuts.iter().map(|cut| cut["boards"].as_array().map_or(0, |b| b.len() as u64)).sum());
    assert_eq!((&column["boards"], &column["sheets"], &column["screws"]), (&boards.into(), &1.into(), &0.into()));
    // 2440 × 1220 × 18 mm at 685 kg/m³ are 36.70 kg (by hand).
    assert_eq!(column["heaviest"], 36_703_944);
    assert_eq!(all["sides"][2]["column"], serde_json::Value::Null, "sleepers of 200 make no 430");
    assert!(message(built(&texts, Some("sleepers"))).contains("nothing comes out"));
}

/// 18 cuts of 3, 3 settings of 5, 5 boards of 1, 60 screws of 2 and 36 pavers of 3 are 302 minutes (by hand).
#[test]
fn minutes_are_told_with_their_rates() {
    let Ok(done) = built(&texts(), None) else { panic!("it comes out") };
    let why = done.why("work.minutes").expect("it can be asked");
    assert!(why.contains("302") && why.contains("your number"), "{why}");
    assert!(done.text().contains("ply box clad in slats") && done.page().contains("Ways to build it"));
}

#[test]
fn the_plan_says_which_way_is_built() {
    let Texts { plan } = texts();
    let texts = Texts { plan: plan.replacen("format = 1", "format = 1\nbuild = \"box\"", 1) };
    let Ok(done) = run("p", &texts, &Effort::default(), &|| false) else { panic!("it comes out") };
    assert_eq!(record(&done)["way"], "box");
    let Ok(done) = built(&texts, Some("as-written")) else { panic!("it comes out") };
    assert_eq!(record(&done)["way"], "as-written");
}

#[test]
fn what_is_wrong_in_a_way_is_said() {
    let Texts { plan } = texts();
    let cases = [
        ("without = [\"posts\"]", "without = [\"post\"]", "the plan has no piece `post`, so it cannot be left out"),
        ("without = [\"board\", \"gap\"]", "without = [\"bord\"]", "the piece does not write the key `bord`"),
        ("without = [\"board\", \"gap\"]", "without = 3", "`without` is a number"),
        ("around = \"skin\"", "around = \"skinn\"", "no piece called `skinn`"),
        ("board = \"sleeper\"", "board = \"sleper\"", "no board called `sleper`"),
        ("[way.sleepers]", "[way.as-written]", "no way can be called `as-written`"),
        ("format = 1", "format = 1\nbuild = \"boxx\"", "the plan has no way called `boxx`"),
    ];
    for (was, is, says) in cases {
        assert!(plan.contains(was), "{was}");
        let told = message(built(&Texts { plan: plan.replacen(was, is, 1) }, None));
        assert!(told.contains(says), "{is}: {told}");
    }
    assert!(message(built(&texts(), Some("bocks"))).contains("the plan has no way called `bocks`"));
}

/// However late it is stopped, a run says that it was stopped, or it is whole and passes.
#[test]
fn a_run_that_is_stopped_is_no_failed_one() {
    let texts = texts();
    let (mut stopped, mut whole) = (0, 0);
    for after in [0, 1, 20, 200, 2_000, 20_000, u64::MAX] {
        let asked = std::cell::Cell::new(0_u64);
        let cancel = || {
            asked.set(asked.get() + 1);
            asked.get() > after
        };
        match run_by("p", None, &texts, &Effort::default(), &cancel) {
            Err(Refused::Cancelled | Refused::Unfinished { .. }) => stopped += 1,
            Err(_) => panic!("nothing is wrong with it"),
            Ok(done) => {
                assert!(done.verdict.passed(), "{after}: {}", done.verdict.text());
                whole += 1;
            }
        }
    }
    assert!(stopped >= 3 && whole >= 1, "{stopped} {whole}");
}
