//! What is answered at which path.

use super::bench::{Bench, Filed, MOST_BYTES, Unwritten};
use super::guard::Guard;
use axum::Router;
use axum::body::Bytes;
use axum::extract::{DefaultBodyLimit, Path, Query, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, StatusCode, header};
use axum::middleware::{Next, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post, put};
use serde_json::{Map, Value, json};
use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// The files of the app by their paths, sorted, the builds among them as its examples.
static APP: &[(&str, &[u8])] = include!(concat!(env!("OUT_DIR"), "/app.rs"));

/// The most that a question to the core may hold: a plan with all its files.
const MOST_ASKED: usize = 16 << 20;

/// The most that a line of a day book may hold.
const MOST_OF_A_LINE: usize = 64 << 10;

/// What all answers need.
pub struct House {
    /// The folder.
    pub bench: Bench,
    /// Who is let in.
    pub guard: Guard,
}

/// All paths.
pub fn router(house: Arc<House>) -> Router {
    let policy = HeaderValue::from_str(&policy()).expect("the policy of the page is plain text");
    let own = Router::new()
        .route("/folder", get(folder))
        .route("/files", get(list))
        .route("/files/{*name}", put(keep).layer(DefaultBodyLimit::max(MOST_BYTES)))
        .route("/daybook/{*name}", post(grow).layer(DefaultBodyLimit::max(MOST_OF_A_LINE)))
        .route("/ask", post(ask).layer(DefaultBodyLimit::max(MOST_ASKED)))
        .route_layer(from_fn_with_state(house.clone(), with_token));
    own.fallback(file).layer(from_fn_with_state((house.clone(), policy), only_own)).with_state(house)
}

/// The policy that the page itself states, and that no other page may frame it.
fn policy() -> String {
    let page = app("index.html").map(String::from_utf8_lossy).unwrap_or_default();
    let stated =
        page.split_once("http-equiv=\"Content-Security-Policy\" content=\"").and_then(|(_, rest)| rest.split_once('"'));
    format!("{}; frame-ancestors 'none'", stated.expect("the page of the app states its policy").0)
}

fn app(path: &str) -> Option<&'static [u8]> {
    APP.binary_search_by_key(&path, |(name, _)| name).ok().map(|at| APP[at].1)
}

/// Turns away who asks under another name or from another page, and sets the headers of every answer.
async fn only_own(State((house, policy)): State<(Arc<House>, HeaderValue)>, request: Request, next: Next) -> Response {
    let mut response = match house.guard.is_own(request.headers()) {
        true => next.run(request).await,
        false => refuse(StatusCode::FORBIDDEN, "this address answers its own pages only"),
    };
    let set = [
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (header::HeaderName::from_static("cross-origin-resource-policy"), "same-origin"),
        (header::HeaderName::from_static("cross-origin-opener-policy"), "same-origin"),
    ];
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, policy);
    headers.extend(set.map(|(name, value)| (name, HeaderValue::from_static(value))));
    response
}

async fn with_token(State(house): State<Arc<House>>, request: Request, next: Next) -> Response {
    match house.guard.knows_the_token(request.headers()) {
        true => next.run(request).await,
        false => refuse(StatusCode::UNAUTHORIZED, "open the address that the command has printed"),
    }
}

/// What the folder holds.
async fn folder(State(house): State<Arc<House>>) -> Response {
    let bench = &house.bench;
    let plan = |name: String| json!({ "title": bench.title(&name), "name": name });
    let plans: Vec<Value> = bench.plans().into_iter().map(plan).collect();
    let told = json!({ "folder": true, "ask": true, "first": bench.first(), "plans": plans, "taken": bench.taken() });
    answer(StatusCode::OK, &told)
}

/// All files of a plan.
async fn list(State(house): State<Arc<House>>, Query(asked): Query<BTreeMap<String, String>>) -> Response {
    let bench = &house.bench;
    let plan = asked.get("plan").map(String::as_str).or(bench.first()).unwrap_or_default();
    let mut files = Map::new();
    for name in bench.names(plan) {
        match bench.file(&name) {
            Ok(file) => files.insert(name, told(&file)),
            Err(why) => return refuse(StatusCode::UNPROCESSABLE_ENTITY, &why),
        };
    }
    if files.get(plan).is_none_or(|file| file["text"].is_null()) {
        return refuse(StatusCode::NOT_FOUND, "there is no such plan");
    }
    answer(StatusCode::OK, &json!({ "plan": plan, "files": files }))
}

/// Writes one file over what the stamp stands for.
async fn keep(State(house): State<Arc<House>>, Path(name): Path<String>, headers: HeaderMap, text: String) -> Response {
    written(house.bench.write(&name, stamp(&headers), text))
}

/// Appends to the day book.
async fn grow(State(house): State<Arc<House>>, Path(name): Path<String>, headers: HeaderMap, line: String) -> Response {
    written(house.bench.append(&name, stamp(&headers), &line))
}

/// Raises a flag when nobody waits for an answer any more.
struct Gone(Arc<AtomicBool>);

impl Drop for Gone {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Relaxed);
    }
}

/// Asks the core. A page that closes the connection stops it.
async fn ask(request: Bytes) -> Response {
    let gone = Gone(Arc::new(AtomicBool::new(false)));
    let stop = gone.0.clone();
    let core = move || scantling_app::answer_until(&request, &|| stop.load(Ordering::Relaxed));
    match tokio::task::spawn_blocking(core).await {
        Ok(text) => ([(header::CONTENT_TYPE, "application/json")], text).into_response(),
        Err(_) => refuse(StatusCode::INTERNAL_SERVER_ERROR, "the core has stopped"),
    }
}

/// A file of the app.
async fn file(request: Request) -> Response {
    if ![Method::GET, Method::HEAD].contains(request.method()) {
        return refuse(StatusCode::METHOD_NOT_ALLOWED, "files of the app are only read");
    }
    let path = request.uri().path().strip_prefix('/').unwrap_or_default();
    let path = if path.is_empty() { "index.html" } else { path };
    match app(path) {
        Some(bytes) => ([(header::CONTENT_TYPE, kind(path))], bytes).into_response(),
        None => refuse(StatusCode::NOT_FOUND, "there is no such file"),
    }
}

/// What a file of the app is, by its ending (IANA media types).
fn kind(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "ttf" => "font/ttf",
        "toml" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}

fn stamp(headers: &HeaderMap) -> &str {
    headers.get(header::IF_MATCH).and_then(|value| value.to_str().ok()).unwrap_or_default()
}

fn written(ended: Result<String, Unwritten>) -> Response {
    match ended {
        Ok(stamp) => answer(StatusCode::OK, &json!({ "stamp": stamp })),
        Err(Unwritten::Strange) => refuse(StatusCode::FORBIDDEN, "no plan of this folder names such a file"),
        Err(Unwritten::Changed(there)) => answer(StatusCode::CONFLICT, &told(&there)),
        Err(Unwritten::Unfit(why)) => refuse(StatusCode::UNPROCESSABLE_ENTITY, why),
        Err(Unwritten::Failed(why)) => refuse(StatusCode::INSUFFICIENT_STORAGE, &why),
    }
}

fn told(file: &Filed) -> Value {
    json!({ "text": file.text, "stamp": file.stamp })
}

fn refuse(status: StatusCode, why: &str) -> Response {
    answer(status, &json!({ "error": why }))
}

fn answer(status: StatusCode, body: &Value) -> Response {
    (status, [(header::CONTENT_TYPE, "application/json")], body.to_string()).into_response()
}
