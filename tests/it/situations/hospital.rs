//! The hospital of the situations: the real program at its command line, and the screens on the same ledger.

use std::collections::BTreeMap;

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use dryhold::desk::{Clock, Desk};
use dryhold::domain::code::Code;
use dryhold::tui::look::Look;
use dryhold::tui::{App, Msg, update};

use dryhold::domain::rule::Rule;

use crate::cli::program::{Program, rows};
use crate::tui::{picture_of, with_world};

const ROOMS: &str = "\
ward,ward_name,floor,room,room_name,kind,beds,serves
4N,Fourth floor north,4,4N-05,,patient-room,4N-05-A,
4N,,,4N-06,,patient-room,4N-06-A,
4N,,,4N-B,Shared bathroom,bathroom,,4N-05 4N-06
4N,,,4N-07,,patient-room,4N-07-A 4N-07-B,
4N,,,4N-08,,patient-room,4N-08-A,
";

/// What is sprayed in room 4N-07.
pub(super) const SPRAYED_07: [&str; 14] = [
    "4N-07-A/mattress",
    "4N-07-A/bed-frame",
    "4N-07-A/headboard",
    "4N-07-B/mattress",
    "4N-07-B/bed-frame",
    "4N-07-B/headboard",
    "chair",
    "sleeper-chair",
    "cabinet",
    "wardrobe",
    "table",
    "skirting",
    "curtain-rail",
    "pictures",
];

pub(super) struct Hospital {
    program: Program,
    day: String,
}

/// What every command and every screen says at one moment, by name.
pub(super) struct Said(BTreeMap<&'static str, String>);

impl Hospital {
    pub(super) const CYCLE: &str =
        "--wash-celsius 75 --wash-minutes 30 --detergent yes --dry-celsius 75 --dry-minutes 45";

    /// What the program answers to these words.
    pub(super) fn prints(&self, words: &str) -> String {
        self.program.run(words, &[]).done()
    }

    /// Walked, with people and a product, every bed open. The day is the second of March, the time zone UTC.
    pub(super) fn open() -> Self {
        let mut it = Self { program: Program::with_rooms(ROOMS), day: "2026-03-02".to_owned() };
        it.at("08:00");
        let setup = "setup rooms.csv --rehearsal --hospital Invented --time-zone UTC --lead";
        it.program.run(setup, &["LD,The lead"]).done();
        it.at("08:01");
        for person in [
            "HK --role housekeeper --trained-to-inspect yes --name Keeper",
            "AL --role housekeeper --trained-to-inspect yes --name Acting \
             --acting-lead-from 2026-03-02T18:00:00Z --acting-lead-until 2026-03-04T08:00:00Z",
            "CN --role charge-nurse --name Nurse",
            "LA --role laundry --name Laundry",
            "TE --role technician --trained-to-apply yes --name Technician",
        ] {
            it.note("LD", &format!("set-person {person}"));
        }
        let product = "set-product RS-A --registration DEMO-0001 --name Residual --label-minutes 60 --label-words";
        it.program.note("LD", product, &["Do not enter until dry"]).done();
        it.note("LD", "ward-walk 4N");
        it.note("CN", "occupancy 4N --empty 4N-05-A,4N-06-A,4N-07-A,4N-07-B,4N-08-A");
        it
    }

    pub(super) fn spray(began: &str, finished: &str, rest: &str) -> String {
        let zones = SPRAYED_07.join(",");
        format!("spray 4N-07 --purpose infested --product RS-A --zones {zones} --at {began} --finish {finished} {rest}")
    }

    /// Room 4N-07 was found infested at ten past eight, prepared, and sprayed until nine.
    pub(super) fn sprayed(bags: &str) -> Self {
        let mut it = Self::open();
        it.at("08:10");
        it.note("HK", "finding 4N-07 --seen 4N-07-A/mattress=live-adult");
        it.at("08:20");
        it.note("HK", &format!("prepare 4N-07 --steps linens-bagged --bags {bags}"));
        it.at("09:20");
        it.note("TE", &Self::spray("08:40", "09:00", &format!("--bags {bags} --patient-inside no")));
        it
    }

    pub(super) fn dried(bags: &str) -> Self {
        let mut it = Self::sprayed(bags);
        it.at("11:30");
        let dry = SPRAYED_07.join(",");
        it.note("HK", &format!("dry-check 4N-07 --began 11:20 --dry {dry} --ventilation fan"));
        it.state_is("4N-07", "treated-dry");
        it.at("12:30");
        it
    }

    /// What is not sprayed is treated otherwise, and the soft seat vacuumed.
    pub(super) fn paid_but_for_linens(&self) {
        let rest = "4N-07-A/bed-base,4N-07-B/bed-base,electronics,register";
        self.note("HK", &format!("treat-zone 4N-07 --zones {rest} --method steamed"));
        self.note("HK", "vacuum 4N-07 --zones sleeper-chair");
    }

    pub(super) fn beds_made(&self, bag: &str) {
        for bed in ["4N-07-A", "4N-07-B"] {
            self.note("HK", &format!("make-bed {bed} --bags {bag}"));
        }
    }

    /// In monitoring since one o'clock.
    pub(super) fn returned() -> Self {
        let mut it = Self::dried("L1");
        it.note("LA", &format!("launder L1 {}", Self::CYCLE));
        it.paid_but_for_linens();
        it.beds_made("L1");
        it.at("13:00");
        it.note("LD", "return 4N-07");
        it.state_is("4N-07", "monitoring");
        it
    }

    pub(super) fn at(&mut self, clock: &str) {
        self.program.at(&format!("{}T{clock}:00Z", self.day));
    }

    pub(super) fn on(&mut self, day: &str, clock: &str) {
        day.clone_into(&mut self.day);
        self.at(clock);
    }

    #[track_caller]
    pub(super) fn note(&self, who: &str, words: &str) -> String {
        self.program.note(who, words, &[]).done()
    }

    /// Refused by this rule. What was said.
    #[track_caller]
    pub(super) fn refuses(&self, who: &str, words: &str, rule: &str) -> String {
        self.program.note(who, words, &[]).refused(rule)
    }

    #[track_caller]
    pub(super) fn state_is(&self, room: &str, state: &str) {
        assert_eq!(self.program.state(room), state, "{room}");
    }

    #[track_caller]
    pub(super) fn are_open(&self, beds: &[&str]) {
        let open = self.program.open();
        assert!(beds.iter().all(|bed| open.iter().any(|it| it == bed)), "open: {open:?}, not all of {beds:?}");
    }

    /// Each is closed, among others for a reason that begins so: `rule: text`.
    #[track_caller]
    pub(super) fn are_closed(&self, beds: &[&str], reason: &str) {
        let rule = reason.split(':').next().unwrap_or(reason);
        assert!(Rule::ALL.iter().any(|it| it.code() == rule), "the Rulebook has no {rule}");
        for bed in beds {
            let reasons = self.reasons(bed);
            assert!(reasons.iter().any(|it| it.starts_with(reason)), "{bed} is closed by {reasons:?}, not “{reason}”");
        }
    }

    #[track_caller]
    pub(super) fn has_reasons(&self, bed: &str, count: usize) {
        assert_eq!(self.reasons(bed).len(), count, "{bed}: {:?}", self.reasons(bed));
    }

    #[track_caller]
    fn reasons(&self, bed: &str) -> Vec<String> {
        let beds = self.program.json("beds");
        let row = rows(&beds["beds"]).iter().find(|row| row["code"] == bed).expect("a bed");
        let text = |it: &serde_json::Value, field: &str| it[field].as_str().unwrap_or_default().to_owned();
        rows(&row["blockers"]).iter().map(|it| format!("{}: {}", text(it, "rule"), text(it, "text"))).collect()
    }

    /// The command line of the task of this room whose words begin so.
    #[track_caller]
    pub(super) fn task(&self, room: &str, beginning: &str) -> String {
        let tasks = self.program.json("tasks");
        let needs = rows(&tasks["tasks"]).iter().filter(|task| task["room"] == room);
        let mut needs = needs.filter_map(|task| task["need"].as_str()).filter(|need| need.starts_with(beginning));
        let need = needs.next().unwrap_or_else(|| panic!("no task “{beginning}” in {room}"));
        self.program.task(room, need)
    }

    /// What every command says, and every screen at 160 columns and 50 lines for this person.
    pub(super) fn everything(&self, who: &str, room: &str) -> Said {
        let mut said = BTreeMap::new();
        for (name, words) in
            [("beds", "beds"), ("rooms", "rooms"), ("tasks", "tasks"), ("room", &format!("room {room}"))]
        {
            said.insert(name, self.program.run(words, &[]).done());
        }
        said.insert("shift", self.program.run(&format!("shift --as {who}"), &[]).done());
        let now = self.program.now.parse().expect("a time");
        let state = Some(self.program.path("state"));
        let desk = Desk::open_with(&self.program.path("ledger.ron"), Clock::Set(now), "test".to_owned(), state);
        let desk = desk.expect("it opens");
        let person = Code::new(who).expect("initials");
        let mut app = with_world(&desk, |world| App::new(Look::default(), 160, 50, Some(person), world));
        let press = |app: &mut App, code: KeyCode| {
            with_world(&desk, |world| update(app, world, Msg::Key(KeyEvent::new(code, KeyModifiers::NONE))));
        };
        for (key, name) in
            [('1', "Board"), ('2', "Beds"), ('3', "Tasks"), ('4', "Bags"), ('5', "Ledger"), ('6', "Rules")]
        {
            press(&mut app, KeyCode::Char(key));
            said.insert(name, picture_of(&app));
        }
        press(&mut app, KeyCode::Char('h'));
        said.insert("Shift", picture_of(&app));
        press(&mut app, KeyCode::Esc);
        for key in format!("/{room}").chars() {
            press(&mut app, KeyCode::Char(key));
        }
        press(&mut app, KeyCode::Enter);
        said.insert("Room", picture_of(&app));
        Said(said)
    }
}

impl Said {
    pub(super) fn text(&self, name: &str) -> &str {
        self.0.get(name).map(String::as_str).unwrap_or_default()
    }

    #[track_caller]
    pub(super) fn says(&self, name: &str, text: &str) {
        assert!(self.text(name).contains(text), "{name} does not say “{text}”:\n{}", self.text(name));
    }

    #[track_caller]
    pub(super) fn nowhere(&self, text: &str) {
        for (name, said) in &self.0 {
            assert!(!said.contains(text), "{name} says “{text}”:\n{said}");
        }
    }
}
