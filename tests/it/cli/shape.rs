//! The JSON shape: every field that is printed is documented, and every documented field is printed.

use std::collections::BTreeSet;
use std::path::Path;

use serde_json::Value;

use super::program::{Program, rows};

/// Paths of all fields: `beds[].blockers[].rule`. A bed or task within a room has the paths of any bed or task, and a room's
/// page those of any room, so that the page names each once.
pub(crate) fn paths(value: &Value, at: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(fields) => {
            for (name, inside) in fields {
                let path = if at.is_empty() { name.clone() } else { format!("{at}.{name}") };
                into.insert(path.clone());
                paths(inside, &path, into);
            }
        }
        Value::Array(items) => items.iter().for_each(|item| paths(item, &format!("{at}[]"), into)),
        _ => {}
    }
}

fn documented() -> BTreeSet<String> {
    let page = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/json-shape.md");
    let page = std::fs::read_to_string(page).expect("the page on the JSON shape");
    let first_cell = |line: &str| line.strip_prefix("| `")?.split_once('`').map(|(path, _)| path.to_owned());
    page.lines().filter_map(first_cell).collect()
}

/// A path within a room's page, by the name that the documentation has for it.
fn as_documented(path: &str, documented: &BTreeSet<String>) -> String {
    if let Some(field) = path.strip_prefix("records") {
        return format!("room.records{field}");
    }
    let inside = path.replacen("room.bed_rows[]", "beds[]", 1).replacen("room.tasks[]", "tasks[]", 1);
    let of_any_room = inside.replacen("room.", "rooms[].", 1);
    if inside.starts_with("room.") && documented.contains(&of_any_room) { of_any_room } else { inside }
}

#[test]
fn the_page_and_the_program_name_the_same_fields() {
    let it = Program::new();
    it.run("demo --keep ledger.ron", &[]).done();
    // Of a hospital that chose a rule on records, so that what a record lacks is seen.
    it.run("note set-policy record-rule --value 40-cfr-171.303 --as", &[&lead(&it)]).done();
    let mut printed = BTreeSet::new();
    for question in ["beds", "rooms", "tasks", "dryings"] {
        paths(&it.json(question), "", &mut printed);
    }
    let rooms = it.json("rooms");
    for row in rows(&rooms["rooms"]) {
        let room = row["room"].as_str().unwrap_or_default();
        paths(&it.json(&format!("room {room}")), "", &mut printed);
        paths(&it.json(&format!("record {room}")), "", &mut printed);
    }
    let documented = documented();
    let printed: BTreeSet<String> = printed.iter().map(|path| as_documented(path, &documented)).collect();
    let missing: Vec<_> = printed.difference(&documented).collect();
    assert!(missing.is_empty(), "printed, not documented: {missing:?}");
    let invented: Vec<_> = documented.difference(&printed).collect();
    assert!(invented.is_empty(), "documented, never printed: {invented:?}");
}

/// Initials of the demo's lead: the demo prints them with the ward walk that it signs.
fn lead(it: &Program) -> String {
    let room = it.json("room 3N-01");
    let walk = rows(&room["room"]["timeline"])
        .iter()
        .find(|entry| entry["text"].as_str().is_some_and(|text| text.starts_with("ward walked")));
    walk.and_then(|entry| entry["noted_by"].as_str()).expect("the demo's wards were walked").to_owned()
}

#[test]
fn what_programs_rely_on_is_there_in_these_words() {
    let mut it = Program::walked();
    it.at("2026-03-02T08:30:00Z");
    it.note("CN", "occupied 4N-02-A", &[]).done();
    let beds = it.json("beds");
    assert_eq!(beds["as_of"], "2026-03-02T08:30:00Z");
    assert_eq!((&beds["facility"], &beds["ledger_standing"]), (&"Invented".into(), &"whole".into()));
    let bed = rows(&beds["beds"]).iter().find(|bed| bed["code"] == "4N-02-A").expect("the bed");
    assert_eq!((&bed["ward"], &bed["room"], &bed["bed"]), (&"4N".into(), &"4N-02".into(), &"A".into()));
    assert_eq!((&bed["admission"], &bed["occupancy"]), (&"closed".into(), &"occupied".into()));
    assert_eq!(bed["blockers"][0]["rule"], "occupancy");
    let open = it.json("beds --open");
    assert!(rows(&open["beds"]).iter().all(|bed| bed["admission"] == "open" && rows(&bed["blockers"]).is_empty()));
    assert_eq!(rows(&open["beds"]).len(), 3);
    it.run("beds --ward 9X", &[]).fails(2, &["there is no ward", "4N"]);
    it.run("room 9X-1", &[]).fails(2, &["there is no room or bed"]);
    it.run("room", &[]).fails(2, &["ROOM"]);
}
