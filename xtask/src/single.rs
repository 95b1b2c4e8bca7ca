//! The app in one file: the page with its style, its font, its scripts and the core in it. What is no script stands in blocks of data,
//! which nobody runs; the one script is let in by its hash.

use crate::{Files, bundle, core};
use base64::{Engine, engine::general_purpose::STANDARD as BASE64};
use sha2::{Digest, Sha256};

/// The page.
///
/// # Errors
/// If the page or the style is not as it is known here.
pub fn html(files: &Files) -> Result<String, String> {
    let text = |path: &str| {
        let bytes = files.get(path).ok_or_else(|| format!("the app has no {path}"))?;
        String::from_utf8(bytes.clone()).map_err(|error| format!("{path}: {error}"))
    };
    let script = bundle::script(files, "main.js")?;
    let style =
        replaced(&text("style.css")?, "url(\"scantling.ttf\")", &data_url("font/ttf", &files["scantling.ttf"]))?;
    for (what, text) in [("script", &script), ("style", &style)] {
        let ends = ["</script", "</style", "<!--", "\r"];
        if let Some(end) = ends.iter().find(|end| text.to_ascii_lowercase().contains(*end)) {
            return Err(format!("the {what} says {end:?}, which cannot stand in a page"));
        }
    }
    let policy = format!(
        "default-src 'none'; script-src '{}' 'wasm-unsafe-eval'; worker-src blob:; style-src '{}'; font-src data:; img-src data: blob:; base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types scantling",
        hash(&script),
        hash(&style)
    );
    let page = text("index.html")?;
    let page = between(&page, "http-equiv=\"Content-Security-Policy\" content=\"", "\">", &policy)?;
    let page = replaced(&page, "<link rel=\"manifest\" href=\"manifest.webmanifest\">\n", "")?;
    let icon = data_url("image/svg+xml", &files["icon.svg"]);
    let page = replaced(&page, "href=\"icon.svg\"", &format!("href={}", &icon[4..icon.len() - 1]))?;
    let page = replaced(&page, "<link rel=\"stylesheet\" href=\"style.css\">", &format!("<style>{style}</style>"))?;
    let carried = carried(files)?;
    let core = BASE64.encode(core::packed(&files["scantling.wasm"]));
    let data = format!(
        "<script type=\"application/json\" id=\"handed\">null</script>\n<script type=\"application/json\" id=\"carried\">{carried}</script>\n<script type=\"application/octet-stream\" id=\"core\">{core}</script>\n<script type=\"module\">{script}</script>"
    );
    replaced(&page, "<script type=\"module\" src=\"main.js\"></script>", &data)
}

/// The files that the scripts ask for by their paths, as JSON in which no markup begins.
fn carried(files: &Files) -> Result<String, String> {
    let asked = files.iter().filter(|(path, _)| path.starts_with("examples/") || *path == "worker.js");
    let texts: Result<serde_json::Map<_, _>, _> =
        asked.map(|(path, bytes)| String::from_utf8(bytes.clone()).map(|text| (path.clone(), text.into()))).collect();
    let texts = texts.map_err(|error| format!("the examples: {error}"))?;
    Ok(serde_json::Value::Object(texts).to_string().replace('<', "\\u003c"))
}

/// The hash by which a policy lets a script or a style in.
fn hash(text: &str) -> String {
    format!("sha256-{}", BASE64.encode(Sha256::digest(text)))
}

fn data_url(kind: &str, bytes: &[u8]) -> String {
    format!("url(\"data:{kind};base64,{}\")", BASE64.encode(bytes))
}

/// The text with the one place changed that must be there.
fn replaced(text: &str, from: &str, to: &str) -> Result<String, String> {
    match text.matches(from).count() {
        1 => Ok(text.replacen(from, to, 1)),
        count => Err(format!("`{from}` stands {count} times where it is to stand once")),
    }
}

/// The text with what stands between two others changed.
fn between(text: &str, before: &str, after: &str, to: &str) -> Result<String, String> {
    let (head, rest) = text.split_once(before).ok_or_else(|| format!("`{before}` does not stand there"))?;
    let (_, tail) = rest.split_once(after).ok_or_else(|| format!("`{after}` does not follow `{before}`"))?;
    Ok(format!("{head}{before}{to}{after}{tail}"))
}
