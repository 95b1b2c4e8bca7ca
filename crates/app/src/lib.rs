//! The app's questions answered: JSON in, JSON out. `docs/app.md` says what may be asked and what is answered.
//!
//! Each request is whole in itself; nothing is remembered between two. All that is decided, reckoned, drawn and worded comes from
//! the house; here it is put into JSON, and what a maker does on the screen is put into the texts of the files.
#![forbid(unsafe_code)]

mod base64;
mod buy;
mod document;
mod edit;
mod form;
mod note;
mod refused;
mod request;
mod settled;
mod start;
mod wishes;
mod written;

pub use note::read as read_note;

use request::{Answer, Not, Request};
use scantling::{Body, Effort, Paper, Side};
use serde_json::{Value, json};

/// The answer to a request, both as JSON.
pub fn answer(request: &[u8]) -> String {
    answer_until(request, &|| false)
}

/// The same, given up soon after `stop` says so: what is answered then is of no use.
pub fn answer_until(request: &[u8], stop: &dyn Fn() -> bool) -> String {
    let answer = match serde_json::from_slice::<Value>(request) {
        Ok(value) => ask(&Request { value: &value, stop }),
        Err(error) => Err(Not::Asked(format!("the request is not JSON: {error}"))),
    };
    let answer = match answer {
        Ok(answer) => json!({ "ok": answer }),
        Err(Not::Out(refused)) => json!({ "refused": refused }),
        Err(Not::Asked(error)) => json!({ "error": error }),
    };
    answer.to_string()
}

fn ask(request: &Request<'_>) -> Answer {
    match request.text("ask")? {
        "settle" => Ok(settled::settled(&request.settle()?)),
        "page" => Ok(json!({ "html": request.settle()?.page() })),
        "model" => Ok(json!({ "glb": base64::text(&request.settle()?.model()) })),
        "lists" => {
            let list = |list: scantling::List| json!({ "name": list.name, "csv": list.csv });
            Ok(json!({ "lists": request.settle()?.lists().into_iter().map(list).collect::<Vec<Value>>() }))
        }
        "drag" => drag(request),
        "turned" => turned(request),
        "form" => form::form(request),
        "edit" => {
            let to = request.text_or_null("to")?;
            let text = edit::edit(request.text("text")?, &request.path("path")?, to).map_err(Not::Asked)?;
            Ok(json!({ "text": text }))
        }
        "move" => wishes::moved(request),
        "note" => note::noted(request),
        "start" => start::start(request),
        "about" => Ok(about()),
        other => Err(Not::Asked(format!("nothing is called `{}` that could be asked", other.escape_debug()))),
    }
}

fn drag(request: &Request<'_>) -> Answer {
    let (files, wants) = (request.files()?, request.lengths("wants")?);
    let paper = if request.flag("narrow")? { Paper::Phone } else { Paper::Page };
    let dragged = scantling::drag(request.text("plan")?, &files, &wants, paper, &Effort::dragging(), request.stop)
        .map_err(|refused| Not::Out(refused::refused(&refused)))?;
    let size = |(name, at, shown): &(String, scantling::Length, String)| json!({ "name": name, "at": at.nanometres(), "shown": shown });
    Ok(json!({
        "sizes": dragged.sizes.iter().map(size).collect::<Vec<Value>>(),
        "front": dragged.front,
        "above": dragged.above,
        "line": dragged.line,
    }))
}

/// The picture of a body that was settled, from a side, after some of its steps.
fn turned(request: &Request<'_>) -> Answer {
    let body = request
        .value
        .get("body")
        .and_then(Body::read)
        .ok_or_else(|| Not::Asked("`body` is not the body of a settled plan".into()))?;
    let side = Side { around: request.small("around")?.unwrap_or(0), above: request.small("above")?.unwrap_or(0) };
    let steps = request.small("steps")?.and_then(|steps| usize::try_from(steps).ok());
    Ok(json!({ "svg": body.turned(side, steps).inline(), "from": side.words() }))
}

fn about() -> Value {
    let kind = |(kind, doc)| json!({ "kind": kind, "doc": doc });
    json!({
        "version": env!("CARGO_PKG_VERSION"),
        "kinds": scantling::kinds().into_iter().map(kind).collect::<Vec<Value>>(),
    })
}
