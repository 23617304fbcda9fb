//! A small invented hospital and a clock, for telling short stories to the rules.
//!
//! Ward W1 has the rooms 101 (beds A and B), 102 (bed C) and the bathroom BATH that serves both; ward W2, above it, has 201.

use chrono::{TimeDelta, TimeZone, Utc};
use dryhold::domain::board::{Blocker, Board, State};
use dryhold::domain::code::Code;
use dryhold::domain::decide::{Command, Refusal, decide};
use dryhold::domain::entry::{
    Body, CommandId, Cycle, Depth, Entry, Feel, InspectionMethod, Known, LinenSource, Number, Place, Purpose, Sighting,
    Sign, Time, TreatmentRecord, ZoneLook,
};
use dryhold::domain::facility::{Bed, Neighbour, Side, Zone, ZoneGroup, ZonePlan, ZoneTreatment};
use dryhold::domain::people::{Person, Product, Role};
use dryhold::domain::rule::Rule;

pub fn code(text: &str) -> Code {
    Code::new(text).unwrap()
}

pub fn zone(text: &str) -> Zone {
    Zone::parse(text).unwrap()
}

pub fn zones(text: &str) -> Vec<Zone> {
    text.split_whitespace().map(zone).collect()
}

/// Everything in room 101, in walking order.
pub const ALL_101: &str = "A/mattress A/frame B/mattress B/frame chair monitor";
pub const SPRAYED_101: &str = "A/mattress A/frame B/mattress B/frame chair";
pub const ALL_102: &str = "C/mattress C/frame chair monitor";
pub const SPRAYED_102: &str = "C/mattress C/frame chair";

#[derive(Clone)]
pub struct World {
    pub board: Board,
    pub entries: Vec<Entry>,
    pub now: Time,
    commands: u64,
}

impl World {
    /// Set up at 06:00, walked and emptied at 07:00 on a Monday in March.
    pub fn open() -> Self {
        let mut world = Self::unwalked();
        world.to("07:00");
        for ward in ["W1", "W2"] {
            world.ok("LEAD", world.walk(ward));
        }
        world.to("07:05");
        world.ok("NURSE", world.empty("W1", "A B C"));
        world.ok("NURSE", world.empty("W2", "D"));
        world
    }

    pub fn unwalked() -> Self {
        let now = Utc.with_ymd_and_hms(2026, 3, 2, 6, 0, 0).unwrap();
        let mut world = Self { board: Board::new().in_zone(chrono_tz::UTC), entries: vec![], now, commands: 0 };
        world.raw("LEAD", Place::Hospital, Body::HospitalSet { name: "Invented hospital".to_owned() });
        let patient_room = vec![
            plan("mattress", true, ZoneTreatment::Spray),
            plan("frame", true, ZoneTreatment::Spray),
            plan("chair", false, ZoneTreatment::Spray),
            plan("monitor", false, ZoneTreatment::OtherMethod),
        ];
        let bathroom = vec![plan("skirting", false, ZoneTreatment::Spray)];
        for (kind, zones) in [("patient-room", patient_room), ("bathroom", bathroom)] {
            world.raw("LEAD", Place::Hospital, Body::ZonesSet { kind: code(kind), zones });
        }
        for (ward, floor) in [("W1", 1), ("W2", 2)] {
            world.raw("LEAD", Place::Ward(code(ward)), Body::WardSet { name: format!("Ward {ward}"), floor });
        }
        world.set_room("101", "W1", "patient-room", 1, "A B", "");
        world.set_room("102", "W1", "patient-room", 2, "C", "");
        world.set_room("BATH", "W1", "bathroom", 3, "", "101 102");
        world.set_room("201", "W2", "patient-room", 1, "D", "");
        for (initials, role, inspects, applies) in [
            ("LEAD", Role::Lead, true, false),
            ("NURSE", Role::ChargeNurse, false, false),
            ("HK", Role::Housekeeper, false, false),
            ("EYES", Role::Housekeeper, true, false),
            ("WASH", Role::Laundry, false, false),
            ("TECH", Role::Technician, true, true),
            ("IP", Role::InfectionPrevention, false, false),
            ("READ", Role::Reader, false, false),
        ] {
            world.raw("LEAD", Place::Hospital, Body::PersonSet(Box::new(person(initials, role, inspects, applies))));
        }
        for (name, words, minutes) in [
            ("RSA", Some("Keep out until spray has dried."), Some(120)),
            ("NOWORDS", None, None),
            ("WORDS", Some("Keep out until dry."), None),
        ] {
            let product = Product {
                code: code(name),
                name: format!("Residual spray {name}"),
                registration: Some("DEMO-0001".to_owned()),
                active_ingredient: None,
                percent: None,
                reentry_words: words.map(str::to_owned),
                reentry_minutes: minutes,
                allowed_on: vec![],
                withdrawn: false,
            };
            world.raw("LEAD", Place::Hospital, Body::ProductSet(Box::new(product)));
        }
        // The labels of this hospital are all there is: a story about the longer default says so.
        let key = "unknown-label-minutes".to_owned();
        world.raw("LEAD", Place::Hospital, Body::PolicySet { key, value: 0 });
        assert_eq!(world.board.problems(), [], "the hospital sets up without a problem");
        world
    }

    pub fn set_room(&mut self, room: &str, ward: &str, kind: &str, order: u32, beds: &str, serves: &str) {
        let bed = |bed: &str| Bed { code: code(bed), features: vec![] };
        let body = Body::RoomSet {
            name: format!("Room {room}"),
            ward: code(ward),
            kind: code(kind),
            order,
            beds: beds.split_whitespace().map(bed).collect(),
            neighbours: match room {
                "101" => vec![Neighbour { side: Side::Right, room: code("102") }],
                "102" => vec![Neighbour { side: Side::Left, room: code("101") }],
                _ => vec![],
            },
            serves: serves.split_whitespace().map(code).collect(),
            floor_dm2: None,
        };
        let served: Vec<Code> = serves.split_whitespace().map(code).collect();
        self.raw("LEAD", Place::of_room_setting(code(room), &served), body);
    }

    /// Moves the clock to this time of the present day.
    pub fn to(&mut self, clock: &str) -> &mut Self {
        let (hours, minutes) = clock.split_once(':').unwrap();
        let day = self.now.date_naive();
        let at = day.and_hms_opt(hours.parse().unwrap(), minutes.parse().unwrap(), 0).unwrap().and_utc();
        assert!(at >= self.now, "the story goes forward: {clock}");
        self.now = at;
        self
    }

    pub fn days(&mut self, days: i64) -> &mut Self {
        self.now += TimeDelta::days(days);
        self
    }

    pub fn at(&self, clock: &str) -> Time {
        let mut other = self.clone();
        other.now = self.now.date_naive().and_hms_opt(0, 0, 0).unwrap().and_utc();
        other.to(clock).now
    }

    fn command(&mut self, place: Place, body: Body) -> Command {
        self.commands += 1;
        let terminal = "test".to_owned();
        Command { terminal, ..Command::new(CommandId(self.commands), place, body) }
    }

    /// Notes it; it must be allowed. A minute passes.
    #[track_caller]
    pub fn ok(&mut self, person: &str, (place, body): (Place, Body)) -> Number {
        let command = self.command(place, body);
        self.note(person, &command)
    }

    /// Notes it as having happened earlier.
    #[track_caller]
    pub fn ok_at(&mut self, person: &str, clock: &str, (place, body): (Place, Body)) -> Number {
        let mut command = self.command(place, body);
        command.happened = Some(self.at(clock));
        self.note(person, &command)
    }

    #[track_caller]
    pub fn note(&mut self, person: &str, command: &Command) -> Number {
        match decide(&self.board, command, code(person), self.now) {
            Ok(entry) => self.append(entry),
            Err(refusal) => panic!("refused ({}): {refusal}", refusal.rule()),
        }
    }

    /// Must be refused by this rule.
    #[track_caller]
    pub fn no(&mut self, person: &str, (place, body): (Place, Body), rule: Rule) -> Refusal {
        let command = self.command(place, body);
        self.refused(person, &command, rule)
    }

    #[track_caller]
    pub fn no_at(&mut self, person: &str, clock: &str, (place, body): (Place, Body), rule: Rule) -> Refusal {
        let mut command = self.command(place, body);
        command.happened = Some(self.at(clock));
        self.refused(person, &command, rule)
    }

    #[track_caller]
    pub fn refused(&mut self, person: &str, command: &Command, rule: Rule) -> Refusal {
        match decide(&self.board, command, code(person), self.now) {
            Ok(_) => panic!("allowed, but {rule} should refuse it"),
            Err(refusal) => {
                assert_eq!(refusal.rule(), rule, "{refusal}");
                assert!(refusal.to_string().ends_with('.'), "{refusal}");
                refusal
            }
        }
    }

    /// Writes an entry that no decision was asked about, as another version or a hand might.
    pub fn raw(&mut self, person: &str, place: Place, body: Body) -> Number {
        self.raw_at("test", person, place, body)
    }

    pub fn raw_at(&mut self, terminal: &str, person: &str, place: Place, body: Body) -> Number {
        let number = Number(self.entries.len() as u64 + 1);
        self.commands += 1;
        self.append(Entry {
            number,
            noted: self.now,
            happened: self.now,
            done_by: code(person),
            noted_by: code(person),
            terminal: terminal.to_owned(),
            command: CommandId(self.commands),
            place,
            body,
        })
    }

    pub fn append(&mut self, entry: Entry) -> Number {
        let number = entry.number;
        self.board.apply(&entry);
        self.entries.push(entry);
        self.now += TimeDelta::minutes(1);
        number
    }

    pub fn state(&self, room: &str) -> State {
        self.board.state(code(room))
    }

    /// The verb of the next step; empty if there is none.
    pub fn next_step(&self, room: &str) -> &'static str {
        self.board.next_step(code(room), self.now).map_or("", |step| step.verb)
    }

    pub fn exceptions(&self) -> Vec<String> {
        self.board.exceptions().iter().map(|it| it.kind.to_string()).collect()
    }

    pub fn blockers(&self, bed: &str) -> Vec<Blocker> {
        self.board.admission(code(bed), self.now)
    }

    pub fn is_open(&self, bed: &str) -> bool {
        self.blockers(bed).is_empty()
    }

    /// The rules that close this bed, gravest first.
    pub fn closed_by(&self, bed: &str) -> Vec<Rule> {
        self.blockers(bed).into_iter().map(|blocker| blocker.rule).collect()
    }

    pub fn seen(&self, room: &str) -> Number {
        self.board.newest_of(&Place::room(code(room)))
    }

    // The moves, each as place and body.

    pub fn walk(&self, ward: &str) -> (Place, Body) {
        let place = Place::Ward(code(ward));
        let seen = self.board.newest_of(&place);
        (place, Body::WardWalked { words: None, wet: None, seen })
    }

    /// The walk after a gap: what was asked, and the rooms found wet.
    pub fn walk_of_gap(&self, ward: &str, wet: &str) -> (Place, Body) {
        let (place, mut body) = self.walk(ward);
        if let Body::WardWalked { words, wet: found, .. } = &mut body {
            *words = Some("HK and TECH were on duty: nothing was sprayed".to_owned());
            *found = Some(wet.split_whitespace().map(code).collect());
        }
        (place, body)
    }

    pub fn empty(&self, ward: &str, beds: &str) -> (Place, Body) {
        let empty = beds.split_whitespace().map(code).collect();
        (Place::Ward(code(ward)), Body::OccupancyConfirmed { occupied: vec![], empty, gone: vec![] })
    }

    pub fn occupied(&self, room: &str, bed: &str) -> (Place, Body) {
        (Place::room(code(room)), Body::Occupied { beds: vec![code(bed)] })
    }

    pub fn finding(&self, room: &str, signs: &[Sign]) -> (Place, Body) {
        let seen = signs.iter().map(|sign| Sighting { sign: *sign, zone: None }).collect();
        (Place::room(code(room)), Body::Finding { seen, wiped_before: Known::Unknown, note: String::new() })
    }

    pub fn inspect(&self, room: &str, looked: &str) -> (Place, Body) {
        let looks = zones(looked).into_iter().map(|zone| ZoneLook { zone, seen: vec![] }).collect();
        let body = Body::Inspected {
            depth: Depth::Full,
            method: InspectionMethod::Visual,
            began: self.now - TimeDelta::minutes(1) + TimeDelta::seconds(30),
            looks,
            note: String::new(),
            seen: self.seen(room),
        };
        (Place::room(code(room)), body)
    }

    pub fn prepare(&self, room: &str, bags: &str) -> (Place, Body) {
        let bags = bags.split_whitespace().map(code).collect();
        (Place::room(code(room)), Body::Prepared { steps: vec![], bags, note: String::new() })
    }

    /// Sprays these zones in the minute before now, all stated, product with 120 minutes on its label.
    pub fn spray(&self, room: &str, sprayed: &str, bags: &str) -> (Place, Body) {
        let body = Body::Sprayed {
            purpose: Purpose::Infested,
            product: code("RSA"),
            reentry_words: Some("Keep out until spray has dried.".to_owned()),
            reentry_minutes: Some(120),
            zones: Some(zones(sprayed)),
            scope: vec![],
            finished: Some(self.now),
            bags: Some(bags.split_whitespace().map(code).collect()),
            patient_inside: Known::No,
            amount_ml: Some(800),
            record: Box::new(TreatmentRecord::default()),
        };
        (Place::room(code(room)), body)
    }

    pub fn dry_check(&self, room: &str, dry: &str, damp: &str) -> (Place, Body) {
        let felt = |text: &str, feel: Feel| zones(text).into_iter().map(move |zone| (zone, feel)).collect::<Vec<_>>();
        let zones = [felt(dry, Feel::Dry), felt(damp, Feel::Damp)].concat();
        let body = Body::DryChecked {
            began: self.now - TimeDelta::seconds(30),
            zones,
            ventilation: "on".to_owned(),
            changed: None,
        };
        (Place::room(code(room)), body)
    }

    pub fn treat(&self, room: &str, treated: &str) -> (Place, Body) {
        let method = dryhold::domain::entry::OtherMethod::Vacuumed;
        (Place::room(code(room)), Body::TreatedOtherwise { zones: zones(treated), method })
    }

    pub fn launder(&self, room: &str, bag: &str) -> (Place, Body) {
        let cycle =
            Cycle { wash_decicelsius: Some(720), wash_minutes: Some(30), detergent: Known::Yes, ..Cycle::default() };
        (Place::room(code(room)), Body::Laundered { bag: code(bag), cycle, slip: String::new() })
    }

    pub fn vacuum(&self, room: &str, zone_names: &str) -> (Place, Body) {
        (Place::room(code(room)), Body::Vacuumed { zones: zones(zone_names) })
    }

    pub fn make(&self, room: &str, bed: &str) -> (Place, Body) {
        let linens = LinenSource::Stock("linen room".to_owned());
        (Place::room(code(room)), Body::BedMade { bed: code(bed), linens })
    }

    pub fn give_back(&self, room: &str) -> (Place, Body) {
        (Place::room(code(room)), Body::ReturnedToService { second: None, seen: self.seen(room) })
    }

    pub fn void(&self, room: &str, entry: Number) -> (Place, Body) {
        let body = Body::Voided { entry, why: "a wrong key".to_owned(), really_in: None };
        (Place::room(code(room)), body)
    }

    pub fn look(&self, room: &str, void: Number) -> (Place, Body) {
        let body = Body::Looked { void, note: "dry, no sign of spraying".to_owned(), seen: self.seen(room) };
        (Place::room(code(room)), body)
    }

    /// Room 101 confirmed, prepared, sprayed at about 09:10 with one bag; beds closed.
    pub fn sprayed() -> Self {
        let mut world = Self::open();
        world.to("09:00");
        world.ok("TECH", world.finding("101", &[Sign::LiveAdult]));
        world.ok("HK", world.prepare("101", "BAG1"));
        world.to("09:10");
        world.ok("TECH", world.spray("101", SPRAYED_101, "BAG1"));
        world
    }

    /// The same, found dry at 11:30, everything done but the return.
    pub fn ready_to_return() -> Self {
        let mut world = Self::sprayed();
        world.to("11:30");
        world.ok("HK", world.dry_check("101", SPRAYED_101, ""));
        world.ok("TECH", world.treat("101", "monitor"));
        world.ok("HK", world.vacuum("101", "chair"));
        world.ok("WASH", world.launder("101", "BAG1"));
        world.ok("HK", world.make("101", "A"));
        world.ok("HK", world.make("101", "B"));
        world
    }

    pub fn returned() -> Self {
        let mut world = Self::ready_to_return();
        world.ok("LEAD", world.give_back("101"));
        world.ok("NURSE", world.empty("W1", "A B C"));
        world
    }
}

fn person(initials: &str, role: Role, trained_to_inspect: bool, trained_to_apply: bool) -> Person {
    Person {
        initials: code(initials),
        name: format!("Person {initials}"),
        role,
        trained_to_inspect,
        trained_to_apply,
        certificate: None,
        acting_lead: None,
        pin_hash: None,
        left: false,
    }
}

fn plan(part: &str, per_bed: bool, treatment: ZoneTreatment) -> ZonePlan {
    ZonePlan {
        part: code(part),
        name: part.to_owned(),
        group: if per_bed { ZoneGroup::Bed } else { ZoneGroup::Seating },
        per_bed,
        treatment,
        soft_seat: part == "chair",
        mattress: part == "mattress",
        daily: part == "mattress",
        hiding_place: treatment == ZoneTreatment::Spray,
        critical: part == "mattress",
        caution: String::new(),
    }
}

/// What leaves a room under a tag, and which zones of it that is.
pub fn left(tag: &str, from: &str, zone_names: &str, to: Option<&str>) -> (Place, Body) {
    let rooms = [from].into_iter().chain(to).map(code).collect();
    (
        Place::Rooms(rooms),
        Body::ThingLeft { thing: tag.to_owned(), zones: zones(zone_names), to: to.map(code), outside: String::new() },
    )
}

/// What comes to a room, not wet, nobody says where from.
pub fn arrived(tag: &str, room: &str) -> (Place, Body) {
    (Place::room(code(room)), Body::ThingArrived { thing: tag.to_owned(), from: None, wet: Known::No })
}
