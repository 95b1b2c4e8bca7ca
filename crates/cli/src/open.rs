//! `scantling open`: the app on this machine only, with plans as the ordinary files that they are.
//!
//! It listens on the loopback address alone, answers nobody who does not carry the token of this run, and knows no file but
//! the plans of one folder and what they name: `docs/app.md` has the paths that it answers.

mod bench;
mod guard;
mod paths;

use crate::{Ended, print};
use bench::Bench;
use guard::Guard;
use std::net::{Ipv4Addr, TcpListener};
use std::path::Path;
use std::sync::Arc;

/// The most questions that are answered at the same time.
const MOST_AT_ONCE: usize = 4;

/// Serves the app until it is stopped by Ctrl+C.
pub fn run(plan: Option<&Path>, port: u16) -> Ended {
    let failed = |error: String| Ended::Badly(format!("error: {error}\n"), 1);
    let bench = match Bench::of(plan) {
        Ok(bench) => bench,
        Err(error) => return failed(error),
    };
    let listener = match TcpListener::bind((Ipv4Addr::LOCALHOST, port)) {
        Ok(listener) => listener,
        Err(error) => return failed(format!("port {port} of this machine cannot be used: {error}")),
    };
    match serve(listener, bench) {
        Ok(ended) => ended,
        Err(error) => failed(error.to_string()),
    }
}

fn serve(listener: TcpListener, bench: Bench) -> std::io::Result<Ended> {
    listener.set_nonblocking(true)?;
    let port = listener.local_addr()?.port();
    let guard = Guard::new(port)?;
    let address = format!("http://127.0.0.1:{port}/#token={}\n", guard.token());
    let app = paths::router(Arc::new(paths::House { bench, guard }));
    let mut runtime = tokio::runtime::Builder::new_current_thread();
    let runtime = runtime.enable_io().max_blocking_threads(MOST_AT_ONCE).build()?;
    let ended = runtime.block_on(async {
        let listener = tokio::net::TcpListener::from_std(listener)?;
        tokio::spawn(async { axum::serve(listener, app).await });
        match print(&address) {
            Ended::Well => tokio::signal::ctrl_c().await.map(|()| Ended::Well),
            badly => Ok(badly),
        }
    });
    // What is still being reckoned is given up: files are whole at any moment.
    runtime.shutdown_background();
    ended
}
