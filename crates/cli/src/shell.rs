//! What the command says of itself to others: to a shell that completes it, to `man`, and to an editor of plan files.

use crate::{Arguments, Ended, into_folder, print};
use clap::{Command, CommandFactory};
use clap_complete::Shell;
use std::path::Path;

/// Prints the completions for a shell.
pub fn completions(shell: Shell) -> Ended {
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Arguments::command(), "scantling", &mut text);
    print(&String::from_utf8_lossy(&text))
}

/// Prints the page of the manual, or writes it into a folder with one for each of the commands.
pub fn manual(folder: Option<&Path>) -> Ended {
    let mut command = Arguments::command();
    command.build();
    let Some(folder) = folder else { return print(&page(command, "scantling").1) };
    let of = |inner: &Command| page(inner.clone(), &format!("scantling-{}", inner.get_name()));
    let inner: Vec<(String, String)> = command.get_subcommands().map(of).collect();
    let pages: Vec<(String, String)> = std::iter::once(page(command, "scantling")).chain(inner).collect();
    into_folder(folder, &pages, "pages")
}

/// The name of a page's file, and the page.
fn page(command: Command, name: &str) -> (String, String) {
    let mut text = Vec::new();
    // Leaked once for each command: the names live as long as the program.
    let name: &'static str = String::leak(name.to_owned());
    clap_mangen::Man::new(command.name(name)).render(&mut text).expect("memory takes all");
    (format!("{name}.1"), String::from_utf8_lossy(&text).into_owned())
}

/// Prints the JSON Schema of a plan, a yard or a shed.
pub fn schema(of: &str) -> Ended {
    match scantling::plan_files_schema(of) {
        Some(schema) => print(&schema),
        None => Ended::Badly(format!("error: there is no schema of `{of}`\n"), 2),
    }
}
