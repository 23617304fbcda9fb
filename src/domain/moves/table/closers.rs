//! Moves that close: each counts from the moment it is noted.

use super::{NO_NAMES, SELDOM, SEVERAL_BEDS, WINDOW_OPEN, may, must};
use crate::domain::moves::{Asked, Circumstance, Field, FieldKind as Kind, Move, MoveKind, On, ZoneFilter};

pub(super) const FINDING: Move = Move {
    verb: "finding",
    title: "Finding",
    about: "Note what was seen, and where. Anyone may. Live bugs, and eggs, seen by a trained person confirm (for eggs \
            that is stricter than the published rule); everything else makes the room suspect.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must(
            "seen",
            "Seen",
            Kind::Sightings,
            "What was seen: live-adult, live-nymph, eggs, cast-skin, dark-spots, blood-spots, dead-insect or \
             reported-bites, each alone or as ZONE=SIGN",
        )
        .on_screen("What was seen, by its number; the first line where the place is not known"),
        may(
            "wiped-before",
            "Wiped clean before",
            Kind::Known,
            "In monitoring: had that place been wiped clean before?",
        )
        .asked(&[
            Asked::Where(Circumstance::Monitoring),
            Asked::If { field: "seen", is: &["dark-spots", "blood-spots", "dead-insect"] },
        ])
        .on_screen("Had that place been wiped clean before? If so, this is new"),
        may("note", "Note", Kind::Text, NO_NAMES),
    ],
};

pub(super) const IDENTIFY: Move = Move {
    verb: "identify",
    title: "Specimen identified",
    about: "Note what a kept specimen turned out to be. A bed bug confirms the room. Something else does away with the \
            suspicion once a full inspection found nothing.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must("specimen", "Specimen", Kind::Words(&["bed-bug", "something-else"]), "What it is"),
        must(
            "identified-by",
            "Identified by",
            Kind::Text,
            "Name of the trained person or laboratory that identified it",
        ),
        may("finding", "Finding", Kind::Entry, "Number of the finding that it was kept from").asked(SELDOM),
    ],
};

pub(super) const INSPECT: Move = Move {
    verb: "inspect",
    title: "Inspection",
    about: "Note one inspection of the room, zone by zone. It is complete only when every required zone was looked at. \
            Only a full inspection clears a suspicion or counts as a follow-up.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must(
            "depth",
            "Depth",
            Kind::Words(&["full", "daily"]),
            "full: every zone; daily: the look at the linen change",
        ),
        must("began", "Began", Kind::Time, "When the inspection began"),
        may("method", "Method", Kind::Words(&["visual", "traps", "dog"]), "How it was done; by eye where not said")
            .asked(SELDOM),
        must("looks", "Zones", Kind::Looks, "What was looked at, and what was seen there"),
        may("note", "Note", Kind::Text, NO_NAMES),
    ],
};

pub(super) const MOVE_PATIENT: Move = Move {
    verb: "move-patient",
    title: "Patient moved",
    about: "Note that a patient moved: from which bed, to where, in which bed, with what. From a clear room nothing closes. \
            From a room with a case, or one that still waits for its inspection, the receiving room gets an inspection task, \
            and its empty beds stay closed until then.",
    kind: MoveKind::Closer,
    on: On::Bed,
    fields: &[
        may("beds", "Beds", Kind::Beds, "Beds left, each by name, where the room has several").asked(SEVERAL_BEDS),
        WENT.needed_where_asked(),
        TO.asked(&[WENT_TO_BED]).needed_where_asked(),
        PLACE.asked(&[WENT_ELSEWHERE]).needed_where_asked(),
        may(
            "own-bed",
            "In their own bed",
            Kind::YesNo,
            "Was their own bed rolled along? Then name only the room that it stands in now; its parts, wet or dry, go with it. \
             Not stated: no",
        )
        .asked(&[Asked::If { field: "went", is: &["bed", "elsewhere"] }]),
        WASHED.asked(&[Asked::Where(Circumstance::FromCase)]),
        may(
            "answers",
            "Where the earlier patient went",
            Kind::Entry,
            "If this only says where a patient went who left before: the entry that noted the bed empty",
        )
        .asked(&[Asked::Where(Circumstance::PatientGone)]),
        may("things", "With these things", Kind::Bags, "Tags of what went along, such as a wheelchair, with commas between them")
            .asked(&[Asked::If { field: "went", is: &["bed", "elsewhere"] }, Asked::Seldom]),
    ],
};

/// Where a patient went, as a move and a bed noted empty ask it.
pub(super) const WENT: Field = may(
    "went",
    "Where to",
    Kind::Words(&["bed", "home", "elsewhere", "unknown"]),
    "bed: to a bed or room here; home: out of the hospital; elsewhere: to a place outside the list of rooms, such as a theatre; \
     unknown: it stays on the shift's page until somebody says",
);
pub(super) const TO: Field = may(
    "to",
    "To bed or room",
    Kind::Room,
    "The bed that the patient lies in now. Of a room alone no bed is known to be empty any more",
);
pub(super) const PLACE: Field = may(
    "place",
    "To what place",
    Kind::Text,
    "What the place outside the list of rooms is called. Never name a patient",
);
pub(super) const WASHED: Field =
    may("washed", "Washed and changed first", Kind::Known, "Did the patient wash and change into clean clothes first?");
pub(super) const WENT_TO_BED: Asked = Asked::If { field: "went", is: &["bed"] };
pub(super) const WENT_ELSEWHERE: Asked = Asked::If { field: "went", is: &["elsewhere"] };

pub(super) const PATIENT_STAYS: Move = Move {
    verb: "patient-stays",
    title: "Patient stays",
    about: "Note that a patient stays in a confirmed room, why, and when that is looked at again. The bed stays closed.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must("reason", "Reason", Kind::Text, "Why the patient stays. Never name or describe a patient"),
        must("review", "Review at", Kind::TimeAhead, "When this is decided anew"),
    ],
};

pub(super) const PREPARE: Move = Move {
    verb: "prepare",
    title: "Preparation",
    about: "Note preparation steps. The first one closes every bed of the room; only return to service, or noting that \
            nothing was applied, ends that.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must(
            "steps",
            "Steps done",
            Kind::Steps(&["specimen-kept", "linens-bagged", "clutter-out", "insects-vacuumed", "door-sign-up"]),
            "Steps done: specimen-kept, linens-bagged, clutter-out, insects-vacuumed, door-sign-up",
        )
        .on_screen("Mark each step that was done"),
        may("bags", "Bags", Kind::Bags, "Tags of the bags filled and sealed inside the room, with commas between them"),
        may("note", "Note", Kind::Text, NO_NAMES).asked(SELDOM),
    ],
};

pub(super) const SPRAY: Move = Move {
    verb: "spray",
    title: "Spray",
    about: "Note a spray, at the time of its start. From that moment the room is treated-wet. What is left unstated counts \
            as the unsafe answer until it is supplied.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must(
            "purpose",
            "Purpose",
            Kind::Words(&["preventive", "infested", "re-application"]),
            "preventive: every usual hiding place; infested: insects first, then all; re-application: the scope declared",
        ),
        must(
            "product",
            "Product",
            Kind::Product,
            "Code of the product on the hospital's list, or `unlisted` if it is none of these: no dry check counts then",
        )
        .on_screen("From the hospital's list. If it is none of these, no dry check counts until its label is on file"),
        may(
            "zones",
            "Zones in the order sprayed",
            Kind::Zones(ZoneFilter::Sprayable),
            "Zones in the order sprayed. Not stated: every zone counts as wet",
        ),
        may(
            "scope",
            "Scope declared",
            Kind::Zones(ZoneFilter::Sprayable),
            "Of a re-application: the zones it sets out to cover",
        )
        .asked(&[Asked::If { field: "purpose", is: &["re-application"] }]),
        may("finish", "Finished", Kind::Time, "When spraying ended. Not stated: no drying clock runs"),
        may(
            "bags",
            "Bags",
            Kind::Bags,
            "Tags of the bags of washable things present, or `none`. Not stated: they are treated",
        )
        .on_screen("Tags of the bags of washable things in the room, with commas between; the word none if there were none"),
        may("patient-inside", "Patient inside", Kind::Known, "Was a patient, or anyone but those who applied, in the room while it was sprayed?"),
        may("amount-ml", "Amount, mL", Kind::Millilitres, "Finished mixture used, in millilitres"),
        may("strokes", "Strokes of the pump", Kind::Count, "How many strokes of a hand pump were used, in place of the amount")
            .asked(SELDOM),
        may(
            "ml-per-stroke",
            "mL of one stroke",
            Kind::PerStroke,
            "What one stroke of this pump gives, as you measured it: twenty strokes into a measuring jug, divided by twenty",
        )
        .asked(&[Asked::Given { field: "strokes" }]),
        may("applicator", "Applicator", Kind::Text, "Who applied it, as the record needs it").asked(SELDOM),
        may("certificate", "Certificate", Kind::Text, "Certificate number of the applicator or supervisor").asked(SELDOM),
        may("supervisor", "Supervisor", Kind::Text, "Certified person who supervised").asked(SELDOM),
        may("for-whom", "Applied for", Kind::Text, "For whom it was applied").asked(SELDOM),
        may(
            "active-ingredient",
            "Active ingredient",
            Kind::Text,
            "As on the label; from the hospital's list where not said",
        ).asked(SELDOM),
        may("percent", "Percent", Kind::Text, "Active ingredient as printed; from the hospital's list where not said").asked(SELDOM),
        may("rate", "Rate", Kind::Text, "Rate of application as the label gives it").asked(SELDOM),
        may("area", "Area treated", Kind::Text, "Size of the area treated, with its unit").asked(SELDOM),
        may("target-pest", "Target pest", Kind::Text, "What it was applied against").asked(SELDOM),
        may("neighbours-checked", "Neighbours checked", Kind::Text, "Which neighbouring rooms were looked at").asked(SELDOM),
        may(
            "notice-until",
            "Notice until",
            Kind::Text,
            "How long the door notice stays, as the label or local rule says",
        ).asked(SELDOM),
        may("disposal", "Disposal", Kind::Text, "What became of left-over mixture and containers").asked(SELDOM),
        may("follow-up-due", "Follow-up due", Kind::Text, "When the applicator wants to look again").asked(SELDOM),
        may("celsius", "Room temperature, °C", Kind::Celsius, "Room temperature at the start").asked(SELDOM),
        may("humidity", "Relative humidity, %", Kind::Percent, "Relative humidity at the start").asked(SELDOM),
        may("ventilation", "Ventilation", Kind::Words(&["on", "off", "fan"]), "How the room is aired while it dries; fan: ventilation on, and a fan aimed at what is wet").asked(SELDOM),
        may("window", "Window", Kind::Words(&["closed", "open"]), "Is a window open while it dries?").asked(SELDOM),
        may("outdoor-celsius", "Temperature outdoors, °C", Kind::Celsius, "Of the air that an open window lets in")
            .asked(WINDOW_OPEN),
        may("outdoor-humidity", "Humidity outdoors, %", Kind::Percent, "Relative humidity of the air that an open window lets in")
            .asked(WINDOW_OPEN),
        may("slip", "Contractor's slip", Kind::Text, "Number of the contractor's slip").asked(SELDOM),
    ],
};

pub(super) const COMPLETE_SPRAY: Move = Move {
    verb: "complete-spray",
    title: "Complete a spray",
    about: "Supply what a noted spray left unstated. Clocks run from this noting.",
    kind: MoveKind::Fact,
    on: On::Room,
    fields: &[
        must("spray", "Spray", Kind::Entry, "Number of the spray's entry"),
        may("zones", "Zones in the order sprayed", Kind::Zones(ZoneFilter::Sprayable), "Zones in the order sprayed"),
        may("finish", "Finished", Kind::Time, "When spraying ended"),
        may("bags", "Bags", Kind::Bags, "Tags of the bags of washable things present, or `none`")
            .on_screen("Tags of the bags of washable things in the room; the word none if there were none"),
        may(
            "label-words",
            "Label's words on re-entry",
            Kind::Text,
            "What the label says of re-entry, in its own words",
        ),
        may(
            "label-minutes",
            "Label's minutes",
            Kind::Minutes,
            "The label's minutes before re-entry; 0 if it gives none",
        ),
        may(
            "amount-ml",
            "Amount, mL",
            Kind::Millilitres,
            "Finished mixture used, in millilitres: for the record, also long after",
        ),
        may(
            "patient-inside",
            "Patient inside",
            Kind::Known,
            "Was a patient, or anyone but those who applied, in the room while it was sprayed? Yes asks for the bags of the linens",
        ),
    ],
};

pub(super) const OUT_OF_SERVICE: Move = Move {
    verb: "out-of-service",
    title: "Out of service",
    about: "Close a room for any other reason. Only ending this entry by name opens it.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[must("reason", "Reason", Kind::Text, "Why it is closed. Never name or describe a patient")],
};

pub(super) const OCCUPIED: Move = Move {
    verb: "occupied",
    title: "Bed occupied",
    about: "Note that a bed is occupied.",
    kind: MoveKind::Closer,
    on: On::Bed,
    fields: &[
        may("beds", "Beds", Kind::Beds, "Beds seen occupied, each by name, where the room has several")
            .asked(SEVERAL_BEDS)
            .on_screen("Mark each bed that was seen occupied"),
        may(
            "from",
            "Is this the patient from",
            Kind::Room,
            "A patient of this ward left a room with a case, and nobody said where to. If this is that patient: the bed that \
             they left",
        )
        .asked(&[Asked::Where(Circumstance::GoneInWard)]),
    ],
};

pub(super) const ENTERED_WET: Move = Move {
    verb: "entered-wet",
    title: "Someone was in a wet room",
    about: "Note that somebody entered a room that was still wet. Anyone may, without blame. What was wiped or mopped \
            loses its dry check. Whoever was inside: follow the label, wash, and tell the lead.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must("wiping", "Anything wiped or mopped", Kind::Known, "Was anything wiped, mopped or touched with a cloth?"),
        may(
            "wiped",
            "Wiped or mopped",
            Kind::Zones(ZoneFilter::All),
            "Zones wiped or mopped. None named, though something was or may have been: every zone",
        )
        .asked(&[Asked::If { field: "wiping", is: &["yes"] }]),
        may("note", "Note", Kind::Text, NO_NAMES),
    ],
};

pub(super) const THING_LEFT: Move = Move {
    verb: "thing-left",
    title: "Movable thing left",
    about: "Note that a bed, mattress, recliner or wheelchair left this room, with a tag on it. Its wetness goes with it, and \
            the room where it goes is closed for it at once. What is owed to it stays asked here until it is done.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must("thing", "Tag", Kind::Tag, "The tag on the thing, a short code that stands for it"),
        may(
            "zones",
            "What it is",
            Kind::Zones(ZoneFilter::All),
            "The zones of this room that it is. Not stated: anything",
        ),
        may("to", "To room", Kind::Room, "The room where it goes. Not stated: unknown"),
        may(
            "place",
            "Or to what other place",
            Kind::Text,
            "A place outside the list of rooms where it goes, such as a store or a theatre, as it is called. It closes none",
        ),
    ],
};

pub(super) const THING_ARRIVED: Move = Move {
    verb: "thing-arrived",
    title: "Movable thing arrived",
    about: "Note that a bed, mattress, recliner or wheelchair arrived from another room. Its wetness, and what it is \
            owed, close this room.",
    kind: MoveKind::Closer,
    on: On::Room,
    fields: &[
        must("thing", "Thing", Kind::Tag, "The tag on the thing that arrived, or a short code for it"),
        may("from", "From room", Kind::Room, "The room that it came from. Not stated: unknown"),
        may("wet", "Wet", Kind::Known, "Was it sprayed, and not yet found dry?"),
    ],
};

pub(super) const DOWNTIME: Move = Move {
    verb: "downtime",
    title: "Downtime, kept on paper",
    about: "Note that nothing could be noted here for a time, and that what happened stands on numbered sheets. Then the \
            sheets are entered, in the order in which things happened, and may be late; the beds concerned stay closed \
            until their ward was walked.",
    kind: MoveKind::Closer,
    on: On::Place,
    fields: &[
        must("from", "From", Kind::Time, "The first time of which the sheets tell"),
        must("until", "Until", Kind::Time, "The last time of which the sheets tell"),
        must("sheets", "Sheets", Kind::Text, "Numbers of the sheets, as they are kept"),
    ],
};

pub(super) const GAP: Move = Move {
    verb: "gap",
    title: "Gap in the ledger",
    about: "Note that things happened while nothing could be noted here (downtime). The beds concerned stay closed until \
            their ward was walked.",
    kind: MoveKind::Closer,
    on: On::Place,
    fields: &[must("reason", "Reason", Kind::Text, "What happened, and from when to when")],
};
