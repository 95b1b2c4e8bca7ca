//! The core behind a C ABI for browsers: bytes in, bytes out.
//!
//! The caller asks for room with [`scantling_room`], writes a request there and calls [`scantling_record`],
//! [`scantling_page`] or [`scantling_app`]; the answer is `pointer << 32 | length` and is freed with [`scantling_free`]. A request is JSON:
//! `{"plan": "name", "files": {"name": "text", …}}`. An answer is the record or the page, or a message that begins with
//! `error: `; what the app asks and is answered is in `docs/app.md`.
//!
//! The byte test of the house compares these answers with those of the native command.

use scantling::{Done, Effort, Missing, World};

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

unsafe fn handed(pointer: *mut u8, length: usize, to: impl FnOnce(&[u8]) -> String) -> u64 {
    // SAFETY: the caller promises that this is a whole boxed slice from `scantling_room`.
    let request = unsafe { Box::from_raw(std::ptr::slice_from_raw_parts_mut(pointer, length)) };
    let bytes = to(&request).into_bytes().into_boxed_slice();
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

/// The files of a request.
struct Files<'r>(&'r serde_json::Value);

impl World for Files<'_> {
    fn file(&self, name: &str) -> Result<Vec<u8>, Missing> {
        let text = self.0.get(name).and_then(serde_json::Value::as_str);
        text.map(|text| text.as_bytes().to_vec()).ok_or_else(|| Missing { reason: "there is no such file".into() })
    }
}
