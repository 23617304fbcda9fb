//! From a hospital's room list (CSV or RON) to the setting entries of a new ledger.
//!
//! `rows` and `ron_list` read text, `assemble` judges it and collects every fault, `neighbours` works out who lies next to
//! whom, `zones` knows the parts of a room. Nothing is written here: the entries are handed to whoever makes the ledger.

mod assemble;
mod fault;
mod neighbours;
mod ron_list;
mod rows;
mod zones;

use std::fs;
use std::path::Path;

pub use fault::{Fault, SetupError, unprintable};
pub use zones::{ZoneFault, ZoneSet, default_zone_sets};

use crate::domain::code::Code;
use crate::domain::entry::{Body, Place};
use crate::domain::facility::{Bed, Neighbour};
use crate::domain::people::{Person, Role};

/// A small room list to fill in.
pub const SAMPLE: &str = include_str!("../../assets/rooms-sample.csv");

#[derive(Clone, Debug, PartialEq)]
pub struct PlannedWard {
    pub code: Code,
    pub name: String,
    pub floor: i16,
    /// How many rooms it has.
    pub rooms: u32,
    /// Where the list first names it.
    pub line: u64,
}

#[derive(Clone, Debug, PartialEq)]
pub struct PlannedRoom {
    pub code: Code,
    pub name: String,
    pub ward: Code,
    pub kind: Code,
    /// Position along the walk through the ward, from 1.
    pub order: u32,
    pub beds: Vec<Bed>,
    pub neighbours: Vec<Neighbour>,
    pub serves: Vec<Code>,
    /// The floor's area in square decimetres. None: not given.
    pub floor_dm2: Option<u32>,
}

/// A room list that was read whole and holds no fault.
#[derive(Clone, Debug, PartialEq)]
pub struct RoomList {
    /// In the order of the list.
    pub wards: Vec<PlannedWard>,
    pub rooms: Vec<PlannedRoom>,
    pub zone_sets: Vec<ZoneSet>,
    /// Sides of rooms whose neighbour the list did not give.
    pub worked_out: usize,
    /// What is allowed but looks like an oversight.
    pub warnings: Vec<String>,
}

/// Reads a room list: RON if its name ends so, else CSV.
pub fn read_rooms(path: &Path) -> Result<RoomList, SetupError> {
    let bytes = fs::read(path).map_err(|source| SetupError::Unreadable { path: path.to_owned(), source })?;
    let is_ron = path.extension().is_some_and(|it| it.eq_ignore_ascii_case("ron"));
    parse_rooms(&bytes, is_ron).map_err(|faults| SetupError::Faults { path: path.to_owned(), faults })
}

/// Reads a room list from its bytes.
pub fn parse_rooms(bytes: &[u8], is_ron: bool) -> Result<RoomList, Vec<Fault>> {
    let text = rows::text_of(bytes).map_err(|fault| vec![fault])?;
    let (rows, own_zones) = if is_ron { ron_list::ron_rows(text)? } else { (rows::csv_rows(text)?, vec![]) };
    let in_zones = |fault: ZoneFault| vec![Fault::new(1, "zones", fault.to_string(), "Mend it in the list of zones")];
    let mut zone_sets = zones::zone_sets(&own_zones).map_err(in_zones)?;
    for set in default_zone_sets().map_err(in_zones)? {
        if !zone_sets.iter().any(|own| own.kind == set.kind) {
            zone_sets.push(set);
        }
    }
    let kinds: Vec<Code> = zone_sets.iter().map(|set| set.kind).collect();
    let mut assembled = assemble::assemble(&rows, &kinds)?;
    let worked_out = neighbours::work_out(&assembled.wards, &mut assembled.rooms);
    let rooms: Vec<PlannedRoom> = assembled.rooms.into_iter().map(|draft| draft.room).collect();
    let warnings = warnings(&assembled.wards, &rooms);
    Ok(RoomList { wards: assembled.wards, rooms, zone_sets, worked_out, warnings })
}

fn warnings(wards: &[PlannedWard], rooms: &[PlannedRoom]) -> Vec<String> {
    let has_beds = |ward: &PlannedWard| rooms.iter().any(|room| room.ward == ward.code && !room.beds.is_empty());
    if !wards.iter().any(has_beds) {
        return vec!["no room has a bed: there will be nothing to open".to_owned()];
    }
    wards.iter().filter(|ward| !has_beds(ward)).map(|ward| format!("ward {} has no beds", ward.code)).collect()
}

impl RoomList {
    /// The settings with which a new ledger begins, in the order in which each may rest on those before it.
    pub fn entries(&self, hospital: &str, lead: Person) -> Vec<(Place, Body)> {
        let hospital = (Place::Hospital, Body::HospitalSet { name: hospital.to_owned() });
        let zones = self
            .zone_sets
            .iter()
            .map(|set| (Place::Hospital, Body::ZonesSet { kind: set.kind, zones: set.zones.clone() }));
        let wards = self
            .wards
            .iter()
            .map(|ward| (Place::Ward(ward.code), Body::WardSet { name: ward.name.clone(), floor: ward.floor }));
        let rooms = self.rooms.iter().map(|room| {
            let body = Body::RoomSet {
                name: room.name.clone(),
                ward: room.ward,
                kind: room.kind,
                order: room.order,
                beds: room.beds.clone(),
                neighbours: room.neighbours.clone(),
                serves: room.serves.clone(),
                floor_dm2: room.floor_dm2,
            };
            (Place::of_room_setting(room.code, &room.serves), body)
        });
        let lead = (Place::Hospital, Body::PersonSet(Box::new(lead)));
        [hospital].into_iter().chain(zones).chain(wards).chain(rooms).chain([lead]).collect()
    }

    pub fn beds(&self) -> usize {
        self.rooms.iter().map(|room| room.beds.len()).sum()
    }

    /// What was made, what looks odd, and the next step: a line each. `ledger`: the file, where it is not the usual one.
    pub fn summary(&self, lead: Code, ledger: Option<&Path>) -> Vec<String> {
        let program = match ledger {
            Some(path) => format!("dryhold --ledger {}", shell_word(&path.to_string_lossy())),
            None => "dryhold".to_owned(),
        };
        let lead = shell_word(lead.as_str());
        let mut lines = vec![format!(
            "Made {}, {} and {}; worked out {}.",
            counted(self.wards.len(), "ward"),
            counted(self.rooms.len(), "room"),
            counted(self.beds(), "bed"),
            counted(self.worked_out, "neighbour"),
        )];
        lines.extend(self.warnings.iter().map(|warning| format!("Warning: {warning}.")));
        lines.push(
            "Every bed stays closed until its ward was walked: no spray, bag or finding left unrecorded. The lead signs one walk a ward:"
                .to_owned(),
        );
        lines.extend(
            self.wards
                .iter()
                .map(|ward| format!("  {program} note ward-walk {} --as {lead}", shell_word(ward.code.as_str()))),
        );
        lines.push(
            "Then the people and products: on the board's Rulebook (6) the key e adds them, or `note set-person` and `note set-product`."
                .to_owned(),
        );
        lines.push(format!("Or on the board, where Enter is a room's next step:\n  {program} --as {lead}"));
        lines
    }
}

fn counted(number: usize, thing: &str) -> String {
    format!("{number} {thing}{}", if number == 1 { "" } else { "s" })
}

/// A text as one word of a command line.
pub fn shell_word(text: &str) -> String {
    let is_plain = text.chars().all(|c| c.is_ascii_alphanumeric() || "-._/".contains(c));
    if is_plain { text.to_owned() } else { format!("'{}'", text.replace('\'', "'\\''")) }
}

/// Reads `INITIALS,NAME` as the first housekeeping lead, trained to inspect: somebody has to be, to begin with.
pub fn parse_lead(text: &str) -> Result<Person, SetupError> {
    let wrong = |why: &str| SetupError::Lead(fault::quoted(text).trim_matches(['“', '”']).to_owned(), why.to_owned());
    let (initials, name) = text.split_once(',').ok_or_else(|| wrong("there is no comma"))?;
    let initials = Code::new(initials).map_err(|error| wrong(&error.to_string()))?;
    let name = name.trim().trim_matches('"').trim();
    if name.is_empty() {
        return Err(wrong("the name is missing"));
    }
    if let Some(what) = unprintable(name) {
        return Err(wrong(&format!("the name holds {what}")));
    }
    Ok(Person {
        initials,
        name: name.to_owned(),
        role: Role::Lead,
        trained_to_inspect: true,
        trained_to_apply: false,
        certificate: None,
        acting_lead: None,
        pin_hash: None,
        left: false,
    })
}

/// Refuses a hospital's name that could not be shown.
pub fn check_name(name: &str) -> Result<(), SetupError> {
    unprintable(name).map_or(Ok(()), |what| Err(SetupError::Name(what)))
}

#[cfg(test)]
mod tests;
