//! What is told of the joints: notes for the maker, and the numbers with their why.

use crate::apart::WANDER;
use crate::body::by_role;
use crate::lay::{Laid, is_loaded};
use crate::rules;
use crate::screw::{self, Room};
use crate::slot::Given;
use crate::touch::{Patch, Way};
use handbook::fasteners;
use measure::{Length, Tape};
use model::build::{Build, Fixing, Load, Note};
use model::joint::{NoScrew, Unmade};
use model::part::from_mm;
use model::plan::Plan;
use model::why::{Input, Of, Quantity, Rule, Value};
use std::collections::{BTreeMap, BTreeSet};

/// What the maker should know, by piece.
pub(crate) fn notes(
    build: &Build,
    tape: Tape,
    laid: &[Laid],
    patches: &[Patch],
    chances: &[(usize, usize)],
) -> Vec<Note> {
    let mut notes: BTreeSet<(&str, String)> = BTreeSet::new();
    let mut note = |piece, text| {
        notes.insert((piece, text));
    };
    let key = |part: usize| &build.parts[part].key;
    for patch in patches.iter().filter(|patch| patch.way == Way::EndOn) {
        let (held, base) = (key(patch.held), key(patch.base));
        note(
            &held.piece,
            format!(
                "A {} of {} meets a {} of {} with its end: no screw through its whole length holds it there, so give it a bracket, or a bearer below it",
                held.role, held.piece, base.role, base.piece
            ),
        );
    }
    for Fixing { held, base, .. } in apart(build, patches) {
        note(
            &held.piece,
            format!(
                "No {} of {} touches a {} of {}: no screw is placed there, so see what holds it",
                held.role, held.piece, base.role, base.piece
            ),
        );
    }
    for (piece, slots) in slotted(build, laid) {
        let slots: Vec<String> = slots.into_iter().map(|length| tape.show_exact(length)).collect();
        note(
            piece,
            format!(
                "Boards of {piece} are wider than {}, and move: at each support the lowest row of screws (of level boards the front one) holds them, and the others stand in the middle of slots across the board, {} long (see the hole templates), under a washer or a pan head and not drawn tight, so that the head can slide",
                tape.show_with_unit(fasteners::WIDE_BOARD.length),
                slots.join(" or ")
            ),
        );
    }
    for (piece, base, moved) in moved(build, laid) {
        note(
            piece,
            format!(
                "{moved} screws into {base} are moved from where they would stand, so that they do not meet those of other joints: mark each part from the hole template that names it, not from that of another part like it"
            ),
        );
    }
    for (piece, text) in fewer(build, laid).into_iter().chain(left_out(build, chances)) {
        note(piece, text);
    }
    notes.into_iter().map(|(piece, text)| Note { piece: piece.into(), text }).collect()
}

fn said_places(count: usize) -> String {
    if count == 1 { "1 place".into() } else { format!("each of {count} places") }
}

/// Where fewer screws hold than were asked for, those alike together.
fn fewer<'b>(build: &'b Build, laid: &[Laid]) -> Vec<(&'b str, String)> {
    let mut kinds: BTreeMap<(&str, &str, &str, usize, usize, bool), usize> = BTreeMap::new();
    for one in laid.iter().filter(|one| one.points().count() < one.asked) {
        let piece = build.parts[one.held].key.piece.as_str();
        let kind = (
            piece,
            letters(build, one.held),
            letters(build, one.base),
            one.points().count(),
            one.asked,
            one.lacks_room(),
        );
        *kinds.entry(kind).or_default() += 1;
    }
    let said = |((piece, held, base, screws, asked, lacks_room), places)| {
        let screws = if screws == 1 { "1 screw".to_owned() } else { format!("{screws} screws") };
        let why = match lacks_room {
            true => format!("no room for {asked}; a wider or longer part or a thinner screw takes them"),
            false => format!("{asked} would meet those of other joints; a thinner screw or a thicker part takes them"),
        };
        (piece, format!("{screws} instead of {asked} in {}, {held} to {base}: {why}", said_places(places)))
    };
    kinds.into_iter().map(said).collect()
}

/// How many contacts are left out, by held piece and base piece.
fn left_out<'b>(build: &'b Build, chances: &[(usize, usize)]) -> Vec<(&'b str, String)> {
    let mut kinds: BTreeMap<(&str, &str, &str), usize> = BTreeMap::new();
    for &(held, base) in chances {
        let kind = (build.parts[held].key.piece.as_str(), letters(build, held), letters(build, base));
        *kinds.entry(kind).or_default() += 1;
    }
    let said = |((piece, held, base), places)| {
        let text =
            format!("{held} only just touches {base} in {}: no screw there, its others hold it", said_places(places));
        (piece, text)
    };
    kinds.into_iter().map(said).collect()
}

/// The fixings of which both sides have parts, and no two of them touch.
fn apart<'b>(build: &'b Build, patches: &[Patch]) -> Vec<&'b Fixing> {
    let roles = by_role(build);
    let role = |part: usize| (build.parts[part].key.piece.as_str(), build.parts[part].key.role.as_str());
    let joined: BTreeSet<_> = patches.iter().map(|patch| (role(patch.held), role(patch.base))).collect();
    let is_apart = |fixing: &&Fixing| {
        let [held, base] = [&fixing.held, &fixing.base].map(|of| (of.piece.as_str(), of.role.as_str()));
        roles.contains_key(&held) && roles.contains_key(&base) && !joined.contains(&(held, base))
    };
    build.fixings.iter().filter(is_apart).collect()
}

/// How long the slots in the boards of each piece are.
fn slotted<'b>(build: &'b Build, laid: &[Laid]) -> BTreeMap<&'b str, BTreeSet<Length>> {
    let mut pieces: BTreeMap<&str, BTreeSet<Length>> = BTreeMap::new();
    for one in laid {
        let slots: BTreeSet<Length> = slots_of(one).into_iter().filter_map(|given| given.length()).collect();
        if !slots.is_empty() {
            pieces.entry(&build.parts[one.held].key.piece).or_default().extend(slots);
        }
    }
    pieces
}

/// What makes the slots of a joint, each once.
fn slots_of(one: &Laid) -> BTreeSet<Given> {
    let points: Vec<[Length; 3]> = one.points().map(|point| point.map(from_mm)).collect();
    one.moves.iter().flat_map(|moves| moves.by_head(&points).flatten().collect::<Vec<Given>>()).collect()
}

/// How many screws of each held piece are moved in each base piece.
fn moved<'b>(build: &'b Build, laid: &[Laid]) -> Vec<(&'b str, &'b str, usize)> {
    let mut moved: BTreeMap<(&str, &str), usize> = BTreeMap::new();
    for one in laid.iter().filter(|one| one.moved != [0.0; 3]) {
        let piece = |part: usize| build.parts[part].key.piece.as_str();
        *moved.entry((piece(one.held), piece(one.base))).or_default() += one.points().count();
    }
    moved.into_iter().map(|((held, base), count)| (held, base, count)).collect()
}

/// The numbers of the joints: lengths for each kind of joint, holes and distances for each screw, counts for each piece.
pub(crate) fn quantities(
    build: &Build,
    plan: &Plan,
    laid: &[Laid],
    unmade: &[Unmade],
    patches: &[Patch],
) -> Vec<Quantity> {
    let mut out = Vec::new();
    lengths(build, laid, &mut out);
    slots(build, laid, &mut out);
    holes(build, plan, laid, unmade, patches, &mut out);
    counts(build, laid, &mut out);
    out
}

/// The letters of a part's id, which all parts like it share.
fn letters(build: &Build, part: usize) -> &str {
    build.parts[part].id.trim_end_matches(|c: char| c.is_ascii_digit())
}

/// The least and the greatest length for each kind of held part on each kind of base.
fn lengths(build: &Build, laid: &[Laid], out: &mut Vec<Quantity>) {
    let mut kinds: BTreeMap<(&str, &str), BTreeSet<Room>> = BTreeMap::new();
    for one in laid {
        kinds.entry((letters(build, one.held), letters(build, one.base))).or_default().insert(one.room);
    }
    for ((held, base), rooms) in kinds {
        for (number, room) in rooms.into_iter().enumerate() {
            // One kind of part may lie on another in more than one way.
            let more = if number == 0 { String::new() } else { format!(".{}", number + 1) };
            let name = |end: &str| format!("joint.{held}-{base}{more}.{end}");
            out.extend(least(name("least"), held, base, &room));
            let inputs = vec![
                length(through(held, &room), room.before_base()),
                length(format!("depth of {base}"), room.base),
                length("short of the far face", fasteners::TIP_SHORT),
            ];
            let what = format!("the longest screw through {held} that stays inside {base}");
            out.extend(Quantity::by(name("most"), what, Of::Length, &rules::MOST, inputs));
        }
    }
}

fn through(held: &str, room: &Room) -> String {
    if room.air > Length::ZERO { format!("through {held} and the air behind it") } else { format!("through {held}") }
}

fn least(name: String, held: &str, base: &str, room: &Room) -> Option<Quantity> {
    let (rule, given) = room.least_rule();
    let names = |number: usize| match number {
        0 => format!("through {held}"),
        _ if room.from_below => format!("depth of {base}"),
        1 => "grip in tenths of it".into(),
        _ if room.air > Length::ZERO && room.end_grain => "air behind it, and more in end grain".into(),
        _ if room.air > Length::ZERO => "air behind it".into(),
        _ => "more in end grain".into(),
    };
    let of = |number: usize| if number == 1 && !room.from_below { Of::Count } else { Of::Length };
    let input = |(number, value)| Input::new(names(number), Value { of: of(number), value });
    let inputs = given.into_iter().enumerate().map(input).collect();
    Quantity::by(name, format!("the shortest screw through {held} that holds in {base}"), Of::Length, rule, inputs)
}

/// The slots for each kind of held part on each kind of base.
fn slots(build: &Build, laid: &[Laid], out: &mut Vec<Quantity>) {
    let mut kinds: BTreeMap<(&str, &str), BTreeSet<Given>> = BTreeMap::new();
    for one in laid {
        let slots = slots_of(one);
        if !slots.is_empty() {
            kinds.entry((letters(build, one.held), letters(build, one.base))).or_default().extend(slots);
        }
    }
    for ((held, base), slots) in kinds {
        for (number, given) in slots.into_iter().enumerate() {
            let more = if number == 0 { String::new() } else { format!("-{}", number + 1) };
            let [_, _, coefficient, change, _] = given.inputs();
            let inputs = vec![
                length("the hole", given.clearance),
                length("from the round row, up to whole bits", given.distance),
                Input::new("hundred-thousandths of it for each percent", Value::count(coefficient)),
                Input::new("change of moisture in percent", Value::count(change)),
                length("step of bits", given.bits),
            ];
            let (name, what) =
                (format!("joint.{held}-{base}.slot{more}"), format!("a slot in {held}, from end to end"));
            out.extend(Quantity::by(name, what, Of::Length, &rules::SLOT, inputs));
        }
    }
}

fn length(what: impl Into<String>, length: Length) -> Input {
    Input::new(what, Value::length(length))
}

/// What a screw is used for.
#[derive(Clone, Copy, Default)]
struct Uses {
    light: bool,
    dense: bool,
    itself: bool,
    loaded: bool,
}

/// The holes and distances of each screw that is used or was asked for.
fn holes(build: &Build, plan: &Plan, laid: &[Laid], unmade: &[Unmade], patches: &[Patch], out: &mut Vec<Quantity>) {
    let mut screws: BTreeMap<usize, Uses> = BTreeMap::new();
    for one in laid {
        let uses = screws.entry(one.screw).or_default();
        let dense = screw::is_dense(&build.parts[one.base], plan);
        uses.dense |= dense;
        uses.light |= !dense;
        uses.itself |= build.fixings[one.fixing].load == Load::Own;
        uses.loaded |= one.loaded;
    }
    for one in unmade.iter().filter(|one| matches!(one.why, NoScrew::NoRoom | NoScrew::Meets)) {
        let uses = screws.entry(one.screw).or_default();
        let patch = patches.iter().find(|patch| (patch.held, patch.base) == (one.held, one.base));
        uses.loaded |= patch.is_some_and(|patch| is_loaded(&build.fixings[patch.fixing], patch));
    }
    let bits = screw::bits(plan.tape.unit());
    for (place, uses) in screws {
        let Some(screw) = plan.yard.screws.get(place) else { continue };
        holes_of(&screw.name, screw.diameter, bits, uses, out);
        distances_of(&screw.name, screw.diameter, uses, out);
    }
}

fn holes_of(screw: &str, diameter: Length, bits: Length, uses: Uses, out: &mut Vec<Quantity>) {
    let mut add = |end: &str, what: &str, rule: &'static Rule, inputs: Vec<Input>| {
        out.extend(Quantity::by(format!("screw.{screw}.{end}"), what, Of::Length, rule, inputs));
    };
    for (used, dense, end, what) in [
        (uses.light, false, "pilot", "the hole for its thread"),
        (uses.dense, true, "pilot-in-dense-wood", "the hole for its thread in dense wood"),
    ] {
        let [_, above, below, _] = screw::pilot_given(diameter, dense, bits);
        let share = |what, value| Input::new(what, Value::count(value));
        let inputs = vec![
            length("its diameter", diameter),
            share("share of it, above", above),
            share("share of it, below", below),
            length("step of bits", bits),
        ];
        if used {
            add(end, what, &rules::PILOT, inputs);
        }
    }
    let inputs = vec![length("its diameter", diameter), length("step of bits", bits)];
    add("clearance", "the hole in which it turns freely", &rules::CLEARANCE, inputs);
    let times = Input::new("times", Value::count(fasteners::COUNTERSINK_DIAMETERS));
    let inputs = vec![length("its diameter", diameter), times];
    add("countersink", "how wide its head is sunk", &rules::COUNTERSINK, inputs);
}

fn distances_of(screw: &str, diameter: Length, uses: Uses, out: &mut Vec<Quantity>) {
    let name = |end: &str| format!("screw.{screw}.{end}");
    let rows = [
        ("from-end", "from the end of the wood", &fasteners::FROM_END, true),
        ("from-edge", "from an edge", &fasteners::FROM_EDGE, true),
        (
            "from-loaded-end",
            "from an end towards which the load pushes the wood",
            &fasteners::FROM_LOADED_END,
            uses.loaded,
        ),
        (
            "from-loaded-edge",
            "from an edge towards which the load pushes the wood",
            fasteners::from_loaded_edge(diameter),
            uses.loaded,
        ),
        ("along", "from screw to screw along the grain", &fasteners::ALONG_GRAIN, true),
        ("across", "from screw to screw across the grain", &fasteners::ACROSS_GRAIN, true),
    ];
    for (end, what, row, _) in rows.into_iter().filter(|row| row.3) {
        let times = Input::new("diameters, pre-drilled", Value::count(row.drilled));
        let inputs = vec![length("its diameter", diameter), times];
        out.extend(Quantity::by(name(end), what, Of::Length, &rules::DISTANCE, inputs));
    }
    if uses.itself {
        let edge = screw::distance(diameter, fasteners::FROM_EDGE.drilled);
        let inputs =
            vec![length("the cladding rule", fasteners::CLADDING_FROM_END.length), length(name("from-edge"), edge)];
        let what = "from the end of a board that carries only itself";
        out.extend(Quantity::by(name("from-end-of-cladding"), what, Of::Length, &rules::CLADDING_END, inputs));
    }
    let inputs = vec![length("its diameter", diameter), length("wander of the drill", WANDER)];
    let what = "from axis to axis where screws of two faces cross";
    out.extend(Quantity::by(name("apart"), what, Of::Length, &rules::APART, inputs));
}

/// How many screws hold each piece.
fn counts(build: &Build, laid: &[Laid], out: &mut Vec<Quantity>) {
    let mut pieces: BTreeMap<&str, BTreeMap<usize, usize>> = BTreeMap::new();
    for one in laid {
        let piece = pieces.entry(&build.parts[one.held].key.piece).or_default();
        *piece.entry(one.points().count()).or_default() += 1;
    }
    for (piece, places) in pieces {
        let pair = |(each, places): (usize, usize)| {
            // Both are counts of things in memory.
            [("places", places), ("screws at each", each)]
                .map(|(what, count)| Input::new(what, Value::count(count as i128)))
        };
        let inputs = places.into_iter().flat_map(pair).collect();
        let what = format!("the screws whose heads are in {piece}");
        out.extend(Quantity::by(format!("{piece}.screws"), what, Of::Count, &rules::COUNT, inputs));
    }
}
