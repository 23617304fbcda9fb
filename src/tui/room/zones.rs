//! The zones of a room as one walks it, each with what stands of it.

use std::collections::BTreeSet;

use crate::domain::board::{Board, Cause};
use crate::domain::code::Code;
use crate::domain::entry::Number;
use crate::domain::facility::{RoomPlan, Zone, ZoneTreatment};
use crate::domain::need::{Evidence, Need};
use crate::domain::shown::shown;
use crate::tui::survey::short_code;

/// The zones of one bed, or of one stretch of the walk.
pub(super) struct Group {
    pub name: String,
    pub zones: Vec<ZoneLine>,
}

pub(super) struct ZoneLine {
    pub name: String,
    pub stand: Stand,
    /// The entry that found it dry.
    pub by: Option<Number>,
    /// Never sprayed: another method pays what is owed.
    pub otherwise: bool,
}

/// What stands of a zone, the gravest first.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) enum Stand {
    Damp,
    Wet,
    Owed,
    ToVacuum,
    Dry,
    Nothing,
}

impl Stand {
    pub(super) const ALL: [Self; 6] = [Self::Damp, Self::Wet, Self::Owed, Self::ToVacuum, Self::Dry, Self::Nothing];

    pub(super) fn sign(self) -> char {
        match self {
            Self::Damp => '%',
            Self::Wet => '~',
            Self::Owed => 'o',
            Self::ToVacuum => 'v',
            Self::Dry => '=',
            Self::Nothing => '.',
        }
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Damp => "found damp",
            Self::Wet => "wet: not checked",
            Self::Owed => "treatment owed",
            Self::ToVacuum => "dry, to be vacuumed",
            Self::Dry => "found dry",
            Self::Nothing => "nothing owed",
        }
    }

    /// For the legend.
    pub(super) fn short(self) -> &'static str {
        match self {
            Self::Damp => "damp",
            Self::Wet => "wet",
            Self::Owed => "owed",
            Self::ToVacuum => "to vacuum",
            Self::Dry => "dry",
            Self::Nothing => "nothing owed",
        }
    }

    pub(super) fn is_open(self) -> bool {
        !matches!(self, Self::Dry | Self::Nothing)
    }
}

pub(super) fn groups(plan: &RoomPlan, board: &Board, evidence: &[Evidence]) -> Vec<Group> {
    let damp = damp_zones(plan.code, board);
    let unknown = evidence.iter().any(|it| it.need == Need::ZonesNamed && it.met_by.is_none());
    let mut groups: Vec<Group> = vec![];
    let mut put = |name: String, line: ZoneLine| match groups.iter_mut().find(|group| group.name == name) {
        Some(group) => group.zones.push(line),
        None => groups.push(Group { name, zones: vec![line] }),
    };
    for (zone, it) in &plan.zones {
        let name = match zone.bed {
            Some(bed) => format!("bed {}", short_code(bed, plan.code)),
            None => it.group.word().to_owned(),
        };
        let (stand, by) = stand(*zone, evidence, &damp, unknown);
        let otherwise = it.treatment == ZoneTreatment::OtherMethod;
        put(name, ZoneLine { name: plain(it.part), stand, by, otherwise });
    }
    // What came with a movable thing is owed here too, and is on no plan of this room.
    let elsewhere: BTreeSet<Zone> = evidence.iter().filter_map(|it| zone_of(it.need)).collect();
    for zone in elsewhere.into_iter().filter(|zone| plan.zone(*zone).is_none()) {
        let (stand, by) = stand(zone, evidence, &damp, unknown);
        put("from elsewhere".to_owned(), ZoneLine { name: shown(&zone.to_string()), stand, by, otherwise: false });
    }
    groups
}

/// `bed frame` of `bed-frame`.
pub(super) fn plain(part: Code) -> String {
    shown(&part.as_str().replace('-', " "))
}

fn zone_of(need: Need) -> Option<Zone> {
    match need {
        Need::Covered(zone) | Need::Dry(zone) | Need::Vacuumed(zone) => Some(zone),
        _ => None,
    }
}

fn damp_zones(room: Code, board: &Board) -> BTreeSet<Zone> {
    let Some(room) = board.room(room) else { return BTreeSet::new() };
    let damp = room.unsettled().filter(|closer| closer.cause == Cause::Damp);
    damp.flat_map(|closer| &closer.needs)
        .filter_map(|need| if let Need::Dry(zone) = need { Some(*zone) } else { None })
        .collect()
}

fn stand(zone: Zone, evidence: &[Evidence], damp: &BTreeSet<Zone>, unknown: bool) -> (Stand, Option<Number>) {
    let open = |need: Need| evidence.iter().any(|it| it.need == need && it.met_by.is_none());
    let met = |need: Need| evidence.iter().filter(|it| it.need == need).filter_map(|it| it.met_by).max();
    let by = met(Need::Dry(zone));
    if open(Need::Dry(zone)) && damp.contains(&zone) {
        (Stand::Damp, None)
    } else if open(Need::Dry(zone)) || unknown {
        (Stand::Wet, None)
    } else if open(Need::Covered(zone)) {
        (Stand::Owed, None)
    } else if open(Need::Vacuumed(zone)) {
        (Stand::ToVacuum, by)
    } else if by.is_some() {
        (Stand::Dry, by)
    } else {
        (Stand::Nothing, None)
    }
}
