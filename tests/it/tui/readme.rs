//! The README's table of keys is made from the tables that the screens obey. `UPDATE_PICTURES=1` writes it anew.

use std::fmt::Write as _;
use std::fs;

use dryhold::tui::keys::Context;

const BEGIN: &str = "<!-- keys: made from the program's own tables -->\n";
const END: &str = "<!-- end of keys -->\n";

/// Contexts in which a person works with one key at a time; a field of text explains itself on the screen.
const SHOWN: [Context; 9] = [
    Context::Board,
    Context::Beds,
    Context::Tasks,
    Context::Bags,
    Context::Ledger,
    Context::Rules,
    Context::Room,
    Context::FormChoice,
    Context::FormCheck,
];

/// Keys that mean the same on all of these are told once.
fn table() -> String {
    let keys = |context: Context| {
        context.bindings().map(|binding| (binding.shown, binding.does)).collect::<Vec<(&str, &str)>>()
    };
    let screens: Vec<_> = SHOWN[..6].iter().map(|context| keys(*context)).collect();
    let everywhere = |line: &(&str, &str)| screens.iter().all(|screen| screen.contains(line));
    let mut out = String::from("| where | key | does |\n|---|---|---|\n");
    let mut line = |place: &str, (key, does): (&str, &str)| {
        writeln!(out, "| {place} | `{key}` | {does} |").expect("a line");
    };
    for it in screens[0].iter().filter(|it| everywhere(it)) {
        line("every screen", *it);
    }
    for context in SHOWN {
        for it in keys(context).into_iter().filter(|it| !everywhere(it)) {
            line(context.name(), it);
        }
    }
    out
}

#[test]
fn the_readme_tells_the_keys_that_work() {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/README.md");
    let readme = fs::read_to_string(path).expect("the README");
    let (before, rest) = readme.split_once(BEGIN).expect("where the keys begin");
    let (kept, after) = rest.split_once(END).expect("where they end");
    let made = table();
    if std::env::var_os("UPDATE_PICTURES").is_some() {
        fs::write(path, format!("{before}{BEGIN}{made}{END}{after}")).expect("the README");
        return;
    }
    assert!(kept == made, "the README's keys are to be\n{made}");
}
