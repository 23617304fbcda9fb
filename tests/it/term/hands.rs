//! What hands do at the keyboard, each with the wait for what a person would look for: the one place that knows the words
//! by which screens and forms are recognised.

use super::screen::{DOWN, END, ENTER, ERASE, F2, HOME, Screen, UP, line_of};

/// Who sits at the keyboard, by the number on the roster's list.
pub(super) const LEAD: (&str, &str) = ("1", "AB");
pub(super) const NURSE: (&str, &str) = ("2", "CN");
pub(super) const KEEPER: (&str, &str) = ("3", "HK");
pub(super) const LAUNDERER: (&str, &str) = ("4", "LA");
pub(super) const TECHNICIAN: (&str, &str) = ("5", "TE");

/// What every form says at its edge.
pub(super) const OF_A_FORM: &str = "keep and close";

impl Screen {
    /// Presses a key that moves, and waits until the line that the keys act on is another.
    #[track_caller]
    pub(super) fn step(&mut self, keys: &str) -> String {
        let place = |screen: &vt100::Screen| (screen.cursor_position().0, line_of(screen));
        let before = self.wait("a line", |screen| Some(place(screen)));
        self.keys(keys);
        self.wait("another line", |screen| Some(place(screen)).filter(|it| *it != before)).1
    }

    /// Walks down to the line that says this; from the end of a form up again.
    #[track_caller]
    pub(super) fn go_to(&mut self, text: &str) {
        let mut key = DOWN;
        let mut line = self.line();
        for _ in 0..200 {
            if line.contains(text) {
                return;
            }
            if line.contains("[ Note it ]") || line.contains("[ Sign it ]") {
                key = UP;
            }
            line = self.step(key);
        }
        panic!("no line “{text}”:\n{}", self.text());
    }

    /// Walks down, on a page that moves as a whole, until this is seen.
    #[track_caller]
    pub(super) fn go_down_to(&mut self, text: &str) {
        for _ in 0..200 {
            if self.text().contains(text) {
                return;
            }
            let bytes = self.bytes();
            self.keys(DOWN);
            self.frame_after(bytes);
        }
        panic!("no “{text}”:\n{}", self.text());
    }

    #[track_caller]
    pub(super) fn sign_in(&mut self, (_, initials): (&str, &str)) {
        self.keys("s");
        self.shows("Who are you?");
        self.keys(&initials.to_lowercase());
        self.keys(ENTER);
        self.shows(&format!("Signed in: {initials}"));
    }

    #[track_caller]
    pub(super) fn open_room(&mut self, room: &str) {
        self.keys("/");
        self.shows("Find a room");
        self.keys(room);
        self.keys(ENTER);
        self.is_in_room(room);
    }

    #[track_caller]
    pub(super) fn is_in_room(&self, room: &str) {
        let ward = room.split('-').next().unwrap_or_default();
        self.shows(&format!("{room}  patient room, ward {ward}"));
    }

    /// Opens a move of the open room from the numbered list.
    #[track_caller]
    pub(super) fn open_move(&mut self, title: &str) {
        self.keys("m");
        self.shows("Moves of room");
        // What is for other roles is listed when the last line is taken.
        if self.step(END).contains("more: other roles") {
            self.keys(ENTER);
            self.shows_no_more("more: other roles");
        }
        self.step(HOME);
        self.go_to(title);
        self.keys(ENTER);
        self.shows(OF_A_FORM);
    }

    /// Types into the text field of this label, in place of what stands there.
    #[track_caller]
    pub(super) fn fill(&mut self, label: &str, text: &str) {
        self.go_to(label);
        self.keys(&ERASE.repeat(20));
        self.keys(text);
        let wanted = format!("[{text} ");
        self.on_line(&wanted);
    }

    /// Answers the question of this label by a number.
    #[track_caller]
    pub(super) fn answer(&mut self, label: &str, number: &str) {
        self.go_to(label);
        self.step(number);
    }

    /// Answers every line of the checklist from here on with these keys, until it ends.
    #[track_caller]
    pub(super) fn answer_list(&mut self, keys: &str) {
        while self.line().starts_with(">[") && !self.line().contains("[ Note it ]") {
            self.step(keys);
        }
    }

    #[track_caller]
    pub(super) fn finish(&mut self) {
        self.keys(F2);
        let signs = self.wait("the end of the form", |screen| {
            let end = |text| screen.contents().contains(text);
            (end(">[ Note it ]") || end(">[ Sign it ]")).then(|| end(">[ Sign it ]"))
        });
        if signs {
            self.reads();
        }
        self.keys(ENTER);
    }

    #[track_caller]
    pub(super) fn note(&mut self, says: &str) {
        self.finish();
        self.shows("Noted, entry");
        self.shows(says);
    }
}
