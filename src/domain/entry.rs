//! One thing that happened, as the ledger keeps it. Nothing else is truth.
//!
//! An envelope that every version can read, and a body that can grow. A body that cannot be read is still an entry:
//! it closes its place until somebody who knows what it said attests it.

use std::fmt;

use chrono::{DateTime, Utc};

use super::airing::AirChange;
use super::code::Code;
use super::facility::{Bed, Neighbour, Zone, ZonePlan};
use super::measured::Measured;
use super::people::{Person, Product};
use super::strokes::Strokes;

mod words;

pub use words::{
    Depth, Feel, InspectionMethod, Known, Lost, OldPart, OtherMethod, PrepStep, Purpose, Sign, Specimen, Ventilation,
    Went, WhichClock, Window,
};

/// An instant, UTC, to the microsecond.
pub type Time = DateTime<Utc>;

/// An entry's number: 1, 2, 3 … without gaps in a whole ledger.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct Number(pub u64);

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

/// Names one attempt to note something, so that a second try after a failed sync is the same entry, never a second one.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Debug, Default)]
pub struct CommandId(pub u64);

#[derive(Clone, PartialEq, Debug)]
pub struct Entry {
    pub number: Number,
    /// When it was written down, by the clock of the terminal.
    pub noted: Time,
    /// When it happened. Of something that took time: its end, unless the body says otherwise.
    pub happened: Time,
    pub done_by: Code,
    pub noted_by: Code,
    /// The terminal's name, free text.
    pub terminal: String,
    pub command: CommandId,
    pub place: Place,
    pub body: Body,
}

/// What an entry touches. If its body is unreadable, all of this is closed.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Place {
    Hospital,
    Ward(Code),
    /// Usually one room; a move that touches two names both.
    Rooms(Vec<Code>),
    /// The place itself could not be read: everything.
    Unknown,
}

impl Place {
    pub fn room(code: Code) -> Self {
        Self::Rooms(vec![code])
    }

    /// A setting of a room is about the rooms that it serves too: if it cannot be read, they are closed with it.
    pub fn of_room_setting(code: Code, serves: &[Code]) -> Self {
        Self::Rooms([code].into_iter().chain(serves.iter().copied().filter(|room| *room != code)).collect())
    }

    /// The room the entry is about: the first one named.
    pub fn first_room(&self) -> Option<Code> {
        match self {
            Self::Rooms(rooms) => rooms.first().copied(),
            _ => None,
        }
    }
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Sighting {
    pub sign: Sign,
    /// Where. None: not stated.
    pub zone: Option<Zone>,
}

#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ZoneLook {
    pub zone: Zone,
    /// Empty: looked, nothing seen.
    pub seen: Vec<Sign>,
}

/// What a laundry cycle was, as typed from the machine or the laundry's slip. Whole units; an unknown is None.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Cycle {
    /// Wash: the temperature held, in tenths of a degree Celsius.
    pub wash_decicelsius: Option<i32>,
    /// Minutes held at that temperature, as the machine shows them: the mixing time is part of them.
    pub wash_minutes: Option<u32>,
    pub detergent: Known,
    /// Drying: the temperature of the load, in tenths of a degree Celsius.
    pub dry_decicelsius: Option<i32>,
    pub dry_minutes: Option<u32>,
    /// The load in the dryer was small (about 3.5 kg or less).
    pub small_load: Known,
    /// Minutes for the heat to reach all of the load, by the laundry's own figure. None: the longer of two that are known from
    /// memory is used.
    pub mixing_minutes: Option<u32>,
    /// What a logger in the load measured. Of its machine it counts in place of what was typed.
    pub trace: Option<Box<Measured>>,
    /// The same of the other machine, where a logger went through both.
    pub other_trace: Option<Box<Measured>>,
    /// Whoever noted it held the logger's clock against the wall's: the bag was in this load, though its times fit badly.
    pub clock_checked: bool,
}

/// How a bag ended other than by the laundry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum BagEnd {
    /// Destroyed before a witness.
    Destroyed {
        witness: Code,
    },
    /// Belongings that were not sprayed: by heat or by inspection.
    Heated,
    Inspected,
    /// Nobody finds it. It settles nothing.
    Lost,
}

/// Where the linens of a made bed come from.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LinenSource {
    /// The room's own, from these bags.
    Bags(Vec<Code>),
    /// Stock kept outside rooms that are not clear, named.
    Stock(String),
}

/// Everything a treatment record may need beyond what the rules read. Free text as typed; empty: not stated.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct TreatmentRecord {
    pub neighbours_checked: String,
    pub for_whom: String,
    pub applicator: String,
    pub certificate: String,
    pub supervisor: String,
    pub active_ingredient: String,
    pub percent: String,
    /// As the label gives it.
    pub rate: String,
    /// As typed, with its unit.
    pub area_treated: String,
    pub target_pest: String,
    pub notice_until: String,
    pub disposal: String,
    pub follow_up_due: String,
    /// Room climate at the start: tenths of a degree Celsius, percent relative humidity.
    pub decicelsius: Option<i32>,
    pub humidity_percent: Option<u32>,
    /// How the room was aired while it dried. None: not stated.
    pub ventilation: Option<Ventilation>,
    pub window: Option<Window>,
    /// The air outdoors, which an open window lets in: as the room's climate.
    pub outdoor_decicelsius: Option<i32>,
    pub outdoor_humidity_percent: Option<u32>,
    /// A contractor's slip number.
    pub slip: String,
    /// How the amount was counted, if that was at the pump.
    pub strokes: Option<Strokes>,
}

/// What happened. Struct variants throughout, so that each can grow.
#[derive(Clone, PartialEq, Debug)]
pub enum Body {
    // Closers: they count from the moment they are read.
    Finding {
        seen: Vec<Sighting>,
        wiped_before: Known,
        note: String,
    },
    /// A specimen was identified by a named person. As a bed bug it closes; as something else it is a signature.
    Identified {
        finding: Option<Number>,
        specimen: Specimen,
        identified_by: String,
        seen: Number,
    },
    /// A room's whole inspection. Signs seen make it a finding; a clean full one is a signature.
    Inspected {
        depth: Depth,
        method: InspectionMethod,
        began: Time,
        looks: Vec<ZoneLook>,
        note: String,
        seen: Number,
    },
    /// A ward's round of daily looks, nothing seen.
    RoundLooked {
        rooms: Vec<Code>,
    },
    PatientOut {
        beds: Vec<Code>,
        washed_and_changed: Known,
        receiving: Option<Code>,
        /// The bed there that the patient lies in now. None: not stated, so no bed of that room is known to be empty.
        receiving_bed: Option<Code>,
    },
    /// A patient left these beds, and went there. Of a room that is clear it says who lies where, and closes nothing.
    PatientMoved {
        beds: Vec<Code>,
        went: Went,
        /// The room where the patient is now, and the bed. No bed: not stated, or their own.
        receiving: Option<Code>,
        receiving_bed: Option<Code>,
        /// A place that the book does not have, as it is called. Empty: none, or not stated.
        outside: String,
        washed_and_changed: Known,
        /// In their own bed, which was rolled along.
        own_bed: bool,
        /// Tags of what went along.
        things: Vec<String>,
        /// The entry by which the bed became empty, where this says afterwards where its patient went.
        answers: Option<Number>,
    },
    Prepared {
        steps: Vec<PrepStep>,
        bags: Vec<Code>,
        note: String,
    },
    /// `happened` is the start.
    Sprayed {
        purpose: Purpose,
        product: Code,
        /// The label's own words and minutes, copied as they stood on the hospital's list.
        reentry_words: Option<String>,
        reentry_minutes: Option<u32>,
        /// In the order sprayed. None: not stated, so everything is wet.
        zones: Option<Vec<Zone>>,
        /// What a re-application declared that it would cover.
        scope: Vec<Zone>,
        /// None: not stated, so no clock runs.
        finished: Option<Time>,
        /// Washable things present, by bag. None: not stated, so they are treated. Zero bags is an empty list.
        bags: Option<Vec<Code>>,
        patient_inside: Known,
        /// Millilitres of finished mixture.
        amount_ml: Option<u32>,
        record: Box<TreatmentRecord>,
    },
    /// Supplies what a spray left unstated. Clocks run from its noting.
    SprayCompleted {
        spray: Number,
        zones: Option<Vec<Zone>>,
        finished: Option<Time>,
        bags: Option<Vec<Code>>,
        reentry_words: Option<String>,
        reentry_minutes: Option<u32>,
        /// For the record alone: no rule reads it.
        amount_ml: Option<u32>,
        /// Unknown: not stated. Yes brings to light that linens in use were sprayed.
        patient_inside: Known,
    },
    OutOfService {
        reason: String,
    },
    Occupied {
        beds: Vec<Code>,
    },
    /// Someone was in a wet room. What was wiped or mopped has lost its dry check.
    EnteredWet {
        wiped: Vec<Zone>,
        note: String,
    },
    /// The patient stays in a confirmed room.
    PatientStays {
        reason: String,
        review: Time,
    },
    /// A movable thing left the room under a tag: these zones of it, to this room. What it goes to is closed for it at once.
    ThingLeft {
        thing: String,
        zones: Vec<Zone>,
        to: Option<Code>,
        /// A place that the book does not have, such as a store, as it is called. Empty: none, or not stated.
        outside: String,
    },
    /// A movable thing arrived from another room.
    ThingArrived {
        thing: String,
        from: Option<Code>,
        wet: Known,
    },
    /// A thing, a bed or a part of one was seen in the room under its tag: it is there and nowhere else.
    ThingSeen {
        thing: String,
    },
    /// The ledger is older than what a terminal had seen.
    WentBack {
        had_seen: Number,
        /// The newest entry that the terminal had seen and that is still there, and when that was noted. None: it cannot be
        /// told, or was not stated.
        kept: Option<Number>,
        since: Option<Time>,
    },
    /// The end of the ledger's file was cut or is unreadable, and whole lines may have stood there: so many bytes, which begin
    /// so. They are kept beside the file.
    EndLost {
        bytes: u32,
        begins: String,
        /// What the terminal that says so had seen, where that is gone too.
        had_seen: Option<Number>,
    },
    /// Nothing could be noted here between these times; what happened stands on numbered paper sheets. By the lead it lets
    /// the sheets' facts be noted late, until the ward was walked.
    Downtime {
        from: Time,
        until: Time,
        sheets: String,
    },
    /// A copy was taken as the ledger again, or this ledger was made for a hospital that was already running.
    Restored {
        reason: String,
    },

    // Facts: they meet needs.
    DryChecked {
        began: Time,
        zones: Vec<(Zone, Feel)>,
        ventilation: String,
        /// None: not stated.
        changed: Option<AirChange>,
    },
    TreatedOtherwise {
        zones: Vec<Zone>,
        method: OtherMethod,
    },
    Laundered {
        bag: Code,
        cycle: Cycle,
        slip: String,
    },
    BagEnded {
        bag: Code,
        end: BagEnd,
    },
    Vacuumed {
        zones: Vec<Zone>,
    },
    BedMade {
        bed: Code,
        linens: LinenSource,
    },
    Emptied {
        beds: Vec<Code>,
    },
    /// A ward's occupancy, confirmed at once: these are occupied, these are empty.
    OccupancyConfirmed {
        occupied: Vec<Code>,
        empty: Vec<Code>,
        /// Of the empty beds: those of which nobody said where their patient went, in rooms with a case.
        gone: Vec<Code>,
    },

    // Signatures: they settle by name, on what their signer was shown.
    /// The second of two who sign a return: what that person found, without the first one's answers. What was damp or not
    /// made closes; all of it dry and made is what the lead's signature then rests on.
    SecondChecked {
        zones: Vec<(Zone, Feel)>,
        made: Vec<Code>,
        not_made: Vec<Code>,
        note: String,
        seen: Number,
    },
    /// The second of two who attest: what the line said, in this person's own words, before the first one says it.
    SecondAttested {
        line: Number,
        through: Option<Number>,
        words: String,
        seen: Number,
    },
    NothingApplied {
        reason: String,
        seen: Number,
    },
    ReturnedToService {
        second: Option<Code>,
        seen: Number,
    },
    Cleared {
        seen: Number,
    },
    InService {
        closing: Number,
        seen: Number,
    },
    /// A second person's look in the room after a void.
    Looked {
        void: Number,
        note: String,
        seen: Number,
    },
    /// Of a gap: from its first missing line through its last. What was attested of one line says nothing of the next.
    Attested {
        line: Number,
        through: Option<Number>,
        words: String,
        second: Option<Code>,
        seen: Number,
    },
    /// A walk after which nothing of the ward is unrecorded. Where entries may be missing it says what the people told, and
    /// which rooms were found wet: an empty list says that none was.
    WardWalked {
        words: Option<String>,
        wet: Option<Vec<Code>>,
        seen: Number,
    },

    // About other entries.
    Amended {
        entry: Number,
        field: String,
        value: String,
    },
    Voided {
        entry: Number,
        why: String,
        really_in: Option<Code>,
    },
    /// What time it is by a clock on the wall, and which of two terminals' clocks was wrong. From then on the terminal that
    /// notes it stamps by that. `noted` is by the wall already.
    ClockSaid {
        wall: Time,
        wrong: WhichClock,
        /// The other terminal's name. Empty: there is none, or none stated.
        other: String,
        /// What this terminal's own clock showed then.
        shown: Option<Time>,
    },
    /// The time of this entry is that of a wrong clock, and is not to count. By the lead and a second person, an entry each.
    TimeTakenOut {
        entry: Number,
        words: String,
        seen: Number,
    },
    /// Less of a spray than was said of it, read off the label or the slip: an earlier end, fewer of the label's minutes, fewer
    /// zones. By the lead and a second person, an entry each, who say the same.
    SprayCorrected {
        spray: Number,
        /// All that were sprayed. None: what was said of them stands.
        zones: Option<Vec<Zone>>,
        finished: Option<Time>,
        reentry_minutes: Option<u32>,
        /// Off what it was read.
        words: String,
        seen: Number,
    },
    /// A thing under its tag, or a bag, that nobody finds is given up. By the lead and infection prevention, an entry each.
    WrittenOff {
        what: Lost,
        tag: Code,
        reason: String,
        seen: Number,
    },
    /// Something took the place of a part of a bed: what carries this tag, or something new. By the lead.
    PartReplaced {
        part: Zone,
        /// None: it is new.
        by: Option<Code>,
        /// What became of the old part.
        old: OldPart,
        reason: String,
        seen: Number,
    },
    /// Beds promised to a patient who is expected at this time; None takes the promise back. It permits nothing, and no rule
    /// about opening reads it.
    Promised {
        beds: Vec<Code>,
        wanted: Option<Time>,
    },
    /// Somebody took a task. Rules read nothing of it.
    TaskAccepted {
        room: Code,
        need: String,
        cause: Number,
        by: Code,
    },
    /// An inspection, a look or other work in the room could not be done, and why. It settles nothing, and rules read nothing
    /// of it.
    NotPossible {
        why: String,
        /// When it is tried again. None: not stated.
        again: Option<Time>,
    },
    /// A sentence for the next shift. Rules read nothing of it.
    HandedOver {
        text: String,
    },
    /// This file is the ledger, and not those others of the same id, of which a terminal knows that they hold what this one
    /// does not. By the lead; it lets beds open that the question alone had closed.
    LedgerChosen {
        others: Vec<String>,
        words: String,
    },

    // Settings, by the lead or infection prevention, never back-dated.
    HospitalSet {
        name: String,
    },
    ZonesSet {
        kind: Code,
        zones: Vec<ZonePlan>,
    },
    WardSet {
        name: String,
        floor: i16,
    },
    RoomSet {
        name: String,
        ward: Code,
        kind: Code,
        order: u32,
        beds: Vec<Bed>,
        neighbours: Vec<Neighbour>,
        serves: Vec<Code>,
        /// In square decimetres. None: not stated.
        floor_dm2: Option<u32>,
    },
    PersonSet(Box<Person>),
    ProductSet(Box<Product>),
    PolicySet {
        key: String,
        value: i64,
    },
    /// A person's own PIN, as a memory-hard hash; None takes it away.
    PinSet {
        person: Code,
        hash: Option<String>,
    },
    /// Wrong PINs since the last success, noted with it.
    SignedIn {
        failed_before: u32,
    },

    /// A kind that is set aside for later versions (shifts, plan pins, started steps, interface receipts). It is
    /// promised to be harmless: no rule reads it, and it closes nothing.
    Reserved {
        kind: String,
        raw: String,
    },
    /// A line that this version cannot read, or that was damaged: kept raw, closes its place.
    Unreadable {
        raw: String,
        why: String,
    },
}

impl Body {
    /// The `seen` of a signature: the newest entry that its signer was shown.
    pub fn seen(&self) -> Option<Number> {
        match self {
            Self::NothingApplied { seen, .. }
            | Self::ReturnedToService { seen, .. }
            | Self::Cleared { seen }
            | Self::InService { seen, .. }
            | Self::Looked { seen, .. }
            | Self::SecondChecked { seen, .. }
            | Self::SecondAttested { seen, .. }
            | Self::TimeTakenOut { seen, .. }
            | Self::SprayCorrected { seen, .. }
            | Self::WrittenOff { seen, .. }
            | Self::PartReplaced { seen, .. }
            | Self::Attested { seen, .. }
            | Self::WardWalked { seen, .. }
            | Self::Inspected { seen, .. }
            | Self::Identified { seen, .. } => Some(*seen),
            _ => None,
        }
    }

    /// The zones on which it says that a sign was seen.
    pub fn seen_on(&self) -> Vec<Zone> {
        match self {
            Self::Finding { seen, .. } => seen.iter().filter_map(|sighting| sighting.zone).collect(),
            Self::Inspected { looks, .. } => {
                looks.iter().filter(|look| !look.seen.is_empty()).map(|look| look.zone).collect()
            }
            _ => vec![],
        }
    }

    /// Changes nothing that a signer would have to be shown.
    pub fn is_read_by_no_rule(&self) -> bool {
        matches!(
            self,
            Self::Amended { .. }
                | Self::Promised { .. }
                | Self::TaskAccepted { .. }
                | Self::NotPossible { .. }
                | Self::HandedOver { .. }
                | Self::LedgerChosen { .. }
                | Self::SignedIn { .. }
                | Self::Reserved { .. }
        )
    }

    pub fn is_setting(&self) -> bool {
        matches!(
            self,
            Self::HospitalSet { .. }
                | Self::ZonesSet { .. }
                | Self::WardSet { .. }
                | Self::RoomSet { .. }
                | Self::PersonSet(_)
                | Self::ProductSet(_)
                | Self::PolicySet { .. }
                | Self::PinSet { .. }
        )
    }
}
