//! The core behind a C ABI for browsers: bytes in, bytes out.
//!
//! The caller asks for room with [`scantling_room`], writes a request there and calls [`scantling_record`], [`scantling_page`],
//! [`scantling_note`] or [`scantling_app()`]; the answer is `pointer << 32 | length` and is freed with [`scantling_free`]. A request is JSON:
//! `{"plan": "name", "files": {"name": "text", …}}`, with the day book `x.daybook.jsonl` beside `x.plan.toml` if there is one. An
//! answer is the record or the page, or a message that begins with `error: `. The request of a note has the entry too, as `note`,
//! under the keys of the day book (`{"what": "width", "board": "wall", "over": 6, "reads": "828 mm"}`), and its answer is JSON:
//! `append`, the text to append to the day book; `number`, that of the entry; `changes`, a list of `what`, `was` and `is`; `told`,
//! what the command says. Nothing is kept here: it is for the caller to append. What the app asks and is answered is in
//! `docs/app.md`.
//!
//! The byte test of the house compares these answers with those of the native command.

use scantling::{Done, Effort, Missing, Unnoted, World, daybook_name};
use serde_json::json;

/// Room for so many bytes; freed by the call that it is handed to.
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub extern "C" fn scantling_room(length: usize) -> *mut u8 {
    Box::into_raw(vec![0_u8; length].into_boxed_slice()).cast()
}

/// The record of a plan.
///
/// # Safety
/// `pointer` and `length` come from one call of [`scantling_room`], and are not used again.
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub unsafe extern "C" fn scantling_record(pointer: *mut u8, length: usize) -> u64 {
    // SAFETY: handed on.
    unsafe { answer(pointer, length, |done| done.record.clone()) }
}

/// The page of a plan.
///
/// # Safety
/// As for [`scantling_record`].
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub unsafe extern "C" fn scantling_page(pointer: *mut u8, length: usize) -> u64 {
    // SAFETY: handed on.
    unsafe { answer(pointer, length, Done::page) }
}

/// One entry for the day book of a plan: what to append, and what it changes.
///
/// # Safety
/// As for [`scantling_record`].
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub unsafe extern "C" fn scantling_note(pointer: *mut u8, length: usize) -> u64 {
    // SAFETY: handed on.
    unsafe { handed(pointer, length, noted) }
}

/// The answer to a question of the app: `docs/app.md` says what may be asked.
///
/// # Safety
/// As for [`scantling_record`].
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub unsafe extern "C" fn scantling_app(pointer: *mut u8, length: usize) -> u64 {
    // SAFETY: handed on.
    unsafe { handed(pointer, length, scantling_app::answer) }
}

/// Frees an answer.
///
/// # Safety
/// `pointer` and `length` come from one answer, and are not used again.
#[cfg_attr(target_arch = "wasm32", unsafe(no_mangle))]
pub unsafe extern "C" fn scantling_free(pointer: *mut u8, length: usize) {
    // SAFETY: the caller keeps the promise above; answers are boxed slices of this length.
    drop(unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(pointer, length)) });
}

unsafe fn answer(pointer: *mut u8, length: usize, of: impl Fn(&Done) -> String) -> u64 {
    // SAFETY: handed on.
    unsafe { handed(pointer, length, |request| run(request, of)) }
}

unsafe fn handed(pointer: *mut u8, length: usize, answer: impl FnOnce(&[u8]) -> String) -> u64 {
    // SAFETY: the caller promises that this is a whole boxed slice from `scantling_room`.
    let request = unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(pointer, length)) };
    let bytes = answer(&request).into_bytes().into_boxed_slice();
    let length = bytes.len() as u64;
    // A pointer in wasm has 32 bits; natively this function is only compiled.
    ((Box::into_raw(bytes).cast::<u8>() as usize as u64) << 32) | length
}

/// The answer to a request, as text.
pub fn run(request: &[u8], of: impl Fn(&Done) -> String) -> String {
    let request: serde_json::Value = match serde_json::from_slice(request) {
        Ok(request) => request,
        Err(error) => return format!("error: the request is not JSON: {error}\n"),
    };
    let plan = request["plan"].as_str().unwrap_or_default();
    match scantling::run(plan, &Files(&request["files"]), &Effort::default(), &|| false) {
        Ok(done) => of(&done),
        Err(refused) => scantling::refused(&refused, false),
    }
}

/// The answer to a request for a note, as text.
pub fn noted(request: &[u8]) -> String {
    let request: serde_json::Value = match serde_json::from_slice(request) {
        Ok(request) => request,
        Err(error) => return format!("error: the request is not JSON: {error}\n"),
    };
    let (plan, files) = (request["plan"].as_str().unwrap_or_default(), Files(&request["files"]));
    let entry = match scantling_app::read_note(&request["note"]) {
        Ok(entry) => entry,
        Err(wrong) => return format!("error: {wrong}\n"),
    };
    let effort = Effort::default();
    let noted = match scantling::note(plan, &files, &entry, &effort, &|| false) {
        Ok(noted) => noted,
        Err(Unnoted::Refused(refused)) => return scantling::refused(&refused, false),
        Err(Unnoted::Said(says)) => return format!("error: {says}\n"),
    };
    let book = daybook_name(plan);
    let kept = request["files"][&book].as_str().unwrap_or_default();
    let mut with = request["files"].clone();
    with[&book] = (kept.to_owned() + &noted.append).into();
    let with = Files(&with);
    let after = scantling::run(plan, &with, &effort, &|| false);
    let change = |change: &scantling::Change| json!({ "what": change.what, "was": change.was, "is": change.is });
    let changes: Vec<serde_json::Value> = noted.changes(&after).iter().map(change).collect();
    let told = noted.told(plan, &with, &after, &effort, &|| false);
    json!({ "append": noted.append, "number": noted.number, "changes": changes, "told": told }).to_string()
}

/// The files of a request.
struct Files<'r>(&'r serde_json::Value);

impl World for Files<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.get(name).and_then(serde_json::Value::as_str);
        text.map(|text| text.as_bytes().to_vec()).ok_or_else(|| Missing { reason: "there is no such file".into() })
    }

    fn file_if_there(&self, name: &str) -> Result<Option<Vec<u8>>, Missing> {
        Ok(self.0.get(name).and_then(serde_json::Value::as_str).map(|text| text.as_bytes().to_vec()))
    }
}
