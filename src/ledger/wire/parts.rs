//! The shapes that bodies are made of, and the place of an envelope.

use serde::{Deserialize, Serialize};

use super::text::Text;
use super::{Wire, wire_enum, wire_struct};
use crate::domain::code::Code;
use crate::domain::entry::{
    BagEnd as DomainBagEnd, Cycle as DomainCycle, Feel, Known, LinenSource as DomainLinenSource, Place as DomainPlace,
    Sighting as DomainSighting, Sign, Time, TreatmentRecord, Ventilation, Window, ZoneLook as DomainZoneLook,
};
use crate::domain::facility::Zone;
use crate::domain::measured::{
    FileHash, HeldFor as DomainHeldFor, LoggerIn, Measured as DomainMeasured, SensorSeen as DomainSensorSeen,
};
use crate::domain::strokes::Strokes as DomainStrokes;

/// The place of an envelope. Its shape is fixed for ever, so its variants are as short as they can be.
#[derive(Serialize, Deserialize)]
pub(in crate::ledger) enum Place {
    Hospital,
    Ward(Text<Code>),
    Rooms(Vec<Text<Code>>),
    Unknown,
}

impl Place {
    /// No rooms at all: such an entry would close nothing, whatever it says.
    pub(in crate::ledger) fn names_nothing(&self) -> bool {
        matches!(self, Self::Rooms(rooms) if rooms.is_empty())
    }
}

impl Wire<DomainPlace> for Place {
    fn of(value: &DomainPlace) -> Self {
        match value {
            DomainPlace::Hospital => Self::Hospital,
            DomainPlace::Ward(ward) => Self::Ward(Text(*ward)),
            DomainPlace::Rooms(rooms) => Self::Rooms(Wire::of(rooms)),
            DomainPlace::Unknown => Self::Unknown,
        }
    }
    fn back(self) -> DomainPlace {
        match self {
            Self::Hospital => DomainPlace::Hospital,
            Self::Ward(ward) => DomainPlace::Ward(ward.back()),
            Self::Rooms(rooms) if rooms.is_empty() => DomainPlace::Unknown,
            Self::Rooms(rooms) => DomainPlace::Rooms(rooms.back()),
            Self::Unknown => DomainPlace::Unknown,
        }
    }
}

wire_struct!(Sighting for DomainSighting {
    sign: Text<Sign>,
    zone: Option<Text<Zone>>,
});

wire_struct!(ZoneLook for DomainZoneLook {
    zone: Text<Zone>,
    seen: Vec<Text<Sign>>,
});

/// How one zone felt in a dry check.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(in crate::ledger) struct ZoneFeel {
    zone: Text<Zone>,
    feel: Text<Feel>,
}

impl Wire<(Zone, Feel)> for ZoneFeel {
    fn of((zone, feel): &(Zone, Feel)) -> Self {
        Self { zone: Text(*zone), feel: Text(*feel) }
    }
    fn back(self) -> (Zone, Feel) {
        (self.zone.0, self.feel.0)
    }
}

wire_struct!(sparse Cycle for DomainCycle {
    wash_decicelsius: Option<i32>,
    wash_minutes: Option<u32>,
    detergent: Text<Known>,
    dry_decicelsius: Option<i32>,
    dry_minutes: Option<u32>,
    small_load: Text<Known>,
    mixing_minutes: Option<u32>,
    trace: Option<Box<Measured>>,
    other_trace: Option<Box<Measured>>,
    clock_checked: bool,
});

wire_struct!(Measured for DomainMeasured {
    file: Text<FileHash>,
    machine: Text<LoggerIn>,
    uncertainty_decikelvin: Option<u32>,
    longest_step_seconds: u32,
    began: Option<Text<Time>>,
    seconds: u32,
    sensors: Vec<SensorSeen>,
    #[serde(default, skip_serializing_if = "crate::ledger::wire::is_blank")]
    read_as: String,
});

wire_struct!(SensorSeen for DomainSensorSeen {
    name: String,
    hottest_decicelsius: i32,
    held: Vec<HeldFor>,
    a0_seconds: u32,
    gaps: u32,
    gap_seconds: u32,
});

wire_struct!(HeldFor for DomainHeldFor {
    decicelsius: i32,
    longest_seconds: u32,
    total_seconds: u32,
});

wire_enum!(BagEnd for DomainBagEnd {
    Destroyed { witness: Text<Code> }
    Heated {}
    Inspected {}
    Lost {}
} of one {});

wire_enum!(LinenSource for DomainLinenSource {} of one {
    Bags { bags: Vec<Text<Code>> }
    Stock { name: String }
});

wire_struct!(sparse Record for TreatmentRecord {
    neighbours_checked: String,
    for_whom: String,
    applicator: String,
    certificate: String,
    supervisor: String,
    active_ingredient: String,
    percent: String,
    rate: String,
    area_treated: String,
    target_pest: String,
    notice_until: String,
    disposal: String,
    follow_up_due: String,
    decicelsius: Option<i32>,
    humidity_percent: Option<u32>,
    ventilation: Option<Text<Ventilation>>,
    window: Option<Text<Window>>,
    outdoor_decicelsius: Option<i32>,
    outdoor_humidity_percent: Option<u32>,
    slip: String,
    strokes: Option<Strokes>,
});

wire_struct!(Strokes for DomainStrokes {
    count: u32,
    microlitres: u32,
});
