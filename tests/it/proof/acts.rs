//! What the people of the test hospital do next: mostly the sensible thing, often enough something else.

use chrono::TimeDelta;

use dryhold::domain::board::Board;
use dryhold::domain::code::Code;
use dryhold::domain::decide::Command;
use dryhold::domain::entry::{
    BagEnd, Body, CommandId, Cycle, Depth, Entry, Feel, InspectionMethod, Known, LinenSource, Lost, Number,
    OtherMethod, Place, PrepStep, Purpose, Sighting, Sign, Specimen, Time, TreatmentRecord, Went, WhichClock, ZoneLook,
};
use dryhold::domain::facility::{Zone, ZoneTreatment};
use dryhold::domain::measured::{FileHash, HeldFor, LoggerIn, Measured, SensorSeen};
use dryhold::domain::need::Need;

use super::hospital::{BEDS, PEOPLE, PRODUCT_120, PRODUCT_SILENT, ROOMS, WARDS, code, minutes, ward_of};

/// A small random number generator of our own, so that a seed means the same history for ever (splitmix64).
#[derive(Clone)]
pub(super) struct Chance(pub(super) u64);

impl Chance {
    pub(super) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 to one less than `limit`.
    pub(super) fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit.max(1) as u64) as usize
    }

    pub(super) fn percent(&mut self, chance: usize) -> bool {
        self.below(100) < chance
    }

    pub(super) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[self.below(from.len())]
    }

    /// Each with this chance in a hundred.
    fn some<T: Copy>(&mut self, from: &[T], chance: usize) -> Vec<T> {
        from.iter().copied().filter(|_| self.percent(chance)).collect()
    }
}

/// Terminals beside the first one, and by how many minutes their clocks are off.
const TERMINALS: [(&str, i64); 4] = [("right", 0), ("fast", 240), ("slow", -180), ("late", -4)];

/// One thing that somebody sets out to note.
#[derive(Clone, Debug)]
pub(super) struct Act {
    pub(super) person: Code,
    /// By the terminal's clock.
    pub(super) now: Time,
    /// By the wall.
    pub(super) wall: Time,
    pub(super) command: Command,
    /// Written without asking the rules: forged, or by a version that had other rules.
    pub(super) raw: bool,
}

/// The hospital at a moment, with somebody about to act.
pub(super) struct Scene<'a> {
    pub(super) board: &'a Board,
    pub(super) entries: &'a [Entry],
    pub(super) now: Time,
    /// The room that this history is mostly about.
    pub(super) room: &'static str,
    pub(super) chance: Chance,
}

/// Who, when it happened if not now, where, and what.
struct Plan {
    by: &'static str,
    happened: Option<Time>,
    place: Place,
    body: Body,
}

impl Scene<'_> {
    pub(super) fn next_act(mut self) -> Act {
        self.now += minutes([0, 1, 1, 2, 5, 9, 20, 45][self.chance.below(8)]);
        if self.chance.percent(2) {
            self.now += minutes([-1, -3, -30, 300, 700, 1500][self.chance.below(6)]);
        }
        if self.chance.percent(25) {
            self.room = self.chance.pick(&ROOMS);
        }
        let (terminal, off) = self.chance.pick(&TERMINALS);
        let (terminal, off) = if self.chance.percent(88) { ("desk", 0) } else { (terminal, off) };
        let shift = minutes(off) + self.board.clock_offset(terminal);
        self.now += shift;
        let asked = self.board.clock_question(terminal, self.now).is_some();
        let mut plan = match asked && self.chance.percent(60) {
            true => self.answer(off == 0, self.now - shift),
            false if self.chance.percent(66) => self.sensible(),
            false => self.anything(),
        };
        let raw = self.chance.percent(8);
        if raw || self.chance.percent(6) {
            self.distort(&mut plan);
        }
        let mut command = Command::new(CommandId(self.chance.next()), plan.place, plan.body);
        command.happened = plan.happened;
        if self.chance.percent(4) {
            command.done_by = Some(code(self.chance.pick(&PEOPLE)));
        }
        terminal.clone_into(&mut command.terminal);
        Act { person: code(plan.by), now: self.now, wall: self.now - shift, command, raw }
    }

    /// Which clock was wrong, mostly truly said.
    fn answer(&mut self, is_right: bool, wall: Time) -> Plan {
        let says_other = is_right == self.chance.percent(90);
        let wrong = if says_other { WhichClock::Other } else { WhichClock::This };
        let wall = if self.chance.percent(90) { wall } else { self.now };
        let body = Body::ClockSaid { wall, wrong, other: String::new(), shown: None };
        Plan { by: self.chance.pick(&PEOPLE), happened: None, place: Place::Hospital, body }
    }

    fn place(&self) -> Place {
        Place::room(code(self.room))
    }

    fn seen(&self, place: &Place) -> Number {
        self.board.newest_of(place)
    }

    fn zones(&self) -> Vec<Zone> {
        self.board.facility().room(code(self.room)).map_or(vec![], |room| room.all_zones().collect())
    }

    fn sprayable(&self) -> Vec<Zone> {
        self.board.facility().room(code(self.room)).map_or(vec![], |room| room.sprayable_zones().collect())
    }

    fn beds(&self) -> Vec<Code> {
        BEDS.into_iter().filter(|bed| bed.split('-').next() == Some(self.room)).map(code).collect()
    }

    fn plan(&self, by: &'static str, body: Body) -> Plan {
        Plan { by, happened: None, place: self.place(), body }
    }

    fn one_of(&mut self, people: &[&'static str], body: Body) -> Plan {
        let by = self.chance.pick(people);
        self.plan(by, body)
    }

    // The sensible thing.

    fn sensible(&mut self) -> Plan {
        let mut open: Vec<(Need, Number)> = vec![];
        for evidence in self.board.evidence(code(self.room)).iter().filter(|evidence| evidence.met_by.is_none()) {
            open.push((evidence.need, evidence.cause));
        }
        // Work in the order in which one does it: what was left unsaid, treat, wait for dry, clean, sign.
        let turn = |need: &Need| match need {
            Need::Attested(_) | Need::Walked | Need::Looked(_) => 0,
            Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => 1,
            Need::Covered(_) => 2,
            Need::Dry(_) => 3,
            Need::Bag(_) => 4,
            Need::Vacuumed(_) | Need::Made(_) => 5,
            Need::Inspected => 6,
            Need::InService(_) => 7,
            Need::Returned => 8,
        };
        open.sort_by_key(|(need, cause)| (turn(need), *cause));
        match open.first().copied() {
            Some((need, cause)) => self.towards(need, cause, &open),
            None => self.trouble(),
        }
    }

    fn towards(&mut self, need: Need, cause: Number, open: &[(Need, Number)]) -> Plan {
        let place = self.place();
        let seen = self.seen(&place);
        match need {
            Need::Attested(line) => {
                let place = self.board.place_of(line).unwrap_or(Place::Hospital);
                let seen = self.seen(&place);
                let words = "from paper".to_owned();
                let asks_second = self.board.is_attested_by_two(line) && self.board.second_attest(line).is_none();
                if asks_second && self.chance.percent(80) {
                    let by = self.chance.pick(&["IP", "AL", "HT", "LD"]);
                    let body = Body::SecondAttested { line, through: None, words, seen };
                    return Plan { by, happened: None, place, body };
                }
                let body = Body::Attested { line, through: None, words, second: None, seen };
                Plan { by: "LD", happened: None, place, body }
            }
            Need::Walked => {
                let place = Place::Ward(code(ward_of(self.room)));
                let body = self.walk(&place);
                Plan { by: self.chance.pick(&["LD", "LD", "AL"]), happened: None, place, body }
            }
            Need::Looked(void) => {
                let by = self.chance.pick(&["IP", "TE", "HT", "LD", "AL"]);
                self.plan(by, Body::Looked { void, note: String::new(), seen })
            }
            Need::ZonesNamed | Need::FinishNamed | Need::LabelNamed | Need::LinensNamed => {
                let body = Body::SprayCompleted {
                    spray: cause,
                    zones: Some(self.sprayable()),
                    finished: Some(self.now - minutes(1)),
                    bags: Some(self.some_bags()),
                    reentry_words: Some("Keep out until dry.".into()),
                    reentry_minutes: Some(30),
                    amount_ml: None,
                    patient_inside: Known::Unknown,
                };
                self.one_of(&["TE", "LD"], body)
            }
            Need::Covered(zone) => self.cover(zone, open),
            Need::Dry(_) => {
                let ask = [vec![need], open.iter().map(|(need, _)| *need).collect()].concat();
                let mut zones: Vec<Zone> =
                    ask.iter().filter_map(|n| if let Need::Dry(zone) = n { Some(*zone) } else { None }).collect();
                zones.sort();
                zones.dedup();
                self.dry_check(zones)
            }
            Need::Bag(bag) => self.launder(bag),
            Need::Vacuumed(zone) => self.one_of(&["HK", "HT"], Body::Vacuumed { zones: vec![zone] }),
            Need::Made(bed) => {
                let linens = self.linens();
                self.one_of(&["HK", "HT", "LD"], Body::BedMade { bed, linens })
            }
            Need::Inspected => self.inspect(95),
            Need::InService(closing) => self.one_of(&["LD", "AL"], Body::InService { closing, seen }),
            Need::Returned => {
                let by = self.chance.pick(&["LD", "LD", "AL"]);
                if self.board.lacks_second_check(code(self.room)) && self.chance.percent(80) {
                    return self.second_check();
                }
                match self.chance.percent(6) {
                    true => self.plan(by, Body::NothingApplied { reason: "no bugs".into(), seen }),
                    false => self.plan(by, Body::ReturnedToService { second: None, seen }),
                }
            }
        }
    }

    /// Where to is said, left open, or said afterwards; nothing goes along.
    fn patient_moved(&mut self, beds: Vec<Code>, receiving: Option<Code>, receiving_bed: Option<Code>) -> Plan {
        let went = match receiving {
            Some(_) => Went::Bed,
            None => self.chance.pick(&[Went::Home, Went::Elsewhere, Went::Unknown]),
        };
        let asked = self.board.gone().find(|it| beds.contains(&it.bed)).map(|it| it.number);
        let body = Body::PatientMoved {
            beds,
            went,
            receiving,
            receiving_bed,
            outside: if went == Went::Elsewhere { "theatre".into() } else { String::new() },
            washed_and_changed: Known::Yes,
            own_bed: false,
            things: vec![],
            answers: asked.filter(|_| went != Went::Unknown),
        };
        let mut plan = self.plan("HK", body);
        plan.place = Place::Rooms(
            [code(self.room)].into_iter().chain(receiving.filter(|room| *room != code(self.room))).collect(),
        );
        plan
    }

    /// Mostly whole and all well; at times a zone damp, a bed not made, or something left out.
    fn second_check(&mut self) -> Plan {
        let (zones, beds) = self.board.to_check_again(code(self.room));
        let mut felt = vec![];
        for zone in zones {
            match self.chance.below(40) {
                0 => felt.push((zone, Feel::Damp)),
                1 => {}
                _ => felt.push((zone, Feel::Dry)),
            }
        }
        let (mut made, mut not_made) = (vec![], vec![]);
        for bed in beds {
            match self.chance.below(40) {
                0 => not_made.push(bed),
                1 => {}
                _ => made.push(bed),
            }
        }
        let by = self.chance.pick(&["IP", "AL", "CN", "CN", "LD"]);
        let seen = self.seen(&self.place());
        self.plan(by, Body::SecondChecked { zones: felt, made, not_made, note: String::new(), seen })
    }

    fn cover(&mut self, zone: Zone, open: &[(Need, Number)]) -> Plan {
        let room = self.board.facility().room(code(self.room));
        let by_spray = room.and_then(|room| room.zone(zone)).is_some_and(|plan| plan.treatment == ZoneTreatment::Spray);
        if by_spray && self.chance.percent(85) {
            return self.spray(92);
        }
        let mut zones = vec![zone];
        for (need, _) in open {
            if let Need::Covered(other) = need
                && self.chance.percent(50)
            {
                zones.push(*other);
            }
        }
        zones.sort();
        zones.dedup();
        let method = self.chance.pick(OtherMethod::ALL);
        self.one_of(&["TE", "HK"], Body::TreatedOtherwise { zones, method })
    }

    /// Something goes wrong in a room that has nothing open, or its day goes on.
    fn trouble(&mut self) -> Plan {
        match self.chance.below(12) {
            0..=2 => self.finding(70),
            3..=4 => self.spray(90),
            5 => self.prepare(),
            6 => self.plan("LD", Body::OutOfService { reason: "a tap drips".into() }),
            7 => self.plan("CN", Body::Occupied { beds: self.beds() }),
            8 => self.void(),
            9 => self.inspect(90),
            _ => {
                let ward = ward_of(self.room);
                let empty = BEDS.into_iter().filter(|bed| ward_of(bed) == ward).map(code).collect();
                let place = Place::Ward(code(ward));
                Plan {
                    by: "CN",
                    happened: None,
                    place,
                    body: Body::OccupancyConfirmed { occupied: vec![], empty, gone: vec![] },
                }
            }
        }
    }

    // Anything.

    fn anything(&mut self) -> Plan {
        let place = self.place();
        let seen = self.seen(&place);
        let some_number = Number(1 + self.chance.below(self.entries.len() + 1) as u64);
        let mut plan = match self.chance.below(30) {
            0..=2 => self.finding(50),
            3..=4 => self.spray(50),
            5 => self.prepare(),
            6 => self.inspect(60),
            7..=8 => {
                let zones = self.zones();
                let zones = self.chance.some(&zones, 60);
                self.dry_check(zones)
            }
            9 => {
                let bag = self.a_bag();
                self.launder(bag)
            }
            10 => {
                let end = match self.chance.below(4) {
                    0 => BagEnd::Destroyed { witness: code(self.chance.pick(&PEOPLE)) },
                    1 => BagEnd::Heated,
                    2 => BagEnd::Lost,
                    _ => BagEnd::Inspected,
                };
                let body = Body::BagEnded { bag: self.a_bag(), end };
                self.plan("LA", body)
            }
            11 if self.chance.percent(30) => self.second_check(),
            11 => self.plan("HK", Body::Vacuumed { zones: vec![Zone { bed: None, part: code("chair") }] }),
            12 => {
                let bed = code(self.chance.pick(&BEDS));
                let linens = self.linens();
                self.plan("HK", Body::BedMade { bed, linens })
            }
            13..=15 => self.void(),
            16 => self.plan("LD", Body::ReturnedToService { second: None, seen }),
            17 => self.plan("LD", Body::InService { closing: some_number, seen }),
            18 => self.plan("LD", Body::Cleared { seen }),
            19 => self.plan("LD", Body::NothingApplied { reason: "no bugs".into(), seen }),
            20 => {
                let void = self.a_number(|body| matches!(body, Body::Voided { .. })).unwrap_or(some_number);
                self.plan("IP", Body::Looked { void, note: String::new(), seen })
            }
            21 => {
                let wiped = self.zones();
                let wiped = self.chance.some(&wiped, 30);
                self.plan("HK", Body::EnteredWet { wiped, note: String::new() })
            }
            22 => self.plan("LD", Body::OutOfService { reason: "a tap drips".into() }),
            23 => {
                let receiving = Some(code(self.chance.pick(&ROOMS))).filter(|_| self.chance.percent(40));
                let beds = self.beds();
                let receiving_bed = Some(code(self.chance.pick(&BEDS))).filter(|_| self.chance.percent(50));
                if self.chance.percent(50) {
                    return self.patient_moved(beds, receiving, receiving_bed);
                }
                self.plan("HK", Body::PatientOut { beds, washed_and_changed: Known::Yes, receiving, receiving_bed })
            }
            24 => {
                let body = match self.chance.below(6) {
                    3 | 4 => {
                        let long = i64::try_from(self.chance.below(300)).unwrap_or(0);
                        let until = self.now - TimeDelta::minutes(i64::try_from(self.chance.below(20)).unwrap_or(0));
                        Body::Downtime { from: until - TimeDelta::minutes(long), until, sheets: "7".into() }
                    }
                    0 => Body::Restored { reason: "a copy".into() },
                    5 => Body::EndLost { bytes: 9, begins: "(9,".into(), had_seen: Some(some_number) },
                    1 => Body::WentBack { had_seen: some_number, kept: None, since: None },
                    _ => Body::WardWalked { words: None, wet: None, seen },
                };
                let place = [Place::Hospital, Place::Ward(code(ward_of(self.room)))][self.chance.below(2)].clone();
                Plan { by: "LD", happened: None, place, body }
            }
            25 => {
                let body = self.a_stay();
                self.plan("CN", body)
            }
            26 if self.chance.percent(40) => {
                let all = self.zones();
                let zones = self.chance.some(&all, 20);
                let to = Some(code(self.chance.pick(&ROOMS))).filter(|to| *to != code(self.room));
                let to = to.filter(|_| self.chance.percent(80));
                let thing = self.chance.pick(&["recliner", "W-1", "W-2"]).to_owned();
                let mut plan = self.plan("HK", Body::ThingLeft { thing, zones, to, outside: String::new() });
                plan.place = Place::Rooms([code(self.room)].into_iter().chain(to).collect());
                plan
            }
            26 => {
                let wet = self.chance.pick(Known::ALL);
                let from = Some(code(self.chance.pick(&ROOMS))).filter(|_| self.chance.percent(70));
                let thing = self.chance.pick(&["recliner", "W-1", "W-2"]).to_owned();
                let mut plan = self.plan("HK", Body::ThingArrived { thing, from, wet });
                let other = from.filter(|from| *from != code(self.room));
                plan.place = Place::Rooms([code(self.room)].into_iter().chain(other).collect());
                plan
            }
            27 if self.chance.percent(50) => self.write_off(),
            27 => {
                let specimen = self.chance.pick(Specimen::ALL);
                let finding = self.a_number(|body| matches!(body, Body::Finding { .. } | Body::Inspected { .. }));
                self.plan(
                    "IP",
                    Body::Identified { finding, specimen, identified_by: "Invented Entomologist".into(), seen },
                )
            }
            28 if self.chance.percent(50) => self.less(),
            28 => {
                let spray = self.a_number(|body| matches!(body, Body::Sprayed { .. })).unwrap_or(some_number);
                self.towards(Need::FinishNamed, spray, &[])
            }
            _ => {
                let (key, value) = self.chance.pick(&[
                    ("occupancy-kept", 0),
                    ("occupancy-kept", 1),
                    ("shift-minutes", 1440),
                    ("second-signature", 1),
                    ("late-fact-minutes", 0),
                    ("certificate-required", 1),
                ]);
                Plan {
                    by: "LD",
                    happened: None,
                    place: Place::Hospital,
                    body: Body::PolicySet { key: key.into(), value },
                }
            }
        };
        if self.chance.percent(25) {
            plan.by = self.chance.pick(&PEOPLE);
        }
        if self.chance.percent(25) {
            plan.happened = Some(self.now - minutes([1, 10, 30, 61, 130, -10][self.chance.below(6)]));
        }
        plan
    }

    /// The plan goes wrong in a way that a form would not let it.
    fn distort(&mut self, plan: &mut Plan) {
        match self.chance.below(8) {
            0 => plan.by = self.chance.pick(&["RD", "XL", "CN", "NOBODY"]),
            1 => plan.happened = Some(self.now - minutes(self.chance.below(300) as i64 - 60)),
            2 => plan.place = Place::Ward(code(self.chance.pick(&WARDS))),
            3 => plan.place = [Place::Hospital, Place::Unknown, Place::Rooms(vec![])][self.chance.below(3)].clone(),
            4 => plan.place = Place::Rooms(vec![code(self.chance.pick(&ROOMS)), code(self.chance.pick(&ROOMS))]),
            5 => plan.body = Body::Unreadable { raw: "Body(?".into(), why: "unknown kind".into() },
            _ => {}
        }
    }

    // Bodies.

    /// After a gap mostly late enough and with what was asked; at times a room was found wet.
    fn walk(&mut self, place: &Place) -> Body {
        if !self.board.gaps_of(place).is_empty() && self.chance.percent(70) {
            self.now += minutes(125);
        }
        let told = self.chance.percent(85);
        let rooms = self.board.rooms_of(place);
        let wet = if self.chance.percent(20) { self.chance.some(&rooms, 40) } else { vec![] };
        Body::WardWalked {
            words: Some("HK was on duty".to_owned()).filter(|_| told),
            wet: Some(wet).filter(|_| told || self.chance.percent(50)),
            seen: self.seen(place),
        }
    }

    fn finding(&mut self, plain: usize) -> Plan {
        let sign = if self.chance.percent(plain) { Sign::LiveAdult } else { self.chance.pick(Sign::ALL) };
        let zone = self.zones().first().copied();
        let wiped_before = self.chance.pick(Known::ALL);
        let body = Body::Finding { seen: vec![Sighting { sign, zone }], wiped_before, note: String::new() };
        self.one_of(&["HT", "IP", "HK", "CN"], body)
    }

    fn inspect(&mut self, well: usize) -> Plan {
        let zones = self.zones();
        let zones = if self.chance.percent(well) { zones } else { self.chance.some(&zones, 70) };
        let seen_in = if self.chance.percent(well) { None } else { zones.first().copied() };
        let sign = self.chance.pick(&Sign::ALL[..7]);
        let looks = zones
            .into_iter()
            .map(|zone| ZoneLook { zone, seen: if seen_in == Some(zone) { vec![sign] } else { vec![] } });
        let looks = looks.collect();
        let depth = if self.chance.percent(well) { Depth::Full } else { Depth::Daily };
        self.now += minutes(16);
        let body = Body::Inspected {
            depth,
            method: self.chance.pick(InspectionMethod::ALL),
            began: self.now - minutes(if self.chance.percent(well) { 15 } else { 200 }),
            looks,
            note: String::new(),
            seen: self.seen(&self.place()),
        };
        self.one_of(&["HT", "TE", "IP"], body)
    }

    fn prepare(&mut self) -> Plan {
        let steps = self.chance.some(PrepStep::ALL, 60);
        let bags = self.some_bags();
        self.one_of(&["HK", "TE"], Body::Prepared { steps, bags, note: String::new() })
    }

    /// A spray that took 20 minutes and ends now, well done with this chance in a hundred.
    fn spray(&mut self, well: usize) -> Plan {
        self.now += minutes(21);
        let all = self.sprayable();
        let zones = if self.chance.percent(well) { all.clone() } else { self.chance.some(&all, 60) };
        let (product, reentry_words, reentry_minutes) = match self.chance.percent(well) {
            true => (PRODUCT_120, Some("Keep out until dry, at least 120 minutes.".to_owned()), Some(120)),
            false => (PRODUCT_SILENT, None, None),
        };
        let purpose = if self.chance.percent(60) { Purpose::Infested } else { self.chance.pick(Purpose::ALL) };
        let body = Body::Sprayed {
            purpose,
            product: code(product),
            reentry_words,
            reentry_minutes,
            zones: Some(zones).filter(|_| self.chance.percent(well)),
            scope: self.chance.some(&all, 50),
            finished: Some(self.now).filter(|_| self.chance.percent(well)),
            bags: Some(self.some_bags()).filter(|_| self.chance.percent(well)),
            patient_inside: if self.chance.percent(well) { Known::No } else { self.chance.pick(Known::ALL) },
            amount_ml: Some(400),
            record: Box::new(TreatmentRecord::default()),
        };
        let happened = Some(self.now - minutes(20));
        Plan { happened, ..self.one_of(&["TE", "TE", "TE", "LD"], body) }
    }

    /// What nobody finds is given up by one of two, mostly what the other has given up.
    fn write_off(&mut self) -> Plan {
        let by = self.chance.pick(&["LD", "LD", "IP", "IP", "HK"]);
        let said = self.entries.iter().rev().find_map(|entry| match &entry.body {
            Body::WrittenOff { what, tag, .. } => Some((*what, *tag)),
            _ => None,
        });
        let any = match self.chance.percent(60) {
            true => (Lost::Bag, self.a_bag()),
            false => (Lost::Thing, code(self.chance.pick(&["recliner", "W-1", "W-2"]))),
        };
        let (what, tag) = said.filter(|_| self.chance.percent(70)).unwrap_or(any);
        let rooms = self.board.rooms_of_lost(what, tag);
        let place = if rooms.is_empty() { self.place() } else { Place::Rooms(rooms) };
        let seen = self.seen(&place);
        let body = Body::WrittenOff { what, tag, reason: "looked for everywhere".to_owned(), seen };
        Plan { place, ..self.plan(by, body) }
    }

    /// Less of a spray, mostly what somebody has said before.
    fn less(&mut self) -> Plan {
        let spray = self.a_number(|body| matches!(body, Body::Sprayed { .. })).unwrap_or(Number(1));
        let seen = self.seen(&self.place());
        let said = self.entries.iter().rev().find(|entry| matches!(entry.body, Body::SprayCorrected { .. }));
        let by = self.chance.pick(&["LD", "LD", "AL", "HK", "TE", "CN"]);
        if let Some(entry) = said.filter(|_| self.chance.percent(70)) {
            let Body::SprayCorrected { spray, zones, finished, reentry_minutes, words, .. } = entry.body.clone() else {
                return self.plan(by, entry.body.clone());
            };
            let body = Body::SprayCorrected { spray, zones, finished, reentry_minutes, words, seen };
            return Plan { place: entry.place.clone(), ..self.plan(by, body) };
        }
        let place = self.entries.iter().find(|entry| entry.number == spray).map(|entry| entry.place.clone());
        let all = self.sprayable();
        let zones = Some(self.chance.some(&all, 60)).filter(|zones| !zones.is_empty() && self.chance.percent(40));
        let reentry_minutes = Some(self.chance.pick(&[0, 30, 60, 120])).filter(|_| self.chance.percent(60));
        let finished =
            Some(self.now - minutes(self.chance.pick(&[5, 20, 60, 130]))).filter(|_| self.chance.percent(40));
        let words = "read off the can".to_owned();
        let body = Body::SprayCorrected { spray, zones, finished, reentry_minutes, words, seen };
        Plan { place: place.unwrap_or_else(|| self.place()), ..self.plan(by, body) }
    }

    fn dry_check(&mut self, zones: Vec<Zone>) -> Plan {
        if self.chance.percent(75) {
            self.now += minutes(130);
        }
        let damp = self.chance.percent(8);
        let zones =
            zones.into_iter().map(|zone| (zone, if damp && self.chance.percent(40) { Feel::Damp } else { Feel::Dry }));
        let zones = zones.collect();
        let took = [2, 5, 12, 12, 12, 31][self.chance.below(6)];
        self.now += minutes(if self.chance.percent(90) { took } else { 0 });
        let began = self.now - minutes(took);
        self.one_of(
            &["HK", "HT", "TE", "LD"],
            Body::DryChecked { began, zones, ventilation: "fan on".into(), changed: None },
        )
    }

    fn launder(&mut self, bag: Code) -> Plan {
        let hot = self.chance.percent(85);
        let trace = self.chance.percent(35).then(|| Box::new(self.trace()));
        let has_both = trace.is_some() && self.chance.percent(25);
        let cycle = Cycle {
            wash_decicelsius: Some(if hot { 720 } else { 600 }),
            wash_minutes: Some(if hot || self.chance.percent(50) { 35 } else { 10 }),
            detergent: if self.chance.percent(90) { Known::Yes } else { Known::Unknown },
            dry_decicelsius: Some(550),
            dry_minutes: Some(40),
            small_load: Known::Yes,
            mixing_minutes: Some(4),
            trace,
            other_trace: has_both.then(|| Box::new(self.trace())),
            clock_checked: self.chance.percent(30),
        };
        let slip = if self.chance.percent(20) { "SLIP-7".to_owned() } else { String::new() };
        // Mostly the whole cycle later.
        self.now += minutes(if self.chance.percent(90) { 80 } else { 3 });
        self.one_of(&["LA", "HK", "LD"], Body::Laundered { bag, cycle, slip })
    }

    /// What a logger measured: mostly a good hot wash, and every way in which it is not.
    fn trace(&mut self) -> Measured {
        let good = self.chance.percent(60);
        let sensors = 1 + self.chance.below(3);
        let sensor = |chance: &mut Chance| {
            let held = [401, 548, 600, 650, 710, 711, 900].map(|decicelsius| {
                let long = decicelsius < 900 && (good || chance.percent(60));
                let longest = if long { 1800 } else { chance.pick(&[0, 179, 599, 1499, 1500, 1799]) };
                let total = longest + chance.pick(&[0, 0, 1, 1500]);
                HeldFor { decicelsius, longest_seconds: longest, total_seconds: total }
            });
            SensorSeen {
                name: "drum".to_owned(),
                hottest_decicelsius: 760,
                held: held.to_vec(),
                a0_seconds: 700,
                gaps: 0,
                gap_seconds: 0,
            }
        };
        let sensors = (0..sensors).map(|_| sensor(&mut self.chance)).collect();
        let machines = [LoggerIn::Washer, LoggerIn::Washer, LoggerIn::Washer, LoggerIn::Dryer, LoggerIn::Unknown];
        Measured {
            file: FileHash([self.chance.below(9) as u8; 32]),
            machine: if good { LoggerIn::Washer } else { self.chance.pick(&machines) },
            uncertainty_decikelvin: if good || self.chance.percent(90) { Some(5) } else { None },
            longest_step_seconds: 60,
            // The cycle ends 80 minutes later as a rule: by its own clock it fits, or begins too early, or ends too late.
            began: self
                .chance
                .percent(40)
                .then(|| self.now + minutes(self.chance.pick(&[-60, -1, 5, 20, 29, 40, 100]))),
            seconds: self.chance.pick(&[3000, 3000, 3000, 9000]),
            sensors: if good || self.chance.percent(95) { sensors } else { vec![] },
            read_as: String::new(),
        }
    }

    fn linens(&mut self) -> LinenSource {
        match self.chance.percent(70) {
            true => LinenSource::Stock("store of ward 1".into()),
            false => LinenSource::Bags(vec![self.a_bag()]),
        }
    }

    fn void(&mut self) -> Plan {
        let room = code(self.room);
        let mine = |entry: &&Entry| matches!(&entry.place, Place::Rooms(rooms) if rooms.contains(&room));
        let targets: Vec<Number> = self.entries.iter().filter(mine).map(|entry| entry.number).collect();
        let mut entry = Number(1 + self.chance.below(self.entries.len() + 1) as u64);
        if !targets.is_empty() && self.chance.percent(90) {
            entry = self.chance.pick(&targets);
        }
        let really_in = Some(code(self.chance.pick(&ROOMS))).filter(|_| self.chance.percent(20));
        let place = Place::Rooms(std::iter::once(room).chain(really_in.filter(|other| *other != room)).collect());
        let body = Body::Voided { entry, why: "wrong room".into(), really_in };
        Plan { place, ..self.one_of(&["LD", "IP", "HK", "TE"], body) }
    }

    fn a_stay(&mut self) -> Body {
        match self.chance.below(3) {
            0 => Body::Occupied { beds: self.beds() },
            1 => Body::Emptied { beds: self.beds() },
            _ => Body::PatientStays { reason: "isolation".into(), review: self.now + TimeDelta::hours(12) },
        }
    }

    /// The newest entry of the room, or any, that is of a kind.
    fn a_number(&mut self, is: fn(&Body) -> bool) -> Option<Number> {
        let numbers: Vec<Number> = self.entries.iter().filter(|e| is(&e.body)).map(|e| e.number).collect();
        if numbers.is_empty() { None } else { Some(self.chance.pick(&numbers)) }
    }

    fn some_bags(&mut self) -> Vec<Code> {
        self.chance.some(&[code("BAG-1"), code("BAG-2")], 40)
    }

    fn a_bag(&mut self) -> Code {
        code(self.chance.pick(&["BAG-1", "BAG-2", "BAG-9"]))
    }
}
