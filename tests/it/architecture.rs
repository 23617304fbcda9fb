//! What must not be there: an import that points the wrong way, a file format or a terminal outside its module,
//! a clock in the core, a stray file at the top.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// Each module with those that it may use. Whatever is not named here does not exist.
const MAY_USE: [(&str, &[&str]); 12] = [
    ("science", &[]),
    ("domain", &["science"]),
    ("plan", &["domain", "science"]),
    ("ledger", &["domain", "science", "plan"]),
    ("setup", &["domain", "science", "plan"]),
    ("trace", &["domain", "science"]),
    ("export", &["domain", "science", "plan"]),
    ("desk", &["ledger", "setup", "trace", "export", "plan", "domain", "science"]),
    ("demo", &["ledger", "setup", "plan", "domain", "science"]),
    ("tui", &["desk", "demo", "ledger", "setup", "trace", "export", "plan", "domain", "science"]),
    ("cli", &["desk", "demo", "ledger", "setup", "trace", "export", "plan", "domain", "science"]),
    ("main", &["tui", "cli", "desk", "demo", "ledger", "setup", "trace", "export", "plan", "domain", "science"]),
];

/// What a name may stand in, by the module that owns it.
const OWNED: [(&str, &[&str]); 4] =
    [("ron", &["ledger", "setup"]), ("ratatui", &["tui"]), ("crossterm", &["tui"]), ("tui_input", &["tui"])];

/// What decides anything reads no clock, file, environment or chance.
const PURE: [&str; 3] = ["science", "domain", "plan"];
const IMPURE: [&str; 11] = [
    "std::fs",
    "std::env",
    "std::time",
    "std::net",
    "std::process",
    "std::thread",
    "Utc::now",
    "Local::now",
    "Instant::now",
    "SystemTime",
    "getrandom",
];

fn top() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for item in fs::read_dir(folder).expect("the sources can be listed") {
        let path = item.expect("the sources can be listed").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            found.push(path);
        }
    }
}

/// Every source file under src: its path, the module at the top of it, and its text without comments.
fn sources() -> Vec<(String, String, String)> {
    let src = top().join("src");
    let mut files = vec![];
    rust_files(&src, &mut files);
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(&src).expect("it lies under src").to_string_lossy().replace('\\', "/");
            let module = name.split('/').next().unwrap_or_default().trim_end_matches(".rs").to_owned();
            let text = fs::read_to_string(&path).expect("a source is text");
            let code: Vec<&str> = text.lines().map(|line| line.split("//").next().unwrap_or_default()).collect();
            (name, module, code.join("\n"))
        })
        .collect()
}

/// Whether `word` stands in the text as a word of its own.
fn names(text: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    text.match_indices(word).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        !before.is_some_and(part) && !after.is_some_and(part)
    })
}

#[test]
fn imports_point_one_way() {
    let may_use: BTreeMap<&str, &[&str]> = MAY_USE.into_iter().collect();
    let mut wrong = vec![];
    for (name, module, code) in sources().iter().filter(|(_, module, _)| module != "lib") {
        let Some(allowed) = may_use.get(module.as_str()) else {
            wrong.push(format!("{name}: the module {module} is not in the map"));
            continue;
        };
        for (other, _) in MAY_USE.iter().filter(|(other, _)| other != module && !allowed.contains(other)) {
            for root in ["crate", "dryhold"] {
                if names(code, &format!("{root}::{other}")) {
                    wrong.push(format!("{name} uses {other}"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn a_name_in_braces_hides_no_import() {
    // The check above reads `crate::module` as one word, so nobody writes `use crate::{…}`.
    let hidden = sources().into_iter().filter(|(name, _, code)| name != "lib.rs" && code.contains("crate::{"));
    let hidden: Vec<String> = hidden.map(|(name, ..)| name).collect();
    assert!(hidden.is_empty(), "{hidden:?}");
}

#[test]
fn only_its_owner_knows_a_format_or_the_terminal() {
    let mut wrong = vec![];
    for (name, module, code) in sources() {
        for (word, owners) in OWNED {
            if !owners.contains(&module.as_str())
                && (names(&code, &format!("use {word}")) || code.contains(&format!("{word}::")))
            {
                wrong.push(format!("{name} names {word}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_decides_reads_no_clock_file_environment_or_chance() {
    let mut wrong = vec![];
    for (name, module, code) in sources() {
        for word in IMPURE.iter().filter(|word| PURE.contains(&module.as_str()) && names(&code, word)) {
            wrong.push(format!("{name} names {word}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn the_clock_is_read_in_one_file() {
    let readers = sources().into_iter().filter(|(_, _, code)| names(code, "Utc::now")).map(|(name, ..)| name);
    let elsewhere: Vec<String> = readers.filter(|name| name != "desk/clock.rs").collect();
    assert!(elsewhere.is_empty(), "{elsewhere:?}");
}

/// A bare time of day reads as today's. Whoever formats one by hand leaves out the day of another day's.
#[test]
fn a_time_is_printed_by_the_clock_alone() {
    // Columns that show a day in place of a time, and the clock in the top line.
    const MAY: [&str; 4] = ["domain/clock.rs", "tui/app.rs", "tui/room/past.rs", "tui/ledger/mod.rs"];
    let mut wrong = vec![];
    for (name, _, code) in sources().into_iter().filter(|(name, ..)| !MAY.contains(&name.as_str())) {
        for line in code.lines().filter(|line| line.contains("%H:%M")) {
            let has_day = line.contains("%Y") || line.contains("%a");
            if !has_day {
                wrong.push(format!("{name}: {}", line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// A kind of entry that nobody thought of is refused, or closes. Drying and gaps word and estimate; they decide nothing.
#[test]
fn no_kind_of_entry_falls_through_to_what_opens() {
    const CLOSES: [&str; 4] = ["Err(", "return Err(", "self.close_everywhere(", "self.signature_counts("];
    let mut matches = 0;
    let mut wrong = vec![];
    let decides = |name: &str| {
        name.starts_with("domain/board/") && !["domain/board/drying.rs", "domain/board/gap.rs"].contains(&name)
    };
    for (name, _, code) in sources().into_iter().filter(|(name, ..)| decides(name)) {
        let indent = |line: &str| line.len() - line.trim_start().len();
        let lines: Vec<&str> = code.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let opens = ["match body {", "match &body {", "entry.body {", "it.body {"];
            if !(line.contains("match ") && opens.iter().any(|end| line.trim_end().ends_with(end))) {
                continue;
            }
            matches += 1;
            let arms = lines[at + 1..].iter().take_while(|arm| arm.trim().is_empty() || indent(arm) > indent(line));
            let wild = arms.filter(|arm| indent(arm) == indent(line) + 4 && arm.trim_start().starts_with("_ "));
            for arm in wild {
                let does = arm.split_once("=>").map_or("", |(_, does)| does.trim());
                if !CLOSES.iter().any(|closes| does.starts_with(closes)) {
                    wrong.push(format!("{name}, line {}: {}", at + 1, arm.trim()));
                }
            }
        }
    }
    assert!(matches >= 8, "only {matches} were found: this test no longer reads them");
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn nothing_else_lies_at_the_top() {
    const ALLOWED: [&str; 10] = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE",
        "src",
        "tests",
        "demo",
        "assets",
        "target",
    ];
    let items = fs::read_dir(top()).expect("the package can be listed");
    let names = items.map(|item| item.expect("the package can be listed").file_name().to_string_lossy().into_owned());
    let stray: Vec<String> = names.filter(|name| !name.starts_with('.') && !ALLOWED.contains(&name.as_str())).collect();
    assert!(stray.is_empty(), "{stray:?}");
}
