//! The bodies of entries as the file holds them: one variant a kind, in the order of the domain's own list.

use super::parts::{BagEnd, Cycle, LinenSource, Record, Sighting, ZoneFeel, ZoneLook};
use super::setting::{Bed, Neighbour, Person, Product, ZonePlan};
use super::text::Text;
use super::wire_enum;
use crate::domain::airing::AirChange;
use crate::domain::code::Code;
use crate::domain::entry::{
    Body as DomainBody, Depth, InspectionMethod, Known, Lost, OldPart, OtherMethod, PrepStep, Purpose, Specimen, Time,
    Went, WhichClock,
};
use crate::domain::facility::Zone;

wire_enum!(Body for DomainBody {
    Finding { seen: Vec<Sighting>, wiped_before: Text<Known>, note: String }
    Identified { finding: Option<u64>, specimen: Text<Specimen>, identified_by: String, seen: u64 }
    Inspected {
        depth: Text<Depth>, method: Text<InspectionMethod>, began: Text<Time>, looks: Vec<ZoneLook>, note: String, seen: u64
    }
    RoundLooked { rooms: Vec<Text<Code>> }
    PatientOut { beds: Vec<Text<Code>>, washed_and_changed: Text<Known>, receiving: Option<Text<Code>>, receiving_bed: Option<Text<Code>> }
    PatientMoved {
        beds: Vec<Text<Code>>, went: Text<Went>, receiving: Option<Text<Code>>, receiving_bed: Option<Text<Code>>,
        outside: String, washed_and_changed: Text<Known>, own_bed: bool, things: Vec<String>, answers: Option<u64>
    }
    Prepared { steps: Vec<Text<PrepStep>>, bags: Vec<Text<Code>>, note: String }
    Sprayed {
        purpose: Text<Purpose>, product: Text<Code>, reentry_words: Option<String>, reentry_minutes: Option<u32>,
        zones: Option<Vec<Text<Zone>>>, scope: Vec<Text<Zone>>, finished: Option<Text<Time>>,
        bags: Option<Vec<Text<Code>>>, patient_inside: Text<Known>, amount_ml: Option<u32>, record: Box<Record>
    }
    SprayCompleted {
        spray: u64, zones: Option<Vec<Text<Zone>>>, finished: Option<Text<Time>>, bags: Option<Vec<Text<Code>>>,
        reentry_words: Option<String>, reentry_minutes: Option<u32>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        amount_ml: Option<u32>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        patient_inside: Text<Known>
    }
    OutOfService { reason: String }
    Occupied { beds: Vec<Text<Code>> }
    EnteredWet { wiped: Vec<Text<Zone>>, note: String }
    PatientStays { reason: String, review: Text<Time> }
    ThingLeft {
        thing: String, zones: Vec<Text<Zone>>, to: Option<Text<Code>>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        outside: String
    }
    ThingArrived { thing: String, from: Option<Text<Code>>, wet: Text<Known> }
    ThingSeen { thing: String }
    WentBack {
        had_seen: u64,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        kept: Option<u64>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        since: Option<Text<Time>>
    }
    EndLost { bytes: u32, begins: String, had_seen: Option<u64> }
    Restored { reason: String }
    Downtime { from: Text<Time>, until: Text<Time>, sheets: String }
    DryChecked {
        began: Text<Time>, zones: Vec<ZoneFeel>, ventilation: String,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        changed: Option<Text<AirChange>>
    }
    TreatedOtherwise { zones: Vec<Text<Zone>>, method: Text<OtherMethod> }
    Laundered { bag: Text<Code>, cycle: Cycle, slip: String }
    BagEnded { bag: Text<Code>, end: BagEnd }
    Vacuumed { zones: Vec<Text<Zone>> }
    BedMade { bed: Text<Code>, linens: LinenSource }
    Emptied { beds: Vec<Text<Code>> }
    OccupancyConfirmed {
        occupied: Vec<Text<Code>>, empty: Vec<Text<Code>>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        gone: Vec<Text<Code>>
    }
    SecondChecked {
        zones: Vec<ZoneFeel>, made: Vec<Text<Code>>, not_made: Vec<Text<Code>>, note: String, seen: u64
    }
    SecondAttested { line: u64, through: Option<u64>, words: String, seen: u64 }
    NothingApplied { reason: String, seen: u64 }
    ReturnedToService { second: Option<Text<Code>>, seen: u64 }
    Cleared { seen: u64 }
    InService { closing: u64, seen: u64 }
    Looked { void: u64, note: String, seen: u64 }
    Attested { line: u64, through: Option<u64>, words: String, second: Option<Text<Code>>, seen: u64 }
    WardWalked { words: Option<String>, wet: Option<Vec<Text<Code>>>, seen: u64 }
    Amended { entry: u64, field: String, value: String }
    Voided { entry: u64, why: String, really_in: Option<Text<Code>> }
    ClockSaid {
        wall: Text<Time>, wrong: Text<WhichClock>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        other: String,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        shown: Option<Text<Time>>
    }
    TimeTakenOut { entry: u64, words: String, seen: u64 }
    SprayCorrected {
        spray: u64, zones: Option<Vec<Text<Zone>>>, finished: Option<Text<Time>>, reentry_minutes: Option<u32>,
        words: String, seen: u64
    }
    WrittenOff { what: Text<Lost>, tag: Text<Code>, reason: String, seen: u64 }
    PartReplaced { part: Text<Zone>, by: Option<Text<Code>>, old: Text<OldPart>, reason: String, seen: u64 }
    Promised { beds: Vec<Text<Code>>, wanted: Option<Text<Time>> }
    TaskAccepted { room: Text<Code>, need: String, cause: u64, by: Text<Code> }
    NotPossible { why: String, again: Option<Text<Time>> }
    HandedOver { text: String }
    LedgerChosen { others: Vec<String>, words: String }
    HospitalSet { name: String }
    ZonesSet { kind: Text<Code>, zones: Vec<ZonePlan> }
    WardSet { name: String, floor: i16 }
    RoomSet {
        name: String, ward: Text<Code>, kind: Text<Code>, order: u32, beds: Vec<Bed>, neighbours: Vec<Neighbour>,
        serves: Vec<Text<Code>>,
        #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
        floor_dm2: Option<u32>
    }
    PolicySet { key: String, value: i64 }
    PinSet { person: Text<Code>, hash: Option<String> }
    SignedIn { failed_before: u32 }
    Reserved { kind: String, raw: String }
    Unreadable { raw: String, why: String }
} of one {
    PersonSet { person: Box<Person> }
    ProductSet { product: Box<Product> }
});

/// Kinds that later versions may write and that this one reads past.
pub(in crate::ledger) const RESERVED_KINDS: [&str; 4] =
    ["ShiftBegan", "PlanPinned", "StepStarted", "InterfaceReceived"];
