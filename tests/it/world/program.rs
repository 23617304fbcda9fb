//! The one file that knows the library, with `newer`: what is said becomes a command, and what the program names comes out.
//! Whoever keeps the simulator for another version of the library changes these two files and no other.

use chrono::{TimeDelta, TimeZone, Utc};

use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::decide::{Command, decide};
use dryhold::domain::entry::{
    BagEnd, Body, CommandId, Cycle, Depth, Entry, Feel, InspectionMethod, Known, LinenSource, Number, OtherMethod,
    Place, PrepStep, Purpose, Time, TreatmentRecord, ZoneLook,
};
use dryhold::domain::facility::{Bed, Zone, ZoneGroup, ZonePlan, ZoneTreatment};
use dryhold::domain::need::Need;
use dryhold::domain::people::{Person, Product, Role};

use super::newer;
use super::place::{BED_PARTS, BEDS, Minute, ROOM_PARTS, ROOMS, Room, WARDS, rooms_of_ward, ward_of};
use super::said::{Say, Wet};

/// Name, label minutes by the hospital's list. What is on no list has none.
pub(super) const PRODUCTS: [(&str, Option<Minute>); 4] =
    [("P0", Some(0)), ("P60", Some(60)), ("P240", Some(240)), ("unlisted", None)];

/// What the program asks for in a room now, as its forms have it.
#[derive(Clone, PartialEq, Debug)]
pub(super) enum Ask {
    Dry(String),
    Treat(String),
    /// Something that this spray left unstated.
    Unstated(u64),
    Bag(String),
    Make(String),
    Look(u64),
    Other,
}

/// Why something could not be noted.
#[derive(Clone, Debug)]
pub(super) struct No {
    pub(super) rule: &'static str,
    pub(super) text: String,
    /// The move that the refusal names.
    pub(super) mend: Option<&'static str>,
}

/// A program that beds are kept with.
pub(super) trait Program {
    /// Notes it, or says why not. Gives the entry's number.
    fn note(&mut self, by: &'static str, terminal: usize, now: Minute, happened: Minute, say: &Say) -> Result<u64, No>;
    fn is_open(&self, bed: usize, now: Minute) -> bool;
    fn next_step(&self, room: Room, now: Minute) -> Option<&'static str>;
    /// What the room's list of tasks names, where there is no next step.
    fn tasks(&self, room: Room, now: Minute) -> Vec<&'static str>;
    /// Who may not do the next step.
    fn not_for(&self, room: Room, now: Minute) -> Vec<String>;
    fn asks(&self, room: Room, now: Minute) -> Vec<Ask>;
    /// What a form offers to tick in this room, in order.
    fn zone_list(&self, room: Room) -> Vec<String>;
    fn book_beds(&self, room: Room) -> Vec<usize>;
    /// The bed whose patient is to be moved out.
    fn bed_to_leave(&self, room: Room, now: Minute) -> Option<usize>;
    /// What of which room is to be looked for, so that it is known which of several carries a tag; and the other tag that it goes by.
    fn to_see(&self, _: Room) -> Vec<(Room, String, Option<String>)> {
        vec![]
    }
    /// What the form of a check lists. None: whatever is asked for.
    fn to_feel(&self, _: Room) -> Option<Vec<String>> {
        None
    }
    /// The room whose spray is to be completed before anything in this one can be felt.
    fn waited_for(&self, _: Room) -> Option<Room> {
        None
    }
    /// What it knows of a room that cannot be opened, for whoever mends it.
    fn why(&self, _: Room) -> String {
        String::new()
    }
    /// The ward that the room's list of tasks says is to be walked.
    fn ward_to_walk(&self, room: Room, now: Minute) -> Option<usize>;
}

#[derive(Clone)]
pub(super) struct Dryhold {
    board: Board,
}

pub(super) fn code(text: &str) -> Code {
    Code::new(text).expect("a code of the story")
}

fn time(at: Minute) -> Time {
    Utc.with_ymd_and_hms(2026, 6, 10, 6, 0, 0).single().expect("a time that exists") + TimeDelta::minutes(at)
}

fn minutes(label: Minute) -> Option<u32> {
    u32::try_from(label).ok()
}

fn room_place(room: Room) -> Place {
    Place::room(code(ROOMS[room]))
}

fn zone(text: &str) -> Zone {
    Zone::parse(text).expect("a zone of the story")
}

fn zones(texts: &[String]) -> Vec<Zone> {
    texts.iter().map(|text| zone(text)).collect()
}

fn tags(texts: &[String]) -> Vec<Code> {
    texts.iter().map(|text| code(text)).collect()
}

impl Dryhold {
    /// All wards walked, all beds noted as empty.
    pub(super) fn opened() -> Self {
        let mut board = Board::new();
        let mut add = |by: &str, at: Minute, place: Place, body: Body| {
            let number = board.last().map_or(1, |(number, _)| number.0 + 1);
            board.apply(&Entry {
                number: Number(number),
                noted: time(at),
                happened: time(at),
                done_by: code(by),
                noted_by: code(by),
                terminal: "desk 1".to_owned(),
                command: CommandId(number),
                place,
                body,
            });
        };
        add("LD", 0, Place::Hospital, Body::HospitalSet { name: "Invented Hospital".into() });
        for person in people() {
            add("LD", 0, Place::Hospital, Body::PersonSet(Box::new(person)));
        }
        for (name, label) in PRODUCTS.iter().filter(|(_, label)| label.is_some()) {
            let product = product(name, *label);
            add("LD", 0, Place::Hospital, Body::ProductSet(Box::new(product)));
        }
        add("LD", 0, Place::Hospital, Body::ZonesSet { kind: code("patient-room"), zones: zone_plans() });
        for (at, ward) in WARDS.into_iter().enumerate() {
            let body = Body::WardSet { name: format!("Ward {}", at + 1), floor: 1 };
            add("LD", 0, Place::Ward(code(ward)), body);
        }
        for room in 0..ROOMS.len() {
            add("LD", 0, room_place(room), room_set(room, &[room]));
        }
        for (ward, name) in WARDS.into_iter().enumerate() {
            let place = Place::Ward(code(name));
            add("LD", 60, place.clone(), Body::WardWalked { words: None, wet: None, seen: Number(1000) });
            let empty = rooms_of_ward(ward).into_iter().map(|room| code(BEDS[room])).collect();
            add("CN", 60, place, newer::counted(empty));
        }
        Self { board }.walked()
    }

    /// A signature says what its signer had seen: the walks above are signed on what stands there.
    fn walked(self) -> Self {
        let mut program = self;
        for ward in 0..WARDS.len() {
            let walk = Say::Walk { ward, wet: None };
            let _ = program.note("LD", 0, 60, 60, &walk);
        }
        program
    }

    fn command(&self, say: &Say) -> (Place, Body) {
        let in_room = |room: &Room, body: Body| (room_place(*room), body);
        let seen = |place: &Place| self.board.newest_of(place);
        match say {
            Say::Spray { room, until, product, zones: named, bags, inside } => {
                let named = named.as_ref().map(|texts| zones(texts));
                let body = Body::Sprayed {
                    purpose: Purpose::ReApplication,
                    product: code(product),
                    reentry_words: None,
                    reentry_minutes: None,
                    scope: named.clone().unwrap_or_default(),
                    zones: named,
                    finished: until.map(time),
                    bags: bags.as_ref().map(|texts| tags(texts)),
                    patient_inside: if *inside { Known::Yes } else { Known::No },
                    amount_ml: None,
                    record: Box::<TreatmentRecord>::default(),
                };
                in_room(room, body)
            }
            Say::Complete { room, spray, zones: named, until, label, bags } => {
                let named = named.as_ref().map(|texts| zones(texts));
                let bags = bags.as_ref().map(|texts| tags(texts));
                in_room(room, newer::completed(Number(*spray), named, until.map(time), bags, label.and_then(minutes)))
            }
            Say::Less { room, spray, zones: named, until, label } => {
                let place = room_place(*room);
                let named = named.as_ref().map(|texts| zones(texts));
                let (label, seen) = (label.and_then(minutes), seen(&place));
                (place, newer::corrected(Number(*spray), named, until.map(time), label, seen))
            }
            Say::Check { room, began, dry, damp } => {
                let felt = |texts: &[String], feel: Feel| -> Vec<(Zone, Feel)> {
                    texts.iter().map(|text| (zone(text), feel)).collect()
                };
                let zones = [felt(dry, Feel::Dry), felt(damp, Feel::Damp)].concat();
                let body = Body::DryChecked { began: time(*began), zones, ventilation: "window".into(), changed: None };
                in_room(room, body)
            }
            Say::Wiped { room, zones: wiped } => {
                // The form fills in the room's list where nothing is named.
                let wiped = wiped.clone().unwrap_or_else(|| self.zone_list(*room));
                in_room(room, Body::EnteredWet { wiped: zones(&wiped), note: String::new() })
            }
            Say::Left { room, tag, zones: named, to } => {
                let to = to.map(|to| code(ROOMS[to]));
                let place = Place::Rooms([code(ROOMS[*room])].into_iter().chain(to).collect());
                (place, newer::left(tag.clone(), zones(named), to))
            }
            Say::Arrived { room, tag, from, wet } => {
                let wet = match wet {
                    Wet::Yes => Known::Yes,
                    Wet::No => Known::No,
                    Wet::Unknown => Known::Unknown,
                };
                let from = from.map(|from| code(ROOMS[from]));
                in_room(room, Body::ThingArrived { thing: tag.clone(), from, wet })
            }
            Say::Seen { room, tag } => in_room(room, newer::seen_here(tag.clone())),
            Say::GivenUp { tag } => newer::given_up(&self.board, code(tag), code(ROOMS[0])),
            Say::Clock { wall, shown } => (Place::Hospital, newer::clock_said(time(*wall), time(*shown))),
            Say::Beds { room, beds } => in_room(room, room_set(*room, beds)),
            Say::Void { entry, rooms, really } => {
                let mut named: Vec<Code> = match self.board.place_of(Number(*entry)) {
                    Some(Place::Rooms(rooms)) => rooms.clone(),
                    _ => rooms.iter().map(|room| code(ROOMS[*room])).collect(),
                };
                let really = really.map(|room| code(ROOMS[room]));
                named.extend(really.filter(|room| !named.contains(room)));
                let why = "a mistake".to_owned();
                (Place::Rooms(named), Body::Voided { entry: Number(*entry), why, really_in: really })
            }
            Say::Look { room, void } => {
                let place = room_place(*room);
                let seen = seen(&place);
                (place, Body::Looked { void: Number(*void), note: String::new(), seen })
            }
            Say::Gap { ward } => {
                (Place::Ward(code(WARDS[*ward])), Body::Restored { reason: "the computer was down".into() })
            }
            Say::Walk { ward, wet } => {
                let place = Place::Ward(code(WARDS[*ward]));
                let seen = seen(&place);
                let words = wet.as_ref().map(|_| "asked everybody".to_owned());
                let wet = wet.as_ref().map(|rooms| rooms.iter().map(|room| code(ROOMS[*room])).collect());
                (place, Body::WardWalked { words, wet, seen })
            }
            Say::Inspect { room, began } => {
                let place = room_place(*room);
                let seen = seen(&place);
                let looks = self.zone_list(*room).iter().map(|it| ZoneLook { zone: zone(it), seen: vec![] }).collect();
                let body = Body::Inspected {
                    depth: Depth::Full,
                    method: InspectionMethod::Visual,
                    began: time(*began),
                    looks,
                    note: String::new(),
                    seen,
                };
                (place, body)
            }
            Say::Return { room } => {
                let place = room_place(*room);
                let seen = seen(&place);
                (place, Body::ReturnedToService { second: None, seen })
            }
            Say::Made { room, bed } => {
                in_room(room, Body::BedMade { bed: code(BEDS[*bed]), linens: LinenSource::Stock("store".into()) })
            }
            Say::Treat { room, zones: named } => {
                in_room(room, Body::TreatedOtherwise { zones: zones(named), method: OtherMethod::Vacuumed })
            }
            Say::Prepare { room, bags } => {
                let body =
                    Body::Prepared { steps: vec![PrepStep::LinensBagged], bags: tags(bags), note: String::new() };
                in_room(room, body)
            }
            Say::Launder { room, bag, well } => {
                let cycle = Cycle {
                    wash_decicelsius: Some(if *well { 750 } else { 400 }),
                    wash_minutes: Some(30),
                    detergent: Known::Yes,
                    ..Cycle::default()
                };
                in_room(room, Body::Laundered { bag: code(bag), cycle, slip: String::new() })
            }
            Say::LookedThrough { room, bag } => {
                in_room(room, Body::BagEnded { bag: code(bag), end: BagEnd::Inspected })
            }
            Say::Product { product: at, label } => {
                let product = product(PRODUCTS[*at].0, Some(*label));
                (Place::Hospital, Body::ProductSet(Box::new(product)))
            }
            Say::Occupied { bed, room } => in_room(room, Body::Occupied { beds: vec![code(BEDS[*bed])] }),
            Say::Empty { bed, room } => in_room(room, Body::Emptied { beds: vec![code(BEDS[*bed])] }),
            Say::PatientOut { bed, room } => in_room(room, newer::patient_out(vec![code(BEDS[*bed])])),
        }
    }
}

impl Program for Dryhold {
    fn to_see(&self, room: Room) -> Vec<(Room, String, Option<String>)> {
        let known = |home: Code| ROOMS.iter().position(|it| code(it) == home);
        let wanted = newer::to_see(&self.board, code(ROOMS[room])).into_iter();
        wanted
            .filter_map(|(home, zone, also)| Some((known(home)?, zone.to_string(), also.map(|tag| tag.to_string()))))
            .collect()
    }
    fn to_feel(&self, room: Room) -> Option<Vec<String>> {
        let listed = newer::to_feel(&self.board, code(ROOMS[room]))?;
        Some(listed.iter().map(Zone::to_string).collect())
    }
    fn waited_for(&self, room: Room) -> Option<Room> {
        let other = newer::waited_for(&self.board, code(ROOMS[room]))?;
        ROOMS.iter().position(|known| *known == other.as_str())
    }
    fn why(&self, room: Room) -> String {
        let evidence = self.board.evidence(code(ROOMS[room])).into_iter().filter(|it| it.met_by.is_none());
        let needs: Vec<String> = evidence.map(|it| format!("{:?} of {}", it.need, it.cause.0)).collect();
        let now = self.board.last().map_or(time(0), |(_, noted)| noted);
        let step = self.board.next_step(code(ROOMS[room]), now).map(|step| step.text).unwrap_or_default();
        format!("{}; {step}; {}", needs.join(", "), newer::dryness(&self.board, code(ROOMS[room])))
    }
    fn ward_to_walk(&self, room: Room, now: Minute) -> Option<usize> {
        let tasks = self.board.tasks_of(code(ROOMS[room]), time(now));
        let walk = tasks.iter().find(|task| task.verb == "ward-walk")?;
        let ward = walk.command.split_whitespace().last()?;
        WARDS.iter().position(|known| *known == ward)
    }
    fn note(&mut self, by: &'static str, terminal: usize, now: Minute, happened: Minute, say: &Say) -> Result<u64, No> {
        let (place, body) = self.command(say);
        let number = self.board.last().map_or(1, |(number, _)| number.0 + 1);
        let mut command = Command::new(CommandId(number), place, body);
        command.happened = Some(time(happened));
        command.terminal = format!("desk {}", terminal + 1);
        let mut decided = decide(&self.board, &command, code(by), time(now));
        // Newer programs want the room that a thing came from named, too.
        if let (Err(_), Body::ThingArrived { from: Some(from), .. }, Place::Rooms(rooms)) =
            (&decided, &command.body, &mut command.place)
            && !rooms.contains(from)
        {
            rooms.push(*from);
            decided = decide(&self.board, &command, code(by), time(now));
        }
        match decided {
            Ok(entry) => {
                self.board.apply(&entry);
                Ok(entry.number.0)
            }
            Err(refusal) => Err(No { rule: refusal.rule().code(), text: refusal.to_string(), mend: refusal.mend() }),
        }
    }

    fn is_open(&self, bed: usize, now: Minute) -> bool {
        self.board.admission(code(BEDS[bed]), time(now)).is_empty()
    }

    fn next_step(&self, room: Room, now: Minute) -> Option<&'static str> {
        self.board.next_step(code(ROOMS[room]), time(now)).map(|step| step.verb)
    }

    fn tasks(&self, room: Room, now: Minute) -> Vec<&'static str> {
        let tasks = self.board.tasks_of(code(ROOMS[room]), time(now));
        tasks.into_iter().filter(|task| task.kind.holds_beds()).map(|task| task.verb).collect()
    }

    fn not_for(&self, room: Room, now: Minute) -> Vec<String> {
        let step = self.board.next_step(code(ROOMS[room]), time(now));
        step.map(|step| step.not_for.iter().map(Code::to_string).collect()).unwrap_or_default()
    }

    fn asks(&self, room: Room, now: Minute) -> Vec<Ask> {
        let open = newer::asked(&self.board, code(ROOMS[room]), time(now)).into_iter();
        open.map(|it| match it.need {
            Need::Dry(zone) => Ask::Dry(zone.to_string()),
            Need::Covered(zone) => Ask::Treat(zone.to_string()),
            Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => {
                Ask::Unstated(newer::spray_of(&self.board, code(ROOMS[room]), it.cause))
            }
            Need::Bag(bag) => Ask::Bag(bag.to_string()),
            Need::Made(bed) => Ask::Make(bed.to_string()),
            Need::Looked(void) => Ask::Look(void.0),
            _ => Ask::Other,
        })
        .collect()
    }

    fn zone_list(&self, room: Room) -> Vec<String> {
        let plan = self.board.facility().room(code(ROOMS[room]));
        plan.map(|plan| plan.all_zones().map(|zone| zone.to_string()).collect()).unwrap_or_default()
    }

    fn book_beds(&self, room: Room) -> Vec<usize> {
        let plan = self.board.facility().room(code(ROOMS[room]));
        let beds = plan.map(|plan| plan.beds.as_slice()).unwrap_or_default();
        beds.iter().filter_map(|bed| BEDS.iter().position(|known| code(known) == bed.code)).collect()
    }

    fn bed_to_leave(&self, room: Room, now: Minute) -> Option<usize> {
        let tasks = self.board.tasks_of(code(ROOMS[room]), time(now));
        let beds = tasks.iter().find(|task| task.verb == "move-patient")?.command.split_whitespace().last()?;
        beds.split(',').find_map(|bed| BEDS.iter().position(|known| *known == bed))
    }
}

/// Programs that cannot be right, to see that the judge says so.
pub(super) struct Always {
    pub(super) open: bool,
    pub(super) inner: Dryhold,
}

impl Program for Always {
    fn ward_to_walk(&self, room: Room, now: Minute) -> Option<usize> {
        self.inner.ward_to_walk(room, now)
    }
    fn note(&mut self, by: &'static str, terminal: usize, now: Minute, happened: Minute, say: &Say) -> Result<u64, No> {
        self.inner.note(by, terminal, now, happened, say)
    }
    fn is_open(&self, _: usize, _: Minute) -> bool {
        self.open
    }
    fn next_step(&self, room: Room, now: Minute) -> Option<&'static str> {
        self.inner.next_step(room, now)
    }
    fn tasks(&self, room: Room, now: Minute) -> Vec<&'static str> {
        self.inner.tasks(room, now)
    }
    fn not_for(&self, room: Room, now: Minute) -> Vec<String> {
        self.inner.not_for(room, now)
    }
    fn asks(&self, room: Room, now: Minute) -> Vec<Ask> {
        self.inner.asks(room, now)
    }
    fn zone_list(&self, room: Room) -> Vec<String> {
        self.inner.zone_list(room)
    }
    fn book_beds(&self, room: Room) -> Vec<usize> {
        self.inner.book_beds(room)
    }
    fn bed_to_leave(&self, room: Room, now: Minute) -> Option<usize> {
        self.inner.bed_to_leave(room, now)
    }
}

fn product(name: &str, label: Option<Minute>) -> Product {
    Product {
        code: code(name),
        name: format!("Invented {name}"),
        registration: None,
        active_ingredient: None,
        percent: None,
        reentry_words: Some("keep out until dry".into()),
        reentry_minutes: label.and_then(minutes),
        allowed_on: vec![],
        withdrawn: false,
    }
}

fn room_set(room: Room, beds: &[usize]) -> Body {
    Body::RoomSet {
        name: format!("Room {}", ROOMS[room]),
        ward: code(WARDS[ward_of(room)]),
        kind: code("patient-room"),
        order: room as u32 + 1,
        beds: beds.iter().map(|bed| Bed { code: code(BEDS[*bed]), features: vec![] }).collect(),
        neighbours: vec![],
        serves: vec![],
        floor_dm2: None,
    }
}

fn people() -> Vec<Person> {
    let person = |initials: &str, role: Role| Person {
        initials: code(initials),
        name: format!("Invented {initials}"),
        role,
        trained_to_inspect: matches!(initials, "TE" | "IP" | "LD" | "H2"),
        trained_to_apply: initials == "TE",
        certificate: None,
        acting_lead: None,
        pin_hash: None,
        left: false,
    };
    vec![
        person("LD", Role::Lead),
        person("L2", Role::Lead),
        person("IP", Role::InfectionPrevention),
        person("CN", Role::ChargeNurse),
        person("HK", Role::Housekeeper),
        person("H2", Role::Housekeeper),
        person("LA", Role::Laundry),
        person("TE", Role::Technician),
    ]
}

fn zone_plans() -> Vec<ZonePlan> {
    let plan = |part: &str| ZonePlan {
        part: code(part),
        name: part.to_owned(),
        group: ZoneGroup::RoomEdges,
        per_bed: BED_PARTS.contains(&part),
        treatment: ZoneTreatment::Spray,
        soft_seat: false,
        mattress: part == "mattress",
        daily: false,
        hiding_place: true,
        critical: false,
        caution: String::new(),
    };
    BED_PARTS.into_iter().chain(ROOM_PARTS).map(plan).collect()
}
