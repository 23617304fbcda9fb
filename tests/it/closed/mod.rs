//! Beds that once read open too early, a story for each kind: what is wet or untreated there, and why nobody may lie in it.
//!
//! A story goes on where the program refuses a step, since a refused step is not noted: it says only what must not be open. Each
//! then ends as it should have been done, and opens, so that none is true for want of anything that could open.

mod afresh;
mod afterwards;
mod along;
mod answers;
mod attack;
mod bare;
mod clocked;
mod clocks;
mod damage;
mod ended;
mod followed;
mod gone;
mod halves;
mod holes;
mod journeys;
mod kept;
mod labels;
mod lain_in;
mod late;
mod linens;
mod listed;
mod loggers;
mod made;
mod mistaken;
mod not_felt;
mod other_ways;
mod places;
mod really;
mod renamed;
mod second;
mod sighted;
mod sprays;
mod stock;
mod tagged;
mod walks;
mod worked;

use dryhold::domain::decide::{Command, decide};
use dryhold::domain::entry::{Body, CommandId, Known, Lost, Number, Place, Purpose, TreatmentRecord};
use dryhold::domain::moves::{Answers, build, find};
use dryhold::domain::need::Need;
use dryhold::domain::people::Product;

use super::rules::world::{World, code, left, zones};

/// Every bed open, and three more products on the list: until dry, one hour, four hours.
fn hospital() -> World {
    let mut world = World::open();
    for (name, minutes) in [("DRY", 0), ("HOUR", 60), ("FOUR", 240)] {
        world.ok("LEAD", on_the_list(name, minutes));
    }
    open(&world, "A B C D");
    world
}

#[track_caller]
fn closed(world: &World, beds: &str) {
    for bed in beds.split_whitespace() {
        assert!(!world.is_open(bed), "{bed} is open at {}", world.now);
    }
}

#[track_caller]
fn open(world: &World, beds: &str) {
    for bed in beds.split_whitespace() {
        assert!(world.is_open(bed), "{bed} at {}: {:?}", world.now, world.blockers(bed));
    }
}

/// Whether this is still to be done in the room.
fn asks(world: &World, room: &str, need: Need) -> bool {
    world.board.evidence(code(room)).iter().any(|it| it.need == need && it.met_by.is_none())
}

fn on_the_list(name: &str, minutes: u32) -> (Place, Body) {
    let product = Product {
        code: code(name),
        name: format!("Residual spray {name}"),
        registration: None,
        active_ingredient: None,
        percent: None,
        reentry_words: Some("Keep out until dry.".to_owned()),
        reentry_minutes: Some(minutes),
        allowed_on: vec![],
        withdrawn: false,
    };
    (Place::Hospital, Body::ProductSet(Box::new(product)))
}

/// What was left unsaid of a spray.
#[derive(Clone, Copy, Default)]
struct More<'a> {
    zones: Option<&'a str>,
    finished: Option<&'a str>,
    bags: Option<&'a str>,
    minutes: Option<u32>,
}

fn completed(world: &World, room: &str, spray: Number, more: More<'_>) -> (Place, Body) {
    let body = Body::SprayCompleted {
        spray,
        zones: more.zones.map(zones),
        finished: more.finished.map(|clock| world.at(clock)),
        bags: more.bags.map(|bags| bags.split_whitespace().map(code).collect()),
        reentry_words: more.minutes.map(|_| "Keep out.".to_owned()),
        reentry_minutes: more.minutes,
        amount_ml: None,
        patient_inside: Known::Unknown,
    };
    (Place::room(code(room)), body)
}

fn came(tag: &str, room: &str, from: Option<&str>, wet: Known) -> (Place, Body) {
    let place = Place::Rooms([room].into_iter().chain(from).map(code).collect());
    (place, Body::ThingArrived { thing: tag.to_owned(), from: from.map(code), wet })
}

fn seen_here(tag: &str, room: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::ThingSeen { thing: tag.to_owned() })
}

/// It went to a store, which is no room of the book.
fn stored(tag: &str, from: &str, parts: &str) -> (Place, Body) {
    let (place, mut body) = left(tag, from, parts, None);
    if let Body::ThingLeft { outside, .. } = &mut body {
        "store".clone_into(outside);
    }
    (place, body)
}

fn really_in(room: &str, other: &str, entry: Number) -> (Place, Body) {
    let body = Body::Voided { entry, why: "the wrong room".to_owned(), really_in: Some(code(other)) };
    (Place::Rooms(vec![code(room), code(other)]), body)
}

/// Something may be missing that happened in W1.
fn gap() -> (Place, Body) {
    (Place::Ward(code("W1")), Body::Restored { reason: "the computer was down".to_owned() })
}

fn wiped(room: &str, parts: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::EnteredWet { wiped: zones(parts), note: String::new() })
}

/// Nobody finds it, on any ward: the lead and infection prevention give it up.
fn write_off(world: &World, rooms: &str, tag: &str) -> (Place, Body) {
    let place = Place::Rooms(rooms.split_whitespace().map(code).collect());
    let seen = world.board.newest_of(&place);
    let reason = "looked for on every ward".to_owned();
    (place, Body::WrittenOff { what: Lost::Thing, tag: code(tag), reason, seen })
}

/// Looked for in every room, and given up by two. Gives the entry of the second.
fn gives_up(world: &mut World, rooms: &str, tag: &str) -> Number {
    for ward in ["W1", "W2"] {
        world.walks(ward);
    }
    world.ok("LEAD", write_off(world, rooms, tag));
    world.ok("IP", write_off(world, rooms, tag))
}

/// As a command line says it, where what is not typed is not stated.
#[track_caller]
fn typed(world: &World, verb: &str, target: &str, given: &[(&str, &str)]) -> (Place, Body) {
    let mut answers = Answers::new();
    for (name, value) in given {
        answers.set(name, [*value]);
    }
    let wanted = find(verb).unwrap_or_else(|| panic!("there is no move {verb}"));
    build(wanted, target, &answers, &world.board, world.now).unwrap_or_else(|errors| panic!("{verb}: {errors:?}"))
}

impl World {
    /// Notes it if the program lets it be noted. The story goes on either way.
    fn says(&mut self, person: &str, what: (Place, Body)) -> Option<Number> {
        self.says_of(person, None, what)
    }

    fn says_at(&mut self, person: &str, clock: &str, what: (Place, Body)) -> Option<Number> {
        self.says_of(person, Some(clock), what)
    }

    fn says_of(&mut self, person: &str, clock: Option<&str>, (place, body): (Place, Body)) -> Option<Number> {
        let mut command = Command::new(CommandId(70_000 + self.entries.len() as u64), place, body);
        command.terminal = "test".to_owned();
        command.happened = clock.map(|clock| self.at(clock));
        match decide(&self.board, &command, code(person), self.now) {
            Ok(entry) => Some(self.append(entry)),
            Err(refusal) => {
                // Seen only where the story fails.
                println!("{} {person}: {} {refusal}", self.now, refusal.rule());
                None
            }
        }
    }

    /// A spray that owes nothing beyond what it names, with the label of the list and no bags.
    fn again(&self, room: &str, parts: &str, until: Option<&str>, product: &str) -> (Place, Body) {
        let body = Body::Sprayed {
            purpose: Purpose::ReApplication,
            product: code(product),
            reentry_words: None,
            reentry_minutes: None,
            zones: Some(zones(parts)),
            scope: zones(parts),
            finished: until.map(|clock| self.at(clock)),
            bags: Some(vec![]),
            patient_inside: Known::No,
            amount_ml: None,
            record: Box::<TreatmentRecord>::default(),
        };
        (Place::room(code(room)), body)
    }

    /// The same, noted now.
    #[track_caller]
    fn sprays(&mut self, room: &str, parts: &str, from: &str, until: &str, product: &str) -> Number {
        self.ok_at("TECH", from, self.again(room, parts, Some(until), product))
    }

    fn parts(&self, room: &str) -> String {
        let plan = self.board.facility().room(code(room)).expect("a room of the story");
        plan.all_zones().map(|zone| zone.to_string()).collect::<Vec<_>>().join(" ")
    }

    fn looks_through(&mut self, room: &str) {
        self.says("EYES", self.inspect(room, &self.parts(room)));
    }

    /// All that a team can do in a room once these parts are dry by its word, as far as it may be noted.
    fn puts_right(&mut self, room: &str, felt: &str) {
        self.says("HK", self.dry_check(room, felt, ""));
        self.says("TECH", self.treat(room, felt));
        for part in felt.split_whitespace().chain(["chair"]) {
            self.says("HK", self.vacuum(room, part));
        }
        let beds = self.board.facility().room(code(room)).expect("a room of the story").beds.clone();
        for bed in beds {
            self.says("HK", self.make(room, bed.code.as_str()));
        }
        self.looks_through(room);
        self.says("LEAD", self.give_back(room));
    }

    /// The beds of these rooms by the book, from now on.
    fn book(&mut self, rooms: &[(&str, &str)]) {
        for (room, beds) in rooms {
            let (ward, order) = match *room {
                "101" => ("W1", 1),
                "102" => ("W1", 2),
                _ => ("W2", 1),
            };
            self.set_room(room, ward, "patient-room", order, beds, "");
        }
    }

    /// As after any setting: the lead walks the ward, the nurse counts its empty beds.
    fn walks(&mut self, ward: &str) {
        self.says("LEAD", self.walk(ward));
        self.counts(ward);
    }

    fn counts(&mut self, ward: &str) {
        let facility = self.board.facility();
        let rooms = &facility.wards.get(&code(ward)).expect("a ward of the story").rooms;
        let beds = rooms.iter().filter_map(|room| facility.room(*room)).flat_map(|plan| &plan.beds);
        let beds: Vec<String> = beds.map(|bed| bed.code.to_string()).collect();
        self.says("NURSE", self.empty(ward, &beds.join(" ")));
    }
}
