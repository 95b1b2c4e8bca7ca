//! The app on this machine: who is let in, which files are known, what is written.

use std::fs;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};

/// A server for as long as a test takes.
struct Open {
    child: Child,
    port: u16,
    token: String,
}

impl Drop for Open {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Open {
    fn plan(path: &Path) -> Open {
        Open::run(Command::new(env!("CARGO_BIN_EXE_scantling")).arg("open").arg(path))
    }

    fn run(command: &mut Command) -> Open {
        let mut child = command.stdout(Stdio::piped()).spawn().expect("the command runs");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("piped")).read_line(&mut line).expect("a line");
        let (address, token) = line.trim().split_once("/#token=").expect("an address with a token");
        let port = address.strip_prefix("http://127.0.0.1:").expect("the loopback").parse().expect("a port");
        Open { child, port, token: token.to_owned() }
    }

    /// Asks under its own name with the token; `more` are lines of the head.
    fn ask(&self, method: &str, path: &str, more: &[&str], body: &str) -> Answer {
        let token = format!("X-Scantling-Token: {}", self.token);
        let host = format!("Host: 127.0.0.1:{}", self.port);
        self.raw(method, path, &[&[host.as_str(), &token], more].concat(), body)
    }

    fn raw(&self, method: &str, path: &str, head: &[&str], body: &str) -> Answer {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port)).expect("it listens");
        let head = head.join("\r\n");
        // A body that is too long is refused before all of it is sent.
        let _ = write!(
            stream,
            "{method} {path} HTTP/1.1\r\n{head}\r\nConnection: close\r\nContent-Length: {}\r\n\r\n{body}",
            body.len()
        );
        let mut bytes = Vec::new();
        let _ = stream.read_to_end(&mut bytes);
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap_or((&text, ""));
        let status = head.split(' ').nth(1).and_then(|status| status.parse().ok()).unwrap_or(0);
        Answer { status, head: head.to_ascii_lowercase(), body: body.to_owned() }
    }
}

/// A folder with a plan, a yard and no shed.
fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    let plan = "format = 1\ntitle = \"x\"\nyard = \"x.yard.toml\"\nshed = \"x.shed.toml\"\n";
    fs::write(folder.path().join("x.plan.toml"), plan).expect("written");
    fs::write(folder.path().join("x.yard.toml"), "format = 1\n").expect("written");
    fs::write(folder.path().join("other.toml"), "not of this plan").expect("written");
    folder
}

fn open(folder: &tempfile::TempDir) -> Open {
    Open::plan(&folder.path().join("x.plan.toml"))
}

fn json(answer: &Answer) -> serde_json::Value {
    serde_json::from_str(&answer.body).unwrap_or_else(|error| panic!("{error}: {}", answer.body))
}

#[test]
fn the_app_comes_with_the_policy_that_its_page_states() {
    let folder = folder();
    let open = open(&folder);
    let page = open.ask("GET", "/", &[], "");
    assert_eq!(page.status, 200);
    assert!(page.head.contains("content-type: text/html"), "{}", page.head);
    let line = |name: &str| page.head.lines().find_map(|line| line.strip_prefix(name)).unwrap_or_default().to_owned();
    let policy = line("content-security-policy: ");
    let stated =
        page.body.split_once("Content-Security-Policy\" content=\"").and_then(|(_, rest)| rest.split_once('"'));
    assert_eq!(policy, format!("{}; frame-ancestors 'none'", stated.expect("a policy").0.to_ascii_lowercase()));
    for held in ["default-src 'none'", "script-src 'self' 'wasm-unsafe-eval';", "require-trusted-types-for 'script'"] {
        assert!(policy.contains(held), "{held}: {policy}");
    }
    assert!(!policy.contains("unsafe-inline") && !policy.contains("'unsafe-eval'"), "{policy}");
    assert_eq!(line("x-content-type-options: "), "nosniff");
    assert_eq!(open.ask("GET", "/main.js", &[], "").body, include_str!("../../../app/main.js"));
    let example = open.ask("GET", "/examples/kitchen-trough/kitchen-trough.plan.toml", &[], "");
    assert_eq!(example.body, include_str!("../../../builds/kitchen-trough/kitchen-trough.plan.toml"));
    for none in ["/none.js", "/examples/kitchen-trough/page.png", "/build.rs"] {
        assert_eq!(open.ask("GET", none, &[], "").status, 404, "{none}");
    }
    assert_eq!(open.ask("POST", "/main.js", &[], "").status, 405);
}

#[test]
fn the_folder_tells_its_plans() {
    let folder = folder();
    fs::write(folder.path().join("a.plan.toml"), "").expect("written");
    let told = json(&open(&folder).ask("GET", "/folder", &[], ""));
    assert_eq!((&told["folder"], &told["ask"], &told["first"]), (&true.into(), &true.into(), &"x.plan.toml".into()));
    let plans = serde_json::json!([{ "name": "x.plan.toml", "title": "x" }, { "name": "a.plan.toml", "title": null }]);
    assert_eq!(told["plans"], plans);
    assert_eq!(told["taken"], serde_json::json!(["a.plan.toml", "other.toml", "x.plan.toml", "x.yard.toml"]));
}

#[test]
fn without_a_plan_a_new_one_comes_into_this_folder() {
    let folder = tempfile::tempdir().expect("a folder");
    let open = Open::run(Command::new(env!("CARGO_BIN_EXE_scantling")).arg("open").current_dir(folder.path()));
    let told = json(&open.ask("GET", "/folder", &[], ""));
    assert_eq!((&told["first"], &told["plans"]), (&serde_json::Value::Null, &serde_json::json!([])));
    assert_eq!(open.ask("GET", "/files", &[], "").status, 404);
    assert_eq!(open.ask("PUT", "/files/y.yard.toml", &["If-Match: none"], "").status, 403);
    assert_eq!(open.ask("PUT", "/files/y.plan.toml", &["If-Match: none"], "yard = \"y.yard.toml\"\n").status, 200);
    assert_eq!(open.ask("PUT", "/files/y.yard.toml", &["If-Match: none"], "format = 1\n").status, 200);
    let files = json(&open.ask("GET", "/files?plan=y.plan.toml", &[], ""));
    assert_eq!(files["files"]["y.yard.toml"]["text"], "format = 1\n");
    assert_eq!(open.ask("GET", "/files?plan=..%2fy.plan.toml", &[], "").status, 404);
}

#[test]
fn the_core_answers_through_the_wire() {
    let folder = folder();
    let open = open(&folder);
    let answer = open.ask("POST", "/ask", &[], r#"{"ask":"about"}"#);
    assert_eq!(answer.status, 200);
    assert_eq!(answer.body, scantling_app::answer(br#"{"ask":"about"}"#));
    assert!(json(&open.ask("POST", "/ask", &[], "no JSON"))["error"].is_string());
    // It knows the texts of the request and no others, whatever the plan is called.
    let files = serde_json::json!({ "ask": "settle", "plan": "x.plan.toml", "files": {} }).to_string();
    assert!(
        json(&open.ask("POST", "/ask", &[], &files))["refused"]["text"]
            .as_str()
            .is_some_and(|text| text.contains("no such file"))
    );
}

#[test]
fn strangers_are_turned_away() {
    let folder = folder();
    let open = open(&folder);
    let (host, token) = (format!("Host: 127.0.0.1:{}", open.port), format!("X-Scantling-Token: {}", open.token));
    // Another name for this address, a page of another site, no token, a wrong one.
    assert_eq!(open.raw("GET", "/", &["Host: example.org"], "").status, 403);
    assert_eq!(open.raw("GET", "/files", &["Host: example.org", &token], "").status, 403);
    assert_eq!(open.ask("GET", "/files", &["Origin: http://example.org"], "").status, 403);
    assert_eq!(open.ask("PUT", "/files/x.yard.toml", &["Origin: null", "If-Match: none"], "x").status, 403);
    assert_eq!(open.raw("GET", "/files", &[&host], "").status, 401);
    assert_eq!(open.raw("GET", "/folder", &[&host], "").status, 401);
    assert_eq!(open.raw("GET", &format!("/folder?token={}", open.token), &[&host], "").status, 401);
    assert_eq!(
        open.raw("GET", "/files", &[&host, "X-Scantling-Token: 00000000000000000000000000000000"], "").status,
        401
    );
    assert_eq!(open.raw("POST", "/ask", &[&host], "{}").status, 401);
    assert_eq!(open.raw("PUT", "/files/x.yard.toml", &[&host], "x").status, 401);
    assert_eq!(fs::read_to_string(folder.path().join("x.yard.toml")).expect("there"), "format = 1\n");
}

#[test]
fn it_listens_on_the_loopback_alone() {
    let folder = folder();
    let open = open(&folder);
    let others = std::net::UdpSocket::bind("0.0.0.0:0").and_then(|socket| {
        // No packet is sent: this only asks which address the machine would use.
        socket.connect("192.0.2.1:9")?;
        socket.local_addr()
    });
    if let Ok(other) = others
        .map(|address| address.ip())
        .and_then(|ip| if ip.is_loopback() { Err(std::io::Error::other("none")) } else { Ok(ip) })
    {
        assert!(TcpStream::connect((other, open.port)).is_err(), "it answers at {other}");
    }
    assert!(TcpStream::connect(("127.0.0.1", open.port)).is_ok());
}

#[test]
fn files_are_kept_and_a_change_underneath_is_told() {
    let folder = folder();
    let open = open(&folder);
    let files = json(&open.ask("GET", "/files", &[], ""));
    assert_eq!(files["plan"], "x.plan.toml");
    assert_eq!(files["files"]["x.yard.toml"]["text"], "format = 1\n");
    assert_eq!(files["files"]["x.shed.toml"], serde_json::json!({ "text": null, "stamp": "none" }));
    assert!(files["files"].get("other.toml").is_none());

    let stamp = format!("If-Match: {}", files["files"]["x.yard.toml"]["stamp"].as_str().expect("a stamp"));
    let kept = open.ask("PUT", "/files/x.yard.toml", &[&stamp], "format = 1\n# ours\n");
    assert_eq!(kept.status, 200, "{}", kept.body);
    assert_eq!(fs::read_to_string(folder.path().join("x.yard.toml")).expect("there"), "format = 1\n# ours\n");
    fs::write(folder.path().join("x.yard.toml"), "format = 1\n# theirs\n").expect("written");
    let ours = format!("If-Match: {}", json(&kept)["stamp"].as_str().expect("a stamp"));
    let told = open.ask("PUT", "/files/x.yard.toml", &[&ours], "format = 1\n# ours again\n");
    assert_eq!((told.status, json(&told)["text"].as_str()), (409, Some("format = 1\n# theirs\n")));
    assert_eq!(fs::read_to_string(folder.path().join("x.yard.toml")).expect("there"), "format = 1\n# theirs\n");
    for stamp in [&[][..], &["If-Match: *"], &["If-Match: none"]] {
        assert_eq!(open.ask("PUT", "/files/x.yard.toml", stamp, "x").status, 409, "{stamp:?}");
    }
    assert_eq!(open.ask("PUT", "/files/x.shed.toml", &["If-Match: none"], "format = 1\n").status, 200);
    assert!(folder.path().join("x.shed.toml").exists());
    // Nothing half written is left.
    let parts = fs::read_dir(folder.path())
        .expect("listed")
        .filter(|entry| entry.as_ref().is_ok_and(|entry| entry.file_name().to_string_lossy().ends_with(".part")));
    assert_eq!(parts.count(), 0);
}

#[test]
fn nothing_beside_the_plan_s_files_is_read_or_written() {
    let folder = folder();
    let outside = folder.path().parent().expect("a parent").join(format!("outside-{}.toml", std::process::id()));
    let open = open(&folder);
    let outside_name = outside.file_name().and_then(|name| name.to_str()).expect("a name").to_owned();
    for name in [
        "other.toml".to_owned(),
        format!("../{outside_name}"),
        format!("..%2f{outside_name}"),
        format!("%2e%2e/{outside_name}"),
        format!("%2e%2e%2f{outside_name}"),
        format!("..%5c{outside_name}"),
        format!("..%255c{outside_name}"),
        format!("%2f{}", outside.display()),
        outside.display().to_string(),
        "x.yard.toml%00".to_owned(),
        "x.yard.toml/..".to_owned(),
        "C:%5cx.yard.toml".to_owned(),
        ".x.yard.toml".to_owned(),
        "x.yard.toml%2f..%2fother.toml".to_owned(),
        "..%c0%af..%c0%afother.toml".to_owned(),
        "%ff.plan.toml".to_owned(),
        "sub/new.plan.toml".to_owned(),
        ".new.plan.toml".to_owned(),
        "x.yard.toml%0d%0aother.toml".to_owned(),
    ] {
        let answer = open.ask("PUT", &format!("/files/{name}"), &["If-Match: none"], "x");
        assert!((400..500).contains(&answer.status), "{name}: {}", answer.status);
        assert!(!outside.exists(), "{name}");
    }
    for path in [
        "/../Cargo.toml",
        "/%2e%2e/Cargo.toml",
        "/..%2fCargo.toml",
        "/files/other.toml",
        "//etc/passwd",
        "/x.yard.toml",
    ] {
        let status = open.ask("GET", path, &[], "").status;
        assert!((400..500).contains(&status), "{path}: {status}");
    }
    assert_eq!(fs::read_to_string(folder.path().join("other.toml")).expect("there"), "not of this plan");
}

#[cfg(unix)]
#[test]
fn who_may_read_a_file_stays_so() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let path = folder.path().join("x.yard.toml");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).expect("set");
    let open = open(&folder);
    let files = json(&open.ask("GET", "/files", &[], ""));
    let stamp = format!("If-Match: {}", files["files"]["x.yard.toml"]["stamp"].as_str().expect("a stamp"));
    assert_eq!(open.ask("PUT", "/files/x.yard.toml", &[&stamp], "format = 1\n# ours\n").status, 200);
    assert_eq!(fs::metadata(&path).expect("there").permissions().mode() & 0o777, 0o600);
}

#[cfg(unix)]
#[test]
fn a_link_is_neither_read_nor_written() {
    let (folder, elsewhere) = (folder(), tempfile::tempdir().expect("a folder"));
    let secret = elsewhere.path().join("secret.toml");
    fs::write(&secret, "secret").expect("written");
    for name in ["x.shed.toml", "linked.plan.toml"] {
        std::os::unix::fs::symlink(&secret, folder.path().join(name)).expect("linked");
    }
    let open = open(&folder);
    assert!(!open.ask("GET", "/files", &[], "").body.contains("secret"));
    assert_eq!(open.ask("GET", "/files?plan=linked.plan.toml", &[], "").status, 404);
    for name in ["x.shed.toml", "linked.plan.toml"] {
        assert_eq!(open.ask("PUT", &format!("/files/{name}"), &["If-Match: none"], "x").status, 403, "{name}");
    }
    assert_eq!(fs::read_to_string(&secret).expect("there"), "secret");
}

#[test]
fn what_is_too_large_is_refused() {
    let folder = folder();
    let open = open(&folder);
    let large = "x".repeat((1 << 20) + 1);
    let answer = open.ask("PUT", "/files/x.yard.toml", &["If-Match: none"], &large);
    assert!([413, 0].contains(&answer.status), "{}", answer.status);
    assert_eq!(fs::read_to_string(folder.path().join("x.yard.toml")).expect("there"), "format = 1\n");
    let line = format!("{{\"n\":\"{}\"}}", "x".repeat(64 << 10));
    let answer = open.ask("POST", "/daybook/x.daybook.jsonl", &["If-Match: none"], &line);
    assert!([413, 0].contains(&answer.status), "{}", answer.status);
    assert!(!folder.path().join("x.daybook.jsonl").exists());
    let answer = open.ask("POST", "/ask", &[], &" ".repeat((16 << 20) + 1));
    assert!([413, 0].contains(&answer.status), "{}", answer.status);
    assert_eq!(open.ask("GET", "/folder", &[], "").status, 200, "it goes on");
}

#[test]
fn a_day_book_grows_by_whole_lines() {
    let folder = folder();
    let open = open(&folder);
    let grow =
        |stamp: &str, line: &str| open.ask("POST", "/daybook/x.daybook.jsonl", &[&format!("If-Match: {stamp}")], line);
    let one = grow("none", "{\"n\":1}");
    assert_eq!(one.status, 200);
    let late = grow("none", "{\"n\":1}");
    assert_eq!((late.status, json(&late)["text"].as_str()), (409, Some("{\"n\":1}\n")));
    let answer = json(&one);
    let stamp = answer["stamp"].as_str().expect("a stamp");
    assert_eq!(grow(stamp, "{\"n\":2}").status, 200);
    assert_eq!(grow(stamp, "{\"n\":3}\n{\"n\":4}").status, 422);
    assert_eq!(open.ask("POST", "/daybook/x.yard.toml", &["If-Match: none"], "{}").status, 403);
    assert_eq!(open.ask("POST", "/daybook/other.daybook.jsonl", &["If-Match: none"], "{}").status, 403);
    assert_eq!(open.ask("PUT", "/files/x.daybook.jsonl", &[&format!("If-Match: {stamp}")], "").status, 403);
    assert_eq!(fs::read_to_string(folder.path().join("x.daybook.jsonl")).expect("there"), "{\"n\":1}\n{\"n\":2}\n");
}

#[test]
fn a_plan_that_is_not_there_is_told() {
    let output =
        Command::new(env!("CARGO_BIN_EXE_scantling")).args(["open", "none.plan.toml"]).output().expect("it runs");
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).contains("there is no such file"));
}
