//! What happened since: what closes, opens or is found is told whole, the routine is counted.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::Look;
use super::when::clock;
use crate::domain::code::Code;
use crate::domain::describe::sentence;
use crate::domain::entry::{BagEnd, Body, Entry, Feel, Number, Place, Sign, Specimen, Time};
use crate::domain::shown::shown;

/// How early on the page it is told.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Weight {
    /// Something alive was seen, or a bed bug was identified.
    Live,
    Finding,
    Told,
    /// Counted under this name.
    Routine(&'static str, &'static str),
    Untold,
}

fn weight(body: &Body) -> Weight {
    let is_live = |sign: &Sign| matches!(sign, Sign::LiveAdult | Sign::LiveNymph);
    match body {
        Body::Finding { seen, .. } if seen.iter().any(|it| is_live(&it.sign)) => Weight::Live,
        Body::Inspected { looks, .. } if looks.iter().any(|look| look.seen.iter().any(is_live)) => Weight::Live,
        Body::Identified { specimen: Specimen::BedBug, .. } => Weight::Live,
        Body::Finding { .. } | Body::Identified { .. } => Weight::Finding,
        Body::Inspected { looks, .. } if looks.iter().any(|look| !look.seen.is_empty()) => Weight::Finding,
        Body::DryChecked { zones, .. } if zones.iter().any(|(_, feel)| *feel == Feel::Damp) => Weight::Told,
        Body::SecondChecked { zones, not_made, .. }
            if !not_made.is_empty() || zones.iter().any(|(_, feel)| *feel == Feel::Damp) =>
        {
            Weight::Told
        }
        Body::BagEnded { end: BagEnd::Lost | BagEnd::Destroyed { .. }, .. }
        | Body::PatientOut { .. }
        | Body::PatientMoved { .. }
        | Body::PatientStays { .. }
        | Body::Prepared { .. }
        | Body::Sprayed { .. }
        | Body::OutOfService { .. }
        | Body::EnteredWet { .. }
        | Body::ThingLeft { .. }
        | Body::ThingArrived { .. }
        | Body::ThingSeen { .. }
        | Body::Downtime { .. }
        | Body::Restored { .. }
        | Body::WentBack { .. }
        | Body::EndLost { .. }
        | Body::LedgerChosen { .. }
        | Body::ReturnedToService { .. }
        | Body::Cleared { .. }
        | Body::InService { .. }
        | Body::NothingApplied { .. }
        | Body::Looked { .. }
        | Body::Attested { .. }
        | Body::Unreadable { .. }
        | Body::ClockSaid { .. }
        | Body::TimeTakenOut { .. }
        | Body::SprayCorrected { .. }
        | Body::WrittenOff { .. }
        | Body::PartReplaced { .. }
        | Body::Voided { .. } => Weight::Told,
        Body::WardWalked { .. } => Weight::Routine("ward walk", "ward walks"),
        Body::RoundLooked { .. } => Weight::Routine("round of daily looks", "rounds of daily looks"),
        Body::Inspected { .. } => Weight::Routine("inspection with nothing seen", "inspections with nothing seen"),
        Body::DryChecked { .. } | Body::SecondChecked { .. } => {
            Weight::Routine("dry check with nothing damp", "dry checks with nothing damp")
        }
        Body::Laundered { .. } | Body::BagEnded { .. } => Weight::Routine("bag dealt with", "bags dealt with"),
        Body::BedMade { .. } => Weight::Routine("bed made", "beds made"),
        Body::Vacuumed { .. } | Body::TreatedOtherwise { .. } | Body::SprayCompleted { .. } => {
            Weight::Routine("other work on a room", "times other work on a room")
        }
        Body::OccupancyConfirmed { .. } | Body::Occupied { .. } | Body::Emptied { .. } => {
            Weight::Routine("note of occupancy", "notes of occupancy")
        }
        Body::Promised { .. } => Weight::Routine("promise made or ended", "promises made or ended"),
        _ => Weight::Untold,
    }
}

impl Look<'_> {
    /// Findings first, what is alive before the rest; then what closed or opened; each the newest first. The routine is
    /// one line.
    pub(super) fn changed(&self, since: Time) -> Vec<String> {
        let newest = || self.entries.iter().rev().take_while(|entry| entry.noted >= since);
        let voids: BTreeMap<Number, Number> = newest()
            .filter_map(
                |entry| if let Body::Voided { entry: of, .. } = entry.body { Some((of, entry.number)) } else { None },
            )
            .collect();
        let mut told: Vec<(Weight, Reverse<Time>, String)> = vec![];
        let mut routine: Vec<([&'static str; 2], usize)> = vec![];
        for entry in newest() {
            if voids.contains_key(&entry.number) && !matches!(weight(&entry.body), Weight::Routine(..)) {
                // Its void tells of it.
                continue;
            }
            match weight(&entry.body) {
                Weight::Untold => {}
                Weight::Routine(one, many) => match routine.iter_mut().find(|(known, _)| *known == [one, many]) {
                    Some((_, count)) => *count += 1,
                    None => routine.push(([one, many], 1)),
                },
                weight => told.push((weight, Reverse(entry.happened), self.happened(entry))),
            }
        }
        told.sort_by_key(|(weight, at, _)| (*weight, *at));
        let mut lines: Vec<String> = told.into_iter().map(|(_, _, line)| line).collect();
        if !routine.is_empty() {
            let counted = |([one, many], count): ([&str; 2], usize)| {
                if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
            };
            let counts: Vec<String> = routine.into_iter().map(counted).collect();
            lines.push(format!("and routine: {}", counts.join(", ")));
        }
        lines
    }

    fn happened(&self, entry: &Entry) -> String {
        let at = clock(entry.happened, self.now, self.zone);
        if let Body::Voided { entry: of, why, really_in } = &entry.body {
            let really = really_in.map(|room| format!("; really in {room}")).unwrap_or_default();
            return format!("{}: entry {of} voided, {at} by {}: {}{really}", place(entry), entry.done_by, shown(why));
        }
        format!("{}: {}, {at} by {}", place(entry), sentence(entry, self.board), entry.done_by)
    }
}

pub(super) fn place(entry: &Entry) -> String {
    match &entry.place {
        Place::Hospital => "hospital".to_owned(),
        Place::Unknown => "place unknown".to_owned(),
        Place::Ward(ward) => format!("ward {ward}"),
        Place::Rooms(rooms) => rooms.iter().map(Code::to_string).collect::<Vec<_>>().join(", "),
    }
}
