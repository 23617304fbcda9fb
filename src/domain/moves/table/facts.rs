//! Moves that meet a need: each counts only if it happened and was noted after what asked for it.

use super::closers::{PLACE, TO, WASHED, WENT, WENT_ELSEWHERE, WENT_TO_BED};
use super::{
    BAG_UNKNOWN, FELT_DAMP, OF_OTHER_TRACE, OF_TRACE, OLDER_WORD, SELDOM, SELDOM_OF_TRACE, SEVERAL_BEDS, may, must,
};
use crate::domain::moves::{Asked, Circumstance, FieldKind as Kind, Move, MoveKind, On, TimesAre, ZoneFilter};

pub(super) const ROUND: Move = Move {
    verb: "round",
    title: "Ward's daily looks",
    about: "Note a ward's round of daily looks in which nothing was seen. What was seen is a finding of its room instead.",
    kind: MoveKind::Fact,
    on: On::Ward,
    fields: &[must("rooms", "Rooms looked at", Kind::Rooms, "Rooms looked at, or `all` of the ward")
        .on_screen("Mark each room that was looked at, with nothing seen")],
};

pub(super) const TREAT_ZONE: Move = Move {
    verb: "treat-zone",
    title: "Zone done another way",
    about: "Note that a zone was done another way than by spray: because it is never sprayed, or instead.",
    kind: MoveKind::Fact,
    on: On::Room,
    fields: &[
        must("zones", "Zones", Kind::Zones(ZoneFilter::OtherMethod), "Zones done so, each by name"),
        must("method", "Method", Kind::Words(&["vacuumed", "steamed", "heated", "inspected"]), "How it was done"),
    ],
};

pub(super) const DRY_CHECK: Move = Move {
    verb: "dry-check",
    title: "Dry check",
    about: "Note one check by touch, with gloves and whatever the label asks one to wear: seams and undersides too, the \
            mattress stood up. Nobody goes in before the label's own minimum. It counts from its beginning. What is not \
            there is noted where it stands: thing-seen.",
    kind: MoveKind::Fact,
    on: On::Room,
    fields: &[
        must("began", "Began", Kind::Time, "When the check began"),
        must("zones", "Zones", Kind::Feels, "What each zone felt like"),
        must("ventilation", "Ventilation", Kind::Text, "How the room was aired since the spray"),
        may(
            "changed",
            "Aired otherwise since",
            Kind::Words(&["no", "fan-brought", "window-opened", "other"]),
            "Whether that was changed since the spray, or since it was last felt: such a drying teaches the estimate nothing",
        )
        .asked(FELT_DAMP)
        .on_screen("Since it was felt damp: was a fan brought, a window opened? Then this drying teaches the estimate nothing"),
    ],
};

pub(super) const LAUNDER: Move = Move {
    verb: "launder",
    title: "Bag laundered",
    about: "Note the cycle that a bag went through, as read from the machine or the laundry's slip, or as a logger in the \
            load measured it. A cycle that does not meet the hospital's criteria is kept and shown as failed.",
    kind: MoveKind::Fact,
    on: On::Bag,
    fields: &[
        may("wash-celsius", "Wash, °C held", Kind::Celsius, "Wash temperature held, one decimal at most"),
        may("wash-minutes", "Minutes at that temperature", Kind::Minutes, "Minutes held, mixing time included"),
        may("detergent", "Detergent", Kind::Known, "Was detergent used?"),
        may("dry-celsius", "Drying, °C of the load", Kind::Celsius, "Temperature of the load while drying"),
        may("dry-minutes", "Minutes of drying", Kind::Minutes, "Minutes of hot drying"),
        may("small-load", "Small load", Kind::Known, "Was the load in the dryer small (about 3.5 kg or less)?"),
        may(
            "trace",
            "Logger's file",
            Kind::File,
            "A logger's CSV file: time, then a column for each sensor; or `entry N`, the trace that entry N kept. What it \
             measured counts in place of what was typed of that machine",
        )
        .asked(SELDOM),
        may("machine", "Logger was in", Kind::Words(&["washer", "dryer"]), "The machine that the logger went through")
            .asked(OF_TRACE),
        may(
            "uncertainty-c",
            "Logger ±, °C",
            Kind::Celsius,
            "How uncertain the logger is, from its certificate: it is taken off each reading. Not stated: nothing is met",
        )
        .asked(OF_TRACE),
        may(
            "unit",
            "Degrees in file",
            Kind::Words(&["c", "f"]),
            "Celsius or Fahrenheit, where its header does not say it by a degree sign, in brackets or in a word",
        )
        .asked(SELDOM_OF_TRACE),
        may(
            "time",
            "Times in file",
            Kind::Words(&TimesAre::WORDS),
            "How its time column is written, where its header does not say: minutes or seconds, or what its colons divide",
        )
        .asked(SELDOM_OF_TRACE),
        may("minutes", "Times are minutes", Kind::YesNo, "An older word for times that are minutes").asked(OLDER_WORD),
        may(
            "zone",
            "Logger's time zone",
            Kind::Text,
            "By which clock its dates go, where they carry no zone: UTC, +02:00, Europe/Berlin; the hospital's where not said",
        )
        .asked(SELDOM_OF_TRACE),
        may(
            "clock-checked",
            "Logger's clock checked",
            Kind::YesNo,
            "Whether you held the logger's clock against the wall's, and the bag was in this load, though its times fit badly",
        )
        .asked(SELDOM_OF_TRACE),
        may(
            "other-trace",
            "Other machine's file",
            Kind::File,
            "The same of the load's other machine, where a logger went through both: the dryer's if the first is the washer's",
        )
        .asked(SELDOM_OF_TRACE),
        may(
            "other-uncertainty-c",
            "Its logger ±, °C",
            Kind::Celsius,
            "How uncertain the logger of the other machine's file is, from its own certificate",
        )
        .asked(OF_OTHER_TRACE),
        may(
            "mixing-minutes",
            "Mixing minutes",
            Kind::Minutes,
            "Minutes for the heat to reach all of the load, by the laundry's own figure; 4 to 8 are usual (from memory)",
        )
        .asked(SELDOM),
        may("slip", "Laundry's slip", Kind::Text, "Number of the laundry's slip for this tag").asked(SELDOM),
        may("room", "Room", Kind::Room, "The room that the bag is from, if its tag is not known here")
            .asked(BAG_UNKNOWN),
    ],
};

pub(super) const DISCARD: Move = Move {
    verb: "discard",
    title: "Bag ended otherwise, or lost",
    about: "Note that a bag was destroyed with a witness, or that belongings which were not sprayed were heated or \
            inspected instead. A lost one settles nothing: its room stays closed until it is found.",
    kind: MoveKind::Fact,
    on: On::Bag,
    fields: &[
        must("end", "End", Kind::Words(&["destroyed", "heated", "inspected", "lost"]), "What became of it"),
        may("witness", "Witness", Kind::Person, "Who saw it destroyed; needed for that, and not the person who did it")
            .asked(&[Asked::If { field: "end", is: &["destroyed"] }]),
        may("room", "Room", Kind::Room, "The room that the bag is from, if its tag is not known here")
            .asked(BAG_UNKNOWN),
    ],
};

pub(super) const VACUUM: Move = Move {
    verb: "vacuum",
    title: "Soft seating vacuumed",
    about: "Note that sprayed soft seating was vacuumed after it dried. First see that the label permits it.",
    kind: MoveKind::Fact,
    on: On::Room,
    fields: &[must("zones", "Zones", Kind::Zones(ZoneFilter::SoftSeats), "Zones vacuumed, each by name")],
};

pub(super) const THING_SEEN: Move = Move {
    verb: "thing-seen",
    title: "Thing seen here",
    about: "Note that a thing, a bed or a part of a bed was seen in this room under its tag. From then on it is here and \
            nowhere else. Whether it is dry only a touch says.",
    kind: MoveKind::Fact,
    on: On::Room,
    fields: &[must(
        "thing",
        "Thing",
        Kind::Tag,
        "The tag on it, the bed's code, or BED/part; what carries no tag by its zone",
    )],
};

pub(super) const MAKE_BED: Move = Move {
    verb: "make-bed",
    title: "Bed made",
    about: "Note that a bed was made: after its mattress was found dry, and only with laundered linens.",
    kind: MoveKind::Fact,
    on: On::Bed,
    fields: &[
        may("bed", "Bed", Kind::Beds, "The one bed that was made, where the target is a room with several")
            .asked(SEVERAL_BEDS)
            .needed_where_asked()
            .on_screen("The one bed that was made"),
        may("bags", "From bags", Kind::Bags, "Tags of the laundered bags whose linens were used"),
        may("stock", "From stock", Kind::Text, "Or the named stock, kept outside rooms that are not clear"),
    ],
};

/// A patient of a room with a case is noted there.
const PATIENT_THERE: Asked = Asked::Where(Circumstance::PatientThere);
const GONE_SOMEWHERE: &[Asked] = &[PATIENT_THERE];
const GONE_TO_BED: &[Asked] = &[PATIENT_THERE, WENT_TO_BED];
const GONE_ELSEWHERE: &[Asked] = &[PATIENT_THERE, WENT_ELSEWHERE];

pub(super) const EMPTY: Move = Move {
    verb: "empty",
    title: "Bed empty",
    about: "Note that a bed was seen empty. Of a room with a case it is asked where its patient went.",
    kind: MoveKind::Fact,
    on: On::Bed,
    fields: &[
        may("beds", "Beds", Kind::Beds, "Beds seen empty, each by name, where the room has several")
            .asked(SEVERAL_BEDS)
            .needed_where_asked()
            .on_screen("Mark each bed that was seen empty"),
        WENT.asked(GONE_SOMEWHERE).needed_where_asked(),
        TO.asked(GONE_TO_BED).needed_where_asked(),
        PLACE.asked(GONE_ELSEWHERE).needed_where_asked(),
        WASHED.asked(GONE_TO_BED),
    ],
};

pub(super) const OCCUPANCY: Move = Move {
    verb: "occupancy",
    title: "Ward's occupancy",
    about: "Confirm in one go which beds of a ward are occupied and which are empty. A bed not named stays as it was.",
    kind: MoveKind::Fact,
    on: On::Ward,
    fields: &[must("beds", "Beds", Kind::BedStates, "Each bed as it was seen")],
};
