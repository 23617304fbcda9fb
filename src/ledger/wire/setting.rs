//! The shapes of settings: a person, a product, a zone of a kind of room, a bed, a neighbour.

use serde::{Deserialize, Serialize};

use super::text::Text;
use super::{Wire, wire_struct};
use crate::domain::code::Code;
use crate::domain::entry::Time;
use crate::domain::facility::{
    Bed as DomainBed, Neighbour as DomainNeighbour, Side, ZoneGroup, ZonePlan as DomainZonePlan, ZoneTreatment,
};
use crate::domain::people::{Person as DomainPerson, Product as DomainProduct, Role};

/// From and until, both included.
#[derive(PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::ledger) struct Span {
    from: Text<Time>,
    until: Text<Time>,
}

impl Wire<(Time, Time)> for Span {
    fn of((from, until): &(Time, Time)) -> Self {
        Self { from: Text(*from), until: Text(*until) }
    }
    fn back(self) -> (Time, Time) {
        (self.from.0, self.until.0)
    }
}

wire_struct!(Person for DomainPerson {
    initials: Text<Code>,
    name: String,
    role: Text<Role>,
    trained_to_inspect: bool,
    trained_to_apply: bool,
    certificate: Option<String>,
    acting_lead: Option<Span>,
    pin_hash: Option<String>,
    left: bool,
});

wire_struct!(Product for DomainProduct {
    code: Text<Code>,
    name: String,
    registration: Option<String>,
    active_ingredient: Option<String>,
    percent: Option<String>,
    reentry_words: Option<String>,
    reentry_minutes: Option<u32>,
    allowed_on: Vec<Text<Code>>,
    withdrawn: bool,
});

wire_struct!(ZonePlan for DomainZonePlan {
    part: Text<Code>,
    name: String,
    group: Text<ZoneGroup>,
    per_bed: bool,
    treatment: Text<ZoneTreatment>,
    soft_seat: bool,
    mattress: bool,
    daily: bool,
    hiding_place: bool,
    critical: bool,
    caution: String,
});

wire_struct!(Bed for DomainBed {
    code: Text<Code>,
    features: Vec<String>,
});

wire_struct!(Neighbour for DomainNeighbour {
    side: Text<Side>,
    room: Text<Code>,
});
