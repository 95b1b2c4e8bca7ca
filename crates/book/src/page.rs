//! The page: one self-contained HTML file that reads, prints and asks why without a network.

mod buy;
mod cards;
mod fix;
mod html;
mod labels;
mod parts;
pub(crate) mod pictures;
mod style;
mod whatif;
mod yard_sheet;

use crate::{sides, standing, words};
use advise::{Drawn, Settled};
use audit::Verdict;
use drawing::{Body, Paper, Svg};
use html::{escape, number, section, table};
use measure::{Length, Tape};
use model::why::Quantity;

/// One of the places of the page, in the order of the weekend.
#[derive(Clone, Debug)]
pub struct Place {
    /// Its name, the id of its element.
    pub name: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What is done there.
    pub what: &'static str,
    /// What stands there, from the top.
    pub sections: Vec<Section>,
}

/// A section of a place.
#[derive(Clone, Debug)]
pub struct Section {
    /// Its name, the id of its element.
    pub name: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// The whole element with its heading, as it stands on the page.
    pub html: String,
}

/// The page of a settled plan.
pub fn page(settled: &Settled, verdict: &Verdict) -> String {
    let title = escape(&settled.plan.title);
    let places: String = all_places(settled, verdict).iter().map(place).collect();
    let body = [head(settled, verdict), walk(), places];
    let (css, font, body) = (style::CSS, drawing::font_face_css(), body.join("\n"));
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}</title>\n<style>\n{font}\n{css}</style>\n</head>\n<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )
}

/// The places of the page with what stands in each, section by section; sections that say nothing are left out.
pub fn places(settled: &Settled, verdict: &Verdict) -> Vec<Place> {
    let mut places = all_places(settled, verdict);
    places.iter_mut().for_each(|place| place.sections.retain(|section| !section.html.is_empty()));
    places
}

/// The places with every section, also those that say nothing.
fn all_places(settled: &Settled, verdict: &Verdict) -> Vec<Place> {
    let sections = [
        vec![
            some("daybook", "The day book", &daybook(settled)),
            always("drawings", "Drawings", &pictures::views(settled)),
            always("rod", "Where it comes out", &pictures::rods(settled)),
            always("sizes", "What comes out", &sizes(settled)),
            some("know", "Know before you buy", &fix::notes(settled)),
            always("ways", "Ways", &ways(settled)),
            some("sides", "Ways to build it", &side_by_side(settled)),
            some("give", "A little more, a little less", &whatif::gives(settled)),
            always("questions", "Questions", &parts::questions(settled)),
        ],
        vec![
            always("buy", "Buy", &(buy::buying(settled) + &whatif::first(settled) + &whatif::fallbacks(settled))),
            some("yard-sheet", "Yard sheet", &yard_sheet::sheet(settled)),
        ],
        vec![
            always("parts", "Parts", &(parts::parts(settled) + &pictures::parts(settled))),
            always("cutting", "At the saw", &parts::saw(settled)),
            some("cards", "Cards for the saw", &cards::cards(settled)),
            some("labels", "Labels", &labels::labels(settled)),
        ],
        vec![
            some("fix", "Fixings", &(fix::fixings(settled) + &pictures::joints(settled))),
            always("marks", "Marks from one datum", &pictures::marks(settled)),
            always("steps", "Steps", &(parts::steps(settled) + &pictures::build_up(settled))),
        ],
        vec![always("why", "Why", &whys(settled)), always("referee", "Referee", &referee(verdict))],
    ];
    let with = |((name, title, what), sections)| Place { name, title, what, sections };
    PLACES.into_iter().zip(sections).map(with).collect()
}

/// The places to walk along, in the order of the weekend: what each is called, and what is done there.
const PLACES: [(&str, &str, &str); 5] = [
    ("table", "Table", "decide"),
    ("yard", "Yard", "buy"),
    ("saw", "Saw", "cut"),
    ("bench", "Bench and ground", "put together, set out"),
    ("gate", "Gate", "ask why"),
];

/// The way along all places.
fn walk() -> String {
    let stop = |(name, title, what): &(&str, &str, &str)| {
        format!("<li><a href=\"#{name}\">{title}</a> <span class=\"what\">{what}</span></li>")
    };
    format!("<nav aria-label=\"Places\"><ol class=\"walk\">{}</ol></nav>", PLACES.iter().map(stop).collect::<String>())
}

/// A place with its sections.
fn place(Place { name, title, what, sections }: &Place) -> String {
    let sections: Vec<&str> = sections.iter().map(|section| section.html.as_str()).collect();
    format!(
        "<div class=\"place\" id=\"{name}\">\n<p class=\"sign\">{title} <span class=\"what\">{what}</span></p>\n{}</div>\n",
        sections.join("\n")
    )
}

/// A section.
fn always(name: &'static str, title: &'static str, body: &str) -> Section {
    Section { name, title, html: section(name, title, body) }
}

/// A section, if there is anything in it.
fn some(name: &'static str, title: &'static str, body: &str) -> Section {
    if body.is_empty() { Section { name, title, html: String::new() } } else { always(name, title, body) }
}

/// The card of each setting of the saw, one by one, in the order of the section of cards.
pub fn cards_of(settled: &Settled) -> Vec<String> {
    cards::one_by_one(settled)
}

/// A picture for each step that puts parts in place, growing: its caption, and an SVG. None for a large build.
pub fn build_up(settled: &Settled) -> Vec<(String, String)> {
    pictures::one_by_one(settled)
}

/// The build as a body to turn, growing by the same steps as the pictures; `None` for a large build.
pub fn body(settled: &Settled) -> Option<Body> {
    pictures::body(settled)
}

/// The why of each number, in the order of the page, by its name as links write it: `#why-NAME`.
pub fn whys_by_name(settled: &Settled) -> Vec<(String, String)> {
    settled.quantities().map(|quantity| (html::id(&quantity.name), why(settled, quantity))).collect()
}

/// A plan that is drawn, from the front and from above: the pieces that stand together with the one of this name, or else with
/// the first.
pub fn drawn_views(drawn: &Drawn, piece: Option<&str>, paper: Paper) -> [String; 2] {
    let groups = drawing::groups(&drawn.build);
    let has = |group: &&drawing::Group| group.build.parts.iter().any(|part| Some(part.key.piece.as_str()) == piece);
    let group = groups.iter().find(has).or(groups.first());
    let views: [fn(&drawing::Group, Tape, Paper) -> Svg; 2] = [drawing::Group::front, drawing::Group::plan];
    views.map(|view| group.map_or_else(String::new, |group| view(group, drawn.asked.tape, paper).inline()))
}

fn head(settled: &Settled, verdict: &Verdict) -> String {
    let stamp = if verdict.passed() {
        "<p class=\"stamp\">Refereed: <a href=\"#referee\">passed</a></p>".to_owned()
    } else {
        "<p class=\"stamp failed\" role=\"alert\">The referee did <strong>not</strong> pass this plan: do not build from it. <a href=\"#referee\">What is wrong</a></p>".to_owned()
    };
    let open = settled.joints.unmade.len();
    let stamp = match open {
        0 => stamp,
        _ => {
            let places = if open == 1 { "one place has".to_owned() } else { format!("{open} places have") };
            format!(
                "{stamp}\n<p class=\"stamp failed\" role=\"alert\">Not held: {places} no screw that holds. <a href=\"#know\">Where, and what would do</a></p>"
            )
        }
    };
    let title = escape(&settled.plan.title);
    let line = escape(&words::one_line(settled));
    let proven = escape(&words::proven(settled));
    format!(
        "<header>\n<h1>{title}</h1>\n<p class=\"line\">{line}</p>\n<p class=\"proven\">{proven}</p>\n{stamp}\n</header>"
    )
}

/// The ways to build it, side by side; empty where the plan states one only.
fn side_by_side(settled: &Settled) -> String {
    let lines = sides::lines(settled);
    if lines.is_empty() {
        return String::new();
    }
    let heads = sides::heads(settled);
    let heads: Vec<&str> = [""].into_iter().chain(heads.iter().map(String::as_str)).collect();
    let row = |(what, cells): (String, Vec<String>)| {
        let shown = |(cell, side): (String, &advise::sides::Side)| match (what.as_str(), side.built) {
            ("hours", true) => number("work.minutes", &escape(&cell)),
            _ => escape(&cell),
        };
        let cells: Vec<String> = cells.into_iter().zip(&settled.sides).map(shown).collect();
        [vec![escape(&what)], cells].concat()
    };
    let rows: Vec<Vec<String>> = lines.into_iter().map(row).collect();
    let notes: String = sides::notes(settled).iter().map(|note| format!("<li>{}</li>\n", escape(note))).collect();
    table("The same wishes, built in several ways, each settled for itself", &heads, &rows)
        + &format!("<ul>\n{notes}</ul>\n")
}

/// What the day book fixed and what follows from it; empty if there is none.
fn daybook(settled: &Settled) -> String {
    let standing = &settled.plan.standing;
    if standing.entries == 0 && standing.notice.is_none() {
        return String::new();
    }
    let row = |line: standing::Line| [line.what, line.was, line.is, line.why].map(|text| escape(&text)).to_vec();
    let rows = |lines: Vec<standing::Line>| lines.into_iter().map(row).collect::<Vec<Vec<String>>>();
    let notice = standing
        .notice
        .as_ref()
        .map_or_else(String::new, |notice| format!("<p class=\"care\">{}.</p>\n", escape(notice)));
    let heads = ["what", "was", "is", "why"];
    let told = |caption: &str, rows: Vec<Vec<String>>| match rows.is_empty() {
        true => String::new(),
        false => table(caption, &heads, &rows),
    };
    format!("{notice}<p>This page goes by the day book of the plan, {} entries.</p>\n", standing.entries)
        + &told("What was read and done", rows(standing::fixed(settled)))
        + &told("What follows from it, against the plan without it", rows(standing::changed(settled)))
}

/// The sizes and the rows, each number leading to its why.
fn sizes(settled: &Settled) -> String {
    let tape = settled.plan.tape;
    let closing = &settled.ways[settled.chosen].closing;
    let size = |(size, &length): (&fit::Size, &i64)| {
        let shown = number(&size.name, &escape(&tape.show_exact(Length::nm(length))));
        vec![escape(&size.name.replace('.', " ")), shown, escape(&tape.show_exact(Length::nm(size.wish.want)))]
    };
    let sizes: Vec<Vec<String>> = settled.asked.problem.sizes.iter().zip(&closing.sizes).map(size).collect();
    let row = |row: &model::build::Row| {
        let name = match row.is_of_marks() {
            true => format!("{}.cover", row.piece),
            false => format!("{}.{}.gap", row.piece, row.face.replace(' ', "-")),
        };
        let gap = row.gaps.map_or_else(
            || "none".to_owned(),
            |gaps| format!("{} of {}", gaps.places(), number(&name, &escape(&tape.show_gap(gaps)))),
        );
        let members = words::members(row, tape);
        vec![
            escape(&format!("{}, {}", row.piece, row.face)),
            escape(&tape.show_exact(row.length)),
            escape(&members),
            gap,
        ]
    };
    let rows: Vec<Vec<String>> = settled.build.rows.iter().map(row).collect();
    let unit = tape.unit_word();
    let chosen = words::choices(settled, closing);
    let chosen = if chosen.is_empty() {
        String::new()
    } else {
        format!("<p>Left open and chosen: {}.</p>\n", escape(&chosen.join("; ")))
    };
    table(&format!("Sizes in {unit}"), &["size", "comes out", "wished"], &sizes)
        + &chosen
        + &table(
            &format!("Rows in {unit}: members and gaps that fill them"),
            &["row", "length", "members", "gaps or joints"],
            &rows,
        )
}

fn ways(settled: &Settled) -> String {
    let names = words::size_names(settled);
    let heads = ["", "", &names, "gaps and joints", "price", "why it is here"];
    let row = |place: usize| {
        let way = &settled.ways[place];
        let mark = if place == settled.chosen { "<strong aria-label=\"this plan\">→</strong>" } else { "" };
        let gaps = words::gaps(settled, &way.closing).join(", ");
        let because = words::because(settled, place);
        vec![
            (place + 1).to_string(),
            mark.to_owned(),
            escape(&words::sizes(settled, &way.closing.sizes)),
            escape(&gaps),
            escape(&words::price(way)),
            escape(&because),
        ]
    };
    let rows: Vec<Vec<String>> = (0..settled.ways.len()).map(row).collect();
    let note = if settled.cheapest_proven {
        "The cheapest of these is proven to be the cheapest there is."
    } else {
        "Whether something cheaper comes out elsewhere is not proven."
    };
    let currency = escape(&settled.plan.yard.currency);
    table(
        &format!(
            "Ways in which everything comes out, prices in {currency}; the arrow marks the one this page is about"
        ),
        &heads,
        &rows,
    ) + &format!("<p>{note}</p>")
}

fn whys(settled: &Settled) -> String {
    let mut text = String::from(
        "<p>Every number above leads here. Each rule names its source, or says that it is common practice, from memory or your own number.</p>\n",
    );
    for quantity in settled.quantities() {
        text += &why(settled, quantity);
    }
    text
}

fn why(settled: &Settled, quantity: &Quantity) -> String {
    let rule = quantity.rule;
    let input = |(symbol, input): (&str, &model::why::Input)| {
        let what = if crate::whys::is_quantity(settled, input) {
            number(&input.what, &escape(&input.what))
        } else {
            escape(&input.what)
        };
        format!("<li>{}: {what} = {}</li>", escape(symbol), escape(&words::value(settled, input.value)))
    };
    let closes = |row: &String| format!("<li>closes there: {}</li>", escape(row));
    let rows: String = crate::whys::rows_of(settled, &quantity.name).iter().map(closes).collect();
    let inputs: Vec<String> = crate::whys::symbols(quantity).zip(&quantity.inputs).map(input).collect();
    format!(
        "<details id=\"why-{id}\"><summary><code>{name}</code> = {value} <span class=\"what\">{what}</span></summary>\n<p>{words}.</p>\n<p><code>{formula}</code></p>\n<ul>{inputs}</ul>\n<p class=\"source\">Source: {source} (<em>{mark}</em>)</p></details>\n",
        id = html::id(&quantity.name),
        name = escape(&quantity.name),
        value = escape(&words::value(settled, quantity.value)),
        what = escape(&quantity.what),
        words = escape(rule.words),
        formula = escape(rule.formula),
        inputs = inputs.concat() + &rows,
        source = escape(rule.source),
        mark = rule.mark,
    )
}

fn referee(verdict: &Verdict) -> String {
    let checked =
        verdict.checked.iter().map(|(what, count)| format!("<li>{}: {count}</li>", escape(what))).collect::<String>();
    let unchecked =
        verdict.unchecked.iter().map(|claim| format!("<li>not verified: {}</li>", escape(claim))).collect::<String>();
    let findings = verdict
        .findings
        .iter()
        .map(|finding| format!("<li><strong>{}</strong>: {}</li>", escape(finding.rule), escape(&finding.message)))
        .collect::<String>();
    let said = if verdict.passed() {
        "<p>An auditor that shares no code with the solvers has read the record of this plan and derived every length, count, sum and price again. It found nothing wrong.</p>".to_owned()
    } else {
        format!("<p role=\"alert\">It found {} things wrong:</p><ul>{findings}</ul>", verdict.findings.len())
    };
    format!("{said}<details><summary>What it checked</summary><ul>{checked}{unchecked}</ul></details>")
}
