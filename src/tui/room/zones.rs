//! The zones of a room as one walks it, each with what stands of it.

use std::collections::{BTreeMap, BTreeSet};

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
    pub treated: Paid,
    pub dry: Paid,
    pub vacuumed: Paid,
    /// The entry that found it damp, where nothing has found it dry since.
    pub damp: Option<Number>,
    /// Never sprayed: another method pays what is owed.
    pub otherwise: bool,
    /// As the hospital's list names it, with what is to be heeded.
    pub words: String,
}

/// What became of one thing that is asked of a zone.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Paid {
    NotAsked,
    Owed,
    By(Number),
}

impl Group {
    /// What stands of its gravest zone.
    pub(super) fn gravest(&self) -> Stand {
        self.zones.iter().map(|zone| zone.stand).min().unwrap_or(Stand::Nothing)
    }

    pub(super) fn title(&self, room: Code) -> String {
        format!("{room}: {}", self.name)
    }

    /// Its zones in a line each, for reading.
    pub(super) fn in_words(&self) -> Vec<String> {
        self.zones.iter().map(|zone| format!("{} {}: {}", zone.stand.sign(), zone.words, zone.stand.word())).collect()
    }
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
    let maybe = board.may_be_wet(plan.code);
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
        let otherwise = it.treatment == ZoneTreatment::OtherMethod;
        let caution = if it.caution.is_empty() { String::new() } else { format!(" ({})", it.caution) };
        let words = shown(&format!("{}{caution}", it.name));
        put(name, line(*zone, evidence, &damp, unknown || maybe.contains(zone), (plain(it.part), words, otherwise)));
    }
    // What came with a movable thing is owed here too, and is on no plan of this room.
    let elsewhere: BTreeSet<Zone> =
        evidence.iter().filter_map(|it| zone_of(it.need)).chain(maybe.iter().copied()).collect();
    for zone in elsewhere.into_iter().filter(|zone| plan.zone(*zone).is_none()) {
        let name = shown(&zone.to_string());
        put(
            "from elsewhere".to_owned(),
            line(zone, evidence, &damp, unknown || maybe.contains(&zone), (name.clone(), name, false)),
        );
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

/// The newest entry that found each zone damp.
fn damp_zones(room: Code, board: &Board) -> BTreeMap<Zone, Number> {
    let Some(room) = board.room(room) else { return BTreeMap::new() };
    let damp = room.unsettled().filter(|closer| closer.cause == Cause::Damp);
    let zones = damp.flat_map(|closer| closer.needs.iter().map(|need| (*need, closer.number)));
    zones.filter_map(|(need, number)| if let Need::Dry(zone) = need { Some((zone, number)) } else { None }).collect()
}

fn line(
    zone: Zone,
    evidence: &[Evidence],
    damp: &BTreeMap<Zone, Number>,
    unknown: bool,
    (name, words, otherwise): (String, String, bool),
) -> ZoneLine {
    let paid = |need: Need| {
        let of_need = || evidence.iter().filter(move |it| it.need == need);
        match of_need().map(|it| it.met_by).max() {
            None => Paid::NotAsked,
            Some(_) if of_need().any(|it| it.met_by.is_none()) => Paid::Owed,
            Some(newest) => newest.map_or(Paid::Owed, Paid::By),
        }
    };
    let dry = match paid(Need::Dry(zone)) {
        Paid::NotAsked | Paid::By(_) if unknown => Paid::Owed,
        known => known,
    };
    let treated = match paid(Need::Covered(zone)) {
        // A preventive spray owes nothing that it has treated: what has to dry was treated by what asks for that.
        Paid::NotAsked => {
            let asks = evidence.iter().filter(|it| it.need == Need::Dry(zone)).map(|it| it.cause).min();
            asks.map_or(Paid::NotAsked, Paid::By)
        }
        known => known,
    };
    let vacuumed = paid(Need::Vacuumed(zone));
    let damp = damp.get(&zone).copied().filter(|_| dry == Paid::Owed);
    let stand = match (dry, treated, vacuumed) {
        (Paid::Owed, _, _) if damp.is_some() => Stand::Damp,
        (Paid::Owed, _, _) => Stand::Wet,
        (_, Paid::Owed, _) => Stand::Owed,
        (_, _, Paid::Owed) => Stand::ToVacuum,
        (Paid::By(_), _, _) => Stand::Dry,
        _ => Stand::Nothing,
    };
    ZoneLine { name, stand, treated, dry, vacuumed, damp, otherwise, words }
}
