//! The README's pictures, drawn from the real program: the demo at a fixed time, a few keys, and what the terminal shows.
//!
//! The test fails when a picture is no longer what the program shows; `UPDATE_PICTURES=1` draws them anew.

use std::fs;
use std::path::PathBuf;

use super::screen::{ENTER, Screen};
use super::svg;

/// A picture's name, its title, keys on the demo, and what is on the screen when they were taken.
const PICTURES: [(&str, &str, &[&str], &str); 3] = [
    ("board", "The Board: what state every room is in", &[], "[1 Board]"),
    ("beds", "The Beds: which can be given away now, and which is next", &["2"], "[2 Beds]"),
    ("room", "The Room: why it is as it is, and what comes next", &["/", "3N-07", ENTER], "3N-07  patient room"),
];

#[test]
fn the_pictures_show_what_the_program_shows() {
    for (name, title, keys, shows) in PICTURES {
        let home = super::home();
        let arguments = ["demo", "--now", "2026-06-10T09:30:00Z", "--as", "CN"];
        let mut screen = Screen::start(110, 34, home.path(), &arguments, &[("TZ", "Europe/Berlin")]);
        screen.shows("[1 Board]");
        for key in keys {
            screen.keys(key);
        }
        screen.shows_no_more("Find a room");
        screen.shows(shows);
        let drawn = screen.wait("the picture", |it| Some(svg::picture(it, title)));
        let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "assets", &format!("{name}.svg")].iter().collect();
        if std::env::var_os("UPDATE_PICTURES").is_some() {
            fs::write(&path, &drawn).expect("a picture");
        }
        let kept = fs::read_to_string(&path).unwrap_or_default();
        assert!(kept == drawn, "assets/{name}.svg is not what the program shows:\n{}", screen.text());
    }
}
